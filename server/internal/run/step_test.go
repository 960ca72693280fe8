package run

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
)

// told is what a viewer knows who puts changes together.
type told struct {
	State
	marks  []Mark
	undone map[string]bool
	plans  int
}

func (v *told) take(u *Update) {
	v.marks = append(v.marks, u.Marks...)
	for id, x := range u.Change.Groupings {
		v.Groupings[id] = x
	}
	for id, x := range u.Change.People {
		if v.People[id] = x; x.Presence == Here {
			delete(v.People, id)
		}
	}
	for id, x := range u.Change.Blocks {
		if v.Blocks[id] = x; x == (BlockTimes{}) {
			delete(v.Blocks, id)
		}
	}
	for id, x := range u.Change.Joined {
		if v.Joined[id] = x; x.Name == "" && len(x.Groupings) == 0 {
			delete(v.Joined, id)
		}
	}
	for _, g := range u.Change.Added {
		v.Added = append(slices.DeleteFunc(v.Added, func(x event.Grouping) bool { return x.ID == g.ID }), g)
	}
	v.Added = slices.DeleteFunc(v.Added, func(x event.Grouping) bool { return slices.Contains(u.Change.Removed, x.ID) })
	for _, id := range u.Change.UndoneNotes {
		v.undone[id] = true
	}
	for _, id := range u.Change.RestoredNotes {
		delete(v.undone, id)
	}
	if u.Change.Different {
		v.Undoable = u.Change.Undoable
	}
	if u.Plan != nil {
		v.plans++
	}
}

// Whoever watches from any sequence, and at any moments of the run, comes to what all marks come to, each mark
// and each plan once.
func TestChangesComeToTheState(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 14))
	for n := range 300 {
		marks := randomDay(r)
		for i := range marks {
			marks[i].Sequence = int64(2*i + 2) // between them other changes
		}
		moments := []*moment{}
		for _, to := range append(cuts(r, len(marks)), len(marks)) {
			c := Changes{Run: Run{Sequence: int64(2*to + 1)}, Marks: marks[:to]}
			if to > 0 {
				c.Planned = marks[r.IntN(to)].Sequence - 1
				c.Plan = &Plan{}
			}
			moments = append(moments, newMoment(c, nil))
		}
		v := told{State: Fold(nil), undone: map[string]bool{}}
		at, plans := int64(0), 0
		for _, m := range moments {
			if r.IntN(2) == 0 {
				continue // a slow viewer
			}
			if m.Plan != nil && m.Planned > at {
				plans++
			}
			for at < m.Run.Sequence {
				u := m.step(at)
				require.Greater(t, u.Sequence, at)
				at = u.Sequence
				v.take(u)
			}
		}
		seen := slices.DeleteFunc(slices.Clone(marks), func(m Mark) bool { return m.Sequence > at })
		want := Fold(seen)
		assert.Len(t, v.marks, len(seen), n)
		assert.Equal(t, seen, append(seen[:0:0], v.marks...), n)
		assert.Equal(t, plans, v.plans, n)
		maps.DeleteFunc(v.Groupings, func(_ string, p Progress) bool { return p.Status == Open && p.Without == nil })
		maps.DeleteFunc(want.Groupings, func(_ string, p Progress) bool { return p.Status == Open && p.Without == nil })
		assert.Equal(t, want.Groupings, v.Groupings, n)
		assert.Equal(t, want.People, v.People, n)
		assert.Equal(t, want.Joined, v.Joined, n)
		assert.ElementsMatch(t, want.Added, v.Added, n)
		assert.Equal(t, want.Undoable, v.Undoable, n)
		var counting []string
		for _, m := range v.marks {
			if m.Kind == Noted && !v.undone[m.ID] {
				counting = append(counting, m.ID)
			}
		}
		var counts []string
		for _, x := range want.Notes {
			counts = append(counts, x.ID)
		}
		assert.ElementsMatch(t, counts, counting, n)
	}
}

func cuts(r *rand.Rand, n int) []int {
	var out []int
	for range r.IntN(8) {
		out = append(out, r.IntN(n+1))
	}
	slices.Sort(out)
	return out
}

// randomDay are marks of a few groupings and people with many undoings, at times other than those at which
// they are received; sometimes with so much text that one update does not hold them.
func randomDay(r *rand.Rand) []Mark {
	pick := func(list ...string) string { return list[r.IntN(len(list))] }
	long := ""
	if r.IntN(20) == 0 {
		long = strings.Repeat("x", 50_000)
	}
	var out []Mark
	for i := range r.IntN(60) {
		m := Mark{ID: fmt.Sprint("m", i), Kind: Kind(1 + r.IntN(int(LeaveOut))), At: noon.Add(time.Duration(r.IntN(60)) * time.Second)}
		switch m.Kind {
		case Started, Taken, PutBack, Skipped, LeaveOut:
			m.Grouping, m.Block = pick("a", "b", "c", "d"), pick("x", "y")
		case Without:
			m.Grouping, m.People = pick("a", "b"), []string{pick("ann", "bo")}
		case Absent, Arrived, Gone:
			m.Person = pick("ann", "bo", "cy")
		case Reset:
			m.Block, m.Closed = pick("x", "y"), r.IntN(2) == 0
		case Joined:
			m.Person, m.Groupings = pick("ann", "bo"), [][]string{nil, {"a"}, {"b"}}[r.IntN(3)]
		case Late, Leaving:
			m.Person, m.Until = pick("ann", "bo", "cy"), noon.Add(time.Hour)
		case Added:
			m.Grouped = &event.Grouping{ID: pick("e", "f"), Title: pick("One", "Other")}
		case Noted:
			m.Note = "note " + long
		case Undone:
			m.Undoes = fmt.Sprint("m", r.IntN(60))
		}
		out = append(out, m)
	}
	return out
}

// A run of any size comes in updates that stay small, and a viewer who resumes at any of them misses nothing.
func TestUpdatesStaySmall(t *testing.T) {
	const n = 2000
	var marks []Mark
	for i := range n {
		marks = append(marks, Mark{ID: fmt.Sprint(i), Kind: Noted, At: noon, Note: strings.Repeat("ö", maxNote), Sequence: int64(i + 1)})
	}
	m := newMoment(Changes{Run: Run{Sequence: n}, Marks: marks}, nil)
	seen := 0
	for at := int64(0); at < n; {
		u := m.step(at)
		assert.LessOrEqual(t, weigh(u.Marks), stepSize+weigh(marks[:1]))
		assert.Equal(t, int64(seen+1), u.Marks[0].Sequence)
		seen += len(u.Marks)
		at = u.Sequence
	}
	assert.Equal(t, n, seen)
}

// What is made of an update is made once for all who get it.
func TestUpdatesAreShared(t *testing.T) {
	m := newMoment(Changes{Run: Run{Sequence: 1}, Marks: []Mark{{ID: "a", Kind: Noted, Sequence: 1}}}, nil)
	made := 0
	for range 3 {
		assert.Equal(t, "a", Shared(m.step(0), true, func() string { made++; return "a" }))
	}
	assert.Equal(t, 1, made)
	assert.Equal(t, 2, Shared(m.step(0), false, func() int { return 2 }))
}

// A run has room for a long day and not for more; one link cannot fill it for the others, and what was kept
// may be sent again.
func TestRoom(t *testing.T) {
	e := event.Event{People: []event.Person{{ID: "ann"}, {ID: "bo"}}, Circles: []event.Circle{{ID: "both", Members: []string{"ann", "bo"}}}}
	notes := func(by string, n int, text string) []Mark {
		var out []Mark
		for i := range n {
			out = append(out, Mark{ID: fmt.Sprint(by, i), Kind: Noted, By: by, Note: text})
		}
		return out
	}
	refused := func(there, come []Mark, link bool) {
		t.Helper()
		var full *FullError
		require.ErrorAs(t, room(e, there, come), &full)
		assert.Equal(t, link, full.Link)
		assert.Contains(t, full.Error(), "begin a new run")
	}
	half := notes("a", MaxMarks/2, "")
	assert.NoError(t, room(e, half[:MaxMarks/2-1], half[MaxMarks/2-1:]))
	refused(half, []Mark{{ID: "one more", By: "a"}}, true)
	assert.NoError(t, room(e, half, notes("b", MaxMarks/2, "")))
	assert.NoError(t, room(e, half, half[:10]), "sent again")
	refused(slices.Concat(half, notes("b", MaxMarks/2, "")), []Mark{{ID: "one more", By: "c"}}, false)
	refused(nil, notes("a", 300, strings.Repeat("x", 8000)), true)
	without := Mark{ID: "w", Kind: Without, By: "a", People: slices.Repeat([]string{"ann"}, maxNamed/2)}
	assert.NoError(t, room(e, nil, []Mark{without}))
	refused([]Mark{without}, []Mark{{ID: "g", Kind: Added, By: "a", Grouped: &event.Grouping{ID: "g", Members: []string{"both"}}}}, true)
}
