package run

import (
	"context"
	"errors"
	"maps"
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning/model"
	"kinorder.example/server/internal/wording"
)

// numbered gives every photograph the number that it has on paper, for as long as the day lasts: what a changed list adds, or is
// wanted on the spot, gets the next that is free.
func (o Occasion) numbered(s State, p *Plan) map[string]int {
	out, last := map[string]int{}, 0
	if p != nil {
		maps.Copy(out, p.Numbers)
	}
	if len(out) == 0 {
		for _, b := range o.Sheet.Blocks {
			for _, x := range b.Entries {
				out[x.Grouping] = len(out) + 1
			}
		}
	}
	for _, n := range out {
		last = max(last, n)
	}
	for _, photo := range o.photographs(s) {
		if out[photo.ID] == 0 {
			last++
			out[photo.ID] = last
		}
	}
	return out
}

// photographs are those of the list and of the day.
func (o Occasion) photographs(s State) []event.Photograph {
	e := o.Event
	e.People = slices.Concat(e.People, s.Newcomers(e))
	e.Groupings = slices.Concat(e.Groupings, s.AddedTo(o.Event))
	out, _ := event.Expand(e)
	for i, photo := range out {
		out[i] = s.Groupings[photo.ID].Move.Of(photo)
	}
	return out
}

// carried are the marks that count in a run of another list too: all but those about things that it does not know.
func (o Occasion) carried(marks []Mark) []Mark {
	var out []Mark
	for _, m := range marks {
		m.bring(o.Event)
		if len(CheckMarks(o.Event, added(out), m.At, []Mark{m})) == 0 {
			out = append(out, m)
		}
	}
	return out
}

// Swap says what another list would change in a run: a sentence each, what goes first of all.
func (d *Desk) Swap(ctx context.Context, from Ref, to event.Event) ([]wording.Message, error) {
	m, err := d.moment(ctx, from)
	if err != nil {
		return nil, err
	}
	o, err := d.occasion(ctx, from)
	if err != nil {
		return nil, err
	}
	return swapped(o, Occasion{Event: to}, m.Marks), nil
}

// Numbers are those that the photographs of an event go by on phones, or will when its list is used in a run. There are none as
// long as nothing is marked that counts by that list: it is then begun with anew.
func (d *Desk) Numbers(ctx context.Context, in Ref, to event.Event) (map[string]int, error) {
	m, err := d.moment(ctx, in)
	if err != nil {
		return nil, err
	}
	was, err := d.occasion(ctx, in)
	if err != nil {
		return nil, err
	}
	is := Occasion{Event: to}
	if len(is.carried(m.Marks)) == 0 {
		return nil, nil
	}
	return is.numbered(State{}, &Plan{Numbers: was.numbered(m.state(), m.Plan)}), nil
}

// swapped says what a changed list takes away, must-haves first, what was marked about that, whom it takes out of which
// photograph, and what it adds.
func swapped(was, is Occasion, marks []Mark) (out []wording.Message) {
	state := Fold(marks)
	before, after := was.photographs(state), is.photographs(Fold(is.carried(marks)))
	var musts, gone, marked []wording.Arg
	names, lost, won := map[string]string{}, map[string][]wording.Arg{}, map[string][]wording.Arg{}
	for _, p := range slices.Concat(was.Event.People, is.Event.People) {
		names[p.ID] = p.Name
	}
	renamed := []wording.Message{}
	for _, old := range before {
		now, stays := photographOf(after, old.ID)
		title := wording.Curly(old.Title)
		switch {
		case !stays && old.Priority == event.Must:
			musts = append(musts, title)
		case !stays:
			gone = append(gone, title)
		case old.Title != now.Title:
			renamed = append(renamed, wording.Say("plan.changedListNamed", title, wording.Curly(now.Title)))
		}
		x := state.Groupings[old.ID]
		if !stays && (x.Status != Open || len(x.Without) > 0) {
			marked = append(marked, title)
		}
		for _, id := range old.Members {
			if stays && !slices.Contains(now.Members, id) {
				lost[id] = append(lost[id], title)
			}
		}
	}
	fresh := gained(before, after, won)
	say := func(k wording.Key, list []wording.Arg) {
		if len(list) > 0 {
			out = append(out, wording.Say(k, wording.Comma(list...)))
		}
	}
	say("plan.changedListMust", musts)
	say("plan.changedListWish", mustIn(before, after))
	say("plan.changedListGone", gone)
	say("plan.changedListMarks", marked)
	for _, id := range slices.Sorted(maps.Keys(lost)) {
		out = append(out, wording.Say("plan.changedListOut", names[id], wording.Comma(lost[id]...)))
	}
	for _, id := range slices.Sorted(maps.Keys(won)) {
		out = append(out, wording.Say("plan.changedListIn", names[id], wording.Comma(won[id]...)))
	}
	say("plan.changedListNew", fresh)
	say("plan.changedListNeed", mustIn(after, before))
	if out = append(out, renamed...); len(out) == 0 {
		out = append(out, wording.Say("plan.changedListNone"))
	}
	return out
}

// gained are the titles of what is new in a list, and puts into won who is in what that they were not in.
func gained(before, after []event.Photograph, won map[string][]wording.Arg) (fresh []wording.Arg) {
	for _, now := range after {
		old, known := photographOf(before, now.ID)
		if !known {
			fresh = append(fresh, wording.Curly(now.Title))
		}
		for _, id := range now.Members {
			if known && !slices.Contains(old.Members, id) {
				won[id] = append(won[id], wording.Curly(now.Title))
			}
		}
	}
	return fresh
}

// mustIn are the titles of what must be by one list and need not by the other, as far as that has it.
func mustIn(one, other []event.Photograph) (out []wording.Arg) {
	for _, p := range one {
		if x, both := photographOf(other, p.ID); both && p.Priority == event.Must && x.Priority != event.Must {
			out = append(out, wording.Curly(p.Title))
		}
	}
	return out
}

func photographOf(list []event.Photograph, id string) (event.Photograph, bool) {
	k := slices.IndexFunc(list, func(p event.Photograph) bool { return p.ID == id })
	if k < 0 {
		return event.Photograph{}, false
	}
	return list[k], true
}

// Carry copies the marks of a run into another run of the same event, except those about things that the other run
// does not know. It can safely be repeated. Former, if it names a run, is the one that the other has its list from: its marks
// about things that the list between did not know count again.
func (d *Desk) Carry(ctx context.Context, from, to, former Ref) error {
	old, err := d.moment(ctx, from)
	if err != nil {
		return err
	}
	was, err := d.occasion(ctx, from)
	if err != nil {
		return err
	}
	o, err := d.occasion(ctx, to)
	if err != nil {
		return err
	}
	all := old.Marks
	if former.Run != "" {
		before, err := d.moment(ctx, former)
		if err != nil && !errors.Is(err, ErrGone) {
			return err
		}
		if err == nil {
			all = slices.Concat(before.Marks, all)
		}
	}
	marks := o.carried(all)
	if len(marks) == 0 {
		return nil
	}
	if old.Plan != nil { // who is called stays next, and what is said to be new is what the list has changed
		plan := *old.Plan
		plan.Numbers = was.numbered(old.state(), old.Plan)
		plan.Swapped = &model.Swap{At: d.o.Now().UTC(), Run: from.Run, Said: swapped(was, o, old.Marks)}
		if _, err := d.o.Store.SavePlan(ctx, to, 0, 0, plan); err != nil {
			return err
		}
	}
	if _, err := d.o.Store.AddMarks(ctx, to, marks); err != nil {
		return err
	}
	d.Plan(to)
	return nil
}
