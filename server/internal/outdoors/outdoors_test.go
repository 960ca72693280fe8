package outdoors_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
)

// planned plans an event, which puts light and lenses on its sheet.
func planned(t *testing.T, e event.Event) event.CallSheet {
	t.Helper()
	s, err := planning.Plan(context.Background(), e, planning.Options{Work: 30})
	require.NoError(t, err)
	return s
}

func adviceOf(t *testing.T, s event.CallSheet, code string) string {
	t.Helper()
	for _, a := range s.Advice {
		if a.Code == code {
			return a.Text()
		}
	}
	require.Fail(t, "no advice "+code)
	return ""
}

// trio is three people who are taken two at a time in one block.
func trio() event.Event {
	minutes := 6.0
	return event.Event{
		Title: "A day", Date: "2026-06-20", Blocks: []event.Block{{ID: "lawn", Opens: "14:00"}},
		People: []event.Person{{ID: "a", Name: "Guest a"}, {ID: "b", Name: "Guest b"}, {ID: "c", Name: "Guest c"}},
		Groupings: []event.Grouping{
			{ID: "g1", Members: []string{"a", "b"}, Minutes: &minutes, Priority: event.Must},
			{ID: "g2", Members: []string{"a", "b", "c"}, Minutes: &minutes, Priority: event.Must, After: []string{"g1"}},
		},
	}
}
