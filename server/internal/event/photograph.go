package event

import (
	"slices"
	"strconv"
)

// Photograph is one concrete photograph of an event: who is in it, by id.
type Photograph struct {
	ID    string
	Title string // never empty
	// Members are ids of people who are coming, each once, in the order of Event.People.
	Members []string
	// Guests are in it beside the members, known by their number only.
	Guests int
	// Source is the index in Event.Groupings of the grouping that asks for it.
	Source int
	// Portrait says that it is one of the photographs of an eachOf.
	Portrait bool
	Priority Priority
	Blocks   []string // ids of blocks; empty means any
	// After are ids of photographs, each once, in the order of the photographs.
	After   []string
	Pin     Pin
	Minutes *float64
	Frames  int
}

// Size is how many people stand in it, the guests included.
func (p Photograph) Size() int { return len(p.Members) + p.Guests }

// Expand turns the groupings of an event into photographs, in the order in which they were asked
// for: circles become their people, those of Without and those who are absent drop out, and eachOf
// becomes one photograph for each person of the circle. A grouping without id takes "g" and its
// position from 1; a photograph of an eachOf takes the grouping's id, "." and the person's id.
//
// The second value holds the photographs that cannot be taken because of absences: nobody is left,
// or the person of an eachOf is not coming. check.Event has a warning for each of their groupings. Wishes
// to be taken after one of them lapse.
//
// Expand expects an event in which check.Event finds no Error. Otherwise it leaves out what makes no
// sense; it does not panic.
func Expand(e Event) (taken, emptied []Photograph) { return ExpandIn(e, EnglishTitles) }

// ExpandIn is Expand with titles made in the words given.
func ExpandIn(e Event, words TitleWords) (taken, emptied []Photograph) {
	x := NewExpansion(&e, NewIndex(&e))
	x.words = words
	x.fillTitles()
	for _, s := range x.All {
		if s.Taken() {
			taken = append(taken, s.Photo)
		} else {
			emptied = append(emptied, s.Photo)
		}
	}
	return taken, emptied
}

// Shot is a photograph with its people by index.
type Shot struct {
	Photo   Photograph
	Members []int // people who are coming, in the order of the event
	invited []int // members before absences
	Only    int   // the person of an eachOf, else -1
	dropped bool  // the person of an eachOf is absent
}

// Taken reports whether anybody is there for it.
func (s *Shot) Taken() bool { return len(s.Members) > 0 && !s.dropped }

// Expansion is an event with its groupings expanded. Titles are filled in when they are asked for.
type Expansion struct {
	words TitleWords // of made-up titles
	e     *Event
	r     *Index
	All   []Shot
	// ByGrouping[g] are the indices in All that grouping g stands for.
	ByGrouping [][]int
	// named maps an id that After may hold to indices in All.
	named map[string][]int
	// Before[s] are the indices in All that shot s waits for, taken ones only.
	Before [][]int
}

// GroupingID returns the id of grouping i, its position when it has none.
func GroupingID(e *Event, i int) string {
	if id := e.Groupings[i].ID; id != "" {
		return id
	}
	return "g" + strconv.Itoa(i+1)
}

func NewExpansion(e *Event, r *Index) *Expansion {
	x := &Expansion{e: e, r: r, ByGrouping: make([][]int, len(e.Groupings)), named: make(map[string][]int)}
	if r.Crowded() || r.Photographs() > 4*MaxPhotographs {
		return x // Check says so
	}
	for i := range e.Groupings {
		for _, s := range x.shots(i) {
			x.ByGrouping[i] = append(x.ByGrouping[i], len(x.All))
			x.All = append(x.All, s)
		}
	}
	for i := range e.Groupings {
		id := GroupingID(e, i)
		if _, double := x.named[id]; !double {
			x.named[id] = x.ByGrouping[i]
		}
	}
	for i, s := range x.All {
		if _, double := x.named[s.Photo.ID]; !double {
			x.named[s.Photo.ID] = []int{i}
		}
	}
	x.fillAfter()
	return x
}

// shots expands one grouping. A grouping that names nobody has none.
func (x *Expansion) shots(i int) []Shot {
	g := x.e.Groupings[i]
	without := make([]bool, len(x.e.People))
	for _, p := range x.r.PeopleOf(g.Without...) {
		without[p] = true
	}
	keep := func(list []int) []int {
		return slices.DeleteFunc(slices.Clone(list), func(p int) bool { return without[p] })
	}
	base := keep(x.r.PeopleOf(g.Members...))
	if g.EachOf == "" {
		if len(base) == 0 {
			return nil
		}
		return []Shot{x.shot(i, GroupingID(x.e, i), base, -1)}
	}
	var out []Shot
	for _, p := range keep(x.r.CircleOf(g.EachOf)) {
		people := base
		if !slices.Contains(base, p) {
			people = append(slices.Clone(base), p)
		}
		out = append(out, x.shot(i, GroupingID(x.e, i)+"."+x.e.People[p].ID, people, p))
	}
	return out
}

func (x *Expansion) shot(i int, id string, people []int, only int) Shot {
	g := x.e.Groupings[i]
	s := Shot{invited: people, Only: only, dropped: only >= 0 && x.e.People[only].Absent}
	for _, p := range people {
		if !x.e.People[p].Absent {
			s.Members = append(s.Members, p)
		}
	}
	slices.Sort(s.Members)
	s.Photo = Photograph{
		ID: id, Source: i, Portrait: g.EachOf != "", Priority: g.Priority,
		Blocks: slices.Clone(g.Blocks), Pin: g.Pin, Minutes: g.Minutes, Frames: g.Frames, Guests: g.Guests,
	}
	for _, p := range s.Members {
		s.Photo.Members = append(s.Photo.Members, x.e.People[p].ID)
	}
	return s
}

// fillAfter turns the wishes of the groupings into wishes of photographs.
func (x *Expansion) fillAfter() {
	x.Before = make([][]int, len(x.All))
	for i, g := range x.e.Groupings {
		var before []int
		for _, id := range slices.Compact(slices.Sorted(slices.Values(g.After))) {
			for _, b := range x.named[id] {
				if x.All[b].Taken() {
					before = append(before, b)
				}
			}
		}
		slices.Sort(before)
		before = slices.Compact(before)
		for _, s := range x.ByGrouping[i] {
			x.Before[s] = before
			for _, b := range before {
				x.All[s].Photo.After = append(x.All[s].Photo.After, x.All[b].Photo.ID)
			}
		}
	}
}
