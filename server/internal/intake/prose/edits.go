package prose

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
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
	r.Use(s.l.Number, place.Used)
	p := &photograph{s: s}
	c := r.scopeOf(s)
	if before != nil {
		p.set = slices.Clone(before.set)
		p.all = before.all
		if s.over != nil && s.l.Indent > s.over.l.Indent && (before.s == s.over || before.s.l.Indent >= s.l.Indent) && (s.head.Solo || collective(s.over)) {
			p.set, p.all = r.leading(s.over), false
		}
		for _, i := range p.set {
			if r.Guests[i].Half == 0 {
				c.Last = i
			}
		}
	}
	r.evaluate(p, append(slices.Clone(s.head.Terms), s.tail.Terms...), c)
	if before != nil && s.over != nil && !s.head.Add && s.l.Indent > s.over.l.Indent && len(p.said) > 0 && len(p.set) == len(before.set) {
		p.set = people.Union(r.leading(s.over), p.said) // some of those above
	}
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
	return slices.ContainsFunc(s.ph, func(p speech.Phrase) bool { return p.Has("houses") }) || slices.ContainsFunc(s.head.Terms, func(t *speech.Term) bool {
		return !t.Minus && (t.Kind == speech.Kin && t.Word.Arg == "family")
	})
}

// leading is whom the photograph of a statement is about: the couple or one of them, or the honoured.
func (r *reader) leading(s *statement) []int {
	var out []int
	for _, p := range r.photos {
		if p.s == s {
			out = slices.DeleteFunc(slices.Clone(p.set), func(i int) bool { return r.Guests[i].Half == 0 && i != r.Honour })
		}
	}
	return out
}

// partOf puts the people of an indented line into the photograph above it, which it says more of.
func (r *reader) partOf(s *statement) {
	r.Use(s.l.Number, place.Used)
	if len(r.photos) == 0 {
		return
	}
	p := r.photos[len(r.photos)-1]
	if p.s != s.over || s.over.open == nil {
		c := r.scopeOf(s)
		q := &photograph{s: p.s}
		terms := append(speech.Without(s.head.Terms, func(t *speech.Term) bool { return s.colon && len(s.tail.Terms) > 0 && t.Kind != speech.Person }), s.tail.Terms...)
		r.evaluate(q, terms, c)
		p.set = people.Union(p.set, q.set)
	}
	r.Use(s.l.Number, place.Used, fmt.Sprintf("groupings[%d]", len(r.Base.Groupings)+len(r.photos)-1))
}

// change is what a line wants changed in photographs that others ask for.
type change struct {
	labels []string       // of their numbers; none for the photograph before
	terms  []*speech.Term // who comes or goes
	swap   bool           // the first of them goes, the others come
	drop   bool
	whole  bool // the photographs themselves go
}

// changes are what a line wants changed in numbered photographs: "scrap no. 4", "add Zoe to 2", "take Ann out of 3".
func (r *reader) changes(s *statement) []change {
	if s.l.Mark == '#' || !r.Effort.Spend(20*len(s.ph)) {
		return nil
	}
	var out []change
	from := 0
	for k := range s.ph {
		key := s.ph[k].Key
		if end := key == "," || key == ";" || key == "!" || key == "." && (k == 0 || !s.ph[k-1].Has("ref") && !s.ph[k-1].Has("minus")); !end && k < len(s.ph)-1 {
			continue
		}
		if c, ok := r.changeIn(s, s.ph[from:k+1]); ok {
			out = append(out, c)
		}
		from = k + 1
	}
	return out
}

// changeIn reads the words between two marks as a change.
func (r *reader) changeIn(s *statement, ph []speech.Phrase) (change, bool) {
	c := change{}
	verb, number, refers := -1, -1, false
	for k := range ph {
		w, ok := ph[k].Word("edit")
		switch {
		case ok && verb < 0 && !r.NameLike(&ph[k]):
			verb, c.drop, c.swap = k, w.Arg == "drop", w.Arg == "swap"
		case ok && w.Arg == "drop":
			c.drop = true
		case ph[k].Kind == 'n' && r.Counted[ph[k].Num] && (k+1 == len(ph) || !counts(&ph[k+1])):
			c.labels = append(c.labels, strconv.Itoa(ph[k].Num))
			if number < 0 {
				number = k
			}
		case number < 0 && verb < 0 && ph[k].Has("ref"):
			refers = true
		}
	}
	if number < 0 || verb < 0 && number > 2 {
		return c, false
	}
	before, after := r.peopleOf(ph[:number]), r.peopleOf(ph[number:])
	if verb < 0 && !(len(after) > 0 && (refers || number > 0)) {
		return c, false
	}
	c.whole = c.drop && len(before) == 0 && (len(after) == 0 || verb < number)
	c.terms = append(before, after...)
	return c, c.whole || len(c.terms) > 0 && !(c.swap && len(c.terms) < 2)
}

// peopleOf parses whom words name that change a photograph, without those that say what is to be done.
func (r *reader) peopleOf(ph []speech.Phrase) []*speech.Term {
	ph = slices.Clone(ph)
	for k := range ph {
		p := &ph[k]
		if p.Kind == 'n' || p.SaysUs() || !r.NameLike(p) && (p.Has("edit") || p.Has("remark") || p.Has("verb") || p.Has("prep") || p.Has("there") || p.Has("ref") && !p.Has("of")) {
			ph[k] = speech.Phrase{Token: words.Token{Text: ",", Key: ",", Kind: 'p', Start: p.Start, End: p.End}}
		}
	}
	return r.Parse(ph, false).Terms
}

func allTerms(s *statement) []*speech.Term {
	return append(slices.Clone(s.head.Terms), s.tail.Terms...)
}

// counts reports whether a number before a phrase says how many or how old, and is no number of a photograph.
func counts(next *speech.Phrase) bool {
	for _, class := range []string{"count", "years", "months", "weeks", "unitmin", "ampm", "kin", "role", "group", "frames", "month"} {
		if next.Has(class) {
			return true
		}
	}
	return false
}

// edited changes the photographs above as a line says; people who have dropped out are in none.
func (r *reader) edited(s *statement) {
	r.Use(s.l.Number, place.Used)
	c := r.scopeOf(s)
	for _, ch := range s.changes {
		for k, q := range r.photos {
			if q.dropped || !slices.Contains(ch.labels, q.s.l.Label) && (len(ch.labels) > 0 || k != len(r.photos)-1) {
				continue
			}
			if ch.whole {
				q.dropped = true
				r.Tell(q.s.l.Number, 1, event.Warning, place.CodeWhichOne, "", wording.Say("list.notUsed", place.Quoted(q.s.l.Text)))
				continue
			}
			for n, t := range ch.terms {
				t.Minus = t.Minus || ch.drop || ch.swap && n == 0
			}
			r.evaluate(q, ch.terms, c)
			r.Use(s.l.Number, place.Used, field("groupings", len(r.Base.Groupings)+k))
		}
	}
}

// asideLine lists a line that asks for no photograph.
func (r *reader) asideLine(k int, s *statement) {
	if words.IsLegend(s.l.Raw) || r.greets(s) {
		r.Use(s.l.Number, place.Used)
		return
	}
	r.rules(s)
	if s.clause && len(allTerms(s)) == 0 && slices.ContainsFunc(r.ofLine(s), func(o *statement) bool { return o.kind == photo }) {
		return
	}
	if len(r.taken[s.l.Number]) > 0 {
		r.Use(s.l.Number, place.Used)
		r.unheard(s)
		return
	}
	if r.Couple[0] >= 0 && (r.Guests[r.Couple[0]].Line == s.l.Number || r.Guests[r.Couple[1]].Line == s.l.Number) {
		r.Use(s.l.Number, place.Used) // it names the couple
		return
	}
	r.Use(s.l.Number, place.Reported)
	if len(s.ph) > 0 && s.ph[0].Has("note") {
		r.Tell(s.l.Number, 1, event.Info, place.CodeNotUsed, "", wording.Say("list.aNote"))
		return
	}
	r.Tell(s.l.Number, 1, event.Warning, place.CodeNotUsed, "", wording.Say("list.readsLikeARemarkAndNot"))
}

// wishWords are words of a sentence that may ask for a photograph.
var wishWords = regexp.MustCompile(`(?i)photo|picture|\bpics?\b|\bshots?\b|foto|bild|صور|照|拍`)

// unheard lists sentences of a line that may ask for a photograph, when only others of the line gave something.
func (r *reader) unheard(s *statement) {
	for _, ph := range speech.Sentences(speech.Flat(s.ph)) {
		text := strings.TrimSpace(s.l.Text[ph[0].Start:ph[len(ph)-1].End])
		if !r.heard[[2]int{s.l.Number, ph[0].Start}] && wishWords.MatchString(text) {
			r.At(ph[0].Start, event.Warning, place.CodeNotUsed, "", wording.Say("list.notUsed", place.Quoted(text)))
		}
	}
}
