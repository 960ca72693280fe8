package prose

import (
	"fmt"
	"slices"
	"strconv"
	"unicode/utf8"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/wording"
)

// addTo makes a photograph of the one before and whom an indented or "+" line adds.
func (r *reader) addTo(s *statement) {
	var before *photograph
	for k := len(r.photos) - 1; k >= 0 && before == nil; k-- {
		if !r.photos[k].dropped {
			before = r.photos[k]
		}
	}
	r.Use(s.l.number, place.Used)
	p := &photograph{s: s}
	c := r.scopeOf(s)
	if before != nil {
		p.set = slices.Clone(before.set)
		p.all = before.all
		if s.over != nil && s.l.indent > s.over.l.indent && (before.s == s.over || before.s.l.indent >= s.l.indent) && (s.head.solo || collective(s.over)) {
			p.set, p.all = r.leading(s.over), false
		}
		for _, i := range p.set {
			if r.guests[i].half == 0 {
				c.last = i
			}
		}
	}
	r.evaluate(p, append(slices.Clone(s.head.terms), s.tail.terms...), c)
	r.put(p, s)
	if before != nil && p.g.Title != "" {
		if p.g.Title = before.g.Title + " + " + p.g.Title; before.g.Title == "" || utf8.RuneCountInString(p.g.Title) > longTitle {
			p.g.Title = ""
		}
	}
}

// collective reports whether a photograph is of a whole family or side: what is added below it are the same with some of
// these only.
func collective(s *statement) bool {
	return slices.ContainsFunc(s.head.terms, func(t *term) bool {
		return !t.minus && (t.kind == kinTerm && t.w.arg == "family")
	})
}

// leading is whom the photograph of a statement is about: the couple or one of them, or the honoured.
func (r *reader) leading(s *statement) []int {
	var out []int
	for _, p := range r.photos {
		if p.s == s {
			out = slices.DeleteFunc(slices.Clone(p.set), func(i int) bool { return r.guests[i].half == 0 && i != r.honour })
		}
	}
	return out
}

// partOf puts the people of an indented line into the photograph above it, which it says more of.
func (r *reader) partOf(s *statement) {
	r.Use(s.l.number, place.Used)
	if len(r.photos) == 0 {
		return
	}
	p := r.photos[len(r.photos)-1]
	if p.s != s.over || s.over.open == nil {
		c := r.scopeOf(s)
		q := &photograph{s: p.s}
		terms := append(without(s.head.terms, func(t *term) bool { return s.colon && len(s.tail.terms) > 0 && t.kind != person }), s.tail.terms...)
		r.evaluate(q, terms, c)
		p.set = union(p.set, q.set)
	}
	r.Use(s.l.number, place.Used, fmt.Sprintf("groupings[%d]", len(r.base.Groupings)+len(r.photos)-1))
}

// edited reads what changes other lines: "scrap no. 4", "Lou has dropped out".
func (r *reader) edited(s *statement) {
	r.Use(s.l.number, place.Used)
	for _, p := range s.ph {
		if p.kind != 'n' {
			continue
		}
		for _, q := range r.photos {
			if q.s.l.label == strconv.Itoa(p.num) {
				q.dropped = true
				r.report(q.s.l.number, 1, event.Warning, place.CodeWhichOne, "", wording.Say("list.notUsed", place.Quoted(q.s.l.text)))
			}
		}
	}
}

// asideLine lists a line that asks for no photograph.
func (r *reader) asideLine(k int, s *statement) {
	if isLegend(s.l.raw) || r.greets(s) {
		r.Use(s.l.number, place.Used)
		return
	}
	r.rules(s)
	if len(r.taken[s.l.number]) > 0 {
		r.Use(s.l.number, place.Used)
		return
	}
	r.Use(s.l.number, place.Reported)
	if len(s.ph) > 0 && s.ph[0].has("note") {
		r.report(s.l.number, 1, event.Info, place.CodeNotUsed, "", wording.Say("list.aNote"))
		return
	}
	r.report(s.l.number, 1, event.Warning, place.CodeNotUsed, "", wording.Say("list.readsLikeARemarkAndNot"))
}
