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

// Expand turns the groupings of an event into photographs, in the order in which they were asked
// for: circles become their people, those of Without and those who are absent drop out, and eachOf
// becomes one photograph for each person of the circle. A grouping without id takes "g" and its
// position from 1; a photograph of an eachOf takes the grouping's id, "." and the person's id.
//
// The second value holds the photographs that cannot be taken because of absences: nobody is left,
// or the person of an eachOf is not coming. Check has a warning for each of their groupings. Wishes
// to be taken after one of them lapse.
//
// Expand expects an event in which Check finds no Error. Otherwise it leaves out what makes no
// sense; it does not panic.
func Expand(e Event) (taken, emptied []Photograph) { return ExpandIn(e, EnglishTitles) }

// ExpandIn is Expand with titles made in the words given.
func ExpandIn(e Event, words TitleWords) (taken, emptied []Photograph) {
	x := newExpansion(&e, newRoster(&e))
	x.words = words
	x.fillTitles()
	for _, s := range x.all {
		if s.taken() {
			taken = append(taken, s.photo)
		} else {
			emptied = append(emptied, s.photo)
		}
	}
	return taken, emptied
}

// shot is a photograph with its people by index.
type shot struct {
	photo   Photograph
	members []int // people who are coming, in the order of the event
	invited []int // members before absences
	only    int   // the person of an eachOf, else -1
	dropped bool  // the person of an eachOf is absent
}

// taken reports whether anybody is there for it.
func (s *shot) taken() bool { return len(s.members) > 0 && !s.dropped }

// expansion is an event with its groupings expanded. Titles are filled in when they are asked for.
type expansion struct {
	words TitleWords // of made-up titles
	e     *Event
	r     *roster
	all   []shot
	// byGrouping[g] are the indices in all that grouping g stands for.
	byGrouping [][]int
	// named maps an id that After may hold to indices in all.
	named map[string][]int
	// before[s] are the indices in all that shot s waits for, taken ones only.
	before [][]int
}

// groupingID returns the id of grouping i, its position when it has none.
func groupingID(e *Event, i int) string {
	if id := e.Groupings[i].ID; id != "" {
		return id
	}
	return "g" + strconv.Itoa(i+1)
}

func newExpansion(e *Event, r *roster) *expansion {
	x := &expansion{e: e, r: r, byGrouping: make([][]int, len(e.Groupings)), named: make(map[string][]int)}
	if r.crowded() || r.photographs() > 4*MaxPhotographs {
		return x // Check says so
	}
	for i := range e.Groupings {
		for _, s := range x.shots(i) {
			x.byGrouping[i] = append(x.byGrouping[i], len(x.all))
			x.all = append(x.all, s)
		}
	}
	for i := range e.Groupings {
		id := groupingID(e, i)
		if _, double := x.named[id]; !double {
			x.named[id] = x.byGrouping[i]
		}
	}
	for i, s := range x.all {
		if _, double := x.named[s.photo.ID]; !double {
			x.named[s.photo.ID] = []int{i}
		}
	}
	x.fillAfter()
	return x
}

// shots expands one grouping. A grouping that names nobody has none.
func (x *expansion) shots(i int) []shot {
	g := x.e.Groupings[i]
	without := make([]bool, len(x.e.People))
	for _, p := range x.r.list(g.Without...) {
		without[p] = true
	}
	keep := func(list []int) []int {
		return slices.DeleteFunc(slices.Clone(list), func(p int) bool { return without[p] })
	}
	base := keep(x.r.list(g.Members...))
	if g.EachOf == "" {
		if len(base) == 0 {
			return nil
		}
		return []shot{x.shot(i, groupingID(x.e, i), base, -1)}
	}
	var out []shot
	for _, p := range keep(x.r.circleOf(g.EachOf)) {
		people := base
		if !slices.Contains(base, p) {
			people = append(slices.Clone(base), p)
		}
		out = append(out, x.shot(i, groupingID(x.e, i)+"."+x.e.People[p].ID, people, p))
	}
	return out
}

func (x *expansion) shot(i int, id string, people []int, only int) shot {
	g := x.e.Groupings[i]
	s := shot{invited: people, only: only, dropped: only >= 0 && x.e.People[only].Absent}
	for _, p := range people {
		if !x.e.People[p].Absent {
			s.members = append(s.members, p)
		}
	}
	slices.Sort(s.members)
	s.photo = Photograph{
		ID: id, Source: i, Portrait: g.EachOf != "", Priority: g.Priority,
		Blocks: slices.Clone(g.Blocks), Pin: g.Pin, Minutes: g.Minutes, Frames: g.Frames,
	}
	for _, p := range s.members {
		s.photo.Members = append(s.photo.Members, x.e.People[p].ID)
	}
	return s
}

// fillAfter turns the wishes of the groupings into wishes of photographs.
func (x *expansion) fillAfter() {
	x.before = make([][]int, len(x.all))
	for i, g := range x.e.Groupings {
		var before []int
		for _, id := range slices.Compact(slices.Sorted(slices.Values(g.After))) {
			for _, b := range x.named[id] {
				if x.all[b].taken() {
					before = append(before, b)
				}
			}
		}
		slices.Sort(before)
		before = slices.Compact(before)
		for _, s := range x.byGrouping[i] {
			x.before[s] = before
			for _, b := range before {
				x.all[s].photo.After = append(x.all[s].photo.After, x.all[b].photo.ID)
			}
		}
	}
}
