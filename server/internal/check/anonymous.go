package check

import (
	"fmt"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
)

// Anonymous returns the advice with ids where its texts quote what somebody wrote of people: names and nicknames,
// how they are spoken, what somebody is to the couple, titles, places. It is for texts that are kept or passed on,
// such as errors; planners see the names.
func Anonymous(e event.Event, advice []event.Advice) []event.Advice {
	var pairs []string
	replace := func(id, instead string, texts ...string) {
		if id != "" {
			instead = quoted(id)
		}
		for _, words := range texts {
			if words == "" {
				continue
			}
			// A name comes with its id after it; that would be the id twice.
			pairs = append(pairs, fmt.Sprintf("%s (%s)", quoted(words), id), instead, quoted(words), instead)
		}
	}
	for i, p := range e.People {
		replace(p.ID, fmt.Sprintf("person %d", i+1), append([]string{p.Name, p.SayAs, p.Relation}, p.Nicknames...)...)
	}
	for i, s := range e.Sides {
		replace(s.ID, fmt.Sprintf("side %d", i+1), s.Label)
	}
	for i, c := range e.Circles {
		replace(c.ID, fmt.Sprintf("circle %d", i+1), c.Title)
	}
	for i, g := range e.Groupings {
		replace(g.ID, fmt.Sprintf("grouping %d", i+1), g.Title)
	}
	for i, b := range e.Blocks {
		replace(b.ID, fmt.Sprintf("block %d", i+1), b.Title, b.Place, b.Photographer)
	}
	for i, l := range e.Kit.Lenses {
		replace("", fmt.Sprintf("of lens %d", i+1), l.Title)
	}
	replace("", "of the event", e.Title)
	names := strings.NewReplacer(pairs...)
	out := make([]event.Advice, len(advice))
	for i, a := range advice {
		a.Message = wording.Said(names.Replace(a.Text()))
		out[i] = a
	}
	return out
}

func quoted(s string) string { return wording.Say("%s", event.Quoted(s)).String() }
