package planning

import (
	"context"
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

// Looking for a clash re-plans small variants of the event; these keep it well under a second.
const (
	clashIterations = 150
	clashNodes      = 20000
	mostWishes      = 60
)

// wish is one thing that an event asks for and could do without.
type wish struct {
	text wording.Message
	drop func(*event.Event)
}

// clash finds a smallest set of wishes that together keep a grouping out, by leaving out one wish
// after the other and keeping those without which it would fit. Only groupings that must be taken
// stand beside it. It returns nothing when the grouping fits beside those, or when even without
// any wish it does not.
func (pr *problem) clash(ctx context.Context, g solver.GroupingIndex) []wording.Message {
	e, id := pr.amongMust(g)
	wishes := pr.wishes(e)
	if len(wishes) > mostWishes || pr.fits(ctx, e, id, nil) {
		return nil
	}
	dropped := make([]bool, len(wishes))
	all := func(with int) []wish {
		var list []wish
		for i, w := range wishes {
			if dropped[i] || i == with {
				list = append(list, w)
			}
		}
		return list
	}
	if !pr.fits(ctx, e, id, wishes) {
		return nil
	}
	for i := range wishes {
		if ctx.Err() != nil {
			return nil
		}
		if !pr.fits(ctx, e, id, all(i)) {
			dropped[i] = true // it clashes without this one just as well
		}
	}
	var out []wording.Message
	for i, w := range wishes {
		if !dropped[i] {
			out = append(out, w.text)
		}
	}
	return out
}

// amongMust returns the event with only the groupings that must be taken and the one asked about.
func (pr *problem) amongMust(g solver.GroupingIndex) (event.Event, string) {
	e := pr.Event
	source := pr.Photographs[g].Source
	e.Groupings = nil
	kept := map[string]bool{}
	for i, w := range pr.Event.Groupings {
		if w.Priority == event.Must || i == source {
			if w.ID == "" {
				w.ID = pr.Photographs[slices.IndexFunc(pr.Photographs, func(p event.Photograph) bool { return p.Source == i })].ID
			}
			kept[w.ID] = true
			e.Groupings = append(e.Groupings, w)
		}
	}
	for i := range e.Groupings {
		e.Groupings[i].After = slices.DeleteFunc(slices.Clone(e.Groupings[i].After), func(id string) bool { return !kept[id] })
	}
	return e, pr.Photographs[g].ID
}

// fits plans the event without some wishes and says whether the grouping is taken.
func (pr *problem) fits(ctx context.Context, e event.Event, id string, without []wish) bool {
	e.Groupings, e.People = slices.Clone(e.Groupings), slices.Clone(e.People)
	e.Rules, e.Blocks = slices.Clone(e.Rules), slices.Clone(e.Blocks)
	for _, w := range without {
		w.drop(&e)
	}
	variant, err := newProblem(e, Options{})
	if err != nil {
		return false
	}
	p, err := day.New(variant.Spec)
	if err != nil {
		return false
	}
	r, err := day.Solve(ctx, p, day.Options{Iterations: clashIterations, NodeLimit: clashNodes, MemoryLimit: smallMemory})
	if err != nil || r.Status != day.Found {
		return false
	}
	for _, g := range r.Plan.LeftOut {
		if variant.Photographs[g].ID == id {
			return false
		}
	}
	return true
}

// wishes lists what an event asks for beside its groupings.
func (pr *problem) wishes(e event.Event) []wish {
	var out []wish
	add := func(drop func(*event.Event), k wording.Key, args ...any) {
		out = append(out, wish{wording.Say(k, args...), drop})
	}
	for i, g := range e.Groupings {
		name := pr.titleOf(g)
		if g.NotBefore != "" {
			add(func(e *event.Event) { e.Groupings[i].NotBefore = "" }, "plan.notBefore", name, wording.ClockText(g.NotBefore))
		}
		if g.NotAfter != "" {
			add(func(e *event.Event) { e.Groupings[i].NotAfter = "" }, "plan.notAfter", name, wording.ClockText(g.NotAfter))
		}
		for _, before := range g.After {
			add(func(e *event.Event) {
				e.Groupings[i].After = slices.DeleteFunc(slices.Clone(e.Groupings[i].After), func(id string) bool { return id == before })
			}, "plan.after", name, pr.titleOfID(e, before))
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

func (pr *problem) blockNames(ids []string) wording.Arg {
	var names []wording.Message
	for _, b := range pr.Blocks {
		if slices.Contains(ids, b.ID) {
			names = append(names, b.Named())
		}
	}
	return wording.Or(names...)
}

func (pr *problem) titleOf(g event.Grouping) wording.Arg {
	if g.Title != "" {
		return wording.Curly(g.Title)
	}
	return wording.Curly(g.ID)
}

func (pr *problem) titleOfID(e event.Event, id string) wording.Arg {
	for _, g := range e.Groupings {
		if g.ID == id {
			return pr.titleOf(g)
		}
	}
	return wording.Curly(id)
}
