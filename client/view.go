package client

import (
	"cmp"
	"slices"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

// RunView is a run as the updates of WatchRun have told it so far. The zero value is a run of which nothing
// was told yet.
type RunView struct {
	// Sequence is how far it is told, Covered up to which sequence Outlook heeds the marks.
	Sequence, Covered int64
	// Groupings are those that marks speak of, People those who are not there, by id.
	Groupings map[string]*kinorderv1.GroupingState
	People    map[string]*kinorderv1.PersonState
	// Blocks are those that marks speak of.
	Blocks map[string]*kinorderv1.BlockMark
	// Joined are those who are in groupings besides those of the list, by person.
	Joined map[string]*kinorderv1.JoinMark
	// Added are the groupings that were added on the day.
	Added []*kinorderv1.Grouping
	// Undoable is the id of the last mark that can be undone. Empty if there is none.
	Undoable string
	// Outlook is what is left to do. Nil before there is one.
	Outlook *kinorderv1.Outlook

	notes  map[string]*kinorderv1.Mark
	undone map[string]bool // of notes
}

// Apply takes an update in. Updates come in the order in which WatchRun yields them.
func (v *RunView) Apply(u *kinorderv1.RunUpdate) {
	if v.Groupings == nil {
		v.Groupings, v.People = map[string]*kinorderv1.GroupingState{}, map[string]*kinorderv1.PersonState{}
		v.Blocks, v.Joined = map[string]*kinorderv1.BlockMark{}, map[string]*kinorderv1.JoinMark{}
		v.notes, v.undone = map[string]*kinorderv1.Mark{}, map[string]bool{}
	}
	v.Sequence, v.Covered = u.GetSequence(), u.GetCoveredSequence()
	if u.GetOutlook() != nil {
		v.Outlook = u.GetOutlook()
	}
	for _, m := range u.GetMarks() {
		if _, ok := m.GetKind().(*kinorderv1.Mark_Note); ok {
			v.notes[m.GetId()] = m
		}
	}
	c := u.GetChange()
	if c == nil {
		return
	}
	v.Undoable = c.GetUndoable()
	for _, g := range c.GetGroupings() {
		v.Groupings[g.GetGrouping()] = g
	}
	for _, p := range c.GetPeople() {
		if p.GetState() == kinorderv1.PersonState_STATE_HERE {
			delete(v.People, p.GetPerson())
			continue
		}
		v.People[p.GetPerson()] = p
	}
	for _, b := range c.GetBlocks() {
		v.Blocks[b.GetBlock()] = b
	}
	for _, p := range c.GetJoined() {
		if v.Joined[p.GetPerson()] = p; p.GetName() == "" && len(p.GetGroupings()) == 0 {
			delete(v.Joined, p.GetPerson())
		}
	}
	for _, g := range c.GetAdded() {
		v.remove(g.GetId())
		v.Added = append(v.Added, g)
	}
	for _, id := range c.GetRemoved() {
		v.remove(id)
	}
	for _, id := range c.GetUndoneNotes() {
		v.undone[id] = true
	}
	for _, id := range c.GetRestoredNotes() {
		delete(v.undone, id)
	}
}

func (v *RunView) remove(grouping string) {
	v.Added = slices.DeleteFunc(v.Added, func(g *kinorderv1.Grouping) bool { return g.GetId() == grouping })
}

// Notes are those that count, by the time at which they were written.
func (v *RunView) Notes() []*kinorderv1.Mark {
	var out []*kinorderv1.Mark
	for id, m := range v.notes {
		if !v.undone[id] {
			out = append(out, m)
		}
	}
	slices.SortFunc(out, func(a, b *kinorderv1.Mark) int {
		return cmp.Or(a.GetHappenTime().AsTime().Compare(b.GetHappenTime().AsTime()), cmp.Compare(a.GetId(), b.GetId()))
	})
	return out
}
