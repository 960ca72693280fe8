package run

import (
	"iter"
	"slices"
	"strings"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
)

func entriesOf(o Plan, block string) []event.SheetEntry {
	for _, b := range o.Sheet.Blocks {
		if b.Block == block {
			return b.Entries
		}
	}
	return nil
}

func (p *played) check(s State, o Plan) {
	planned := map[string]bool{}
	for who := range p.freed {
		if back := slices.ContainsFunc(o.Changes, func(c planning.Change) bool {
			return c.Key == "plan.changedBack" && strings.Contains(c.String(), p.person(who).Name)
		}); back {
			delete(p.freed, who) // it is said that they are wanted again
		}
	}
	for _, b := range o.Sheet.Blocks {
		for _, e := range b.Entries {
			planned[e.Grouping] = true
			if s.Groupings[e.Grouping].Status == Done {
				p.wrong("again", "%s is taken already", e.Grouping)
			}
			for _, who := range slices.Concat(e.StepIn, e.Stay) {
				if after := p.freed[who]; after != "" {
					p.wrong("freed", "%s was free after %s and is called to %s", who, after, e.Grouping)
				}
			}
		}
	}
	var timed []string
	for id := range planned {
		timed = append(timed, p.members[id]...)
	}
	for _, x := range o.Owed {
		possible := s.Groupings[x.Grouping].Status != LeftOut && len(x.Missing) == 0 && p.somewhere(s, x.Grouping)
		if possible && !planned[x.Grouping] && !p.timed(s, append(timed, x.Needed...)) {
			p.wrong("next", "%s could be taken and is not planned: %s", x.Grouping, x.Why)
		}
	}
	p.somethingFor(s, o, planned)
	for _, f := range o.Forecasts {
		if !f.Closes.IsZero() && f.Over != f.Finish.Sub(f.Closes) {
			p.wrong("over", "%s finishes at %s, closes at %s and is %s over", f.Block, f.Finish, f.Closes, f.Over)
		}
		if f.Over > p.mayRunOver(s, f)+30*time.Second {
			p.mustsFirst(s, o, f.Block)
		}
	}
}

// somethingFor: no photographer is without names while anything can be taken by whoever is here.
func (p *played) somethingFor(s State, o Plan, planned map[string]bool) {
	for _, h := range p.phones {
		names := false
		for _, b := range o.Sheet.Blocks {
			names = names || len(b.Entries) > 0 && p.photographer(b.Block) == p.photographer(h.block)
		}
		for _, x := range o.Owed {
			here := s.Groupings[x.Grouping].Status != LeftOut && len(x.Missing) == 0 && !planned[x.Grouping] && slices.ContainsFunc(p.e.Blocks, func(b event.Block) bool {
				g := p.grouping(s, x.Grouping)
				mine := p.photographer(b.ID) == p.photographer(h.block) && !s.Blocks[b.ID].Closed
				return mine && slices.Contains(g.Blocks, b.ID)
			})
			if !names && here {
				p.wrong("next", "%s has nothing next and could take %s: %s", h.by, x.Grouping, x.Why)
			}
		}
	}
}

func (p *played) photographer(block string) string {
	return p.e.Blocks[slices.IndexFunc(p.e.Blocks, func(b event.Block) bool { return b.ID == block })].Photographer
}

// timed says that somebody is there for a time only: for all of their photographs it may be too short.
func (p *played) timed(s State, people []string) bool {
	return slices.ContainsFunc(people, func(id string) bool {
		x := p.person(id)
		return x.PresentFrom != "" || x.PresentUntil != "" || s.People[id].Presence == MustLeave
	})
}

// person is somebody of the list, or a newcomer, who is there all day.
func (p *played) person(id string) event.Person {
	for _, x := range p.e.People {
		if x.ID == id {
			return x
		}
	}
	return event.Person{ID: id}
}

func (p *played) grouping(s State, id string) event.Grouping {
	all := slices.Concat(p.e.Groupings, s.Added)
	return all[slices.IndexFunc(all, func(g event.Grouping) bool { return g.ID == id })]
}

// somewhere says that a photograph has a block that is not closed.
func (p *played) somewhere(s State, id string) bool {
	g := p.grouping(s, id)
	return slices.ContainsFunc(p.e.Blocks, func(b event.Block) bool {
		return !s.Blocks[b.ID].Closed && (len(g.Blocks) == 0 || slices.Contains(g.Blocks, b.ID))
	})
}

// mayRunOver is a tenth of a block, at most 5 minutes, or nothing where its closing is firm.
func (p *played) mayRunOver(s State, f planning.Forecast) time.Duration {
	block := p.e.Blocks[slices.IndexFunc(p.e.Blocks, func(b event.Block) bool { return b.ID == f.Block })]
	opens := s.Blocks[f.Block].Opens
	if block.Closing == event.FirmClosing {
		return 0
	}
	if opens.IsZero() {
		opens, _ = p.e.Instant(block.Opens)
	}
	return min(5*time.Minute, max(0, f.Closes.Sub(opens))/10)
}

// called says that the names of a photograph are up already, or that it was ticked by mistake or put off a moment ago: nobody
// who stands in front of the camera is sent away again.
func (p *played) called(s State, block, id string) bool {
	if p.plan == nil {
		return false
	}
	was := entriesOf(*p.plan, block)
	return len(was) > 0 && was[0].Grouping == id || s.Groupings[id].Status == Open && slices.ContainsFunc(p.marks, func(m Mark) bool {
		here := m.Grouping == id && m.Block == block && p.now.Sub(m.At) < 3*time.Minute
		return here && (m.Kind == Taken || m.Kind == Skipped)
	})
}

// mustsFirst: when time is short nothing else stands before what must have and can be now.
func (p *played) mustsFirst(s State, o Plan, block string) {
	p.tally.short++
	other, since := "", time.Time{}
	for at, e := range entriesAt(o, block) {
		must := p.grouping(s, e.Grouping).Priority == event.Must
		needed := slices.ContainsFunc(p.e.Groupings, func(g event.Grouping) bool { return slices.Contains(g.After, e.Grouping) })
		switch {
		case other != "" && (must || needed || p.called(s, block, e.Grouping)) && (p.bound(s, block, e) || elsewhere(o, block, e, since, at)):
			other = "" // it was taken while its people were on their way, or those of whom the names are up
		case s.Groupings[e.Grouping].Status == Current || needed || p.called(s, block, e.Grouping):
		case !must:
			other, since = e.Grouping, at
			if p.timed(s, slices.Concat(e.StepIn, e.Stay)) {
				other = "" // what must be over soon has its place, and all before it
			}
		case other != "" && !p.putOff(s, e.Grouping):
			p.wrong("must", "%s stands before %s, which must have: %v", other, e.Grouping, o.Forecasts)
			return
		}
	}
}

func entriesAt(o Plan, block string) iter.Seq2[time.Time, event.SheetEntry] {
	return func(yield func(time.Time, event.SheetEntry) bool) {
		for _, b := range o.Sheet.Blocks {
			for _, e := range b.Entries {
				if b.Block == block && !yield(b.Start.Add(e.Offset), e) {
					return
				}
			}
		}
	}
}

// elsewhere says that somebody of a photograph is in another place by the plan, or on their way from it, when what stands
// before begins: it is taken instead of waiting for them.
func elsewhere(o Plan, block string, e event.SheetEntry, since, at time.Time) bool {
	people := slices.Concat(e.StepIn, e.Stay)
	for _, b := range o.Sheet.Blocks {
		for begins, x := range entriesAt(o, b.Block) {
			there := slices.ContainsFunc(slices.Concat(x.StepIn, x.Stay), func(id string) bool { return slices.Contains(people, id) })
			if there && b.Block != block && begins.Before(at) && begins.Add(x.Length+4*time.Minute).After(since) {
				return true
			}
		}
	}
	return false
}

// putOff says that a photograph, or one that it comes after, was left for later.
func (p *played) putOff(s State, id string) bool {
	return s.Groupings[id].Status == Later || slices.ContainsFunc(p.grouping(s, id).After, func(before string) bool { return p.putOff(s, before) })
}

// bound says that a photograph is bound to a time by its people.
func (p *played) bound(s State, block string, e event.SheetEntry) bool {
	return e.Wait > 0 || slices.ContainsFunc(slices.Concat(e.StepIn, e.Stay), func(id string) bool {
		for b, f := range s.Frames {
			if b != block && p.now.Sub(f.At) < 8*time.Minute && slices.Contains(p.members[f.Grouping], id) {
				return true // they come from somewhere else
			}
		}
		for grouping, x := range s.Groupings {
			if x.Status == Current && x.Block != block && slices.Contains(p.members[grouping], id) {
				return true // they are being photographed there
			}
		}
		for _, x := range s.Slots {
			if x.Block != block && p.now.Sub(x.Finished) < 4*time.Minute && slices.Contains(p.members[x.Grouping], id) {
				return true
			}
		}
		return p.person(id).PresentFrom != "" || s.People[id].Presence == Coming
	})
}

// followed: whoever was told to be ready is next, or it is said why not.
func (p *played) followed(s State, block, took string, before, after Plan) {
	was, is := entriesOf(before, block), entriesOf(after, block)
	p.tally.ticks++
	if len(was) < 2 || was[0].Grouping != took || len(is) == 0 {
		return
	}
	told := was[1]
	open := slices.IndexFunc(after.Owed, func(x planning.Owed) bool { return x.Grouping == told.Grouping && len(x.Missing) == 0 && !x.Later })
	current := func(id string) bool { return s.Groupings[id].Status == Current }
	if open < 0 || is[0].Grouping == told.Grouping || current(is[0].Grouping) || current(told.Grouping) {
		return // it goes on, here or with the other photographer
	}
	p.tally.passed++
	said := said(after)
	if !strings.Contains(said, told.Title) && !strings.Contains(said, is[0].Title) {
		p.wrong("told", "%s was told to be ready, %s is next, and what is said is %q", told.Grouping, is[0].Grouping, said)
	}
}

func said(o Plan) string {
	var out []string
	for _, m := range o.Changes {
		out = append(out, m.String())
	}
	return strings.Join(out, " ")
}

// accounted: every tick that was not taken back counts, whatever the order in which it came.
func (p *played) accounted() {
	for _, h := range p.phones {
		h.offline = time.Time{}
		p.send(h)
	}
	undone, last := map[string]bool{}, map[string]Kind{}
	for _, m := range slices.Backward(p.made) {
		if m.Kind == Undone {
			undone[m.Undoes] = true
		}
	}
	want := 0
	for _, m := range p.made {
		if !undone[m.ID] && slices.Contains([]Kind{Taken, PutBack, Skipped, LeaveOut}, m.Kind) {
			last[m.Grouping] = m.Kind
		}
	}
	s := Fold(p.marks)
	for id, kind := range last {
		if kind == Taken {
			want++
		}
		if (kind == Taken) != (s.Groupings[id].Status == Done) {
			p.wrong("mark", "%s: the last mark is %d, the status is %d", id, kind, s.Groupings[id].Status)
		}
	}
	if len(p.marks) != len(p.made) || len(s.Slots) != want {
		p.wrong("mark", "%d of %d marks, %d of %d taken", len(p.marks), len(p.made), len(s.Slots), want)
	}
}
