package model

import (
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
)

// Wish is one thing that an event asks for and could do without.
type Wish struct {
	Text wording.Message
	Drop func(*event.Event)
}

// Wishes lists what an event asks for beside its groupings.
func (pr *Problem) Wishes(e event.Event) []Wish {
	var out []Wish
	add := func(drop func(*event.Event), k wording.Key, args ...any) {
		out = append(out, Wish{wording.Say(k, args...), drop})
	}
	for i, g := range e.Groupings {
		name := titleOf(g)
		if g.NotBefore != "" {
			add(func(e *event.Event) { e.Groupings[i].NotBefore = "" }, "plan.notBefore", name, wording.ClockText(g.NotBefore))
		}
		if g.NotAfter != "" {
			add(func(e *event.Event) { e.Groupings[i].NotAfter = "" }, "plan.notAfter", name, wording.ClockText(g.NotAfter))
		}
		for _, before := range g.After {
			add(func(e *event.Event) {
				e.Groupings[i].After = slices.DeleteFunc(slices.Clone(e.Groupings[i].After), func(id string) bool { return id == before })
			}, "plan.after", name, titleOfID(e, before))
		}
		if g.Pin != event.PinNone {
			add(func(e *event.Event) { e.Groupings[i].Pin = event.PinNone }, map[event.Pin]wording.Key{event.PinFirst: "plan.first", event.PinLast: "plan.last"}[g.Pin], name)
		}
		if len(g.Blocks) > 0 && len(g.Blocks) < len(e.Blocks) {
			add(func(e *event.Event) { e.Groupings[i].Blocks = nil }, "plan.onlyIn", name, pr.blockNames(g.Blocks))
		}
	}
	for i, p := range e.People {
		if p.PresentFrom != "" || p.PresentUntil != "" || len(p.Presence) > 0 {
			add(func(e *event.Event) {
				e.People[i].PresentFrom, e.People[i].PresentUntil, e.People[i].Presence = "", "", nil
			}, "plan.there", p.Name, presenceWords(p))
		}
	}
	for i, r := range e.Rules {
		add(func(e *event.Event) { e.Rules[i] = event.Rule{} }, "plan.rule", i+1, wording.Say(ruleWords(r)))
	}
	for i, b := range e.Blocks {
		if b.Closes != "" {
			add(func(e *event.Event) { e.Blocks[i].Closes = "" }, "plan.closingAt", b.Named(), wording.ClockText(b.Closes))
		}
		if b.Capacity > 0 {
			add(func(e *event.Event) { e.Blocks[i].Capacity = 0 }, "plan.holdingPeople", b.Named(), b.Capacity)
		}
	}
	return out
}

func presenceWords(p event.Person) wording.Arg {
	spans := p.Presence
	if len(spans) == 0 {
		spans = []event.Span{{}}
	}
	var words []wording.Message
	for _, s := range spans {
		from, until := s.From, s.Until
		if from == "" {
			from = p.PresentFrom
		}
		if until == "" {
			until = p.PresentUntil
		}
		switch {
		case from == "":
			words = append(words, wording.Say("plan.until", wording.ClockText(until)))
		case until == "":
			words = append(words, wording.Say("plan.from", wording.ClockText(from)))
		default:
			words = append(words, wording.Say("plan.fromUntil", wording.ClockText(from), wording.ClockText(until)))
		}
	}
	return wording.And(words...)
}

// ruleWords says what kind of rule it is. It names nobody: who is kept from whom is not for a sheet.
func ruleWords(r event.Rule) wording.Key {
	switch {
	case r.Turns != nil:
		return "plan.turns"
	case r.Seniority != nil:
		return "plan.seniority"
	case r.Apart != nil:
		return "plan.apart"
	}
	return "plan.empty"
}

func (pr *Problem) blockNames(ids []string) wording.Arg {
	var names []wording.Message
	for _, b := range pr.Blocks {
		if slices.Contains(ids, b.ID) {
			names = append(names, b.Named())
		}
	}
	return wording.Or(names...)
}

func titleOf(g event.Grouping) wording.Arg {
	if g.Title != "" {
		return wording.Curly(g.Title)
	}
	return wording.Curly(g.ID)
}

func titleOfID(e event.Event, id string) wording.Arg {
	for _, g := range e.Groupings {
		if g.ID == id {
			return titleOf(g)
		}
	}
	return wording.Curly(id)
}
