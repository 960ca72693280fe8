package run

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/needs"
	"kinorder.example/server/internal/planning"
)

// Two photographers take one photo after the other at a steady pace and press nothing but "Taken". Once both have begun, and the
// pace is known, when a place is done doesn't swing with the marks of the other, while its order stays.
func TestWhenAPlaceIsDoneStays(t *testing.T) {
	needs.Alone(t)
	const swing = 3 * time.Minute
	for _, c := range []struct {
		late time.Duration
		pace float64
	}{{0, 1}, {10 * time.Minute, 0.6}} {
		e := castle(t)
		now, err := e.Instant(e.Blocks[0].Opens)
		require.NoError(t, err)
		paper, err := planning.Replan(t.Context(), e, planning.Today{Now: now}, planning.Options{Work: 64})
		require.NoError(t, err)
		o, marks, was := Occasion{Event: e, Sheet: paper.Sheet}, []Mark(nil), (*Plan)(nil)
		now = now.Add(c.late)
		taking, over := map[string]string{}, map[string]time.Time{}
		for len(marks) < len(e.Groupings) {
			p, err := o.Replan(marks, Fold(marks), was, now, func(_ event.Event, x planning.Today) (Plan, error) {
				return planning.Replan(t.Context(), e, x, planning.Options{Work: 64})
			})
			require.NoError(t, err)
			for _, f := range p.Forecasts {
				if was == nil || len(Fold(marks).Frames) < len(e.Blocks) || len(marks) < 8 || len(p.Changes) > 0 {
					break
				}
				for _, before := range was.Forecasts {
					if before.Block == f.Block {
						assert.Less(t, f.Finish.Sub(before.Finish), swing, "%v late, pace %v, at %s: %s", c.late, c.pace, now.Format(time.TimeOnly), f.Block)
					}
				}
			}
			was = &p
			var next string
			for _, b := range p.Sheet.Blocks {
				if taking[b.Block] == "" && len(b.Entries) > 0 {
					x := b.Entries[0]
					begins := slices.MaxFunc([]time.Time{now, b.Start.Add(x.Offset)}, time.Time.Compare)
					taking[b.Block], over[b.Block] = x.Grouping, begins.Add(time.Duration(float64(x.Length)*c.pace))
				}
				if taking[b.Block] != "" && (next == "" || over[b.Block].Before(over[next])) {
					next = b.Block
				}
			}
			require.NotEmpty(t, next)
			now = over[next]
			marks = append(marks, Mark{ID: fmt.Sprintf("0197d0a0-0000-7000-8000-%012x", len(marks)), Kind: Taken, Sequence: int64(len(marks) + 1), At: now, Grouping: taking[next], Block: next})
			taking[next] = ""
		}
	}
}
