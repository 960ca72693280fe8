// Package storetest begins events and runs in a store, for tests of those who use one.
package storetest

import (
	"fmt"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
)

// Noon is where the clock of the suite begins.
var Noon = time.Date(2027, 5, 15, 12, 0, 0, 0, time.UTC)

// Party is an event with every kind of text a store could trip over.
func Party() event.Event {
	minutes, weight := 2.5, 7
	return event.Event{
		Title: "Inês & نور 陈\x00 'quoted' ?", Date: "2027-05-15", TimeZone: "Europe/Lisbon",
		People: []event.Person{
			{ID: "ines", Name: "Inês", AgeBand: event.Elder, Needs: []event.Need{event.Seat}, PrivateNote: "LAPWING", ReleaseWeight: &weight},
			{ID: "noor", Name: "نور حداد"},
		},
		Groupings: []event.Grouping{{ID: "all", Members: []string{"ines", "noor"}, Priority: event.Must, Minutes: &minutes}},
		Rules:     []event.Rule{{ID: "r", Apart: &event.Apart{People: []string{"ines", "noor"}, Scope: event.InBlock}}},
	}
}

// Begin makes an event with a sheet and a run.
func Begin(t *testing.T, s *store.Store) run.Ref {
	t.Helper()
	e, err := s.CreateEvent(t.Context(), store.Request{}, "", Party())
	require.NoError(t, err)
	c, err := s.CreateSheet(t.Context(), store.Request{}, e.ID, 1, event.CallSheet{})
	require.NoError(t, err)
	r, err := s.CreateRun(t.Context(), store.Request{}, e.ID, c.ID)
	require.NoError(t, err)
	return r.Ref
}

var ids atomic.Int64

// NewID makes the id of a mark.
func NewID() string { return fmt.Sprintf("0197d0a0-0000-7000-8000-%012x", ids.Add(1)) }

// Note makes a mark.
func Note(text string) run.Mark {
	return run.Mark{ID: NewID(), Kind: run.Noted, At: Noon, DeviceAt: Noon, Received: Noon, Note: text}
}
