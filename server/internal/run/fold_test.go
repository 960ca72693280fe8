package run

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/needs"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/wording"
)

var noon = time.Date(2027, 5, 15, 12, 0, 0, 0, time.UTC)

// marker makes marks with ids in the order of their making.
type marker struct{ n int }

func (k *marker) mark(minute float64, m Mark) Mark {
	k.n++
	m.At = noon.Add(time.Duration(minute * float64(time.Minute)))
	m.ID = fmt.Sprintf("0197d0a0-0000-7000-8000-%012x", k.n)
	return m
}

func TestFold(t *testing.T) {
	k := &marker{}
	start := k.mark(0, Mark{Kind: Started, Grouping: "all", Block: "garden"})
	took := k.mark(4, Mark{Kind: Taken, Grouping: "all", Block: "garden"})
	next := k.mark(5, Mark{Kind: Started, Grouping: "aunts", Block: "garden"})
	absent := k.mark(6, Mark{Kind: Absent, Person: "rui"})
	late := k.mark(6, Mark{Kind: Late, Person: "vera", Until: noon.Add(time.Hour)})
	skip := k.mark(7, Mark{Kind: Skipped, Grouping: "aunts"})
	added := k.mark(8, Mark{Kind: Added, Grouped: &event.Grouping{ID: "x1", Members: []string{"rui"}}})
	note := k.mark(9, Mark{Kind: Noted, Note: "said no to stairs", By: "l1"})
	leaving := k.mark(9, Mark{Kind: Leaving, Person: "samir", Until: noon.Add(time.Hour)})
	longer := k.mark(9, Mark{Kind: Reset, Block: "garden", Closes: noon.Add(2 * time.Hour), Place: "hall"})
	joined := k.mark(9, Mark{Kind: Joined, Person: "nia", Name: "Nia", Groupings: []string{"cousins"}})
	out := k.mark(9, Mark{Kind: LeaveOut, Grouping: "vases"})
	without := k.mark(10, Mark{Kind: Without, Grouping: "cousins", People: []string{"rui"}})
	s := Fold([]Mark{start, took, next, absent, late, skip, added, note, leaving, longer, joined, out, without})
	assert.Equal(t, State{
		Groupings: map[string]Progress{
			"all":     {Status: Done, Block: "garden", Started: noon, Finished: noon.Add(4 * time.Minute)},
			"aunts":   {Status: Later},
			"cousins": {Without: []string{"rui"}},
			"vases":   {Status: LeftOut},
		},
		People: map[string]Whereabouts{
			"rui":   {Presence: Missing, Since: absent.At},
			"vera":  {Presence: Coming, Since: late.At, Until: noon.Add(time.Hour)},
			"samir": {Presence: MustLeave, Since: leaving.At, Until: noon.Add(time.Hour)},
		},
		Blocks:   map[string]BlockTimes{"garden": {Closes: noon.Add(2 * time.Hour), Place: "hall"}},
		Joined:   map[string]Joining{"nia": {Name: "Nia", Groupings: []string{"cousins"}}},
		Added:    []event.Grouping{{ID: "x1", Members: []string{"rui"}}},
		Slots:    []planning.Timed{{Grouping: "all", Block: "garden", Started: noon, Finished: noon.Add(4 * time.Minute)}},
		Frames:   map[string]planning.Calling{"garden": {Grouping: "aunts", At: next.At}},
		Notes:    []Note{{ID: note.ID, Text: "said no to stairs", By: "l1", At: note.At}},
		Undoable: without.ID,
	}, s)
}

func TestFoldRules(t *testing.T) {
	k := &marker{}
	status := func(marks ...Mark) Status { return Fold(marks).Groupings["a"].Status }
	start := k.mark(1, Mark{Kind: Started, Grouping: "a"})
	took := k.mark(2, Mark{Kind: Taken, Grouping: "a"})
	again := k.mark(3, Mark{Kind: Taken, Grouping: "a"})
	back := k.mark(4, Mark{Kind: PutBack, Grouping: "a"})
	other := k.mark(1.5, Mark{Kind: Started, Grouping: "b"})

	assert.Equal(t, Current, status(start))
	assert.Equal(t, Open, status(start, other), "one block calls one grouping at a time")
	assert.Equal(t, Done, status(start, took))
	assert.Equal(t, took.At, Fold([]Mark{again, start, took}).Groupings["a"].Finished, "the first of two ticks counts")
	assert.Equal(t, Open, status(start, took, back))
	assert.Empty(t, Fold([]Mark{start, took, back}).Slots)

	wish := k.mark(5, Mark{Kind: Changed, Grouping: "a", Block: "hall", Priority: new(event.Must)})
	assert.Equal(t, planning.Move{Block: "hall", Priority: new(event.Must)}, Fold([]Mark{start, wish, k.mark(6, back)}).Groupings["a"].Move, "until it is said otherwise")

	undo := func(id string) Mark { return k.mark(9, Mark{Kind: Undone, Undoes: id}) }
	u := undo(took.ID)
	assert.Equal(t, Current, status(start, took, u))
	redo := undo(u.ID)
	assert.Equal(t, Done, status(start, took, u, redo), "an undoing can be undone")
	early := u
	early.At = noon.Add(-time.Hour)
	assert.Equal(t, Current, status(early, start, took), "an undoing counts whatever its device's clock said")

	ring1 := k.mark(9, Mark{Kind: Undone})
	ring2 := k.mark(9, Mark{Kind: Undone, Undoes: ring1.ID})
	ring1.Undoes = ring2.ID
	assert.Equal(t, Current, status(start, took, ring1, ring2, undo(took.ID)), "a ring counts for nothing")

	here := k.mark(7, Mark{Kind: Arrived, Person: "p"})
	gone := k.mark(6, Mark{Kind: Gone, Person: "p"})
	assert.Empty(t, Fold([]Mark{here, gone}).People, "who has arrived is there")
}

// random makes a history with every kind of mark, doubtful ones too.
func random(r *rand.Rand, n int) []Mark {
	k := &marker{}
	var out []Mark
	for range n {
		m := Mark{Kind: Kind(1 + r.IntN(int(Changed))), Grouping: fmt.Sprintf("g%d", r.IntN(5)), Block: fmt.Sprintf("b%d", r.IntN(2)), Person: fmt.Sprintf("p%d", r.IntN(4))}
		switch m.Kind {
		case Added:
			m.Grouped = &event.Grouping{ID: m.Grouping, Title: fmt.Sprint(r.IntN(3))}
		case Without:
			m.People = []string{m.Person}
		case Joined:
			m.Groupings = []string{m.Grouping}
		case Undone:
			m.Undoes = fmt.Sprintf("0197d0a0-0000-7000-8000-%012x", 1+r.IntN(n))
		case Noted:
			m.Note = fmt.Sprint(r.IntN(9))
		case Reset:
			m.Closed = r.IntN(2) == 0
		}
		// Few different minutes, so that ties are common.
		out = append(out, k.mark(float64(r.IntN(8)), m))
	}
	return out
}

// Marks in any order, any of them twice, some late: every replica comes to the same state.
func TestReplicasAgree(t *testing.T) {
	needs.Alone(t)
	for seed := range uint64(300) {
		r := rand.New(rand.NewPCG(seed, 1))
		marks := random(r, 1+r.IntN(40))
		want := Fold(marks)
		for range 4 {
			got := slices.Clone(marks)
			for range r.IntN(len(marks)) {
				got = append(got, marks[r.IntN(len(marks))])
			}
			r.Shuffle(len(got), func(i, j int) { got[i], got[j] = got[j], got[i] })
			require.Equal(t, want, Fold(got), "seed %d", seed)
		}
	}
}

// Replicas that pass on what they have, in pairs and in any order, agree once all have met.
func TestReplicasGossip(t *testing.T) {
	needs.Alone(t)
	for seed := range uint64(100) {
		r := rand.New(rand.NewPCG(seed, 2))
		replicas := make([][]Mark, 4)
		for _, m := range random(r, 30) {
			at := r.IntN(len(replicas))
			replicas[at] = append(replicas[at], m)
		}
		for range 2 * len(replicas) { // once round and back
			for i := range replicas {
				j := (i + 1) % len(replicas)
				both := append(slices.Clone(replicas[i]), replicas[j]...)
				replicas[i], replicas[j] = both[:len(both):len(both)], both
			}
			for i := range replicas {
				replicas[i] = unique(replicas[i])
			}
		}
		for _, other := range replicas[1:] {
			require.Equal(t, Fold(replicas[0]), Fold(other), "seed %d", seed)
		}
	}
}

// A set of marks without a mark and the same set with it undone come to the same.
func TestUndoingIsLeavingOut(t *testing.T) {
	for seed := range uint64(200) {
		r := rand.New(rand.NewPCG(seed, 3))
		marks := slices.DeleteFunc(random(r, 20), func(m Mark) bool { return m.Kind == Undone })
		if len(marks) == 0 {
			continue
		}
		at := r.IntN(len(marks))
		undo := Mark{ID: "0197d0a0-0000-7000-8000-ffffffffffff", Kind: Undone, At: noon, Undoes: marks[at].ID}
		with := Fold(append(slices.Clone(marks), undo))
		require.Equal(t, Fold(slices.Delete(slices.Clone(marks), at, at+1)), with, "seed %d", seed)
	}
}

func FuzzFold(f *testing.F) {
	f.Add([]byte{1, 0, 2, 0, 12, 1, 12, 2, 12, 3})
	f.Fuzz(func(t *testing.T, data []byte) {
		k := &marker{}
		var marks []Mark
		for i := 0; i+1 < len(data) && i < 120; i += 2 {
			b := int(data[i+1])
			marks = append(marks, k.mark(float64(b%5), Mark{
				Kind: Kind(int(data[i]) % (int(Leaving) + 2)), Grouping: fmt.Sprint(b % 4), Person: fmt.Sprint(b % 3),
				Undoes: fmt.Sprintf("0197d0a0-0000-7000-8000-%012x", b%40),
			}))
		}
		want := Fold(marks)
		slices.Reverse(marks)
		assert.Equal(t, want, Fold(append(marks, marks...)))
	})
}

func TestValidID(t *testing.T) {
	assert.True(t, validID("017f22e2-79b0-7cc3-98c4-dc0c0c07398f"), "the example of RFC 9562, appendix A.6")
	for _, bad := range []string{"", "017f22e2-79b0-4cc3-98c4-dc0c0c07398f", "017F22E2-79B0-7CC3-98C4-DC0C0C07398F", "017f22e279b07cc398c4dc0c0c07398f", "017f22e2-79b0-7cc3-18c4-dc0c0c07398f"} {
		assert.False(t, validID(bad), bad)
	}
}

func TestCheckMarks(t *testing.T) {
	e := event.Event{
		People:    []event.Person{{ID: "ann", Name: "Ann"}, {ID: "bo", Name: "Bo"}, {ID: "away", Name: "Di", Absent: true}, {ID: "eve", Name: "Eve"}},
		Circles:   []event.Circle{{ID: "both", Members: []string{"ann", "bo"}}},
		Groupings: []event.Grouping{{ID: "all", Members: []string{"both"}}, {ID: "each", EachOf: "both"}},
		Blocks:    []event.Block{{ID: "garden"}},
		Rules:     []event.Rule{{ID: "ex", Apart: &event.Apart{People: []string{"both", "eve"}, Scope: event.Frame}}},
	}
	e.Groupings = append(e.Groupings, event.Grouping{ID: "peace", Members: []string{"ann"}, Confirms: []string{"ex"}})
	k := &marker{}
	good := []Mark{
		k.mark(0, Mark{Kind: Joined, Person: "eve", Groupings: []string{"peace"}}),
		k.mark(0, Mark{Kind: Started, Grouping: "all", Block: "garden"}),
		k.mark(0, Mark{Kind: Taken, Grouping: "each.ann"}),
		k.mark(0, Mark{Kind: Added, Grouped: &event.Grouping{ID: "x", Members: []string{"ann"}}}),
		k.mark(0, Mark{Kind: Started, Grouping: "x"}),
		k.mark(0, Mark{Kind: Late, Person: "bo", Until: noon}),
		k.mark(0, Mark{Kind: Without, Grouping: "all", People: []string{"bo"}}),
		k.mark(0, Mark{Kind: Noted, Note: "tired"}),
		k.mark(0, Mark{Kind: Leaving, Person: "bo", Until: noon}),
		k.mark(0, Mark{Kind: Reset, Block: "garden", Closed: true, Place: "Hall"}),
		k.mark(0, Mark{Kind: Joined, Person: "nia", Name: "Nia", Groupings: []string{"all", "x"}}),
		k.mark(0, Mark{Kind: Added, Grouped: &event.Grouping{ID: "z", Members: []string{"nia", "both"}}}),
		k.mark(0, Mark{Kind: Absent, Person: "nia"}),
		k.mark(0, Mark{Kind: Joined, Person: "bo", Groupings: []string{"each.ann"}}),
		k.mark(0, Mark{Kind: LeaveOut, Grouping: "z"}),
		k.mark(0, Mark{Kind: Changed, Grouping: "all", Block: "garden", Priority: new(event.Must)}),
	}
	assert.Empty(t, CheckMarks(e, State{}, noon, good))
	assert.Empty(t, CheckMarks(e, Fold(good), noon, good), "sent again")

	blocks := e
	blocks.Rules = []event.Rule{{ID: "ex", Apart: &event.Apart{People: []string{"both", "eve"}, Scope: event.InBlock}}}
	joins := []Mark{k.mark(0, Mark{Kind: Joined, Person: "eve", Groupings: []string{"all"}})}
	assert.Len(t, CheckMarks(blocks, State{}, noon, joins), 1, "who may not be in one slot may not be in one photograph")
	blocks.Rules[0].Apart.Until = "17:00"
	assert.Empty(t, CheckMarks(blocks, State{}, noon, joins), "from then on they may")

	bad := []struct {
		mark  Mark
		field string
	}{
		{Mark{Kind: NoKind}, "kind"},
		{Mark{Kind: Taken}, "taken.grouping"},
		{Mark{Kind: Taken, Grouping: "each"}, "taken.grouping"},
		{Mark{Kind: Started, Grouping: "all", Block: "hall"}, "started.block"},
		{Mark{Kind: Changed, Grouping: "all", Block: "hall"}, "changed.block"},
		{Mark{Kind: Gone, Person: "cy"}, "gone"},
		{Mark{Kind: Arrived, Person: "away"}, "arrived"},
		{Mark{Kind: Late, Person: "bo"}, "late.until_time"},
		{Mark{Kind: Without, Grouping: "all", People: []string{"bo", "cy"}}, "without.people[1]"},
		{Mark{Kind: Added}, "added.id"},
		{Mark{Kind: Added, Grouped: &event.Grouping{ID: "all", Members: []string{"ann"}}}, "added.id"},
		{Mark{Kind: Added, Grouped: &event.Grouping{ID: "y", Members: []string{"cy"}}}, "added.members[0]"},
		{Mark{Kind: Noted, Note: " "}, "note"},
		{Mark{Kind: Leaving, Person: "bo"}, "leaving.until_time"},
		{Mark{Kind: Reset, Block: "hall"}, "block.block"},
		{Mark{Kind: Reset, Block: "garden", Opens: noon, Closes: noon}, "block.close_time"},
		{Mark{Kind: Reset, Block: "garden", Opens: noon.Add(-169 * time.Hour)}, "block.open_time"},
		{Mark{Kind: Reset, Block: "garden", Closes: noon.Add(169 * time.Hour)}, "block.close_time"},
		{Mark{Kind: Late, Person: "bo", Until: noon.Add(999 * time.Hour)}, "late.until_time"},
		{Mark{Kind: Leaving, Person: "bo", Until: noon.Add(-999 * time.Hour)}, "leaving.until_time"},
		{Mark{Kind: Reset, Block: "garden", Place: strings.Repeat("x", 201)}, "block.place"},
		{Mark{Kind: Joined, Person: "cy"}, "joined.name"},
		{Mark{Kind: Joined, Person: "both", Name: "Cy"}, "joined.person"},
		{Mark{Kind: Joined, Person: "a b", Name: "Cy"}, "joined.person"},
		{Mark{Kind: Joined, Person: "bo", Groupings: []string{"all", "none"}}, "joined.groupings[1]"},
		{Mark{Kind: Joined, Person: "eve", Groupings: []string{"peace", "each.ann"}}, "joined.groupings[1]"},
		{Mark{Kind: Without, Grouping: "all", People: []string{"bo", "ann"}}, "without.people"},
		{Mark{Kind: Undone, Undoes: "last"}, "undone"},
		{Mark{Kind: Taken, Grouping: "all", At: noon.Add(999 * time.Hour)}, "happen_time"},
	}
	for _, tt := range bad {
		at := tt.mark.At
		m := k.mark(0, tt.mark)
		if !at.IsZero() {
			m.At = at
		}
		faults := CheckMarks(e, State{}, noon, []Mark{good[0], m})
		require.Len(t, faults, 1, tt.field)
		assert.Equal(t, "marks[1]."+tt.field, faults[0].Field)
	}
	ahead := e
	ahead.Date = "2099-05-15"
	assert.Empty(t, CheckMarks(ahead, State{}, noon, []Mark{k.mark(0, Mark{Kind: Reset, Block: "garden", Opens: time.Date(2099, 5, 15, 17, 0, 0, 0, time.UTC)})}), "tried out ahead")
	timeless := good[0]
	timeless.At = time.Time{}
	faults := CheckMarks(e, State{}, noon, []Mark{timeless})
	require.Len(t, faults, 1)
	assert.Equal(t, event.Advice{Code: "MISSING", Severity: event.Error, Field: "marks[0].happen_time", Message: wording.Said("is missing: say when it happened, by the clock of the device")}, faults[0])
	assert.Len(t, CheckMarks(e, State{}, noon, make([]Mark, MaxAtOnce+1)), 1)
	assert.Len(t, CheckMarks(e, State{}, noon, nil), 1)
}
