package why

import (
	"context"
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning/model"
	"kinorder.example/server/internal/wording"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

// Looking for a clash re-plans small variants of the event; these keep it well under a second.
const (
	clashIterations = 150
	clashNodes      = 20000
	clashMemory     = 64 << 20
	mostWishes      = 60
)

// clash finds a smallest set of wishes that together keep a grouping out, by leaving out one wish
// after the other and keeping those without which it would fit. Only groupings that must be taken
// stand beside it. It returns nothing when the grouping fits beside those, or when even without
// any wish it does not.
func (a Asked) clash(ctx context.Context, g solver.GroupingIndex) []wording.Message {
	e, id := a.amongMust(g)
	wishes := a.Wishes(e)
	if len(wishes) > mostWishes || a.fits(ctx, e, id, nil) {
		return nil
	}
	dropped := make([]bool, len(wishes))
	all := func(with int) []model.Wish {
		var list []model.Wish
		for i, w := range wishes {
			if dropped[i] || i == with {
				list = append(list, w)
			}
		}
		return list
	}
	if !a.fits(ctx, e, id, wishes) {
		return nil
	}
	for i := range wishes {
		if ctx.Err() != nil {
			return nil
		}
		if !a.fits(ctx, e, id, all(i)) {
			dropped[i] = true // it clashes without this one just as well
		}
	}
	var out []wording.Message
	for i, w := range wishes {
		if !dropped[i] {
			out = append(out, w.Text)
		}
	}
	return out
}

// amongMust returns the event with only the groupings that must be taken and the one asked about.
func (a Asked) amongMust(g solver.GroupingIndex) (event.Event, string) {
	e := a.Event
	source := a.Photographs[g].Source
	e.Groupings = nil
	kept := map[string]bool{}
	for i, w := range a.Event.Groupings {
		if w.Priority == event.Must || i == source {
			if w.ID == "" {
				w.ID = a.Photographs[slices.IndexFunc(a.Photographs, func(p event.Photograph) bool { return p.Source == i })].ID
			}
			kept[w.ID] = true
			e.Groupings = append(e.Groupings, w)
		}
	}
	for i := range e.Groupings {
		e.Groupings[i].After = slices.DeleteFunc(slices.Clone(e.Groupings[i].After), func(id string) bool { return !kept[id] })
	}
	return e, a.Photographs[g].ID
}

// fits plans the event without some wishes and says whether the grouping is taken.
func (a Asked) fits(ctx context.Context, e event.Event, id string, without []model.Wish) bool {
	e.Groupings, e.People = slices.Clone(e.Groupings), slices.Clone(e.People)
	e.Rules, e.Blocks = slices.Clone(e.Rules), slices.Clone(e.Blocks)
	for _, w := range without {
		w.Drop(&e)
	}
	variant, err := model.New(e, 0)
	if err != nil {
		return false
	}
	p, err := day.New(variant.Spec)
	if err != nil {
		return false
	}
	r, err := day.Solve(ctx, p, day.Options{Iterations: clashIterations, NodeLimit: clashNodes, MemoryLimit: clashMemory})
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
