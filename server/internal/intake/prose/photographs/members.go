package photographs

import (
	"fmt"
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/facts"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/statements"
	"kinorder.example/server/internal/intake/prose/words"
	"kinorder.example/server/internal/wording"
)

// named is the person that a term names.
func (r *Reader) named(p *Photograph, t *speech.Term, c *facts.Scope) []int {
	ids := t.Guests
	if len(ids) == 0 {
		ids = r.Find(t.Name)
		if len(ids) > 1 && t.Rank != "" {
			if i := r.Who(t); i >= 0 {
				ids = []int{i}
			}
		}
		if len(ids) > 1 {
			ids = r.Narrow(ids, t)
		}
	}
	switch {
	case len(ids) == 0:
		i := r.LearnPerson(t, c)
		if i < 0 {
			return nil
		}
		ids = []int{i}
	case len(ids) > 1:
		p.bad = true
		ids = ids[:min(place.MostNamed, len(ids))]
		r.At(t.Start, event.Error, place.CodeWhichOne, t.Text, wording.Say("list.whichIsMeant", place.Quoted(t.Text), either(r.choices(ids))), r.choices(ids)...)
		return nil
	}
	if g := &r.Guests[ids[0]]; g.Never {
		return nil
	}
	out := slices.Clone(ids[:1])
	for _, x := range t.Names {
		if x.Kind == speech.Person && !x.Minus {
			inner := *c
			inner.Last = ids[0]
			out = people.Union(out, r.named(p, x, &inner))
		}
	}
	return out
}

// ourselves is whoever writes and is not of the couple, with others: with those of a bracket, with a partner, or with whom as many
// as are said come to: partner and children, brothers and sisters, the parents of whom the day is about with all their children.
func (r *Reader) ourselves(p *Photograph, t *speech.Term, c *facts.Scope) []int {
	me := r.WriterID()
	if len(t.Names) > 0 {
		return r.inside(p, t, c)
	}
	if told := r.Groups[facts.UsKey(t.Number)]; len(told) > 0 {
		return told
	}
	var sets [][]int
	for _, h := range r.Principals() {
		if r.Child == "child" {
			sets = append(sets, r.KinOf(h, words.Word{Arg: "child"}, 0))
		}
	}
	if me >= 0 {
		for _, h := range r.Guests[me].Roles { // "Ushers are me, Ann and Bob. One of us three"
			sets = append(sets, r.Holders(words.Word{Class: "role", Arg: h.Arg}, h.Side))
		}
		own := people.Union([]int{me}, r.PartnerOf(me))
		sets = append(sets, own, people.Union(own, r.KinOf(me, words.Word{Arg: "child"}, 0)), slices.Concat([]int{me}, r.KinOf(me, words.Word{Arg: "parent"}, 0), r.KinOf(me, words.Word{Arg: "sibling"}, 0)))
	}
	for _, h := range r.Principals() {
		parents := r.KinOf(h, words.Word{Arg: "parent"}, 0)
		if me < 0 || slices.Contains(parents, me) {
			sets = append(sets, parents, slices.Concat([]int{h}, parents, r.KinOf(h, words.Word{Arg: "sibling"}, 0)))
		}
	}
	var before []int // "After that all six of us together"
	for k := len(r.Photographs) - 1; k >= max(0, len(r.Photographs)-3); k-- {
		before = people.Union(r.Photographs[k].Set, before)
		sets = append(sets, before)
	}
	for _, set := range sets {
		if len(set) == max(2, t.Number) {
			return set
		}
	}
	if t.Number < 3 {
		return r.theCouple(t)
	}
	return r.unnamed(p, &speech.Term{Kind: speech.Label, Text: t.Text, Start: t.Start, End: t.End}, nil)
}

// checked asks when words of kin or a role fit nobody, or several where they stand for one.
func (r *Reader) checked(p *Photograph, t *speech.Term, c *facts.Scope, ids []int) []int {
	if four := r.ofBoth(t, c, ids); len(four) > 2 {
		p.bad = true
		a, b := r.Guests[r.Couple[0]].Name, r.Guests[r.Couple[1]].Name
		r.At(t.Start, event.Error, place.CodeWhichOne, "", wording.Say("list.whoseParents", r.And(four), a, b))
		return nil
	}
	if len(ids) > 1 && !t.Word.Plural && !(t.Kind == speech.Role && (t.Word.Lang == "zh" || words.Capitals(t.Text))) && !t.All && !t.Each && t.Number == 0 && (r.Formal || !r.both(t, c, ids)) {
		p.bad = true
		r.At(t.Start, event.Error, place.CodeWhichOne, t.Text, wording.Say("list.whichIsMeant", place.Quoted(t.Text), either(r.choices(ids))), r.choices(ids)...)
		return nil
	}
	if len(ids) == 1 && t.Word.Arg == "parent" && t.Word.Plural && t.Word.Sex != 0 && len(r.Owners(t, c)) == 2 { // "both mothers", of whom the list names one
		r.askMore(t)
	}
	if len(ids) > 0 && !r.onlyTheirs(t, ids) {
		return ids
	}
	if t.Minus || len(p.Set) > 0 && slices.ContainsFunc(t.Attrs, func(a speech.Attribute) bool { return a.Class == "absent" }) { // "with Ann, her husband can't come"
		return nil
	}
	if ids := r.halfOfAbove(p, t); len(ids) > 0 {
		return ids
	}
	return people.Union(ids, r.unnamed(p, t, r.Owners(t, c)))
}

// ofBoth are the parents of the couple where a line means those of one, and the list doesn't tell whose they are.
func (r *Reader) ofBoth(t *speech.Term, c *facts.Scope, ids []int) []int {
	if t.Kind != speech.Kin || t.Word.Arg != "parent" || len(ids) == 0 || len(r.Owners(t, c)) != 1 || r.Guests[r.Owners(t, c)[0]].Half == 0 {
		return nil
	}
	all := r.KinOf(people.BothOf, words.Word{Class: "kin", Arg: "parent"}, 0)
	return slices.DeleteFunc(all, func(i int) bool { return r.Guests[i].SideOf > 0 })
}

// both reports whether a word for one stands for one of each of the couple: "couple + mums", "each set".
func (r *Reader) both(t *speech.Term, c *facts.Scope, ids []int) bool {
	owners := r.Owners(t, c)
	return t.Kind == speech.Kin && len(owners) == 2 && len(ids) == 2 && r.Guests[ids[0]].SideOf != r.Guests[ids[1]].SideOf || t.Kind == speech.Kin && t.Word.Arg == "sibling" && t.Word.Sex == 0 || t.Kind == speech.Kin && t.Word.Arg == "grandparent" && t.Word.Sex == 0
}

// put makes groupings of a photograph.
func (r *Reader) put(p *Photograph, s *statements.Statement) {
	if len(r.Photographs) > event.MaxPhotographs {
		return
	}
	r.lostWords(p, s)
	if r.always && !p.All && len(p.Set) > 0 && r.Couple[0] >= 0 && s.Context.Lead == nil && !slices.ContainsFunc(s.Head.Terms, r.namesHalf) {
		p.Set = people.Union(r.Couple[:], p.Set)
	}
	if len(p.Set) == 0 && !p.All && len(p.Each) == 0 {
		if !p.bad {
			r.nobody(p, s)
		}
		r.Use(s.Line.Number, place.Asked)
		return
	}
	g := event.Grouping{Priority: s.Context.Priority}
	if prio, ok := r.markedAs(s.Line); ok {
		g.Priority = prio
	}
	if g.Priority == event.Should {
		g.Priority = r.saidBefore(s)
	}
	parts := r.divided(p, s)
	if len(parts) == 1 {
		g.Title = r.titleOf(s)
	}
	r.wishes(&g, p, s)
	r.rules(s)
	for _, q := range parts {
		q.Grouping = g
	}
	for n := r.timesOf(s); n > 1 && len(parts) == 1; n-- {
		again := *p
		r.Use(s.Line.Number, place.Used, fmt.Sprintf("groupings[%d]", len(r.Base.Groupings)+len(r.Photographs)))
		r.Photographs = append(r.Photographs, &again)
	}
	for _, q := range parts {
		r.Use(s.Line.Number, place.Used, fmt.Sprintf("groupings[%d]", len(r.Base.Groupings)+len(r.Photographs)))
		r.Photographs = append(r.Photographs, q)
	}
}

// namesHalf reports whether a term is the couple or one of them, or its bracket names one: "bride's side (Ann)".
func (r *Reader) namesHalf(t *speech.Term) bool {
	return r.Leads(t) || slices.ContainsFunc(t.Names, func(x *speech.Term) bool { return x.Kind != speech.Couple && r.Leads(x) })
}

// timesOf is how many photographs of the same people a line asks for: "x2".
func (r *Reader) timesOf(s *statements.Statement) int {
	for _, a := range s.Attrs() {
		if a.Class == "times" && a.Num > 1 && a.Num < 10 {
			r.At(a.Start, event.Info, place.CodeTakenAs, "", wording.Say("list.photographsOfTheSamePeopleOne", a.Num))
			return a.Num
		}
	}
	return 1
}

// nobody asks who is in a photograph of whose words none is known.
func (r *Reader) nobody(p *Photograph, s *statements.Statement) {
	text := strings.TrimSpace(s.Line.Text)
	r.At(0, event.Error, place.CodeNobody, text, wording.Say("list.whoIsInWriteNamesOr", place.Quoted(text)))
}

// lostWords makes a labelled entry of words that stand where people stand, and keeps the rest as a note.
func (r *Reader) lostWords(p *Photograph, s *statements.Statement) {
	for _, a := range s.Unknown() {
		if a.Text == "" || about(a) {
			continue
		}
		key := people.LabelKey(a.Text)
		if ids := r.Groups[key]; len(ids) > 0 {
			p.Set = people.Union(p.Set, ids)
			continue
		}
		if len(p.said) > 0 && exclamation(s, a) || s.Line.By != "" && len(p.said) > 0 && len(s.Head.Terms) > 0 && a.End <= s.Head.Terms[0].Start && a.Text == strings.ToLower(a.Text) && strings.Contains(a.Text, " ") && words.Cased(a.Text) || p.All || s.Clause && (len(p.Set) > 0 || len(strings.Fields(a.Text)) > 3) || s.Colon && len(s.Tail.Terms) > 0 || len(p.Set) > 0 && len(strings.Fields(a.Text)) > 5 {
			s.Head.Attrs = append(s.Head.Attrs, speech.Attribute{Class: "note", Text: a.Text, Start: a.Start, End: a.End})
			continue
		}
		t := &speech.Term{Kind: speech.Label, Text: a.Text, Start: a.Start, End: a.End}
		p.Set = people.Union(p.Set, r.unnamed(p, t, nil))
	}
}

// exclamation reports whether words end a sentence before the first who is named: "omg yes. Us with Nan".
func exclamation(s *statements.Statement, a speech.Attribute) bool {
	return len(s.Head.Terms) > 0 && a.End <= s.Head.Terms[0].Start && slices.ContainsFunc(s.Phrases, func(p speech.Phrase) bool {
		return p.Start >= a.End && p.End <= s.Head.Terms[0].Start && (p.Key == "." || p.Key == "!")
	})
}

// divided makes several photographs of one that asks for them: separated parents, each set of parents.
func (r *Reader) divided(p *Photograph, s *statements.Statement) []*Photograph {
	if len(p.Each) > 0 || p.All {
		return []*Photograph{p}
	}
	split := s.Head.Split || s.Tail.Split
	sets := slices.ContainsFunc(s.Head.Terms, func(t *speech.Term) bool { return t.Sets })
	var couple, rest []int
	for _, i := range p.Set {
		if r.Guests[i].Half > 0 || i == r.Honour {
			couple = append(couple, i)
		} else {
			rest = append(rest, i)
		}
	}
	parts := r.oneByOne(s, rest)
	if len(parts) < 2 && (split || sets) {
		parts = r.setsNamed(s, rest)
	}
	if len(parts) < 2 && (split || sets) {
		parts = r.parted(rest, split)
	}
	if len(parts) < 2 {
		return []*Photograph{p}
	}
	var out []*Photograph
	for _, part := range parts {
		q := *p
		q.Set = append(slices.Clone(couple), part...)
		out = append(out, &q)
	}
	return out
}

// parted divides people by side, and those who are separated one by one with their partners.
func (r *Reader) parted(ids []int, split bool) [][]int {
	var out [][]int
	bySide := make(map[int][]int)
	var order []int
	for _, i := range ids {
		s := r.Guests[i].SideOf
		if _, ok := bySide[s]; !ok {
			order = append(order, s)
		}
		bySide[s] = append(bySide[s], i)
	}
	for _, s := range order {
		part := bySide[s]
		if sets := r.stepSets(part); len(sets) > 1 {
			out = append(out, sets...)
			continue
		}
		if split && r.apartWithin(part) || split && len(order) == 1 {
			var done []int
			for _, i := range part {
				if slices.Contains(done, i) {
					continue
				}
				one := []int{i}
				for _, j := range r.PartnerOf(i) {
					if slices.Contains(part, j) && !r.AreApart(i, j) {
						one = append(one, j)
					}
				}
				done = append(done, one...)
				out = append(out, one)
			}
			continue
		}
		out = append(out, part)
	}
	return out
}

// stepSets divides the parents of one side into those who are together: each with the step-parent at their side.
func (r *Reader) stepSets(ids []int) [][]int {
	var own, step []int
	for _, i := range ids {
		if slices.ContainsFunc(r.Guests[i].Relations, func(x people.Relation) bool { return x.Word.Arg == "parent" && x.Word.Step }) {
			step = append(step, i)
		} else {
			own = append(own, i)
		}
	}
	if len(step) == 0 || len(own) < 2 {
		return nil
	}
	var out [][]int
	for _, i := range own {
		set := []int{i}
		for _, j := range step {
			if r.Guests[j].Sex != 0 && r.Guests[i].Sex != 0 && r.Guests[j].Sex != r.Guests[i].Sex {
				set = append(set, j)
			}
		}
		out = append(out, set)
	}
	return out
}

func (r *Reader) apartWithin(ids []int) bool {
	for _, i := range ids {
		for _, j := range ids {
			if i != j && r.AreApart(i, j) {
				return true
			}
		}
	}
	return false
}

func shortened(list []string, write func(string) wording.Message) []wording.Message {
	var out []wording.Message
	for _, n := range list[:min(place.MostNamed, len(list))] {
		out = append(out, write(n))
	}
	if more := len(list) - place.MostNamed; more > 0 {
		out = append(out, wording.Say("sheet.more", more))
	}
	return out
}

// either writes candidates into a sentence: A, B or C.
func either(candidates []string) wording.Arg {
	return wording.Or(shortened(candidates, func(c string) wording.Message { return wording.Say("%s", place.Quoted(c)) })...)
}
