package event

import (
	"slices"

	"kinorder.example/server/internal/wording"
)

// roster resolves ids of people and circles. Of double ids the first counts, people before
// circles; unknown ids and circular circles stand for nobody: Check reports them.
type roster struct {
	e       *Event
	people  map[string]int
	alone   []int // 0, 1, 2 and so on: a part of it is one person
	circles map[string]int
	// within[c] lists the people of circle c, each once, as they are listed; nil until asked for.
	within [][]int
	state  []visit
	// rings holds circular circles, each as the circles on the way round. No two share a circle.
	rings  [][]int
	ringed []bool
	// named counts the people that circles and groupings name, those inside of circles one by one.
	named int
}

// maxNamings is how many people circles and groupings may name, those inside of circles one by one: as many as
// if everybody were in every photograph, four times over. An event with more is not looked into: a few
// bytes would keep a core busy for minutes.
const maxNamings = 4 * MaxPeople * MaxPhotographs

// visit is how far a depth-first walk has come at a node.
type visit uint8

const (
	untouched visit = iota
	open
	done
)

func newRoster(e *Event) *roster {
	r := &roster{
		e:       e,
		people:  make(map[string]int, len(e.People)),
		alone:   make([]int, len(e.People)),
		circles: make(map[string]int, len(e.Circles)),
		within:  make([][]int, len(e.Circles)),
		state:   make([]visit, len(e.Circles)),
		ringed:  make([]bool, len(e.Circles)),
	}
	for i, p := range e.People {
		r.alone[i] = i
		if _, double := r.people[p.ID]; !double && p.ID != "" {
			r.people[p.ID] = i
		}
	}
	for i, c := range e.Circles {
		_, person := r.people[c.ID]
		if _, double := r.circles[c.ID]; !double && !person && c.ID != "" {
			r.circles[c.ID] = i
		}
	}
	for i := range e.Circles {
		r.circle(i, nil)
	}
	for _, g := range e.Groupings {
		each := 1
		if g.EachOf != "" {
			each = len(r.circleOf(g.EachOf))
		}
		r.named += r.size(g.Without) + each*(r.size(g.Members)+1)
		if r.crowded() {
			break // before it overflows
		}
	}
	return r
}

// photographs counts the photographs that the groupings come to, those without anybody too.
func (r *roster) photographs() int {
	n := 0
	for _, g := range r.e.Groupings {
		if g.EachOf == "" {
			n++
		} else {
			n += len(r.circleOf(g.EachOf))
		}
	}
	return n
}

// crowded says that the event names more people than is looked into.
func (r *roster) crowded() bool { return r.named > maxNamings }

// size counts the people that ids stand for, each as often as it is named.
func (r *roster) size(ids []string) int {
	n := 0
	for _, id := range ids {
		n += len(r.of(id))
	}
	return n
}

// circle resolves circle c and returns its people. path holds the circles that are being resolved.
func (r *roster) circle(c int, path []int) []int {
	switch r.state[c] {
	case done:
		return r.within[c]
	case open:
		r.ring(path[slices.Index(path, c):])
		return nil
	}
	r.state[c] = open
	path = append(path, c)
	for _, id := range r.e.Circles[c].Members {
		if inner, ok := r.circles[id]; ok {
			r.circle(inner, path)
		}
	}
	r.state[c] = done
	if r.named += r.size(r.e.Circles[c].Members); !r.crowded() {
		r.within[c] = r.list(r.e.Circles[c].Members...)
	}
	return r.within[c]
}

// ring keeps a ring unless one of its circles is in another already.
func (r *roster) ring(ring []int) {
	if slices.ContainsFunc(ring, func(c int) bool { return r.ringed[c] }) {
		return
	}
	for _, c := range ring {
		r.ringed[c] = true
	}
	r.rings = append(r.rings, slices.Clone(ring))
}

// known reports whether the id is that of a person or circle.
func (r *roster) known(id string) bool {
	_, person := r.people[id]
	_, circle := r.circles[id]
	return person || circle
}

// list returns the people that ids stand for, each once, as they are listed.
func (r *roster) list(ids ...string) []int {
	seen := make([]bool, len(r.e.People))
	var out []int
	for _, id := range ids {
		for _, p := range r.of(id) {
			if !seen[p] {
				seen[p] = true
				out = append(out, p)
			}
		}
	}
	return out
}

// of returns the people that one id stands for. The slice is not to be changed.
func (r *roster) of(id string) []int {
	if p, ok := r.people[id]; ok {
		return r.alone[p : p+1]
	}
	return r.circleOf(id)
}

// circleOf returns the people of the circle with the id, none when there is no such circle.
func (r *roster) circleOf(id string) []int {
	if c, ok := r.circles[id]; ok {
		return r.within[c]
	}
	return nil
}

// person writes a person for a sentence: the name, and the id to find them by.
func (r *roster) person(i int) wording.Message {
	p := r.e.People[i]
	switch {
	case visible(p.Name) && p.ID != "":
		return p.Named()
	case visible(p.Name):
		return wording.Say("%s", quote(p.Name))
	case p.ID != "":
		return wording.Say("%s", quote(p.ID))
	}
	return wording.Say("person %d", i+1)
}

// atStart is person for the beginning of a sentence.
func (r *roster) atStart(i int) wording.Message {
	if p := r.e.People[i]; !visible(p.Name) && p.ID == "" {
		return wording.Say("Person %d", i+1)
	}
	return r.person(i)
}
