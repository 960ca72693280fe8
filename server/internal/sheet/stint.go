package sheet

import (
	"cmp"
	"maps"
	"regexp"
	"slices"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/sheet/fold"
)

// stint is a time for which a person is wanted in one block, without being wanted in another meanwhile.
type stint struct {
	block *event.SheetBlock
	at    int // place of the block on the sheet
	// Times from the start of the block: from when to be there, when the first entry begins, when
	// the last is over.
	ready, from, until time.Duration
	entries            []int // places of the entries that the person is in or at hand for
	calls              []call
	free               bool   // the person is free to go after it
	next               *stint // of the same person; nil after the last
}

// onward is from when on somebody is wanted next, and whether that is as soon as this is over, as people are told.
func (b *builder) onward(s stint) (from string, atOnce bool) {
	if s.next == nil {
		return "", false // a sheet that somebody made has no later place for them
	}
	n := s.next
	apart := n.block.Start.Add(n.ready - b.past(n.block, n.ready)).Sub(s.block.Start.Add(b.late(s.block, s.until)))
	return b.from(n.block, n.ready), apart <= 0 && !n.block.Start.IsZero() && !s.block.Start.IsZero()
}

// call is one step into the frame, or being at hand without stepping in.
type call struct {
	at    int // place of the entry
	start string
	near  bool
}

// early is how long before their first photograph people are to be there.
const early = 5 * time.Minute

// stints says for everybody when they are wanted, by time. A person is to be there some minutes early, and when the entry
// before their first begins: those are the people whom the reader is told to have ready. Somebody who
// comes from another block is not asked for before they are done there and have walked over, and nobody before they come.
func (b *builder) stints() map[string][]stint {
	out := map[string][]stint{}
	for _, at := range b.sheet.InTime() {
		block, entry := &b.sheet.Blocks[at.Block], b.sheet.Entry(at)
		place := b.place(at)
		inFrame := len(entry.StepIn) + len(entry.Stay)
		for n, id := range entry.Wanted() {
			s := wanted(out, id, block, at.Block)
			s.free = s.free || b.free[id] == at
			if n := len(s.entries); n > 0 && s.entries[n-1] == place {
				continue
			}
			if len(s.entries) == 0 {
				s.from, s.ready = entry.Offset, entry.Offset-early
				if at.Entry > 0 {
					s.ready = min(block.Entries[at.Entry-1].Offset, s.ready)
				}
				s.ready = max(s.ready, min(b.earliest(id, out[id], block), entry.Offset))
			}
			s.entries = append(s.entries, place)
			s.until = max(s.until, entry.Over())
			near := n >= inFrame
			if near || n < len(entry.StepIn) {
				s.calls = append(s.calls, call{place, b.at(block, entry.Offset), near})
			}
		}
	}
	for _, list := range out {
		for k := range len(list) - 1 {
			list[k].next = &list[k+1]
		}
	}
	return out
}

// earliest is when somebody can be at a block at which their last stint is, from its start; some minutes before it when
// nothing is known.
func (b *builder) earliest(id string, list []stint, block *event.SheetBlock) time.Duration {
	if block.Start.IsZero() {
		return 0
	}
	at := -early
	if len(list) > 1 {
		before := list[len(list)-2]
		at = before.block.Start.Add(before.until).Add(b.walk(before.block, block)).Sub(block.Start)
	}
	if p := b.people[id]; p != nil && p.PresentFrom != "" {
		if from, err := b.event.Instant(p.PresentFrom); err == nil {
			at = max(at, from.Sub(block.Start))
		}
	}
	return at
}

// walk is how long it takes from the place of one block to that of another.
func (b *builder) walk(from, to *event.SheetBlock) time.Duration {
	one, other := b.blocks[from.Block], b.blocks[to.Block]
	if one == nil || other == nil {
		return 0
	}
	for _, w := range b.event.Walks {
		if w.From == one.Place && w.To == other.Place || w.To == one.Place && w.From == other.Place {
			return time.Duration(w.Minutes) * time.Minute
		}
	}
	return 0
}

// wanted returns the last stint of a person when it is in a block, else a new one there.
func wanted(all map[string][]stint, id string, block *event.SheetBlock, at int) *stint {
	list := all[id]
	if n := len(list); n == 0 || list[n-1].at != at {
		list = append(list, stint{block: block, at: at})
		all[id] = list
	}
	return &list[len(list)-1]
}

// freeBy says when somebody is free to go.
func (b *builder) freeBy(id string) string {
	at, wanted := b.free[id]
	if !wanted {
		return ""
	}
	return b.freeAfter(at)
}

// freeAfter says when people are free after an entry. When the next begins at once it is when that is printed to begin: a
// minute more would be one of a photo that they are not in.
func (b *builder) freeAfter(at event.SheetPlace) string {
	block, over := &b.sheet.Blocks[at.Block], b.sheet.Entry(at).Over()
	if next := at.Entry + 1; next < len(block.Entries) && block.Entries[next].Offset-over < time.Minute {
		return b.at(block, max(block.Entries[next].Offset, over))
	}
	return b.by(block, over)
}

// party is people who come together: those of a circle, or one person.
type party struct {
	id     string // of the circle
	title  string // of the circle; empty for people by themselves
	leader string // id of the person who gathers the circle, or empty
	people []string
	to     string // id of who is told for a child in no circle; empty else
	joined bool   // such a child is among the people
}

// parties puts everybody who is wanted into one party each, in the order of the event: the circle
// with the fewest people of those that have somebody grown up in them, so that children are not sent
// for by themselves. People of no circle, and everybody for PerPerson, come one by one. Ids that the
// event does not know come last.
func (b *builder) parties(stints map[string][]stint, per Per, together func(int) bool) []party {
	of := map[string]int{} // place of the group of a person
	if per != PerPerson {
		for i := range b.groups { // the largest first: smaller ones take over
			if together(i) {
				for id := range b.groups[i].people {
					of[id] = i
				}
			}
		}
	}
	var out []party
	place := map[int]int{} // of a group among the parties
	add := func(id string) {
		g, together := of[id]
		if !together {
			out = append(out, party{people: []string{id}})
			return
		}
		if _, there := place[g]; !there {
			place[g] = len(out)
			out = append(out, party{id: b.groups[g].id, title: b.groups[g].title, leader: b.groups[g].leader})
		}
		p := &out[place[g]]
		p.people = append(p.people, id)
	}
	seen := map[string]bool{}
	for i := range b.event.People {
		if id := b.event.People[i].ID; stints[id] != nil && !seen[id] {
			seen[id] = true
			add(id)
		}
	}
	for _, id := range b.strangers() {
		add(id)
	}
	for i := range out {
		b.leaderFirst(out[i].people, out[i].leader)
	}
	return out
}

// leaderFirst moves the leader to the front of people.
func (b *builder) leaderFirst(people []string, leader string) {
	if i := slices.Index(people, leader); i > 0 {
		copy(people[1:i+1], people[:i])
		people[0] = leader
	}
}

// grown reports whether a group has somebody who is not a child, and is not all there are.
func (b *builder) grown(i int) bool {
	g := &b.groups[i]
	return (len(g.people) <= fewest || len(g.people) < len(b.people)) && slices.ContainsFunc(slices.Collect(maps.Keys(g.people)), b.adult)
}

// strangers lists the ids in frames that the event does not know, each once.
func (b *builder) strangers() []string {
	seen := map[string]bool{}
	var out []string
	for i := range b.sheet.Blocks {
		for k := range b.sheet.Blocks[i].Entries {
			entry := &b.sheet.Blocks[i].Entries[k]
			for _, id := range entry.Wanted() {
				if b.people[id] == nil && !seen[id] {
					seen[id] = true
					out = append(out, id)
				}
			}
		}
	}
	return out
}

// placeOf says where a block is: its place, else its title.
func (b *builder) placeOf(s *event.SheetBlock) string {
	d := b.blocks[s.Block]
	if d == nil {
		return ""
	}
	return cmp.Or(fold.Clean(d.Place), fold.Clean(d.Title))
}

// blockTitle names a block: its title, else its id.
func (b *builder) blockTitle(s *event.SheetBlock) string {
	d := b.blocks[s.Block]
	if d == nil {
		if s.Block == "" {
			return ""
		}
		return b.cat.Say("sheet.unknown", fold.Clean(s.Block))
	}
	if t := fold.Clean(d.Title); t != "" {
		return t
	}
	if madeUp.MatchString(d.ID) {
		return b.cat.Say("sheet.groupPhotographs")
	}
	return fold.Clean(d.ID)
}

// madeUp are the ids of time slots to which nobody gave a name.
var madeUp = regexp.MustCompile(`^block(-\d+)?$`)

// dayOf returns the local date of a block as YYYY-MM-DD: that of its start, else that of the event.
func (b *builder) dayOf(s *event.SheetBlock) string {
	if s.Start.IsZero() {
		return fold.Clean(b.event.Date)
	}
	return b.local(s.Start).Format(time.DateOnly)
}
