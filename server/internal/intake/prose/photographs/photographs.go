// Package photographs makes photographs of the statements of a list and of the rows of a table, each from its own words
// and the roll, with what the list says of the day, of rules and priorities.
package photographs

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/facts"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/statements"
	"kinorder.example/server/internal/intake/prose/words"
	"kinorder.example/server/internal/wording"
)

// Reader is the photographs of a list.
type Reader struct {
	statements.Reader
	Photographs []*Photograph
	Event       event.Event               // what the list says of the day
	monthAsked  bool                      // day and month of the date cannot be told apart
	Today       time.Time                 // completes days without a year; zero has them asked about
	always      bool                      // the couple is in all photographs, as the list says
	marks       map[string]event.Priority // what marks before photographs mean
	ranks       map[string]event.Priority // of photographs by their numbers
	Taken       map[int][]wording.Message // by line
	Heard       map[[2]int]bool           // sentences that gave something, by line and where they begin
	overflow    bool
}

// Photograph is what a statement asks for.
type Photograph struct {
	Statement *statements.Statement
	Set       []int // in the order of naming
	said      []int // whom the terms of the line itself name
	Without   []int // of everybody
	Each      []int // one photograph for each of them
	All       bool  // of everybody who comes
	bad       bool  // something has to be answered first
	Dropped   bool
	Named     []named
	Fixed     bool // the members are written as ids
	Grouping  event.Grouping
}

// Make evaluates every statement that asks for one: by the roster, and by another statement only where it
// says so.
func (r *Reader) Make() {
	divided := -1
	var later, asides []*statements.Statement
	for _, s := range r.Statements {
		r.Line = s.Line
		if !r.Effort.Spend(100) || r.full() {
			return
		}
		if r.ofOthers(s) {
			later = append(later, s)
			continue
		}
		switch s.Kind {
		case statements.Photo:
			if s.Clause && s.Index != divided {
				divided = s.Index
				r.Tell(s.Line.Number, 1, event.Warning, place.CodeTakenAs, "", wording.Say("list.paragraphWasDivided"))
			}
			r.account(s, r.wish)
		case statements.Addition:
			r.account(s, r.addTo)
		case statements.Part:
			r.partOf(s)
		case statements.Edit:
			r.edited(s)
		case statements.Remark:
			asides = append(asides, s)
		case statements.Title, statements.Heading, statements.Definition:
			r.Use(s.Line.Number, place.Used)
			r.rules(s)
		}
	}
	r.favoured(later)
	for _, s := range asides { // by now others may have said that they are used, or asked
		r.Line = s.Line
		r.asideLine(s)
	}
	r.unplaced()
	r.guesses()
	for i := range r.Lines {
		if l := &r.Lines[i]; l.Struck && !l.Blank {
			r.Tell(l.Number, 1, event.Warning, place.CodeNotUsed, "", wording.Say("list.notUsed", place.Quoted(cmp.Or(strings.TrimSpace(l.Text), strings.TrimSpace(l.Raw)))))
			r.Use(l.Number, place.Reported)
		}
	}
}

// full reports whether the list has more people or photographs than an event can hold; then the line is not read.
func (r *Reader) full() bool {
	if len(r.Guests) <= event.MaxPeople && len(r.Photographs) <= event.MaxPhotographs {
		return false
	}
	if !r.overflow {
		r.Tell(r.Line.Number, 1, event.Error, event.CodeTooMany, "", wording.Say("list.fromThisLineOnTheList", event.MaxPeople, event.MaxPhotographs))
	}
	r.overflow = true
	return true
}

// wish reads a statement as one or several photographs.
func (r *Reader) wish(s *statements.Statement) {
	r.Use(s.Line.Number, place.Used)
	someOfAll(s)
	c := r.ScopeOf(s)
	terms := r.whatTheyAre(s, allAttendants(r.exclaimed(s.Head.Terms)))
	if s.Colon && len(s.Tail.Terms) > 0 {
		terms = append(slices.Clone(speech.Without(terms, func(t *speech.Term) bool {
			return t.Kind == speech.Label || t.Kind == speech.Kin && (t.Word.Arg == "family" && !s.Tail.Add || t.Word.Arg == "partner" && t.Word.Plural && statements.Plainly(s.Tail.Terms)) || t.Kind == speech.All && statements.Plainly(s.Tail.Terms)
		})), s.Tail.Terms...)
	}
	if all := s.Head.Terms; s.Colon && len(all) == 1 && all[0].Kind == speech.All && strings.HasSuffix(words.Key(all[0].Text), " us") && statements.Plainly(s.Tail.Terms) && len(s.Tail.Terms) > 0 && r.Couple[0] >= 0 { // "All of us: bridesmaids Ann and Bea"
		terms = append([]*speech.Term{{Kind: speech.Couple, Text: all[0].Text, Start: all[0].Start, End: all[0].End}}, terms...)
	}
	terms = r.withoutParents(terms)
	p := &Photograph{Statement: s, Set: r.sideOf(s)}
	several := r.several(s, terms)
	for _, group := range bothWays(several) {
		if len(several) > 1 && s.Over == nil { // "Bride + mum / Groom + mum": each their own
			c = r.ScopeOf(&statements.Statement{Context: s.Context, Head: speech.Parsed{Terms: group}})
		}
		q := *p
		r.evaluate(&q, group, c)
		if lead := (&Photograph{Statement: s}); s.Context.Lead != nil && !q.All && len(q.Set)+len(q.Each) > 0 && !slices.ContainsFunc(group, r.Leads) {
			r.evaluate(lead, s.Context.Lead, &facts.Scope{Last: -1})
			q.Set = people.Union(lead.Set, q.Set)
		} else if !q.All && len(q.Set) > 0 && !slices.ContainsFunc(group, r.Leads) {
			for k, t := range group {
				switch {
				case wholeParty(t) && t.Owner == nil, k == 0 && s.Phrases[0].Has("with") && !s.Head.Add:
					q.Set = people.Union(r.Principals(), q.Set)
				case s.Clause && len(t.Names) > 0 && t.Word.Arg == "family" && t.Owner != nil && t.Owner.Pronoun == "my": // "everyone from my side, that's Mum and Joe"
					q.Set = people.Union(r.Owners(t, c), q.Set)
				case k == 0 && r.ownFamily(s, group, c):
					q.Set = people.Union(r.Owners(t, c), q.Set)
				case t.Owner != nil && !(t.Owner.Both && t.Owner.Said == ""):
				case t.Kind == speech.Kin && t.Word.Arg == "family" && !t.Minus && len(t.Names) == 0:
					q.Set = people.Union(r.Owners(t, c), q.Set)
				}
			}
		}
		r.unsaid(&q)
		r.put(&q, s)
	}
}

// evaluate works out who is in a photograph.
func (r *Reader) evaluate(p *Photograph, terms []*speech.Term, c *facts.Scope) {
	var gone []int
	for k, t := range terms {
		if !r.Effort.Spend(60) {
			return
		}
		if t.Owner != nil && t.Word.Class == "kin" && t.Word.Arg != "partner" && t.Word.Arg != "child" {
			c.Carry = t.Owner
		}
		if c.Set = p.Set; t.Minus {
			c.Set = people.Union(p.Set, gone) // "without Tasha and kids": hers
		}
		ids := r.members(p, t, c)
		if r.doubted(t, k == 0); len(ids) == 0 {
			r.vanished(p, t)
		}
		if (t.Kind == speech.Person || t.Kind == speech.Kin && !t.Word.Plural) && len(ids) == 1 && r.Guests[ids[0]].Half == 0 && !(t.Word.Arg == "partner" || t.Word.Arg == "child") {
			c.Last = ids[0]
		}
		switch {
		case t.Minus && p.All:
			r.callThem(p, t, c, ids)
			p.Without = append(p.Without, ids...)
		case t.Minus:
			p.Set, gone = less(p.Set, ids), people.Union(gone, ids)
		case t.Each && len(ids) > 0:
			p.Each = append(p.Each, ids...)
		default:
			r.callThem(p, t, c, ids)
			p.Set, p.said = people.Union(p.Set, ids), append(p.said, ids...)
		}
		if t.Open {
			r.At(t.End, event.Warning, place.CodeStandsFor, "", wording.Say("list.whoElseIsMeantByWrite", place.Quoted("...")))
		}
		r.counted(p, t, c, ids)
	}
	if p.Statement.Head.Each && len(p.Each) == 0 {
		for _, i := range p.Set {
			if r.Guests[i].Half == 0 {
				p.Each = append(p.Each, i)
			}
		}
		p.Set = less(p.Set, p.Each)
	}
}

// less is a without those of b.
func less(a, b []int) []int {
	return slices.DeleteFunc(slices.Clone(a), func(i int) bool { return slices.Contains(b, i) })
}

// members is who is meant by a term.
func (r *Reader) members(p *Photograph, t *speech.Term, c *facts.Scope) []int {
	switch t.Kind {
	case speech.Couple, speech.Us:
		return r.we(p, t, c)
	case speech.Half:
		return r.theHalf(p, t)
	case speech.All:
		if p.Statement.Clause && !t.Minus && r.together(p, c) {
			return r.topical(p.Statement)
		}
		if t.Sep == " " && len(less(p.Set, r.Principals())) > 1 && !t.Minus { // "Ann, Bob and Cleo all together with us"
			return nil
		}
		p.All = !t.Minus
		return nil
	case speech.Same:
		return r.sameAs(p, t)
	case speech.Letter:
		return r.lettered(p, t)
	case speech.Person:
		return r.named(p, t, c)
	case speech.Pronoun:
		return r.meant(p, t)
	}
	if ids := r.byAnswer(t, *c); len(ids) > 0 {
		return ids
	}
	if t.Kind == speech.Label && t.Owner != nil && len(t.Names) > 0 {
		var named []int
		for _, i := range r.ByWord[names.Plain(t.Owner.Name)] {
			if r.Guests[i].Half == 0 && i != r.Honour {
				named = append(named, i)
			}
		}
		return people.Union(named, r.inside(p, t, c))
	}
	if len(t.Names) > 0 && !(t.Kind == speech.Kin && t.Word.Arg == "family" && onlyKin(t.Names)) {
		return r.inside(p, t, c)
	}
	if t.Kind == speech.Kin && t.Word.Arg == "family" && len(t.Names) > 0 {
		return r.ofFamily(p, t, c)
	}
	if t.Shared {
		return nil
	}
	if t.Kind == speech.Label {
		return r.labelMeant(p, t)
	}
	if t.Word.Arg == "family" && t.Owner == nil {
		if ids, ok := r.familyUnsaid(p, t, c); ok {
			return ids
		}
	}
	return r.checked(p, t, c, r.ResolveKin(t, c))
}

// labelMeant is who words for a group stand for; of those who are taken away and whom nobody knows, nobody is in a photograph of others:
// "whole family, no neighbours".
func (r *Reader) labelMeant(p *Photograph, t *speech.Term) []int {
	key := people.LabelKey(t.Text)
	ids := r.Groups[key]
	if len(ids) > 0 {
		r.Leaned[key] = true
	} else if ids = r.halfOfAbove(p, t); len(ids) == 0 && (!t.Minus || p.All) {
		return r.unnamed(p, t, nil)
	}
	return ids
}

// ofFamily is who is in a family by the kin that a bracket names: "her family (parents, brothers)".
func (r *Reader) ofFamily(p *Photograph, t *speech.Term, c *facts.Scope) []int {
	inner := *c
	if t.Owner != nil {
		inner.Carry = t.Owner
	} else {
		inner.Default = r.Owners(t, c)
	}
	var out []int
	for _, x := range t.Names {
		out = people.Union(out, r.members(p, x, &inner))
	}
	return out
}

// inside is who a bracket names, with those whom the roster has for the words before when the bracket only adds.
func (r *Reader) inside(p *Photograph, t *speech.Term, c *facts.Scope) []int {
	inner := *c
	inner.Carry, inner.Last = t.Owner, -1
	inner.Default = r.Owners(t, c)
	if inner.Chain = t.Line == 'g'; inner.Chain && t.Owner == nil {
		inner.Default = r.leadOwners(t, inner.Default)
	}
	var out []int
	if !slices.ContainsFunc(t.Names, func(x *speech.Term) bool { return !x.Minus }) { // "parents (without Tom)"
		whole := *t
		whole.Names = nil
		out = r.members(p, &whole, c)
	}
	for _, x := range t.Names {
		ids := r.members(p, x, &inner)
		if x.Kind == speech.Person && len(ids) == 1 {
			inner.Last = ids[0]
		}
		inner.Set = people.Union(inner.Set, ids)
		if x.Minus {
			out = less(out, ids)
			continue
		}
		out = people.Union(out, ids)
		for _, y := range x.Names {
			if y.Kind == speech.Person {
				out = people.Union(out, r.members(p, y, &inner))
			}
		}
	}
	if t.Kind == speech.Kin && t.Word.Plural && t.Word.Arg == "family" && t.Close == 0 {
		switch colon := p.Statement.Colon && t.Owner != nil; {
		case !colon && len(out) < 3, t.Names[0].Sep == "+":
			out = people.Union(r.ResolveKin(t, c), out)
		case len(out) == 1: // "Ottos Seite: sein Bruder Karl"
			out = people.Union(r.Owners(t, c), out)
		}
	}
	return out
}

// sameAs is who was in the photograph above, or in that of a letter.
func (r *Reader) sameAs(p *Photograph, t *speech.Term) []int {
	var out []int
	found := false
	for k, n := len(r.Photographs)-1, max(t.Number, 1); k >= 0 && n > 0; k-- {
		if q := r.Photographs[k]; !q.Dropped && !q.Statement.Beside(p.Statement) && (t.Number == 0 || !q.All || n == 1 && !found) {
			found = true
			p.All = p.All || q.All
			p.Without = append(p.Without, q.Without...)
			out = people.Union(out, q.Set)
			n--
		}
	}
	if found {
		return out
	}
	p.bad = true
	r.At(t.Start, event.Error, place.CodeNotKnown, t.Text, wording.Say("list.noPhotographBeforeThisOne", place.Quoted(t.Text)))
	return nil
}

// lettered is who is in the photographs of a line with a letter or number.
func (r *Reader) lettered(p *Photograph, t *speech.Term) []int {
	var out []int
	for _, s := range r.Statements {
		if s.Line.Names && s.Line.Label == t.Name && s.Line != r.Line {
			q := &Photograph{Statement: s}
			s.Line.Names = false // letters that stand for each other end here
			r.evaluate(q, s.Terms(), r.ScopeOf(s))
			s.Line.Names = true
			out = people.Union(out, q.Set)
		}
	}
	for _, q := range r.Photographs {
		if m := q.Statement.Line.Mark; q.Statement.Line.Label == strings.ToUpper(t.Name) && (m == 'A' || m == '#') && !q.Dropped {
			out = people.Union(out, q.Set)
			p.All = p.All || q.All && !t.Minus
		}
	}
	return out
}
