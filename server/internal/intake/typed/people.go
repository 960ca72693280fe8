package typed

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/roster"
	"kinorder.example/server/internal/kin"
	"kinorder.example/server/internal/wording"
)

// declare reads the lines that say who there is.
func (r *reader) declare(sections []*section) {
	for _, s := range sections {
		if s.topic != guests {
			continue
		}
		r.side = r.sideOfSection(s)
		kept := s.lines[:0]
		for k, l := range s.lines {
			r.reads(l)
			if wantsPhotograph(l.span) && !(s.category.text != "" && !l.before) {
				// A list of guests that goes over into the photographs without a heading.
				s.topic = open
				kept = append(kept, s.lines[k:]...)
				break
			}
			r.personLine(l, s)
		}
		s.lines = kept
	}
	for _, s := range sections {
		if s.topic != open {
			continue
		}
		r.side = r.sideOfSection(s)
		s.lines = slices.DeleteFunc(s.lines, func(l *line) bool {
			if !looksLikePerson(l.span) {
				return false
			}
			r.reads(l)
			r.personLine(l, s)
			return true
		})
	}
}

// wantsPhotograph reports whether a line can only ask for a photograph.
func wantsPhotograph(s span) bool {
	if strings.Contains(s.text, "+") {
		return true
	}
	rest, _ := takeBrackets(s)
	for _, p := range parts(rest) {
		if k := keyOf(p.text); coupleWords.holds(k) || everyoneWords.holds(k) || bothFamilies.holds(k) || p.joint == without {
			return true
		}
	}
	return false
}

// personLine reads a line of the list of guests: one person or several with what is said of them, or
// what a group of them is ("Cousins: Sami, Dounia").
func (r *reader) personLine(l *line, s *section) {
	if r.full(l) {
		return
	}
	r.Use(l.number, place.Used)
	r.declared = true
	if at := colon(l.text); at > 0 {
		_, size := utf8.DecodeRuneInString(l.text[at:])
		title, rest := l.cut(0, at), l.cut(at+size, len(l.text))
		if rest.text != "" {
			r.titledLine(title, rest, s)
			return
		}
	}
	var all []int
	for _, one := range peopleOf(l.span) {
		all = append(all, r.personEntry(one, s)...)
	}
	joined := slices.ContainsFunc(parts(l.span), func(p part) bool { return p.joint == soft })
	if len(all) > 1 && len(all) <= 8 && joined && s.category.text == "" {
		r.House(all) // "Hadi & Rim" come together; "Hadi, Rim" may just be listed
	}
	if len(all) == 0 {
		r.Use(l.number, place.Reported)
		r.report(r.at(l.span), event.Warning, place.CodeNotUsed, l.text, wording.Say("list.noNameOnThisLine"))
	}
}

// peopleOf divides a line of the list of guests where each name has remarks of its own behind it:
// "Karim (father), Salma (mother)", "Anna, attendant, Bo, cousin".
func peopleOf(s span) []span {
	if name, _ := describe(s); len(parts(name)) < 2 || dash.MatchString(s.text) {
		return []span{s}
	}
	entries := namesOf(s)
	from := []int{0} // entries that begin with a name
	remarked := false
	for k := 1; k < len(entries); k++ {
		bare, inside := takeBrackets(entries[k])
		remarked = remarked || len(inside) > 0
		switch {
		case readAttribute(strings.TrimSpace(bare.text)).understood(), !plausible(bare.text):
			remarked = true
		default:
			from = append(from, k)
		}
	}
	if _, inside := takeBrackets(entries[0]); len(inside) == 0 && !remarked {
		return []span{s}
	}
	runes := []rune(s.text)
	var out []span
	for n, k := range from {
		to := len(runes)
		if n+1 < len(from) {
			to = entries[from[n+1]].col - s.col
		}
		at := entries[k].col - s.col
		if at >= to || to > len(runes) {
			return []span{s}
		}
		text := span{string(runes[at:to]), entries[k].col}
		// What joins this entry to the next one is not a part of it.
		if ps := parts(text); len(ps) > 0 {
			if bare, inside := takeBrackets(text); len(inside) == 0 {
				text = bare.cut(0, ps[len(ps)-1].end)
			}
		}
		out = append(out, text.trim(",;&+ "))
	}
	return out
}

// personEntry reads the names of an entry with what is said of them.
func (r *reader) personEntry(entry span, s *section) []int {
	name, pieces := describe(entry)
	if name.text == "" {
		return nil
	}
	r.saying = ""
	for _, p := range pieces {
		if a := readAttribute(p.text); a.relation != "" && r.saying == "" {
			r.saying = a.relation
		}
	}
	people := r.declareNames(name, pieces, s)
	r.saying = ""
	var understood []attribute
	var rest []span
	for _, p := range pieces {
		a := readAttribute(p.text)
		if !a.understood() && otherScript(p.text, name.text) {
			a.nickname = p.text // "Samir Haddad (سمير)"
		}
		if a.understood() {
			understood = append(understood, a)
		} else {
			rest = append(rest, p.span)
		}
	}
	r.describeAll(people, understood, rest, s)
	return people
}

// titledLine reads "Cousins: Sami, Dounia", "Best man: Will", "The Moes: Xena, Arvid" and "Rosa:
// grandmother" of the list of guests.
func (r *reader) titledLine(title, rest span, s *section) {
	if _, ok := kin.Read(title.text); ok {
		r.circleLine(title, rest, s)
		return
	}
	for _, p := range splitAttributes(rest) {
		if !readAttribute(p.text).understood() {
			r.circleLine(title, rest, s)
			return
		}
	}
	r.personEntry(span{title.text + " - " + rest.text, title.col}, s)
}

// circleLine reads "Cousins: Sami, Dounia" of the list of guests.
func (r *reader) circleLine(title, rest span, s *section) {
	under := *s
	rel, kin := kin.Read(title.text)
	if kin || len(namesOf(rest)) == 1 {
		under.category = title
	}
	if rel.Owner != "" {
		under.owner = rel.Owner
		if o, ok := r.OwnerNamed(rel.Owner); ok {
			if side, ok := r.SideOf(o); ok {
				defer func(before string) { r.side = before }(r.side)
				r.side = side
			}
		}
	}
	var people []int
	// "The Moes: Xena, Arvid" may call people by a part of their names.
	r.topLevel = under.category.text == ""
	for _, p := range peopleOf(rest) {
		people = append(people, r.personEntry(p, &under)...)
	}
	r.topLevel = false
	if len(people) > 1 {
		r.AddCircle(title.text, people)
	}
}

// namesOf divides at commas, semicolons, plus signs and ampersands outside of brackets.
func namesOf(s span) []span {
	masked, _ := takeBrackets(s)
	// The bracketed stretches are spaces now; joiners are looked for outside of them only.
	runes := []rune(s.text)
	var out []span
	for _, p := range parts(masked) {
		from := p.col - s.col
		to := from + utf8.RuneCountInString(p.text)
		for to < len(runes) && (runes[to] == ' ' || brackets[runes[to]] != 0) {
			if closing := brackets[runes[to]]; closing != 0 {
				for to < len(runes) && runes[to] != closing {
					to++
				}
			}
			if to < len(runes) {
				to++
			}
		}
		out = append(out, span{strings.TrimSpace(string(runes[from:to])), p.col})
	}
	return out
}

// declareNames makes the people of a line known and returns them.
func (r *reader) declareNames(name span, pieces []piece, s *section) []int {
	entries := r.nameEntries(name, pieces)
	var people []int
	for k := 0; k < len(entries); k++ {
		text := strings.TrimSpace(entries[k].text)
		// "Mr & Mrs Vance" are two people.
		if k+1 < len(entries) && names.IsTitle(text) {
			if ws := strings.Fields(entries[k+1].text); len(ws) > 1 && names.IsTitle(ws[0]) {
				text += " " + strings.Join(ws[1:], " ")
			}
		}
		people = append(people, r.declareOne(span{text, entries[k].col}))
	}
	return people
}

// nameEntries divides the names of a line. A single letter or word that joins ("e", "y") may be a
// part of a name: between a name of several words and a single one it is taken for that.
func (r *reader) nameEntries(name span, pieces []piece) []span {
	entries := parts(name)
	var out []span
	for k := 0; k < len(entries); k++ {
		p := entries[k]
		if k+1 < len(entries) && entries[k+1].joint == soft {
			between := strings.TrimSpace(name.text[p.end:entries[k+1].start])
			if (between == "e" || between == "y") && len(strings.Fields(p.text)) > 1 && len(strings.Fields(entries[k+1].text)) == 1 {
				out = append(out, name.cut(p.start, entries[k+1].end))
				k++
				continue
			}
		}
		out = append(out, p.span)
	}
	return out
}

// declareOne makes one person known. Somebody of just this name is the same person.
func (r *reader) declareOne(name span) int {
	text := strings.Join(strings.Fields(strings.Trim(name.text, " .,;:")), " ")
	var nicknames []string
	for _, m := range nickMark.FindAllStringSubmatch(text, -1) {
		nicknames = append(nicknames, strings.TrimSpace(m[1]))
	}
	if bare := strings.Join(strings.Fields(nickMark.ReplaceAllString(text, " ")), " "); bare != "" {
		text = bare
	} else {
		nicknames = nil
		text = strings.Trim(text, `"“”„«»`)
	}
	text = clipName(text)
	if i, ok := r.sameAs(text); ok {
		r.Update(i, func(p *event.Person) {
			if !r.Effort.Spend(len(p.Nicknames) * len(nicknames)) {
				return
			}
			p.Nicknames = append(p.Nicknames, fresh(p.Nicknames, nicknames)...)
			if words := names.Words(text); r.provisional[i] != nil && len(words) > len(r.provisional[i]) {
				p.Name = text // "Amara's side" is the side of Amara Benali
				r.provisional[i] = words
			}
		})
		r.Use(r.current.number, place.Used, fmt.Sprintf("people[%d]", i))
		return i
	}
	p := event.Person{Name: text, Nicknames: nicknames, Side: r.side}
	if rel, rest, ok := roster.Titled(text); ok && !address(rel) {
		p.Name, p.Relation = rest, strings.ToLower(firstWord(text)) // "brother Lars" is called Lars
	}
	if rel, _, ok := roster.Titled(text); ok && (rel.Kind == kin.Grandparent || rel.Kind == kin.GreatGrandparent) {
		p.AgeBand = event.Elder
	}
	i := r.Add(p)
	r.homes[i] = r.at(name)
	if r.topLevel {
		r.provisional[i] = names.Words(p.Name)
	}
	r.Use(r.current.number, place.Used, fmt.Sprintf("people[%d]", i))
	return i
}

// address reports whether a word of kin is one that people are called by: "Aunt Gerda" is, "brother
// Lars" is not.
func address(rel kin.Relation) bool {
	switch rel.Kind {
	case kin.Parent, kin.Grandparent, kin.GreatGrandparent, kin.AuntUncle, kin.GreatAuntUncle:
		return true
	}
	return false
}

// sameAs returns the person whom a name declares again: somebody of that name, somebody of the event
// that the list is read with, or one of the couple whom a heading called by a part of the name.
func (r *reader) sameAs(text string) (int, bool) {
	m := r.FindAt(text, names.Same, nil)
	if i, ok := m.One(); ok && m.How >= names.Same {
		was := r.Event.People[i].Relation
		return i, r.saying == "" || was == "" || fold(was) == fold(r.saying)
	}
	m = r.FindAt(text, names.Part, func(i int) bool { return i < r.base || r.topLevel })
	if i, ok := m.One(); ok && m.How >= names.Part {
		return i, true
	}
	var shorter []int
	words := names.Words(text)
	if !r.Effort.Spend(20 * len(r.provisional)) {
		return 0, false
	}
	for i, name := range r.provisional {
		if isPart(name, words) {
			shorter = append(shorter, i)
		}
	}
	if len(shorter) == 1 {
		return shorter[0], true
	}
	return 0, false
}

// otherScript reports whether a text is letters of another script than a name.
func otherScript(text, name string) bool {
	latin := func(s string) bool {
		return strings.ContainsFunc(s, func(c rune) bool { return unicode.Is(unicode.Latin, c) })
	}
	return plausible(text) && latin(text) != latin(name)
}
