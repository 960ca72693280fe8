package run

import (
	"encoding/json"
	"fmt"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/needs"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/wording"
)

// kept is a state of a day as testdata/days holds it.
type kept struct {
	Event event.Event
	Sheet event.CallSheet
	Marks []Mark
	Plan  *Plan
	Now   int64 // milliseconds since 1970
}

func TestStatesOfDays(t *testing.T) {
	for _, name := range []string{"blocks-over", "replan-broken", "all-have-a-place"} {
		t.Run(name, func(t *testing.T) {
			content, err := os.ReadFile("../../../testdata/days/" + name + ".json")
			require.NoError(t, err)
			var k kept
			require.NoError(t, json.Unmarshal(content, &k))
			o := Occasion{Event: k.Event, Sheet: k.Sheet}
			today := o.today(Fold(k.Marks), k.Plan, time.UnixMilli(k.Now))
			got, err := planning.Replan(t.Context(), k.Event, today, planning.Options{Work: 100})
			require.NoError(t, err)
			for _, x := range got.Owed {
				require.Equal(t, len(x.Missing) == 0, x.Planned, "%s: %s", x.Grouping, x.Why)
			}
		})
	}
}

// What is undone comes next: its people are still there, and it stands next on paper.
func TestWhatIsUndoneComesNext(t *testing.T) {
	needs.Alone(t)
	e := castle(t)
	sheet, err := planning.Plan(t.Context(), e, planning.Options{Work: 30})
	require.NoError(t, err)
	first := sheet.Blocks[0]
	o := Occasion{Event: e, Sheet: sheet}
	for _, c := range []struct {
		n    int
		kind Kind
	}{{1, Taken}, {3, Taken}, {1, Skipped}, {3, Skipped}} {
		n := c.n
		var marks []Mark
		var plan *Plan
		now := first.Start
		replan := func() {
			t.Helper()
			got, err := planning.Replan(t.Context(), e, o.today(Fold(marks), plan, now), planning.Options{Work: 30})
			require.NoError(t, err)
			require.Nil(t, got.Fault)
			plan = &got
		}
		replan()
		last := ""
		for k := range n {
			last = plan.Next[first.Block]
			now = now.Add(3 * time.Minute)
			kind := Taken
			if k == n-1 {
				kind = c.kind
			}
			marks = append(marks, Mark{ID: fmt.Sprint("taken", k), Kind: kind, Sequence: int64(k + 1), At: now, Grouping: last, By: "lead"})
			replan()
		}
		marks = append(marks, Mark{ID: "undone", Kind: Undone, Sequence: int64(n + 1), At: now.Add(time.Second), Undoes: fmt.Sprint("taken", n-1), By: "lead"})
		now = now.Add(2 * time.Second)
		replan()
		assert.Equal(t, last, plan.Next[first.Block], "of %d, %v", n, c.kind)
		for _, m := range plan.Changes {
			assert.NotEqual(t, wording.Key("plan.changedNew"), m.Key, "it is no new one")
		}
	}
}

// Whoever takes back what they pressed has the order of before, all of it, also after two presses and after a time slot was
// moved.
func TestUndoBringsTheOrderBack(t *testing.T) {
	e := castle(t)
	sheet, err := planning.Plan(t.Context(), e, planning.Options{Work: 30})
	require.NoError(t, err)
	first := sheet.Blocks[0]
	o, now := Occasion{Event: e, Sheet: sheet}, first.Start
	d := pressed{t: t, o: o, now: now}
	d.press(Mark{})
	before := ordersOf(d.plan.Sheet)
	d.press(Mark{Kind: Skipped, Grouping: d.plan.Next[first.Block]})
	d.press(Mark{Kind: Skipped, Grouping: d.plan.Next[first.Block]})
	d.press(Mark{Kind: Undone, Undoes: "mark1"})
	d.press(Mark{Kind: Undone, Undoes: "mark0"})
	assert.Equal(t, before, ordersOf(d.plan.Sheet))
	d.press(Mark{Kind: Reset, Block: first.Block, Opens: first.Start.Add(50 * time.Minute), Closes: first.Start.Add(100 * time.Minute)})
	d.press(Mark{Kind: Undone, Undoes: "mark4"})
	assert.Equal(t, before, ordersOf(d.plan.Sheet))
	for range 20 {
		d.press(Mark{Kind: Taken, Grouping: d.plan.Next[first.Block]})
		if d.plan.Next[first.Block] == "" {
			break
		}
	}
	assert.LessOrEqual(t, len(d.plan.Past), remembered)
}

// pressed is a day on which a lead presses something every 20 seconds.
type pressed struct {
	t     *testing.T
	o     Occasion
	now   time.Time
	marks []Mark
	plan  *Plan
}

// press marks something, or nothing, and plans anew.
func (d *pressed) press(m Mark) {
	d.t.Helper()
	d.now = d.now.Add(20 * time.Second)
	if m.Kind != NoKind {
		m.ID, m.Sequence, m.At, m.By = fmt.Sprint("mark", len(d.marks)), int64(len(d.marks)+1), d.now, "lead"
		d.marks = append(d.marks, m)
	}
	got, err := d.o.Replan(d.marks, Fold(d.marks), d.plan, d.now, func(e event.Event, today planning.Today) (Plan, error) {
		return planning.Replan(d.t.Context(), e, today, planning.Options{Work: 30})
	})
	require.NoError(d.t, err)
	d.plan = &got
}
