package photographs

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/statements"
	"kinorder.example/server/internal/intake/prose/words"
	"kinorder.example/server/internal/wording"
)

// wishes keeps what a line says of its photograph: how much it is wanted, when, how many times.
func (r *Reader) wishes(g *event.Grouping, p *Photograph, s *statements.Statement) {
	var notes []string
	for _, list := range [][]speech.Attribute{s.Head.Attrs, s.Tail.Attrs} {
		for k, a := range list {
			switch a.Class {
			case "must", "nice":
				g.Priority = map[string]event.Priority{"must": event.Must, "nice": event.Nice}[a.Class]
			case "!":
				if !s.Context.Ranked && k == len(list)-1 && len(list) > 1 && list[k-1].Class == "!" {
					g.Priority = event.Must
				}
			case "first":
				g.Pin = event.PinFirst
			case "last":
				g.Pin = event.PinLast
			case "count", "number":
				if n := len(p.Set); a.Num > 0 && !p.All && a.Class == "count" && n != a.Num && !r.HasEntry(p.Set) {
					r.At(a.Start, event.Warning, place.CodeCountDiffers, "", wording.Say("list.lineSaysPeopleAndAreKnown", a.Num, n))
				}
			case "frames":
				g.Frames = min(a.Num, 500)
			case "minutes":
				if m := float64(a.Num); a.Num > 0 && a.Num <= 240 {
					g.Minutes = &m
				}
			case "tbc":
				if !r.HasEntry(p.Set) {
					r.At(a.Start, event.Warning, place.CodeStandsFor, a.Text, wording.Say("list.whoElseIsMeantByWrite", place.Quoted(a.Text)))
				}
			case "note":
				if a.Text != "" && !about(a) && !strings.Contains(g.Title, a.Text) && !strings.Contains(g.Title, s.Line.Text[a.Start:max(a.Start, a.End)]) { // "from the balcony", which is for all to read
					notes = append(notes, a.Text)
					r.At(a.Start, event.Info, place.CodeKeptAsNote, a.Text, wording.Say("list.keptAsNotes", place.Quoted(a.Text)))
				}
			}
		}
	}
	g.PrivateNote, g.Guests = strings.Join(notes, "; "), r.unlisted(p, s)
	r.timed(g, s)
}

// shortestSlot is how many minutes a line of a timetable has before the next so that it may be said when it ends. Own choice.
const shortestSlot = 5

// timed takes the time of day before a line for when its photograph begins, and when those of the line before are done.
func (r *Reader) timed(g *event.Grouping, s *statements.Statement) {
	if r.Event.Date == "" && r.Base.Date == "" {
		return // a time of the day needs its day
	}
	if k := slices.IndexFunc(s.Attrs(), func(a speech.Attribute) bool { return a.Class == "time" }); k >= 0 {
		g.NotBefore = s.Attrs()[k].Arg
	}
	if g.NotBefore == "" && s.Line.Clock == "" {
		g.NotBefore = s.Context.Clock
		return
	}
	if g.NotBefore != "" {
		return
	}
	g.NotBefore = s.Clock()
	if len(r.Base.Blocks) == 0 && (len(r.Event.Blocks) == 0 || r.Event.Blocks[0].Opens == "") {
		r.block(s).Opens = g.NotBefore
	}
	h, m, _ := event.HourMinute(g.NotBefore)
	for k := len(r.Photographs) - 1; k >= 0; k-- {
		before := &r.Photographs[k].Grouping
		bh, bm, _ := event.HourMinute(before.NotBefore)
		if r.Photographs[k].Statement.Line.Clock == "" || before.NotBefore == "" || r.Photographs[k].Statement.Line == s.Line || before.NotAfter != "" || 60*(h-bh)+m-bm < shortestSlot {
			return
		}
		before.NotAfter = g.NotBefore
	}
}

// unlisted is how many are in a photograph of everybody beside those whom the list names: "everyone (about 80)". Any other
// number is of something else: "everyone at 5", "on the 12 steps".
func (r *Reader) unlisted(p *Photograph, s *statements.Statement) int {
	if !p.All {
		return 0
	}
	most := 0
	for _, part := range []speech.Parsed{s.Head, s.Tail} {
		other := slices.ContainsFunc(part.Attrs, func(a speech.Attribute) bool { return a.Class == "note" && a.Text != "" && !about(a) })
		for _, t := range part.Terms {
			if t.Kind == speech.All && (!other || slices.ContainsFunc(part.Attrs, about)) { // "everyone (take 50)"
				most = max(most, t.Count)
			}
		}
		for k, a := range part.Attrs {
			if a.Class == "count" || a.Class == "number" && slices.ContainsFunc(part.Attrs[max(0, k-1):min(k+2, len(part.Attrs))], about) {
				most = max(most, a.Num)
			}
		}
	}
	return min(max(0, most-len(r.Guests)), event.MaxPeople)
}

// saidCount is how many a line says that a term stands for, 0 where it doesn't: "choir, 20 people", "friends (12)", "friends, about 12".
func saidCount(s *statements.Statement, t *speech.Term) int {
	n := max(t.Count, t.Number)
	for _, part := range []speech.Parsed{s.Head, s.Tail} {
		for _, a := range part.Attrs {
			before := strings.TrimSpace(s.Line.Text[:min(a.Start, len(s.Line.Text))])
			said := a.Class == "count" || a.Class == "number" && (strings.HasSuffix(before, "(") || strings.HasSuffix(before, "（") || slices.ContainsFunc(part.Attrs, about))
			if said && a.Start >= t.End && !slices.ContainsFunc(part.Terms, func(x *speech.Term) bool { return x.Start >= t.End && x.Start < a.Start }) {
				n = max(n, a.Num)
			}
		}
	}
	return n
}

// about reports whether a word says that a number is not exact.
func about(a speech.Attribute) bool { return words.Listed("about", names.Plain(a.Text)) }

// rules keeps who is to be kept apart.
func (r *Reader) rules(s *statements.Statement) {
	apart := s.Head.Apart || s.Tail.Apart
	for _, a := range s.Attrs() {
		apart = apart || a.Class == "apart" || a.Class == "split" && strings.Contains(a.Text, "separa")
	}
	if !apart {
		return
	}
	r.keepApart(s, s.Phrases, r.apartPair(s))
}

// apartPair are the two whom a line keeps apart: those named right before, else the parents it names.
func (r *Reader) apartPair(s *statements.Statement) []int {
	at, last := -1, len(s.Line.Text)
	for _, p := range s.Phrases {
		if at < 0 && (p.Has("apart") || p.Has("split")) {
			at = p.Start
		}
		if p.Open {
			for _, q := range p.Inside {
				if at < 0 && (q.Has("apart") || q.Has("split")) {
					at, last = q.Start, p.End // "Gill (divorced): Ann"
				}
			}
		}
	}
	var before, after []int
	var visit func(terms []*speech.Term)
	c := r.ScopeOf(s)
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
			case t.Kind == speech.Kin && t.Word.Arg == "parent" && t.Start < at: // "Tom's parents (divorced): Joan, Bill and his wife Vera"
				for _, x := range t.Names {
					if x.Word.Class == "" || x.Word.Arg == "parent" {
						ids = people.Union(ids, x.Guests)
					}
				}
			}
			if t.Start < at || at < 0 {
				before = people.Union(before, ids)
			} else if t.Start < last {
				after = people.Union(after, ids)
			}
			visit(t.Names)
		}
	}
	visit(s.Head.Terms)
	visit(s.Tail.Terms)
	if len(before) >= 2 {
		return before[len(before)-2:]
	}
	if both := people.Union(before, after); len(both) >= 2 {
		return both[:2]
	}
	return nil
}

// gone reads who is dead or has dropped out from lines that say so, before photographs are read.
func (r *Reader) gone() {
	for _, s := range r.Statements {
		r.Line = s.Line
		for k := range s.Phrases {
			if !(s.Phrases[k].Has("dead") || s.Phrases[k].Has("absent") && s.Kind == statements.Edit) || r.NameLike(&s.Phrases[k]) {
				continue
			}
			for _, t := range s.Terms() {
				if t.Kind != speech.Person {
					continue
				}
				for _, i := range r.Find(t.Name) {
					if s.Kind == statements.Edit && r.Guests[i].Half == 0 && t.End <= s.Phrases[k].Start {
						r.Guests[i].Never = true
					}
				}
			}
		}
	}
}

// Day reads the date and the times that the list gives for the whole day.
func (r *Reader) Day() {
	r.gone()
	for _, s := range r.Statements {
		r.Line = s.Line
		r.rules(s)
		if s.Kind != statements.Photo && r.AlwaysCouple(s.Phrases) {
			r.always = true
			r.took(s, s.Phrases, wording.Say("list.coupleAlways"))
		}
	}
	defer r.wholeDate()
	r.sayings()
	for _, s := range r.Statements {
		r.hours(s)
	}
	for k, s := range r.Statements {
		if s.Kind != statements.Title && s.Kind != statements.Heading {
			continue
		}
		r.Line = s.Line
		if s.Kind == statements.Title && r.keyed(s) {
			continue
		}
		if r.Event.Date == "" {
			r.date(s)
		}
		if k == 0 && s.Kind == statements.Title && r.Event.Title == "" && !s.Colon && !s.Phrases[0].Has("greet") {
			text, _, _ := strings.Cut(s.Line.Text, " - ")
			r.Event.Title = place.Clip(strings.TrimSpace(strings.SplitN(text, ",", 2)[0]))
			if r.Couple[0] >= 0 && r.Couple[1] >= 0 && ofThePhotos(s) {
				r.Event.Title = r.ofTheCouple()
			}
		}
	}
}

// ofThePhotos reports whether the first line says that photos follow, or when, and not what day it is: the subject of a mail.
func ofThePhotos(s *statements.Statement) bool {
	return !speech.AnyHas(s.Phrases, "event") && (s.Line.Subject() || statements.Dated(s) || speech.AnyHas(s.Phrases, "photos"))
}

// ofTheCouple is what a day is called that has no title of its own.
func (r *Reader) ofTheCouple() string {
	c, _ := wording.For(r.Main)
	return r.Guests[r.Couple[0]].Name + c.Say("sheet.titleAnd") + r.Guests[r.Couple[1]].Name
}
