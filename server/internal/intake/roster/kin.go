package roster

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/kin"
)

// relationOf reads what a person is: nothing known when it is not said.
func relationOf(p event.Person) kin.Relation {
	rel, _ := kin.Read(p.Relation)
	return rel
}

// Household returns the others of the smallest circle called a household that a person is in.
func (r *Roster) Household(i int) []int {
	if !r.Effort.Spend(50 * len(r.Event.Circles)) {
		return nil
	}
	var out []int
	for _, c := range r.Event.Circles {
		if !strings.Contains(names.Plain(c.Title), "household") {
			continue
		}
		people := r.PeopleOf(c.ID)
		if at := slices.Index(people, i); at >= 0 && (out == nil || len(people)-1 < len(out)) {
			out = slices.Delete(slices.Clone(people), at, at+1)
		}
	}
	return out
}
