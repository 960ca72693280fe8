package prose

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/words"
	"kinorder.example/server/internal/wording"
)

var needsOf = map[string]event.Need{"wheelchair": event.Wheelchair, "seat": event.Seat, "stepfree": event.StepFree, "interpreter": event.Interpreter}

// describe keeps what is said of a person: age, needs, absence, times, notes.
func (r *reader) describe(i int, attrs []attr) {
	g := &r.Guests[i]
	for k := range attrs {
		a := &attrs[k]
		switch a.class {
		case "need":
			if n := needsOf[a.arg]; n != event.NoNeed && !slices.Contains(g.Needs, n) {
				g.Needs = append(g.Needs, n)
			}
		case "say":
			g.SayAs = a.text
		case "nick":
			if !slices.Contains(g.Nicknames, a.text) && a.text != g.Given {
				g.Nicknames = append(g.Nicknames, a.text)
				r.Call(i, a.text)
			}
		case "absent":
			g.Absent = true
		case "dead":
			g.Dead, g.Never = true, true
		case "years":
			r.AgeIn(g, a.num)
		case "months", "weeks":
			g.AgeBand, g.Age = event.Infant, 0
			if a.class == "months" && a.num >= 24 {
				r.AgeIn(g, a.num/12)
			}
		case "elder":
			g.AgeBand = event.Elder
		case "child":
			if g.AgeBand == event.Adult {
				g.AgeBand = event.Child
			}
		case "infant":
			g.AgeBand = event.Infant
		case "from", "until":
			if at := timeAfter(attrs[k+1:]); at != "" {
				if a.class == "from" {
					g.PresentFrom = at
				} else {
					g.PresentUntil = at
				}
			}
		case "time":
			if g.PresentFrom == "" && g.PresentUntil == "" && slices.ContainsFunc(attrs, func(b attr) bool { return b.class == "note" && strings.Contains(b.text, "late") }) {
				g.PresentFrom = a.arg
			}
		case "note":
			if a.text != "" && !strings.Contains(g.PrivateNote, a.text) {
				if g.PrivateNote != "" {
					g.PrivateNote += "; "
				}
				g.PrivateNote += a.text
				r.At(a.s, event.Info, place.CodeKeptAsNote, a.text, wording.Say("list.keptAsNotes", place.Quoted(a.text)))
			}
		}
	}
}

// timeAfter is the time of day that follows "until" or "arrives".
func timeAfter(attrs []attr) string {
	for _, a := range attrs {
		switch {
		case a.class == "time":
			return a.arg
		case a.class == "number" && a.num >= 100 && a.num < 2400 && a.num%100 < 60:
			at, _ := words.Clock(string(rune('0'+a.num/1000))+string(rune('0'+a.num/100%10)), string(rune('0'+a.num/10%10))+string(rune('0'+a.num%10)), "")
			return at
		}
	}
	return ""
}

// attributes gives what a definition says beside names to whom it is about, when it is about one.
func (r *reader) attributes(s *statement) {
	var one *term
	for _, t := range s.head.terms {
		if t.kind == person {
			if one != nil {
				return
			}
			one = t
		}
	}
	if one == nil || len(one.who) == 0 {
		return
	}
	for _, list := range [][]attr{s.head.attrs, s.tail.attrs} {
		for k := range list {
			if list[k].class == "number" && list[k].num <= 110 {
				list[k].class = "years"
			}
		}
		r.describe(one.who[0], list)
	}
}

// wishes keeps what a line says of its photograph: how much it is wanted, when, how many times.
func (r *reader) wishes(g *event.Grouping, p *photograph, s *statement) {
	var notes []string
	for _, list := range [][]attr{s.head.attrs, s.tail.attrs} {
		for k, a := range list {
			switch a.class {
			case "must", "nice":
				g.Priority = map[string]event.Priority{"must": event.Must, "nice": event.Nice}[a.class]
			case "!":
				if !s.ctx.ranked && k == len(list)-1 && len(list) > 1 && list[k-1].class == "!" {
					g.Priority = event.Must
				}
			case "first":
				g.Pin = event.PinFirst
			case "last":
				g.Pin = event.PinLast
			case "count", "number":
				if n := len(p.set); a.num > 0 && !p.all && a.class == "count" && n != a.num && !r.HasEntry(p.set) {
					r.At(a.s, event.Warning, place.CodeCountDiffers, "", wording.Say("list.lineSaysPeopleAndAreKnown", a.num, n))
				}
			case "frames":
				g.Frames = min(a.num, 500)
			case "minutes":
				if m := float64(a.num); a.num > 0 && a.num <= 240 {
					g.Minutes = &m
				}
			case "tbc":
				if !r.HasEntry(p.set) {
					r.At(a.s, event.Warning, place.CodeStandsFor, a.text, wording.Say("list.whoElseIsMeantByWrite", place.Quoted(a.text)))
				}
			case "note":
				if a.text != "" {
					notes = append(notes, a.text)
					r.At(a.s, event.Info, place.CodeKeptAsNote, a.text, wording.Say("list.keptAsNotes", place.Quoted(a.text)))
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
	apart := s.head.apart || s.tail.apart
	for _, list := range [][]attr{s.head.attrs, s.tail.attrs} {
		for _, a := range list {
			apart = apart || a.class == "apart" || a.class == "split" && strings.Contains(a.text, "separa")
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
		if at < 0 && (p.has("apart") || p.has("split")) {
			at = p.Start
		}
		if p.open {
			for _, q := range p.inside {
				if at < 0 && (q.has("apart") || q.has("split")) {
					at = q.Start
				}
			}
		}
	}
	var before, after []int
	var visit func(terms []*term)
	c := r.scopeOf(s)
	visit = func(terms []*term) {
		for _, t := range terms {
			var ids []int
			switch {
			case t.kind == person && r.HalfNamed(t.name) == 0:
				if ids = r.Find(t.name); len(ids) > 1 {
					ids = ids[:1]
				}
			case t.kind == kinTerm && t.w.Arg == "parent" && len(t.sub) == 0:
				if t.own != nil {
					c.carry = t.own
				}
				ids = r.resolveKin(t, c)
			}
			if t.s < at || at < 0 {
				before = people.Union(before, ids)
			} else {
				after = people.Union(after, ids)
			}
			visit(t.sub)
		}
	}
	visit(s.head.terms)
	visit(s.tail.terms)
	if len(before) >= 2 {
		return before[len(before)-2:]
	}
	if both := people.Union(before, after); len(both) >= 2 {
		return both[:2]
	}
	return nil
}

// alwaysCouple reports whether a line says that the couple is in all photographs.
func (r *reader) alwaysCouple(ph []phrase) bool {
	couple, in := false, false
	for k := range ph {
		couple = couple || ph[k].has("couple") || ph[k].has("self") || r.InCouple(ph[k].Text)
		w, always := ph[k].word("always")
		in, couple = in || always, couple || always && w.Arg == "us"
		if ph[k].open && r.alwaysCouple(ph[k].inside) {
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
			if !(s.ph[k].has("dead") || s.ph[k].has("absent") && s.kind == edit) || r.nameLike(&s.ph[k]) {
				continue
			}
			for _, t := range append(slices.Clone(s.head.terms), s.tail.terms...) {
				if t.kind != person {
					continue
				}
				for _, i := range r.Find(t.name) {
					if s.kind == edit && r.Guests[i].Half == 0 && t.e <= s.ph[k].Start {
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
