package roster

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
)

// articles are the words that a title may begin with or without.
var articles = []string{"the", "all", "o", "os", "as", "los", "las", "les", "die"}

// titleKey writes a title as circles are looked up by it: without articles.
func titleKey(title string) string {
	words := strings.Fields(names.Plain(title))
	for len(words) > 1 && slices.Contains(articles, words[0]) {
		words = words[1:]
	}
	return strings.Join(words, " ")
}

func (r *Roster) keepCircle(c event.Circle) int {
	i := len(r.Event.Circles)
	r.Event.Circles = append(r.Event.Circles, c)
	r.ids[c.ID] = true
	r.call(c.Title, c.ID)
	if _, double := r.circles[c.ID]; !double {
		r.circles[c.ID] = i
	}
	key := titleKey(c.Title)
	r.titles[key] = append(r.titles[key], i)
	return i
}

// KeepCircle takes a circle over as it is, an id made up when it has none, and returns its index.
func (r *Roster) KeepCircle(c event.Circle) int {
	if c.ID == "" {
		c.ID = r.newID(c.Title, "circle", r.ids)
	}
	return r.keepCircle(c)
}

// AddCircle makes a circle of people and returns its id.
func (r *Roster) AddCircle(title string, people []int) string {
	id := r.newID(title, "circle", r.ids)
	r.keepCircle(event.Circle{ID: id, Title: title, Members: r.IDs(people)})
	return id
}

// AddCircleAs is AddCircle with an id of its own, if that is free.
func (r *Roster) AddCircleAs(id, title string, people []int) string {
	id = r.newID(id, "circle", r.ids)
	r.keepCircle(event.Circle{ID: id, Title: title, Members: r.IDs(people)})
	return id
}

// Gather returns the id that stands for people under a title: the person when it is one, the circle
// of that title when it has just these people, else a new circle.
func (r *Roster) Gather(title string, people []int) string {
	if len(people) == 1 {
		return r.ID(people[0])
	}
	if id, ok := r.CircleNamed(title); ok && sameSet(r.PeopleOf(id), people) {
		return id
	}
	for _, i := range r.titles[titleKey(title)] {
		if c := r.Event.Circles[i]; sameSet(r.PeopleOf(c.ID), people) {
			return c.ID
		}
	}
	return r.AddCircle(title, people)
}

func sameSet(a, b []int) bool {
	return slices.Equal(slices.Sorted(slices.Values(a)), slices.Sorted(slices.Values(b)))
}

// CircleNamed returns the id of the circle with a title or id.
func (r *Roster) CircleNamed(title string) (string, bool) {
	key := titleKey(title)
	if at := r.titles[key]; key != "" && len(at) > 0 {
		return r.Event.Circles[at[0]].ID, true
	}
	if _, ok := r.circles[title]; ok {
		return title, true
	}
	return "", false
}

// PeopleOf returns the people that an id of a person or circle stands for, each once.
func (r *Roster) PeopleOf(id string) []int {
	seen := make(map[string]bool)
	var out []int
	var visit func(id string)
	visit = func(id string) {
		if seen[id] {
			return
		}
		seen[id] = true
		if i, ok := r.byID[id]; ok {
			out = append(out, i)
		} else if c, ok := r.circles[id]; ok && r.Effort.Spend(10*len(r.Event.Circles[c].Members)) {
			for _, m := range r.Event.Circles[c].Members {
				visit(m)
			}
		}
	}
	visit(id)
	return out
}
