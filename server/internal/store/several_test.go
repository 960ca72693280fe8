package store_test

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/store/storetest"
)

// manyMarkers has several markers at work while viewers catch up by sequence. The recorded history must
// be one that a single list explains: every viewer sees the same marks in the same order, none twice,
// none missing, and each mark at the sequence at which its marker was told it is kept, or before.
func manyMarkers(t *testing.T, shared bool, open opener) {
	s := open(t, store.Options{})
	other := s
	if shared {
		other = open(t, store.Options{})
	}
	ref := storetest.Begin(t, s)
	const markers, each, viewers = 4, 25, 3
	told := make([][]kept, markers)
	order := make([][]string, viewers)
	var working sync.WaitGroup
	for k := range markers {
		working.Go(func() { told[k] = mark(t, []*store.Store{s, other}[k%2], ref, k, each) })
	}
	for v := range viewers {
		working.Go(func() { order[v] = view(t, []*store.Store{s, other}[v%2], ref, markers*each) })
	}
	working.Wait()
	position := map[string]int64{}
	for i, id := range order[0] {
		position[id] = int64(i + 1)
	}
	assert.Len(t, position, markers*each, "none missing, none twice")
	for _, seen := range order {
		assert.Equal(t, order[0], seen, "one order")
	}
	for _, own := range told {
		last := int64(0)
		for _, m := range own {
			assert.LessOrEqual(t, position[m.id], m.sequence, "told too early")
			assert.Greater(t, position[m.id], last, "a marker's own marks keep their order")
			last = position[m.id]
		}
	}
}

// kept is a mark and the sequence at which its marker was told that it is kept.
type kept struct {
	id       string
	sequence int64
}

// mark sends so many marks, every third with the one before once more.
func mark(t *testing.T, at *store.Store, ref run.Ref, marker, count int) []kept {
	var told []kept
	var before run.Mark
	for i := range count {
		m := storetest.Note(fmt.Sprint(marker, i))
		list := []run.Mark{m}
		if i%3 == 0 && i > 0 {
			list = append(list, before)
		}
		sequence, err := at.AddMarks(t.Context(), ref, list)
		if !assert.NoError(t, err) {
			return told
		}
		told, before = append(told, kept{m.ID, sequence}), m
	}
	return told
}

// view catches up until so many marks are there, and returns them as they came.
func view(t *testing.T, at *store.Store, ref run.Ref, count int) []string {
	wakes, end := at.Subscribe(ref)
	defer end()
	var order []string
	for after := int64(0); ; {
		c, err := at.Changes(t.Context(), ref, after)
		if !assert.NoError(t, err) {
			return order
		}
		for _, m := range c.Marks {
			order = append(order, m.ID)
		}
		if len(order) >= count {
			return order
		}
		after = c.Run.Sequence
		select {
		case <-wakes:
		case <-t.Context().Done():
			return order
		}
	}
}

func wake(t *testing.T, open opener) {
	s := open(t, ticking())
	ref, quiet := storetest.Begin(t, s), storetest.Begin(t, s)
	wakes, end := s.Subscribe(ref)
	others, endOthers := s.Subscribe(quiet)
	defer endOthers()
	_, err := s.AddMarks(t.Context(), ref, []run.Mark{storetest.Note("one")})
	require.NoError(t, err)
	<-wakes
	_, err = s.SavePlan(t.Context(), ref, 1, 0, run.Plan{})
	require.NoError(t, err)
	<-wakes
	require.NoError(t, s.DeleteRun(t.Context(), ref))
	<-wakes
	end()
	select {
	case <-others:
		// On a new connection everybody is woken once; it must not be for the other run's sake alone.
	default:
	}
}

func missing(t *testing.T, open opener) {
	ctx := t.Context()
	s := open(t, ticking())
	require.NoError(t, s.Ping(ctx))
	ref := run.Ref{Event: "none", Run: "none"}
	_, byVersion := s.EventAt(ctx, "none", 1)
	_, newest := s.Event(ctx, "none")
	_, replaced := s.ReplaceEvent(ctx, "none", 1, event.Event{})
	_, sheet := s.Sheet(ctx, "none", "none")
	_, r := s.Run(ctx, ref)
	_, added := s.AddMarks(ctx, ref, []run.Mark{storetest.Note("one")})
	_, made := s.MadeSheet(ctx, store.Request{ID: "none"}, "none")
	for i, err := range []error{byVersion, newest, replaced, sheet, r, added, made, s.DeleteRun(ctx, ref)} {
		assert.ErrorIs(t, err, store.ErrNotFound, "%d", i)
	}
	kept, err := s.SavePlan(ctx, ref, 1, 0, run.Plan{})
	require.NoError(t, err)
	assert.False(t, kept)
}

func cancelled(t *testing.T, open opener) {
	s := open(t, ticking())
	ref := storetest.Begin(t, s)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := s.AddMarks(ctx, ref, []run.Mark{storetest.Note("one")})
	require.Error(t, err)
	assert.True(t, errors.Is(err, context.Canceled), "%v", err)
	c, err := s.Changes(t.Context(), ref, 0)
	require.NoError(t, err)
	assert.Empty(t, c.Marks)
}
