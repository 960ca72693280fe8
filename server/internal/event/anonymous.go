package event

import (
	"fmt"
	"strings"
)

// Anonymous returns the advice with ids where its texts name people of the event, say how a name is
// spoken or what somebody is to the couple. It is for places where texts are kept or passed on, such
// as errors; the planner is better served with names.
func Anonymous(e Event, advice []Advice) []Advice {
	var pairs []string
	for i, p := range e.People {
		id := fmt.Sprintf("person %d", i+1)
		if p.ID != "" {
			id = quote(p.ID)
		}
		for _, words := range []string{p.Name, p.SayAs, p.Relation} {
			if words == "" {
				continue
			}
			// A name comes with its id after it; that would be the id twice.
			pairs = append(pairs, fmt.Sprintf("%s (%s)", quote(words), p.ID), id, quote(words), id)
		}
	}
	names := strings.NewReplacer(pairs...)
	out := make([]Advice, len(advice))
	for i, a := range advice {
		a.Text = names.Replace(a.Text)
		out[i] = a
	}
	return out
}
