package event

import (
	"slices"
)

// Index resolves ids of people and circles. Of double ids the first counts, people before
// circles; unknown ids and circular circles stand for nobody: check.Event reports them.
type Index struct {
	e       *Event
	People  map[string]int
	alone   []int // 0, 1, 2 and so on: a part of it is one person
	Circles map[string]int
	// Within[c] lists the people of circle c, each once, as they are listed; nil until asked for.
	Within [][]int
	state  []visit
	// Rings holds circular circles, each as the circles on the way round. No two share a circle.
	Rings  [][]int
	ringed []bool
	// named counts the people that circles and groupings name, those inside of circles one by one.
	named int
}

// MaxNamings is how many people circles and groupings may name, those inside of circles one by one: as many as
// if everybody were in a hundred photographs. Events beyond it are refused: a few bytes could keep a
// core busy for minutes, and a running day could not keep up with its marks.
const MaxNamings = 100 * MaxPeople

// visit is how far a depth-first walk has come at a node.
type visit uint8

const (
	untouched visit = iota
	open
	done
)

func NewIndex(e *Event) *Index {
	r := &Index{
		e:       e,
		People:  make(map[string]int, len(e.People)),
		alone:   make([]int, len(e.People)),
		Circles: make(map[string]int, len(e.Circles)),
		Within:  make([][]int, len(e.Circles)),
		state:   make([]visit, len(e.Circles)),
		ringed:  make([]bool, len(e.Circles)),
	}
	for i, p := range e.People {
		r.alone[i] = i
		if _, double := r.People[p.ID]; !double && p.ID != "" {
			r.People[p.ID] = i
		}
	}
	for i, c := range e.Circles {
		_, person := r.People[c.ID]
		if _, double := r.Circles[c.ID]; !double && !person && c.ID != "" {
			r.Circles[c.ID] = i
		}
	}
	for i := range e.Circles {
		r.circle(i, nil)
	}
	for _, g := range e.Groupings {
		each := 1
		if g.EachOf != "" {
			each = len(r.CircleOf(g.EachOf))
		}
		r.named += r.size(g.Without) + each*(r.size(g.Members)+1)
		if r.Crowded() {
			break // before it overflows
		}
	}
	return r
}

// Photographs counts the photographs that the groupings come to, those without anybody too.
func (r *Index) Photographs() int {
	n := 0
	for _, g := range r.e.Groupings {
		if g.EachOf == "" {
			n++
		} else {
			n += len(r.CircleOf(g.EachOf))
		}
	}
	return n
}

// Crowded reports whether the event names more people than MaxNamings.
func (r *Index) Crowded() bool { return r.named > MaxNamings }

// size counts the people that ids stand for, each as often as it is named.
func (r *Index) size(ids []string) int {
	n := 0
	for _, id := range ids {
		n += len(r.Of(id))
	}
	return n
}

// circle resolves circle c. path holds the circles that are being resolved.
func (r *Index) circle(c int, path []int) {
	switch r.state[c] {
	case done:
		return
	case open:
		r.ring(path[slices.Index(path, c):])
		return
	}
	r.state[c] = open
	path = append(path, c)
	for _, id := range r.e.Circles[c].Members {
		if inner, ok := r.Circles[id]; ok {
			r.circle(inner, path)
		}
	}
	r.state[c] = done
	if r.named += r.size(r.e.Circles[c].Members); !r.Crowded() {
		r.Within[c] = r.PeopleOf(r.e.Circles[c].Members...)
	}
}

// ring keeps a ring unless one of its circles is in another already.
func (r *Index) ring(ring []int) {
	if slices.ContainsFunc(ring, func(c int) bool { return r.ringed[c] }) {
		return
	}
	for _, c := range ring {
		r.ringed[c] = true
	}
	r.Rings = append(r.Rings, slices.Clone(ring))
}

// Known reports whether the id is that of a person or circle.
func (r *Index) Known(id string) bool {
	_, person := r.People[id]
	_, circle := r.Circles[id]
	return person || circle
}

// PeopleOf returns the people that ids stand for, each once, as they are listed.
func (r *Index) PeopleOf(ids ...string) []int {
	seen := make([]bool, len(r.e.People))
	var out []int
	for _, id := range ids {
		for _, p := range r.Of(id) {
			if !seen[p] {
				seen[p] = true
				out = append(out, p)
			}
		}
	}
	return out
}

// Of returns the people that one id stands for. The slice is not to be changed.
func (r *Index) Of(id string) []int {
	if p, ok := r.People[id]; ok {
		return r.alone[p : p+1]
	}
	return r.CircleOf(id)
}

// CircleOf returns the people of the circle with the id, nil if it does not exist.
func (r *Index) CircleOf(id string) []int {
	if c, ok := r.Circles[id]; ok {
		return r.Within[c]
	}
	return nil
}

// Circles returns for each circle of an event the ids of its people, each once, those inside of other circles
// too.
func Circles(e Event) [][]string {
	r := NewIndex(&e)
	out := make([][]string, len(e.Circles))
	for i, people := range r.Within {
		for _, p := range people {
			out[i] = append(out[i], e.People[p].ID)
		}
	}
	return out
}

// Members returns the ids of the people that an id stands for: the person, or the people of the
// circle, each once. An unknown id stands for nobody.
func (r *Index) Members(id string) []string {
	var out []string
	for _, p := range r.Of(id) {
		out = append(out, r.e.People[p].ID)
	}
	return out
}
