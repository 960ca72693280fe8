package typed

import (
	"cmp"
	"slices"
	"strings"
	"unicode/utf8"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/kin"
	"kinorder.example/server/internal/wording"
)

// everybodyMark stands for everybody until the last line has said who that is. No id looks so.
const everybodyMark = "*"

// gather reads all lines once to learn which names they hold, so that "Rosa" in the first line is
// the "Rosa Lindqvist" of a later one.
func (r *reader) gather(sections []*section) {
	r.dry = true
	r.eachLine(sections, func(l *line, s *section) { r.photograph(l, s) })
	r.dry = false
	r.declareGathered()
}

// declareGathered makes the people known who were named and are not on any list, the longest names
// first.
func (r *reader) declareGathered() {
	all := r.gathered
	slices.SortStableFunc(all, func(a, b gathered) int {
		return cmp.Compare(len(names.Words(b.name)), len(names.Words(a.name)))
	})
	if r.declared {
		return // who is not on the list of guests is looked at where they are named
	}
	for _, g := range all {
		if r.full(g.on) {
			break
		}
		if g.namesake {
			if r.Find(g.name, nil).How < names.Exact {
				r.newNamesake(g.name, g.mark)
			}
			continue
		}
		if m := r.FindAt(g.name, names.Part, nil); m.How >= names.Part {
			continue // known by now, or to be asked about where it stands
		}
		r.reads(g.on)
		before := len(r.Event.People)
		if close := r.Find(g.name, nil); close.How == names.Near {
			other := r.Event.People[close.People[0]]
			r.report(g.mark, event.Warning, place.CodeLookAlike, g.name, wording.Say("list.lookAlike", place.Quoted(g.name), place.Quoted(other.Name)), other.Name)
		}
		i := r.newPerson(g.name, g.mark)
		if i >= before {
			r.homes[i] = g.mark
		}
	}
}

// eachLine calls f for the lines that ask for photographs.
func (r *reader) eachLine(sections []*section, f func(*line, *section)) {
	r.last, r.lastIDs = nil, nil
	for _, s := range sections {
		if s.heading != nil {
			r.reads(s.heading)
		}
		r.side = ""
		if s.owner != "" && !s.shared {
			if i, ok := r.OwnerNamed(s.owner); ok {
				r.side, _ = r.SideOf(i)
			} else if id, ok := r.SideNamed(s.label); ok {
				r.side = id
			}
		}
		for _, l := range s.lines {
			r.reads(l)
			f(l, s)
		}
	}
}

// photographs reads the lines that ask for photographs.
func (r *reader) photographs(sections []*section) {
	r.eachLine(sections, func(l *line, s *section) { r.photograph(l, s) })
	r.fillEverybody()
	r.withoutCouple()
	r.withoutDate()
}

// photograph reads one line.
func (r *reader) photograph(l *line, s *section) {
	if r.full(l) {
		return
	}
	r.Use(l.number, place.Used)
	r.pending = nil
	var w wishes
	text, inside := takeBrackets(l.span)
	text = w.takeTime(r, text)
	text = w.takeTrailing(text)
	text, inside = r.remarks(text, inside, &w)
	title, members := r.splitTitle(text)
	if k := keyOf(title); title != "" && (mustWords.holds(k) || niceWords.holds(k) || shouldWords.holds(k) || firstWords.holds(k) || lastWords.holds(k)) {
		w.wish(span{title, l.col})
		title = ""
	}
	if side, ok := r.sideTitled(title); ok {
		defer func(before string) { r.side = before }(r.side)
		r.side, title = side, ""
	}
	if r.prose(members) {
		if !r.dry {
			r.Use(l.number, place.Reported)
			r.report(r.at(l.span), event.Warning, place.CodeNotUsed, l.text, wording.Say("list.readsLikeARemarkAndNot"))
		}
		return
	}
	more := strings.HasPrefix(fold(members.text), "add ") || strings.HasPrefix(members.text, "+") || strings.HasPrefix(fold(members.text), "then add ")
	var before found
	if more && r.last != nil {
		before = found{ids: r.lastIDs, people: r.last}
	}
	in, out := r.entries(members, before)
	if more && r.last != nil {
		joined := before
		joined.add(in)
		in = joined
	}
	for _, b := range inside {
		r.bracket(b, &in, &out, &w)
	}
	if r.dry {
		r.remember(in, out)
		return
	}
	r.grouping(l, s, title, in, out, w)
}

// sideTitled returns the side that a title of a line stands for: "Amara's side: all cousins".
func (r *reader) sideTitled(title string) (string, bool) {
	if id, ok := r.SideNamed(title); ok && title != "" {
		return id, true
	}
	owner, ok := sideOwner(title)
	if !ok {
		return "", false
	}
	i, ok := r.OwnerNamed(owner)
	if !ok {
		return "", false
	}
	return r.SideOf(i)
}

// prose reports whether a line is a sentence: nothing on it is known, and a part of it cannot be a
// name.
func (r *reader) prose(s span) bool {
	ps := parts(s)
	if len(strings.Fields(s.text)) < 3 || len(ps) == 0 {
		return false
	}
	odd := false
	for _, p := range ps {
		if r.meant(p.text) {
			return false
		}
		odd = odd || !plausible(p.text)
	}
	return odd
}

// meant reports whether words stand for people who are known, or for a relation.
func (r *reader) meant(text string) bool {
	for _, t := range append([]string{text}, withoutFillers(text)...) {
		if r.FindAt(t, names.Part, nil).How >= names.Part || sameWords.has(t) || isWord(t) {
			return true
		}
		if _, ok := r.CircleNamed(t); ok {
			return true
		}
	}
	return false
}

// remember keeps who was in a photograph for the next line.
func (r *reader) remember(in, out found) {
	if len(in.ids) == 0 {
		return
	}
	r.lastIDs, r.last = fresh(out.ids, in.ids), others(out.people, in.people)
}

// takeTime takes a time of day from the front of a line: the order finds its own.
func (w *wishes) takeTime(r *reader, s span) span {
	at := clock.FindStringIndex(s.text)
	if at == nil {
		return s
	}
	rest := s.cut(at[1], len(s.text)).trim("-–—:,h ")
	if rest.text == "" {
		return s
	}
	r.report(r.at(s), event.Info, place.CodeNotUsed, s.text[:at[1]], wording.Say("list.timeIsNotUsed"))
	return rest
}

// resolvable reports whether every entry of a text stands for people, or may be a name.
func (r *reader) resolvable(s span) bool {
	for _, p := range parts(s) {
		text := p.text
		if r.meant(text) {
			continue
		}
		if !plausible(text) || !startsLarge(text) {
			return false
		}
	}
	return true
}

// startsLarge reports whether every word of more than three letters begins as names do.
func startsLarge(s string) bool {
	for w := range strings.FieldsSeq(s) {
		c, _ := utf8.DecodeRuneInString(strings.Trim(w, "\"“”'’."))
		if utf8.RuneCountInString(w) > 3 && fold(string(c)) == string(c) && strings.ToUpper(string(c)) != string(c) {
			return false
		}
	}
	return true
}

// splitTitle takes a title before a colon or dash from the people behind it. What stands behind a
// dash may be a note instead.
func (r *reader) splitTitle(s span) (title string, members span) {
	at := colon(s.text)
	if at > 0 {
		_, size := utf8.DecodeRuneInString(s.text[at:])
		left, right := s.cut(0, at), s.cut(at+size, len(s.text))
		switch {
		case right.text == "":
			return "", left
		case r.resolvable(right) || !r.resolvable(left):
			return left.text, right
		}
		r.note(right)
		return "", left
	}
	loc := dash.FindStringIndex(s.text)
	if loc == nil || loc[0] == 0 {
		return "", s
	}
	left, right := s.cut(0, loc[0]), s.cut(loc[1], len(s.text))
	switch {
	case right.text == "":
		return "", left
	case !r.resolvable(right):
		r.note(right)
		return "", left
	case r.resolvable(left) && !r.isSet(left):
		// "Couple - Rosa": both are in it.
		return "", span{s.text[:loc[0]] + " + " + s.text[loc[1]:], s.col}
	}
	return left.text, right
}

// isSet reports whether words are a title for people rather than people themselves: a relation or a
// family, not the couple and not a name.
func (r *reader) isSet(s span) bool {
	if coupleWords.has(s.text) {
		return false
	}
	ps := parts(s)
	if len(ps) == 1 && r.FindAt(s.text, names.Part, nil).How >= names.Part {
		return false
	}
	if _, ok := kin.Read(s.text); ok {
		return true
	}
	return len(ps) == 1 && (everyoneWords.has(s.text) || bothFamilies.has(s.text))
}
