package storetest

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
)

// manyMarkers has several markers at work while viewers catch up by sequence. The recorded history must
// be one that a single list explains: every viewer sees the same marks in the same order, none twice,
// none missing, and each mark at the sequence at which its marker was told it is kept, or before.
func manyMarkers(t *testing.T, shared bool, open Open) {
	ctx := t.Context()
	s := open(t, store.Options{})
	other := s
	if shared {
		other = open(t, store.Options{})
	}
	ref := Begin(t, s)
	const markers, each, viewers = 4, 25, 3
	type kept struct {
		id       string
		sequence int64
	}
	told := make([][]kept, markers)
	var marking, viewing sync.WaitGroup
	for k := range markers {
		at := []*store.Store{s, other}[k%2]
		marking.Go(func() {
			var before run.Mark
			for i := range each {
				m := Note(fmt.Sprint(k, i))
				list := []run.Mark{m}
				if i%3 == 0 && i > 0 {
					list = append(list, before) // sent again
				}
				sequence, err := at.AddMarks(ctx, ref, list)
				if !assert.NoError(t, err) {
					return
				}
				told[k] = append(told[k], kept{m.ID, sequence})
				before = m
			}
		})
	}
	seen := make([]map[string]int64, viewers)
	order := make([][]string, viewers)
	for v := range viewers {
		at := []*store.Store{s, other}[v%2]
		seen[v] = map[string]int64{}
		viewing.Go(func() {
			wakes, end := at.Subscribe(ref)
			defer end()
			after := int64(0)
			for len(order[v]) < markers*each {
				c, err := at.Changes(ctx, ref, after)
				if !assert.NoError(t, err) {
					return
				}
				for _, m := range c.Marks {
					seen[v][m.ID] = c.Run.Sequence
					order[v] = append(order[v], m.ID)
				}
				after = c.Run.Sequence
				if len(order[v]) < markers*each {
					select {
					case <-wakes:
					case <-ctx.Done():
						return
					}
				}
			}
		})
	}
	marking.Wait()
	viewing.Wait()
	for v := range viewers {
		assert.Len(t, seen[v], markers*each, "none missing, none twice")
		assert.Equal(t, order[0], order[v], "one order")
	}
	position := map[string]int64{}
	for i, id := range order[0] {
		position[id] = int64(i + 1)
	}
	for k := range markers {
		last := int64(0)
		for _, m := range told[k] {
			assert.LessOrEqual(t, position[m.id], m.sequence, "told too early")
			assert.Greater(t, position[m.id], last, "a marker's own marks keep their order")
			last = position[m.id]
		}
	}
}

func wake(t *testing.T, open Open) {
	s := open(t, ticking())
	ref, quiet := Begin(t, s), Begin(t, s)
	wakes, end := s.Subscribe(ref)
	others, endOthers := s.Subscribe(quiet)
	defer endOthers()
	_, err := s.AddMarks(t.Context(), ref, []run.Mark{Note("one")})
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

func missing(t *testing.T, open Open) {
	ctx := t.Context()
	s := open(t, ticking())
	require.NoError(t, s.Ping(ctx))
	ref := run.Ref{Event: "none", Run: "none"}
	_, byVersion := s.EventAt(ctx, "none", 1)
	_, newest := s.Event(ctx, "none")
	_, replaced := s.ReplaceEvent(ctx, "none", 1, event.Event{})
	_, sheet := s.Sheet(ctx, "none", "none")
	_, r := s.Run(ctx, ref)
	_, added := s.AddMarks(ctx, ref, []run.Mark{Note("one")})
	_, made := s.MadeSheet(ctx, store.Request{ID: "none"}, "none")
	for i, err := range []error{byVersion, newest, replaced, sheet, r, added, made, s.DeleteRun(ctx, ref)} {
		assert.ErrorIs(t, err, store.ErrNotFound, "%d", i)
	}
	kept, err := s.SavePlan(ctx, ref, 1, 0, run.Plan{})
	require.NoError(t, err)
	assert.False(t, kept)
}

func cancelled(t *testing.T, open Open) {
	s := open(t, ticking())
	ref := Begin(t, s)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := s.AddMarks(ctx, ref, []run.Mark{Note("one")})
	require.Error(t, err)
	assert.True(t, errors.Is(err, context.Canceled), "%v", err)
	c, err := s.Changes(t.Context(), ref, 0)
	require.NoError(t, err)
	assert.Empty(t, c.Marks)
}
