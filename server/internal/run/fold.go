package run

import (
	"cmp"
	"encoding/json"
	"maps"
	"math"
	"reflect"
	"slices"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
)

// Status says how far a grouping has got.
type Status int

// The statuses. The zero value is Open.
const (
	Open Status = iota
	Current
	Done
	Later
	LeftOut
)

// Progress is what the marks say of one grouping.
type Progress struct {
	Status Status
	// Block is what the mark said; empty means where the sheet has it.
	Block string
	// Started and Finished are zero when no mark says so.
	Started, Finished time.Time
	// Without are the people it may be taken without.
	Without []string
	// Move is where it is to be taken and how much it is wanted, where that is not as the list has it.
	Move planning.Move
}

// open is what there is of a grouping that is to be taken.
func (p Progress) open() Progress { return Progress{Without: p.Without, Move: p.Move} }

// Presence says whether a person is there.
type Presence int

// The presences. The zero value is Here.
const (
	Here Presence = iota
	Missing
	Left
	Coming
	MustLeave
)

// Whereabouts is what the marks say of one person.
type Whereabouts struct {
	Presence Presence
	Since    time.Time
	// Until is when the person comes, for Coming, or has to leave, for MustLeave.
	Until time.Time
}

// BlockTimes are what the marks say of one block: when it opens and is planned to end, zero for when the event
// has it, whether nothing more is taken in it, and where it is, empty for where the event has it.
type BlockTimes struct {
	Opens, Closes time.Time
	Closed        bool
	Place         string
}

// Joining is what the marks say of somebody who is in photographs besides those of the list. Name is empty for
// people on the list.
type Joining struct {
	Name      string
	Groupings []string
}

// Note is a note with its time.
type Note struct {
	ID, Text, By string
	At           time.Time
}

// State is the result of a set of marks. It holds only what marks mention: a grouping that is not in
// it is open, a person who is not in it is there.
type State struct {
	Groupings map[string]Progress
	People    map[string]Whereabouts
	Blocks    map[string]BlockTimes
	Joined    map[string]Joining          // by person
	Added     []event.Grouping            // as they were added
	Slots     []planning.Timed            // as they were finished
	Frames    map[string]planning.Calling // by block, as marks name it
	Notes     []Note
	// Undoable is the id of the mark that came last, counts and is not itself an undoing; empty if none. This
	// does not depend on clocks: people who press undo mean what they have just marked.
	Undoable string
}

// Fold computes the state from marks in any order, with any of them any number of times.
func Fold(marks []Mark) State {
	s := State{
		Groupings: map[string]Progress{}, People: map[string]Whereabouts{}, Blocks: map[string]BlockTimes{}, Joined: map[string]Joining{}, Frames: map[string]planning.Calling{},
	}
	newest := int64(0)
	for _, m := range counting(unique(marks)) {
		s.apply(m)
		if n := cmp.Or(m.Sequence, math.MaxInt64); n >= newest {
			s.Undoable, newest = m.ID, n
		}
	}
	slices.SortStableFunc(s.Slots, func(a, b planning.Timed) int { return a.Finished.Compare(b.Finished) })
	return s
}

// unique drops repeated ids and sorts. If marks share an id and differ, which a
// well-behaved device never causes, every replica keeps the same one.
func unique(marks []Mark) []Mark {
	byID := make(map[string]Mark, len(marks))
	for _, m := range marks {
		other, double := byID[m.ID]
		if !double || !reflect.DeepEqual(m, other) && canonical(m) < canonical(other) {
			byID[m.ID] = m
		}
	}
	return slices.SortedFunc(maps.Values(byID), before)
}

func canonical(m Mark) string {
	text, err := json.Marshal(m)
	if err != nil {
		return "" // a mark without a kind counts for nothing
	}
	return string(text)
}

// counting drops undoings and what they undo. An undoing may be undone in its turn: a mark counts when
// no undoing of it counts. Undoings that undo each other in a ring count for nothing.
func counting(sorted []Mark) []Mark {
	target := map[string]string{} // undoing -> what it undoes
	undoers := map[string][]string{}
	for _, m := range sorted {
		if m.Kind == Undone {
			target[m.ID] = m.Undoes
			undoers[m.Undoes] = append(undoers[m.Undoes], m.ID)
		}
	}
	ringed := rings(target)
	known := map[string]bool{}
	var counts func(id string) bool
	counts = func(id string) bool {
		if ringed[id] {
			return false
		}
		if c, ok := known[id]; ok {
			return c
		}
		c := !slices.ContainsFunc(undoers[id], counts)
		known[id] = c
		return c
	}
	return slices.DeleteFunc(sorted, func(m Mark) bool { return m.Kind == Undone || !counts(m.ID) })
}

// rings finds the undoings that undo each other. Each has one target, so a walk from anywhere ends in a
// ring or leaves.
func rings(target map[string]string) map[string]bool {
	ringed, left := map[string]bool{}, map[string]bool{}
	for start := range target {
		at := map[string]int{}
		var path []string
		id := start
		for {
			next, undoing := target[id]
			if _, seen := at[id]; seen || !undoing || left[id] {
				break
			}
			at[id] = len(path)
			path = append(path, id)
			id = next
		}
		if from, seen := at[id]; seen {
			for _, on := range path[from:] {
				ringed[on] = true
			}
		}
		for _, on := range path {
			left[on] = true
		}
	}
	return ringed
}

func (s *State) apply(m Mark) {
	switch m.Kind {
	case Started, Taken, PutBack, Skipped, LeaveOut, Changed, Without:
		s.grouping(m)
	case Absent:
		if delete(s.People, m.Person); m.Until.IsZero() {
			s.People[m.Person] = Whereabouts{Presence: Missing, Since: m.At}
		}
	case Gone:
		s.People[m.Person] = Whereabouts{Presence: Left, Since: m.At}
	case Late:
		s.People[m.Person] = Whereabouts{Presence: Coming, Since: m.At, Until: m.Until}
	case Leaving:
		s.People[m.Person] = Whereabouts{Presence: MustLeave, Since: m.At, Until: m.Until}
	case Reset:
		if x := (BlockTimes{m.Opens, m.Closes, m.Closed, m.Place}); x != (BlockTimes{}) {
			s.Blocks[m.Block] = x
		} else {
			delete(s.Blocks, m.Block)
		}
	case Joined:
		if m.Name != "" || len(m.Groupings) > 0 {
			s.Joined[m.Person] = Joining{m.Name, m.Groupings}
		} else {
			delete(s.Joined, m.Person)
		}
	case Arrived:
		delete(s.People, m.Person)
		if x := s.Joined[m.Person]; len(m.Groupings) > 0 {
			known := func(id string) bool { return slices.Contains(x.Groupings, id) }
			x.Groupings = slices.Concat(x.Groupings, slices.DeleteFunc(slices.Clone(m.Groupings), known))
			s.Joined[m.Person] = x
		}
	case Added:
		if m.Grouped != nil && !slices.ContainsFunc(s.Added, func(g event.Grouping) bool { return g.ID == m.Grouped.ID }) {
			s.Added = append(s.Added, *m.Grouped)
		}
	case Noted:
		s.Notes = append(s.Notes, Note{ID: m.ID, Text: m.Note, By: m.By, At: m.At})
	}
}

func (s *State) grouping(m Mark) {
	p := s.Groupings[m.Grouping]
	switch m.Kind {
	case Started:
		if p.Status == Done {
			break // it has to be put back before it is taken again
		}
		s.release(m.Block)
		p.Status, p.Block, p.Started = Current, m.Block, m.At
		s.Frames[m.Block] = planning.Calling{Grouping: m.Grouping, At: m.At}
	case Taken:
		if p.Status == Done {
			break // two phones ticked it: the first counts
		}
		if p.Status != Current {
			s.release(m.Block)
			p.Block, p.Started = m.Block, time.Time{}
		}
		p.Status, p.Finished = Done, m.At
		s.Frames[p.Block] = planning.Calling{Grouping: m.Grouping, At: m.At}
		s.Slots = append(s.Slots, planning.Timed{Grouping: m.Grouping, Block: p.Block, Started: p.Started, Finished: m.At})
	case PutBack, Skipped, LeaveOut:
		s.Slots = slices.DeleteFunc(s.Slots, func(x planning.Timed) bool { return x.Grouping == m.Grouping })
		p = p.open()
		switch m.Kind {
		case Skipped:
			p.Status = Later
		case LeaveOut:
			p.Status = LeftOut
		}
	case Without:
		p.Without = m.People
	case Changed:
		p.Move = planning.Move{Block: m.Block, Priority: m.Priority}
	}
	s.Groupings[m.Grouping] = p
}

// release opens what is current in a block again: something else is being called there.
func (s *State) release(block string) {
	for id, p := range s.Groupings {
		if p.Status == Current && p.Block == block {
			s.Groupings[id] = p.open()
		}
	}
}
