package run

import (
	"reflect"
	"slices"
	"sync"

	"kinorder.example/server/internal/event"
)

// Update is a step of a run, from the sequence at which a viewer was.
type Update struct {
	Run Run
	// Sequence is where to resume.
	Sequence int64
	// Marks are those that are new to the viewer, in the order in which they were received.
	Marks []Mark
	// State is that of all marks up to Sequence, and Change what is different from the one before.
	State  State
	Change Change
	// Plan is nil when the viewer has it already, or there is none yet. Covers is the sequence up to
	// which it heeds the marks.
	Plan   *Plan
	Covers int64
	// LastMark is the sequence of the last mark: the plan heeds them all when Covers is not below it.
	LastMark int64

	made *sync.Map
}

// Shared returns the result of make for an update, computed once for all viewers who get the same update. The key
// tells different forms apart.
func Shared[T any](u *Update, key any, make func() T) T {
	once, _ := u.made.LoadOrStore(key, sync.OnceValue(make))
	return once.(func() T)()
}

// Change is the difference between two states. Its entries replace those with the same id.
type Change struct {
	// Groupings, People, Blocks and Joined hold zero values for entries that no mark mentions any more.
	Groupings map[string]Progress
	People    map[string]Whereabouts
	Blocks    map[string]BlockTimes
	Joined    map[string]Joining
	Added     []event.Grouping
	Removed   []string // ids of groupings that were added
	// UndoneNotes are ids of notes that do not count any more, RestoredNotes of those that do again.
	UndoneNotes, RestoredNotes []string
	// Undoable is as in State, and Different says whether anything is.
	Undoable  string
	Different bool
}

// stepSize is how many bytes of marks go into one update.
const stepSize = 256 << 10

// keptSteps is how many steps of a moment are kept for other viewers at the same sequence.
const keptSteps = 64

// step returns the update for those who are at a sequence. It does not go further than the marks that fit
// into one.
func (m *moment) step(after int64) *Update {
	m.mu.Lock()
	defer m.mu.Unlock()
	if u := m.steps[after]; u != nil {
		return u
	}
	from, _ := slices.BinarySearchFunc(m.Marks, after+1, func(x Mark, sequence int64) int { return int(x.Sequence - sequence) })
	to, size := from, 0
	for to < len(m.Marks) && size < stepSize {
		size += weigh(m.Marks[to : to+1])
		to++
	}
	u := &Update{Run: m.Run, Sequence: m.Run.Sequence, Marks: m.Marks[from:to:to], Covers: m.Covers, LastMark: m.LastMark, made: &sync.Map{}}
	if to == len(m.Marks) {
		u.State = m.state()
	} else {
		u.Sequence = m.Marks[to-1].Sequence
		u.State = Fold(m.Marks[:to])
	}
	if after < m.Planned && m.Planned <= u.Sequence {
		u.Plan = m.Plan
	}
	u.Change = change(Fold(m.Marks[:from]), u.State, u.Marks)
	if len(m.steps) >= keptSteps {
		clear(m.steps)
	}
	m.steps[after] = u
	return u
}

// change compares two states; marks are those that came in between.
func change(from, to State, marks []Mark) Change {
	c := Change{
		Groupings: differing(from.Groupings, to.Groupings), People: differing(from.People, to.People),
		Blocks: differing(from.Blocks, to.Blocks), Joined: differing(from.Joined, to.Joined), Undoable: to.Undoable,
	}
	for _, g := range to.Added {
		if !slices.ContainsFunc(from.Added, func(x event.Grouping) bool { return reflect.DeepEqual(x, g) }) {
			c.Added = append(c.Added, g)
		}
	}
	for _, g := range from.Added {
		if !slices.ContainsFunc(to.Added, func(x event.Grouping) bool { return x.ID == g.ID }) {
			c.Removed = append(c.Removed, g.ID)
		}
	}
	counted, counts := map[string]bool{}, map[string]bool{}
	for _, m := range marks {
		if m.Kind == Noted {
			counted[m.ID] = true // so it is taken, until something else is said
		}
	}
	for _, n := range from.Notes {
		counted[n.ID] = true
	}
	for _, n := range to.Notes {
		if counts[n.ID] = true; !counted[n.ID] {
			c.RestoredNotes = append(c.RestoredNotes, n.ID)
		}
	}
	for _, n := range from.Notes {
		if !counts[n.ID] {
			c.UndoneNotes = append(c.UndoneNotes, n.ID)
		}
	}
	for _, m := range marks {
		if m.Kind == Noted && !counts[m.ID] {
			c.UndoneNotes = append(c.UndoneNotes, m.ID)
		}
	}
	c.Different = from.Undoable != to.Undoable || len(c.Groupings)+len(c.People)+len(c.Blocks)+len(c.Joined)+len(c.Added)+len(c.Removed)+len(c.UndoneNotes)+len(c.RestoredNotes) > 0
	return c
}

// differing returns the entries of to that are new or changed since from, and a zero value for each that is gone.
func differing[T any](from, to map[string]T) map[string]T {
	out := map[string]T{}
	for id, x := range to {
		if was, ok := from[id]; !ok || !reflect.DeepEqual(was, x) {
			out[id] = x
		}
	}
	for id := range from {
		if _, ok := to[id]; !ok {
			var none T
			out[id] = none
		}
	}
	return out
}

// weigh estimates how many bytes marks take when they are sent.
func weigh(marks []Mark) int {
	n := 0
	for _, m := range marks {
		n += 96 + len(m.ID) + len(m.Grouping) + len(m.Block) + len(m.Person) + len(m.By) + len(m.Note) + len(m.Undoes) + len(m.Name) + len(m.Place)
		for _, id := range slices.Concat(m.People, m.Groupings) {
			n += 2 + len(id)
		}
		if g := m.Grouped; g != nil {
			n += len(g.ID) + len(g.Title) + len(g.PrivateNote) + len(g.EachOf)
			for _, id := range slices.Concat(g.Members, g.Without, g.Blocks, g.After, g.Confirms) {
				n += 2 + len(id)
			}
		}
	}
	return n
}
