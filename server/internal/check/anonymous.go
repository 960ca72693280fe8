package check

import (
	"fmt"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
)

// Anonymous returns the advice with ids where its texts name people of the event, say how a name is
// spoken or what somebody is to the couple. It is for places where texts are kept or passed on, such
// as errors; the planner is better served with names.
func Anonymous(e event.Event, advice []event.Advice) []event.Advice {
	var pairs []string
	for i, p := range e.People {
		id := fmt.Sprintf("person %d", i+1)
		if p.ID != "" {
			id = quoted(p.ID)
		}
		for _, words := range []string{p.Name, p.SayAs, p.Relation} {
			if words == "" {
				continue
			}
			// A name comes with its id after it; that would be the id twice.
			pairs = append(pairs, fmt.Sprintf("%s (%s)", quoted(words), p.ID), id, quoted(words), id)
		}
	}
	names := strings.NewReplacer(pairs...)
	out := make([]event.Advice, len(advice))
	for i, a := range advice {
		a.Text, a.Message = names.Replace(a.Text), wording.Message{} // its arguments name people
		out[i] = a
	}
	return out
}

func quoted(s string) string { return wording.Say("%s", event.Quoted(s)).String() }
