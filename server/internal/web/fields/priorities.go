package fields

import (
	"fmt"
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
)

// Priority is how much a photo is wanted, where that was chosen on the page. It goes with the photo's id, which is made of
// who is in it, and else with its title.
type Priority struct{ ID, Title, Name string }

// PriorityNames are the names of priorities, in the order in which a button goes through them.
var PriorityNames = []string{"should", "must", "nice"}

// PriorityWords say how much a photo is wanted.
var PriorityWords = map[string]wording.Key{"should": "page.wanted", "must": "page.must", "nice": "page.ifTime"}

var byName = map[string]event.Priority{"should": event.Should, "must": event.Must, "nice": event.Nice}

// PriorityName is the name of a priority.
func PriorityName(p event.Priority) string {
	for name, v := range byName {
		if v == p {
			return name
		}
	}
	return PriorityNames[0]
}

// ReadPriorities reads the fields, and what the button of a photo says: "priority:NAME:ID".
func ReadPriorities(p Posted) []Priority {
	var out []Priority
	for i := 0; i < event.MaxPhotographs && p.Has(fmt.Sprintf("priority.%d.id", i)); i++ {
		at := func(name string) string { return p.Line(fmt.Sprintf("priority.%d.%s", i, name)) }
		if w := (Priority{at("id"), at("title"), at("name")}); slices.Contains(PriorityNames, w.Name) {
			out = append(out, w)
		}
	}
	if said, ok := strings.CutPrefix(p.Line("act"), "priority:"); ok {
		name, id, _ := strings.Cut(said, ":")
		out = slices.DeleteFunc(out, func(w Priority) bool { return w.ID == id })
		if slices.Contains(PriorityNames, name) && len(out) < event.MaxPhotographs {
			out = append(out, Priority{ID: id, Name: name})
		}
	}
	return out
}

// HiddenPriorities lists the fields.
func HiddenPriorities(chosen []Priority) []Hidden {
	var out []Hidden
	for i, w := range chosen {
		for _, f := range []Hidden{{"id", w.ID}, {"title", w.Title}, {"name", w.Name}} {
			out = append(out, Hidden{fmt.Sprintf("priority.%d.%s", i, f.Name), f.Value})
		}
	}
	return out
}

// ApplyPriorities puts them into an event and returns them with the ids and titles that the photos have there. Those of
// photos that are not there any more stay, because a line that is being changed comes back.
func ApplyPriorities(e *event.Event, chosen []Priority) []Priority {
	if len(chosen) == 0 {
		return nil
	}
	out := slices.Clone(chosen)
	e.Groupings = slices.Clone(e.Groupings)
	at := map[string]int{}
	for k, g := range e.Groupings {
		if _, double := at["title "+g.Title]; !double && g.Title != "" {
			at["title "+g.Title] = k
		}
		at["id "+event.GroupingID(e, k)] = k
	}
	for i, w := range out {
		k, ok := at["id "+w.ID]
		if !ok {
			k, ok = at["title "+w.Title]
		}
		if ok {
			e.Groupings[k].Priority = byName[w.Name]
			out[i].ID, out[i].Title = event.GroupingID(e, k), e.Groupings[k].Title
		}
	}
	return out
}
