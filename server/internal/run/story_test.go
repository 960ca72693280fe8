package run_test

import (
	"fmt"
	"os"
	"slices"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/gate"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
)

// day is a wedding that is gone through by two phones on one store, each with a desk of its own and a
// clock that the test sets.
type day struct {
	t     *testing.T
	store *store.Store
	ref   run.Ref
	nowMs atomic.Int64 // desks read it from their own goroutines
	desks [2]*run.Desk
	event event.Event
	n     int
}

func (d *day) clock() time.Time { return time.UnixMilli(d.nowMs.Load()).UTC() }

func (d *day) set(now time.Time) { d.nowMs.Store(now.UnixMilli()) }

// outlook is what both phones see once the plan heeds all marks.
func (d *day) outlook() run.Update {
	d.t.Helper()
	var got [2]run.Update
	for i, desk := range d.desks {
		all := watch(d.t, desk, d.ref, 0, func(u run.Update) bool {
			marks, err := d.store.Changes(d.t.Context(), d.ref, 0)
			require.NoError(d.t, err)
			return u.Plan != nil && u.Covers == marks.LastMark
		})
		got[i] = all[len(all)-1]
	}
	assert.Equal(d.t, got[0].State, got[1].State, "both phones see the same")
	assert.Equal(d.t, got[0].Plan, got[1].Plan)
	return got[0]
}

func (d *day) made(m run.Mark) run.Mark {
	d.n++
	m.ID, m.At = fmt.Sprintf("0197d0a0-0000-7000-8000-%012x", d.n), d.clock()
	return m
}

func (d *day) send(phone int, marks ...run.Mark) {
	d.t.Helper()
	_, err := d.desks[phone].Mark(d.t.Context(), d.ref, "lead", d.clock(), marks)
	require.NoError(d.t, err)
}

func (d *day) mark(m run.Mark) { d.t.Helper(); d.send(0, d.made(m)) }

func order(u run.Update, block string) []string {
	var out []string
	for _, b := range u.Plan.Sheet.Blocks {
		for _, e := range b.Entries {
			if b.Block == block {
				out = append(out, e.Grouping)
			}
		}
	}
	return out
}

// The story that the work is done by: ten groupings are taken, an uncle is missing, a grandmother is
// tired, the ceremony has lost 12 minutes, a grouping is added on the spot, and one phone has no signal
// for five minutes.
func TestTheDay(t *testing.T) {
	content, err := os.ReadFile("../../../testdata/harbour-wedding.yaml")
	require.NoError(t, err)
	e, _, err := intake.Read(content, intake.YAML)
	require.NoError(t, err)
	// The two rounds before the meeting are another story: this one is of the quay.
	e.Groupings = slices.DeleteFunc(e.Groupings, func(g event.Grouping) bool {
		return slices.Contains([]string{"a-att", "a-each", "t-att", "t-each"}, g.ID)
	})
	e.Blocks = slices.DeleteFunc(e.Blocks, func(b event.Block) bool { return b.ID != "quay" })
	for i := range e.Groupings {
		e.Groupings[i].Blocks = nil
	}
	e.Walks = nil
	opens, err := e.Instant(e.Blocks[0].Opens)
	require.NoError(t, err)
	closes, err := e.Instant(e.Blocks[0].Closes)
	require.NoError(t, err)

	s, err := store.OpenSQLite(t.Context(), t.TempDir(), store.Options{})
	require.NoError(t, err)
	defer s.Close()
	kept, err := s.CreateEvent(t.Context(), store.Request{}, "harbour", e)
	require.NoError(t, err)
	sheet, err := planning.Plan(t.Context(), e, planning.Options{Work: 30})
	require.NoError(t, err)
	c, err := s.CreateSheet(t.Context(), store.Request{}, "harbour", kept.Version, sheet)
	require.NoError(t, err)
	r, err := s.CreateRun(t.Context(), store.Request{}, "harbour", c.ID)
	require.NoError(t, err)
	d := &day{t: t, store: s, ref: r.Ref, event: e}
	d.set(opens)
	for i := range d.desks {
		d.desks[i] = run.NewDesk(run.DeskOptions{Store: s, Replan: planning.Replan, Gate: gate.New(2, 0), Now: d.clock})
		defer d.desks[i].Stop()
	}
	u := d.outlook()
	toSpare := u.Plan.Forecasts[0].Over
	all := len(u.Plan.Owed)

	// The ceremony has lost 12 minutes: the same, 12 minutes later. The close stays.
	d.set(opens.Add(12 * time.Minute))
	d.mark(run.Mark{Kind: run.Started, Grouping: order(u, "quay")[0]})
	u = d.outlook()
	assert.InDelta(t, (toSpare + 12*time.Minute).Minutes(), u.Plan.Forecasts[0].Over.Minutes(), 4)
	assert.Equal(t, closes.UTC(), u.Plan.Forecasts[0].Closes.UTC())

	// Ten are taken, in the order of the plan, each as long as the plan says. Those who stand by are next.
	done := map[string]bool{}
	for range 10 {
		entry := u.Plan.Sheet.Blocks[0].Entries[0]
		require.Equal(t, run.Current, u.State.Groupings[entry.Grouping].Status)
		next := u.Plan.Next["quay"]
		d.set(d.clock().Add(entry.Length))
		d.mark(run.Mark{Kind: run.Taken, Grouping: entry.Grouping})
		done[entry.Grouping] = true
		u = d.outlook()
		require.Equal(t, next, order(u, "quay")[0], "those who stand by are next")
		d.mark(run.Mark{Kind: run.Started, Grouping: next})
		u = d.outlook()
	}
	assert.Len(t, u.Plan.Owed, all-10)
	for _, id := range order(u, "quay") {
		assert.False(t, done[id], "what is done stays done")
	}

	// An uncle is missing: pick one who is needed for a grouping that is not being called.
	owed := u.Plan.Owed[slices.IndexFunc(u.Plan.Owed, func(o planning.Owed) bool {
		return o.Grouping != order(u, "quay")[0] && len(o.Needed) > 2
	})]
	uncle := owed.Needed[len(owed.Needed)-1]
	d.mark(run.Mark{Kind: run.Absent, Person: uncle})
	u = d.outlook()
	waiting := u.Plan.Owed[slices.IndexFunc(u.Plan.Owed, func(o planning.Owed) bool { return o.Grouping == owed.Grouping })]
	assert.False(t, waiting.Planned)
	assert.Equal(t, []string{uncle}, waiting.Missing)
	assert.True(t, waiting.OfferWithout)
	assert.NotContains(t, order(u, "quay"), owed.Grouping)

	// The lead takes the offer.
	d.mark(run.Mark{Kind: run.Without, Grouping: owed.Grouping, People: []string{uncle}})
	u = d.outlook()
	assert.Contains(t, order(u, "quay"), owed.Grouping)

	// A grandmother is tired and goes: what is left with her waits, the rest goes on.
	d.mark(run.Mark{Kind: run.Gone, Person: "rosa"})
	u = d.outlook()
	for _, o := range u.Plan.Owed {
		if slices.Contains(o.Needed, "rosa") && o.Grouping != order(u, "quay")[0] {
			assert.False(t, o.Planned, o.Grouping)
		}
	}

	// The second phone has no signal: it adds a grouping and ticks what it sees. Meanwhile the first
	// goes on.
	current := order(u, "quay")[0]
	added := d.made(run.Mark{Kind: run.Added, Grouped: &event.Grouping{ID: "old-friends", Title: "Old friends", Members: []string{"maren", "ola"}, Priority: event.Must}})
	d.set(d.clock().Add(time.Minute))
	ticked := d.made(run.Mark{Kind: run.Taken, Grouping: current})
	queue := []run.Mark{added, ticked}
	d.set(d.clock().Add(2 * time.Minute))
	d.mark(run.Mark{Kind: run.Taken, Grouping: current})
	u = d.outlook()
	d.mark(run.Mark{Kind: run.Started, Grouping: u.Plan.Next["quay"]})
	before := d.outlook()
	d.set(d.clock().Add(2 * time.Minute))
	d.send(1, queue...)
	d.send(1, queue...) // the answer was lost: it sends them again
	u = d.outlook()
	assert.Equal(t, ticked.At.UTC(), u.State.Groupings[current].Finished, "the tick that was made first counts")
	assert.Equal(t, order(before, "quay")[0], order(u, "quay")[0], "what is being called is not disturbed")
	assert.Contains(t, order(u, "quay"), "old-friends")
	assert.Len(t, u.Marks, len(unique(u.Marks)), "sent twice, kept once")

	// Everything owed is listed with who is needed, and there is a time to end.
	for _, o := range u.Plan.Owed {
		assert.NotEmpty(t, o.Needed)
		assert.True(t, o.Planned || o.Why.String() != "", o.Grouping)
	}
	assert.Equal(t, 10, u.Plan.Forecasts[0].Timed, "eleven but for the first, in which the greetings may be")
	assert.False(t, u.Plan.Forecasts[0].Finish.Before(d.clock()))
}

func unique(marks []run.Mark) map[string]bool {
	out := map[string]bool{}
	for _, m := range marks {
		out[m.ID] = true
	}
	return out
}
