package event

// Members returns the ids of the people that an id stands for: the person, or the people of the
// circle, each once. An unknown id stands for nobody.
func Members(e Event, id string) []string {
	var out []string
	for _, p := range newRoster(&e).list(id) {
		out = append(out, e.People[p].ID)
	}
	return out
}
