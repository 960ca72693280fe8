package prose

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/wording"
)

// attributes gives what a definition says beside names to whom it is about, when it is about one.
func (r *reader) attributes(s *statement) {
	var one *speech.Term
	for _, t := range s.head.Terms {
		if t.Kind == speech.Person {
			if one != nil {
				return
			}
			one = t
		}
	}
	if one == nil || len(one.Guests) == 0 {
		return
	}
	for _, list := range [][]speech.Attribute{s.head.Attrs, s.tail.Attrs} {
		for k := range list {
			if list[k].Class == "number" && list[k].Num <= 110 {
				list[k].Class = "years"
			}
		}
		r.Describe(one.Guests[0], list)
	}
}

// wishes keeps what a line says of its photograph: how much it is wanted, when, how many times.
func (r *reader) wishes(g *event.Grouping, p *photograph, s *statement) {
	var notes []string
	for _, list := range [][]speech.Attribute{s.head.Attrs, s.tail.Attrs} {
		for k, a := range list {
			switch a.Class {
			case "must", "nice":
				g.Priority = map[string]event.Priority{"must": event.Must, "nice": event.Nice}[a.Class]
			case "!":
				if !s.ctx.ranked && k == len(list)-1 && len(list) > 1 && list[k-1].Class == "!" {
					g.Priority = event.Must
				}
			case "first":
				g.Pin = event.PinFirst
			case "last":
				g.Pin = event.PinLast
			case "count", "number":
				if n := len(p.set); a.Num > 0 && !p.all && a.Class == "count" && n != a.Num && !r.HasEntry(p.set) {
					r.At(a.Start, event.Warning, place.CodeCountDiffers, "", wording.Say("list.lineSaysPeopleAndAreKnown", a.Num, n))
				}
			case "frames":
				g.Frames = min(a.Num, 500)
			case "minutes":
				if m := float64(a.Num); a.Num > 0 && a.Num <= 240 {
					g.Minutes = &m
				}
			case "tbc":
				if !r.HasEntry(p.set) {
					r.At(a.Start, event.Warning, place.CodeStandsFor, a.Text, wording.Say("list.whoElseIsMeantByWrite", place.Quoted(a.Text)))
				}
			case "note":
				if a.Text != "" {
					notes = append(notes, a.Text)
					r.At(a.Start, event.Info, place.CodeKeptAsNote, a.Text, wording.Say("list.keptAsNotes", place.Quoted(a.Text)))
				}
			}
		}
	}
	g.PrivateNote = strings.Join(notes, "; ")
	if s.l.Clock != "" {
		g.NotBefore = ""
	}
}

// rules keeps who is to be kept apart.
func (r *reader) rules(s *statement) {
	apart := s.head.Apart || s.tail.Apart
	for _, list := range [][]speech.Attribute{s.head.Attrs, s.tail.Attrs} {
		for _, a := range list {
			apart = apart || a.Class == "apart" || a.Class == "split" && strings.Contains(a.Text, "separa")
		}
	}
	if !apart {
		return
	}
	ids := r.apartPair(s)
	if len(ids) != 2 || r.AreApart(ids[0], ids[1]) {
		return
	}
	r.Apart = append(r.Apart, ids)
	r.took(s, s.ph, wording.Say("list.standApart", r.And(ids)))
}

// apartPair are the two whom a line keeps apart: those named right before, else the parents it names.
func (r *reader) apartPair(s *statement) []int {
	at := -1
	for _, p := range s.ph {
		if at < 0 && (p.Has("apart") || p.Has("split")) {
			at = p.Start
		}
		if p.Open {
			for _, q := range p.Inside {
				if at < 0 && (q.Has("apart") || q.Has("split")) {
					at = q.Start
				}
			}
		}
	}
	var before, after []int
	var visit func(terms []*speech.Term)
	c := r.scopeOf(s)
	visit = func(terms []*speech.Term) {
		for _, t := range terms {
			var ids []int
			switch {
			case t.Kind == speech.Person && r.HalfNamed(t.Name) == 0:
				if ids = r.Find(t.Name); len(ids) > 1 {
					ids = ids[:1]
				}
			case t.Kind == speech.Kin && t.Word.Arg == "parent" && len(t.Names) == 0:
				if t.Owner != nil {
					c.Carry = t.Owner
				}
				ids = r.ResolveKin(t, c)
			}
			if t.Start < at || at < 0 {
				before = people.Union(before, ids)
			} else {
				after = people.Union(after, ids)
			}
			visit(t.Names)
		}
	}
	visit(s.head.Terms)
	visit(s.tail.Terms)
	if len(before) >= 2 {
		return before[len(before)-2:]
	}
	if both := people.Union(before, after); len(both) >= 2 {
		return both[:2]
	}
	return nil
}

// alwaysCouple reports whether a line says that the couple is in all photographs.
func (r *reader) alwaysCouple(ph []speech.Phrase) bool {
	couple, in := false, false
	for k := range ph {
		couple = couple || ph[k].Has("couple") || ph[k].Has("self") || r.InCouple(ph[k].Text)
		w, always := ph[k].Word("always")
		in, couple = in || always, couple || always && w.Arg == "us"
		if ph[k].Open && r.alwaysCouple(ph[k].Inside) {
			return true
		}
	}
	return couple && in
}

// gone reads who is dead or has dropped out from lines that say so, before photographs are read.
func (r *reader) gone() {
	for _, s := range r.stmts {
		r.Line = s.l
		for k := range s.ph {
			if !(s.ph[k].Has("dead") || s.ph[k].Has("absent") && s.kind == edit) || r.NameLike(&s.ph[k]) {
				continue
			}
			for _, t := range append(slices.Clone(s.head.Terms), s.tail.Terms...) {
				if t.Kind != speech.Person {
					continue
				}
				for _, i := range r.Find(t.Name) {
					if s.kind == edit && r.Guests[i].Half == 0 && t.End <= s.ph[k].Start {
						r.Guests[i].Never = true
					}
				}
			}
		}
	}
}

// day reads the date and the times that the list gives for the whole day.
func (r *reader) day() {
	r.gone()
	for _, s := range r.stmts {
		r.Line = s.l
		r.rules(s)
		if s.kind != photo && r.alwaysCouple(s.ph) {
			r.always = true
			r.took(s, s.ph, wording.Say("list.coupleAlways"))
		}
	}
	defer r.askDate()
	r.sayings()
	for k, s := range r.stmts {
		if s.kind != title && s.kind != heading {
			continue
		}
		r.Line = s.l
		if s.kind == title && r.keyed(s) {
			continue
		}
		if r.event.Date == "" {
			r.date(s)
		}
		if k == 0 && s.kind == title && r.event.Title == "" && !s.colon {
			text, _, _ := strings.Cut(s.l.Text, " - ")
			r.event.Title = place.Clip(strings.TrimSpace(strings.SplitN(text, ",", 2)[0]))
		}
	}
}
