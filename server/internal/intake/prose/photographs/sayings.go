package photographs

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/facts"
	"kinorder.example/server/internal/intake/prose/plain"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/statements"
	"kinorder.example/server/internal/intake/prose/words"
	"kinorder.example/server/internal/wording"
)

// sayings takes what sentences beside the photographs say of people and photographs: "Gran can't stand long",
// "Please don't put Ann next to Bob", "8-10 only if there's time".
func (r *Reader) sayings() {
	r.marks = make(map[string]event.Priority)
	r.ranks = make(map[string]event.Priority)
	for _, s := range r.Statements {
		if !r.Effort.Spend(10 * len(s.Line.Raw)) { // the whole of it for each of its sentences
			return
		}
		r.Line = s.Line
		r.legend(s)
		r.neverTogether(s, false)
		if s.Kind == statements.Definition && s.Context.Guests {
			continue
		}
		var about []int // whom the sentence before names
		for _, sentence := range r.Told(speech.Flat(s.Phrases)) {
			r.saidOf(s, sentence, r.pronounced(about, sentence))
			if ids, _ := r.within(s, sentence, len(r.Guests)); len(ids) > 0 {
				about = ids
			}
			r.ranked(s, sentence)
			if s.Kind != statements.Photo {
				r.agesSaid(sentence)
			}
		}
	}
	r.graded()
}

// pronounced is whom "she", "he" or "they" of a sentence means that names nobody, of those whom the one before names: the last.
func (r *Reader) pronounced(ids []int, ph []speech.Phrase) []int {
	if len(ids) == 0 {
		return nil
	}
	last := ids[len(ids)-1:]
	for k := range ph {
		if words.Listed("they", ph[k].Key) {
			return ids
		}
		for sex, list := range map[byte]string{'w': "she", 'm': "he"} {
			if g := &r.Guests[last[0]]; words.Listed(list, ph[k].Key) && (g.Sex == 0 || g.Sex == sex) {
				return last
			}
		}
	}
	return nil
}

// agesSaid takes ages that follow names: "Nico 6, Luna 4", "Erika ist 74", "Amparo, que tiene 93 años".
func (r *Reader) agesSaid(ph []speech.Phrase) {
	for k := 0; k < len(ph); k++ {
		i, n := r.nameAt(ph, k)
		if i < 0 {
			continue
		}
		j := k + n
		for j < len(ph) && (ph[j].Key == "," || ph[j].Key == "=" || ph[j].Has("verb") || words.Listed("relative", ph[j].Key)) {
			j++
		}
		if j < len(ph) && ph[j].Kind == 'n' && ph[j].Num > 0 && ph[j].Num <= 110 && ageEnds(ph[j], ph[j+1:]) && speech.DayInFigures(ph, j) == 0 {
			class := "years"
			for _, unit := range []string{"months", "weeks"} {
				if j+1 < len(ph) && ph[j+1].Has(unit) {
					class = unit // "Theo is 4 months"
				}
			}
			r.Describe(i, []speech.Attribute{{Class: class, Num: ph[j].Num}})
		}
		k += n - 1
	}
}

// ageEnds reports whether what stands behind a number lets it be an age.
func ageEnds(number speech.Phrase, ph []speech.Phrase) bool {
	if len(ph) == 0 || ph[0].Start-number.End > 1 { // a bracket ends between them
		return true
	}
	if len(ph) > 1 && (ph[0].Key == "." || ph[0].Has("of")) && ph[1].Has("month") { // "Ann & Bo, 12. Juni"
		return false
	}
	return ph[0].Kind == 'p' && ph[0].Key != "-" && ph[0].Key != "/" || ph[0].Has("years") || ph[0].Has("months") || ph[0].Has("weeks") || ph[0].Has("and")
}

// nameAt is whose name begins at a phrase, and how many phrases it has; -1 where none does.
func (r *Reader) nameAt(ph []speech.Phrase, k int) (who, phrases int) {
	if ph[k].Kind != 'w' || !r.Known[ph[k].Key] && len(r.ByName[ph[k].Key]) == 0 { // of "Jean-Marc" each word is known
		return -1, 1
	}
	for n := min(3, len(ph)-k); n > 0; n-- { // the longest name first
		text := ph[k].Text
		for _, p := range ph[k+1 : k+n] {
			text += " " + p.Text
		}
		if one := r.Find(text); len(one) == 1 && (n > 1 || r.NameLike(&ph[k])) {
			return one[0], n
		}
	}
	return -1, 1
}

// within are the people whom terms of a stretch of the line name, by where they stand; of words of kin those that stand for no more
// than most.
func (r *Reader) within(s *statements.Statement, ph []speech.Phrase, most int) (ids, at []int) {
	if len(ph) == 0 {
		return nil, nil
	}
	from, to := ph[0].Start, ph[len(ph)-1].End
	take := func(i, place int) {
		if r.Guests[i].Half == 0 && !slices.Contains(ids, i) {
			k, _ := slices.BinarySearch(at, place+1)
			ids, at = slices.Insert(ids, k, i), slices.Insert(at, k, place)
		}
	}
	for k := 0; k < len(ph); k++ {
		i, n := r.nameAt(ph, k)
		last := k + n - 1
		owner := ph[last].Possessive && last+1 < len(ph) && ph[last+1].Has("kin") || k > 1 && ph[k-1].Has("of") && ph[k-2].Has("kin") // "Bob's ex (Ann)" is Ann
		if i >= 0 && !owner {
			take(i, ph[k].Start)
		}
		k += n - 1
	}
	c := r.ScopeOf(s)
	var visit func(terms []*speech.Term)
	visit = func(terms []*speech.Term) {
		for _, t := range terms {
			var one []int
			switch two := r.MotherAndFather(t); {
			case t.Start < from || t.Start >= to:
			case len(two) == 2: // "Mum and Dad"
				two[0].Owner, two[1].Owner = t.Owner, t.Owner
				visit(two)
			case t.Kind == speech.Kin && len(t.Names) == 0 && t.Word.Arg != "family":
				one = r.ResolveKin(t, c)
				if !t.Word.Plural && len(one) > 1 || len(one) > most || (t.All || t.Every) && most <= 2 {
					one = nil
				}
			}
			for _, i := range one {
				take(i, t.Start)
			}
			visit(slices.DeleteFunc(slices.Clone(t.Names), func(x *speech.Term) bool { return t.Kind == speech.Person && x.Kind == speech.Kin && t.Start >= from })) // "Ann (mother)"
		}
	}
	terms := s.Terms()
	if len(ids) < 2 && !slices.ContainsFunc(terms, func(t *speech.Term) bool { return t.Start >= from && t.Start < to }) {
		terms = r.Parse(ph, false).Terms // of a sentence that is no part of the photograph
	}
	visit(terms)
	return ids, at
}

// saidOf gives needs and absences to the people named before them in a sentence, else behind them, or to whom it is about
// when it names nobody.
func (r *Reader) saidOf(s *statements.Statement, ph []speech.Phrase, about []int) {
	if r.Helps(ph) {
		return
	}
	ids, at := r.within(s, ph, len(r.Guests))
	if len(ids) == 0 {
		ids, at = about, make([]int, len(about))
	}
	if len(ids) == 0 {
		r.ofNobody(s, ph)
		return
	}
	from := 0
	var last []int // of whom something was told before
	for k := range ph {
		p := &ph[k]
		w, need := p.Word("need")
		if !says(p) || r.NameLike(p) || r.Titled(p) >= 0 || k > 0 && ph[k-1].Has("not") && !strings.Contains(p.Key, " ") { // "don't seat Ann by Bob"
			continue
		}
		a := speech.Attribute{Class: "need", Arg: w.Arg}
		for _, class := range []string{"departs", "absent", "until", "from"} {
			if !need && p.Has(class) {
				a.Class = strings.Replace(class, "departs", "until", 1)
			}
		}
		of := r.toldBy(s, p, ids, at, told{from: from, last: last, need: need, about: len(about) > 0})
		attrs := []speech.Attribute{a}
		if a.Class == "until" || a.Class == "from" {
			attrs = append(attrs, r.timesSaid(ph, k)...)
			if len(attrs) == 1 {
				continue
			}
		}
		for _, i := range of {
			r.Describe(i, attrs)
			if s.Kind == statements.Remark || s.Kind == statements.Definition && len(s.Head.Terms) < 2 {
				r.took(s, ph, r.attrSaid(i, attrs))
			}
		}
		from, last = p.Start, of
	}
}

// told is what a sentence says of people up to a phrase.
type told struct {
	from  int   // where the last phrase stood that told something
	last  []int // of whom
	need  bool
	about bool // nobody is named: it tells of those of the sentence before
}

// toldBy is of whom a phrase tells something: who is named before it, whom its bracket begins with or follows, else who stands
// behind it.
func (r *Reader) toldBy(s *statements.Statement, p *speech.Phrase, ids, at []int, so told) []int {
	of, behind := []int(nil), -1
	bracket := slices.IndexFunc(s.Phrases, func(b speech.Phrase) bool { return b.Open && b.Start < p.Start && p.Start < b.End })
	for n, i := range ids {
		switch {
		case at[n] >= so.from && (at[n] < p.Start || so.about && at[n] == 0):
			of = append(of, i)
		case at[n] > p.Start && behind < 0 && (bracket < 0 || at[n] < s.Phrases[bracket].End):
			behind = i
		}
	}
	switch own := r.toldInside(s, bracket, p.Start); {
	case len(own) > 0:
		of = own
	case bracket >= 0 && len(of) > 0 && kinBetween(s, at[slices.Index(ids, of[len(of)-1])], s.Phrases[bracket].Start):
		return nil // "Ann, Grandpa (wheelchair)"
	case bracket < 0 && p.Has("absent") && len(of) > 0 && kinBetween(s, at[slices.Index(ids, of[len(of)-1])], p.Start):
		return nil // "Ann, her husband can't come"
	case bracket >= 0 && len(of) > 1:
		of = of[len(of)-1:]
	case bracket >= 0 && len(of) == 0 && behind < 0:
		of = so.last
	}
	if w, _ := p.Word("need"); len(of) > 1 && bracket < 0 && w.Arg == "wheelchair" {
		if n := ofLast(s, p, at[slices.Index(ids, of[len(of)-1])]); n > 0 {
			of = of[max(0, len(of)-n):]
		}
	}
	if len(of) > 1 && s.Kind == statements.Photo { // whoever it is for stands with "grandparents, seated"
		of = slices.DeleteFunc(of, func(i int) bool { return i == r.Honour })
	}
	if len(of) == 0 && behind >= 0 && (so.need || at[0] > p.Start) {
		of = []int{behind}
	}
	return of
}

// ofLast is of how many of those named last a phrase about a wheelchair tells, 0 for all: of one behind a relative clause, as in "Ann,
// Bo and my nan Beryl who will be in her wheelchair", or behind the last comma, as in "mum Ann, dad Bo, gran Beryl, 88,
// wheelchair"; of two where it says both. One who sits in a wheelchair is one, while "Ann and Bo who need a seat" are two.
func ofLast(s *statements.Statement, p *speech.Phrase, from int) int {
	several := strings.HasSuffix(p.Key, "s")
	for _, q := range s.Phrases {
		switch {
		case q.Start <= from || q.Start >= p.Start:
		case words.Listed("pronoun", q.Key):
			return 1
		case q.Has("both"):
			return 2
		case plain.Are(q.Token) || q.Has("all"):
			several = true
		}
	}
	terms := s.Terms()
	last := slices.IndexFunc(terms, func(t *speech.Term) bool { return t.Start <= from && from < t.End })
	for k := last; k > 0 && !several; k-- {
		if terms[k].Sep == "," {
			return last - k + 1
		}
	}
	return 0
}

// kinBetween reports whether words for one of kin without a name, to whom a bracket belongs, stand between somebody and it.
func kinBetween(s *statements.Statement, from, to int) bool {
	return slices.ContainsFunc(s.Terms(), func(t *speech.Term) bool {
		return t.Kind == speech.Kin && !t.Word.Plural && len(t.Names) == 0 && t.Start > from && t.End <= to
	})
}

// toldInside is whom a bracket tells of that begins with them: "Ann, Bob (Ann will need to sit)".
func (r *Reader) toldInside(s *statements.Statement, bracket, at int) []int {
	if bracket < 0 || !r.TellsOf(s.Phrases[bracket].Inside) {
		return nil
	}
	ids, places := r.within(s, speech.Flat(s.Phrases[bracket].Inside), len(r.Guests))
	if len(ids) == 0 || places[0] > at {
		return nil
	}
	return ids[:1]
}

// timesSaid are the times that a phrase says somebody comes or goes at: behind it, else right before.
func (r *Reader) timesSaid(ph []speech.Phrase, k int) []speech.Attribute {
	out, back := timesOf(ph[k+1:]), 2
	for n := k + 2; ph[k].Has("departs") && n < min(len(ph), k+6) && len(out) == 0; n++ { // "her train for the coast is at 5:10"
		if at := speech.TimeAt(ph, n); at != "" {
			out = []speech.Attribute{{Class: "time", Arg: at}}
		}
	}
	if ph[k].Has("departs") {
		back = 4
	}
	if w, _ := ph[k].Word("from"); w.Arg == "between" && len(out) > 0 { // "between 2 and 3"
		if and := slices.IndexFunc(ph[k+1:], func(q speech.Phrase) bool { return q.Has("and") || q.Key == "-" }); and >= 0 {
			out = append(append(out, speech.Attribute{Class: "until"}), timesOf(ph[k+1+and:])...)
		}
	}
	for b := k - 1; b >= max(0, k-back) && len(out) == 0; b-- {
		if at := speech.TimeAt(ph[:k], b); at != "" { // "下午5点前要走"
			out = append(out, speech.Attribute{Class: "time", Arg: at})
		}
	}
	return out
}

// ofNobody says that a sentence tells something of somebody who is in no photograph.
func (r *Reader) ofNobody(s *statements.Statement, ph []speech.Phrase) {
	at := -1
	for k := range ph {
		p := &ph[k]
		_, given := words.Given(p.Key)
		switch {
		case r.NameLike(p) && p.Capital && (given || k > 0 && ph[k-1].Has("kin") || k+1 < len(ph) && says(&ph[k+1])) && len(r.Find(p.Text)) == 0:
			at = k
		case !r.NameLike(p) && says(p) && at >= 0 && (s.Kind == statements.Remark || s.Kind == statements.Title):
			r.At(ph[at].Start, event.Warning, place.CodeNotUsed, "", wording.Say("list.nobodyCalled", place.Quoted(ph[at].Text)))
			return
		}
	}
}

// says reports whether a phrase tells a need, an absence or a time of somebody.
func says(p *speech.Phrase) bool {
	return p.Has("need") || p.Has("absent") || p.Has("until") || p.Has("from") || p.Has("departs")
}

// timesOf is the first time of day of phrases.
func timesOf(ph []speech.Phrase) []speech.Attribute {
	for k := range ph[:min(4, len(ph))] {
		if at := speech.TimeAt(ph, k); at != "" {
			return []speech.Attribute{{Class: "time", Arg: at}}
		} else if ph[k].Kind == 'n' {
			return []speech.Attribute{speech.HourSaid(&ph[k])}
		}
	}
	return nil
}

// took notes what a sentence of a line says of people or photographs beside asking for one.
func (r *Reader) took(s *statements.Statement, sentence []speech.Phrase, m wording.Message) {
	if len(sentence) > 0 {
		r.Heard[[2]int{s.Line.Number, sentence[0].Start}] = true
	}
	if !slices.ContainsFunc(r.Taken[s.Line.Number], func(o wording.Message) bool { return o.String() == m.String() }) {
		r.Taken[s.Line.Number] = append(r.Taken[s.Line.Number], m)
	}
}

// attrSaid is what an attribute says of somebody.
func (r *Reader) attrSaid(i int, attrs []speech.Attribute) wording.Message {
	var what wording.Message
	switch a := attrs[0]; a.Class {
	case "need":
		what = wording.Say(needSaid[a.Arg])
	case "absent":
		what = wording.Say("page.notComing")
	case "from", "until":
		what = wording.Say(wording.Key("plan."+a.Class), facts.TimeAfter(attrs[1:]))
	}
	return wording.Say("%s: %s", r.Guests[i].Name, what)
}

var needSaid = map[string]wording.Key{"wheelchair": "sheet.wheelchair", "seat": "page.needsASeat", "stepfree": "sheet.stepFree", "interpreter": "page.needsAnInterpreter"}
