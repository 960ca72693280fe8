package event

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

// CountPhotographs returns how many photographs the groupings of an event come to, each eachOf counted for
// every person.
func CountPhotographs(e Event) int { return NewIndex(&e).Photographs() }

// Members returns the ids of the people that an id stands for: the person, or the people of the
// circle, each once. An unknown id stands for nobody.
func Members(e Event, id string) []string {
	var out []string
	for _, p := range NewIndex(&e).PeopleOf(id) {
		out = append(out, e.People[p].ID)
	}
	return out
}
