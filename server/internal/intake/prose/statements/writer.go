package statements

import (
	"slices"

	"kinorder.example/server/internal/intake/prose/facts"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// usTold takes who writes and who "us three" are from a remark that tells it: "Ann here, Tom's mother", "There are three of us kids:
// me (Ann), Bea and Cleo".
func (r *Reader) usTold(s *Statement) {
	me := r.WriterID()
	terms := s.Head.Terms
	if len(s.Phrases) == 1 && s.Phrases[0].Open { // "(it's Bernie, Tom's mother)"
		in := s.Phrases[0].Inside
		terms = r.Parse(in[1+slices.IndexFunc(in, func(p speech.Phrase) bool { return p.Has("iam") }):], false).Terms
	}
	for k, t := range terms { // "Bernie here, Tom's mother"
		if k > 0 && me >= 0 && terms[k-1].Kind == speech.Person && slices.Equal(r.Find(terms[k-1].Name), []int{me}) {
			r.DescribedBy(terms[:k], t, &facts.Scope{Last: -1})
		}
	}
	for k := range s.Phrases {
		if w, ok := s.Phrases[k].Word("role"); ok && !w.Plural && me >= 0 && (s.has("iam") || s.Phrases[min(k+1, len(s.Phrases)-1)].Key == "here") { // "Best man here (Tom)"
			r.Give(me, w, nil, r.ScopeOf(s))
		}
		if s.Phrases[k].Has("iam") && me >= 0 { // "I am her sister", أنا ندى أخت العروسة
			if kin := r.Parse(s.Phrases[k+1:], false).Terms; len(kin) > 0 && kin[0].Word.Class == "kin" && !kin[0].Word.Plural && len(kin[0].Names) == 0 && (kin[0].Kind == speech.Kin || slices.Equal(r.Find(kin[0].Name), []int{me})) {
				r.Relate(me, kin[0].Word, r.Owners(kin[0], r.ScopeOf(s)))
			}
		}
		if !s.Phrases[k].Has("us") {
			continue
		}
		us := r.Parse(s.Phrases[k:], false).Terms
		names := 1
		for len(us) > 0 && len(us[0].Names) == 0 && names < len(us) && us[names].Kind == speech.Person && (names == 1 || us[names].Sep == "," || us[names].Sep == "&") {
			names++
		}
		if names > 1 {
			us[0].Names = us[1:names]
		}
		if len(us) > 0 && us[0].Kind == speech.Us && len(us[0].Names) == us[0].Number {
			r.LearnTerms(us[:1], r.ScopeOf(s))
		}
		return
	}
}

// OfWriter takes the husband or wife of a parent who writes for the other parent, and their children for brothers and sisters: "my
// husband", "my son", by the mother of the bride.
func (r *Reader) OfWriter() {
	me := r.WriterID()
	if me < 0 {
		return
	}
	r.childWrites(me)
	r.parentWrites(me)
	for _, x := range r.Guests[me].Relations {
		if x.Word.Arg != "parent" || x.Of < 0 || r.Guests[x.Of].Half == 0 {
			continue
		}
		for _, i := range r.PartnerOf(me) {
			r.Relate(i, words.Word{Class: "kin", Arg: "parent", Text: "parent"}, []int{x.Of})
		}
		for _, i := range r.KinOf(me, words.Word{Arg: "child"}, 0) {
			if i != x.Of {
				r.Relate(i, words.Word{Class: "kin", Arg: "sibling", Sex: r.Guests[i].Sex, Text: "sibling"}, []int{x.Of})
			}
		}
		return
	}
	r.parentsWrite(me)
	r.ownParents(me)
}

// ownParents takes a mother and father of whom nobody is said to be the child, where the list says who the parents of one of the
// couple are, for those of the other; whoever writes "mum" of them is a sister or brother: "mum Ida, dad Karl. Tom's mum Vera".
func (r *Reader) ownParents(me int) {
	var parents [3][]int
	for i, g := range r.Guests {
		for _, x := range g.Relations {
			switch {
			case x.Word.Arg != "parent" || g.Unnamed:
			case x.Of == people.BothOf:
				parents[0] = append(parents[0], i)
			case r.Guests[x.Of].Half > 0:
				parents[r.Guests[x.Of].Half] = append(parents[r.Guests[x.Of].Half], i)
			}
		}
	}
	none := 1
	if len(parents[1]) > 0 {
		none = 2
	}
	shared := parents[0]
	if r.Couple[0] < 0 || len(parents[none]) > 0 || len(parents[3-none]) == 0 || len(shared) == 0 || len(shared) > 2 || r.Guests[me].Half > 0 || len(r.Guests[me].Relations) > 0 ||
		len(shared) == 2 && r.Guests[shared[0]].Sex == r.Guests[shared[1]].Sex {
		return
	}
	child := []int{r.Couple[none-1]}
	for _, i := range shared {
		r.Relate(i, words.Word{Class: "kin", Arg: "parent", Sex: r.Guests[i].Sex, Text: map[byte]string{'w': "mother", 'm': "father"}[r.Guests[i].Sex]}, child)
	}
	r.Relate(me, words.Word{Class: "kin", Arg: "sibling", Text: "sibling"}, child)
}

// parentWrites takes whoever is said to be the mother or father of the child whom a day is about, and whom lines have right beside "me",
// whose family others name, for its parents; its brothers and sisters are children of theirs too: "Ann (mother)", "Baby with Tom and
// myself", "Tom's parents".
func (r *Reader) parentWrites(me int) {
	if r.Honour < 0 || me == r.Honour {
		return
	}
	beside := make(map[int]int)
	var families []int
	parent := words.Word{Class: "kin", Arg: "parent", Text: "parent"}
	for _, s := range r.Statements {
		terms := s.Terms()
		for k, t := range terms {
			ids := r.Find(t.Name)
			if t.Kind == speech.Person && slices.Equal(ids, []int{me}) {
				if in := t.Names; len(in) == 1 && in[0].Kind == speech.Kin && in[0].Word.Arg == "parent" && in[0].Owner == nil {
					r.Relate(me, in[0].Word, []int{r.Honour})
				}
				if k > 0 && terms[k-1].Kind == speech.Person && terms[k-1].Word.Class == "" {
					if ids := r.Find(terms[k-1].Name); len(ids) == 1 && ids[0] != r.Honour {
						beside[ids[0]]++
					}
				}
			}
			if t.Owner != nil && t.Owner.Name != "" && (t.Word.Arg == "parent" || t.Word.Arg == "family") {
				families = append(families, r.Find(t.Owner.Name)...)
			}
		}
	}
	if !slices.Contains(r.KinOf(r.Honour, parent, 0), me) {
		return
	}
	for i := range r.Guests {
		if beside[i] > 1 && slices.Contains(families, i) && len(r.PartnerOf(me)) == 0 {
			r.Relate(i, words.Word{Class: "kin", Arg: "partner"}, []int{me})
			r.Relate(i, parent, []int{r.Honour})
		}
	}
	for _, i := range append([]int{r.Honour}, r.KinOf(r.Honour, words.Word{Arg: "sibling"}, 0)...) {
		r.Relate(i, words.Word{Class: "kin", Arg: "child", Text: "child"}, []int{me})
	}
}

// childWrites takes whoever writes "Mum and Dad's golden wedding", and their brothers and sisters, for children of the two; and so
// with grandchildren.
func (r *Reader) childWrites(me int) {
	day := r.Principals()
	if r.Child == "" || slices.ContainsFunc(r.Guests[me].Relations, func(x people.Relation) bool {
		return x.Word.Arg != "partner" && (x.Of == people.BothOf || slices.Contains(day, x.Of))
	}) {
		day = nil
	}
	for _, i := range append([]int{me}, r.KinOf(me, words.Word{Arg: "sibling"}, 0)...) {
		if len(day) > 0 && r.Guests[i].Half == 0 {
			r.Relate(i, words.Word{Class: "kin", Arg: r.Child}, day)
		}
	}
}

// parentsWrite takes "us (Ida and Karl)" for the parents of the one of the couple whose parents the list wants and does not name,
// where it names those of the other.
func (r *Reader) parentsWrite(me int) {
	if r.Couple[0] < 0 {
		return
	}
	parents := func(h int) []int { return r.KinOf(r.Couple[h], words.Word{Arg: "parent"}, 0) }
	child := 0
	if len(parents(0)) > 0 {
		child = 1
	}
	var us []int
	wanted := false
	for _, s := range r.Statements {
		for _, t := range s.Terms() {
			if t.Kind == speech.Us && len(t.Names) == 2 {
				us = append(r.Find(t.Names[0].Name), r.Find(t.Names[1].Name)...)
			}
			wanted = wanted || t.Kind == speech.Kin && t.Word.Arg == "parent" && len(t.Names) == 0 && slices.Contains(r.Owners(t, r.ScopeOf(s)), r.Couple[child])
		}
	}
	if !wanted || len(us) != 2 || !slices.Contains(us, me) || len(parents(child)) > 0 || len(parents(1-child)) == 0 {
		return
	}
	for _, i := range us {
		r.Relate(i, words.Word{Class: "kin", Arg: "parent", Sex: r.Guests[i].Sex, Text: "parent"}, []int{r.Couple[child]})
	}
}

// Writer is who of the couple writes "my": the one whose side no heading names where others name the other's, else of whom
// lines tell less.
func (r *Reader) Writer() int {
	if h := r.unnamedSide(); h > 0 {
		return h
	}
	return r.tellsOf()
}

// unnamedSide is the one of the couple whose family no heading names where others name the other's, or 0.
func (r *Reader) unnamedSide() int {
	var sides [3]bool
	for _, s := range r.Statements {
		for _, t := range s.Head.Terms {
			if t.Owner != nil && t.Owner.Name != "" && t.Kind == speech.Kin && t.Word.Arg == "family" {
				sides[r.HalfNamed(t.Owner.Name)] = true
			}
		}
	}
	switch {
	case sides[1] && !sides[2]:
		return 2
	case sides[2] && !sides[1]:
		return 1
	}
	return 0
}

// tellsOf is who of the couple writes as more lines with "me" or "my" name the other: "Sam with his brother (without me)".
func (r *Reader) tellsOf() int {
	var other [3]int
	for _, s := range r.Statements {
		if ph := speech.Flat(s.Phrases); speech.AnyHas(ph, "self", "my") {
			for k := range ph {
				other[r.HalfNamed(ph[k].Text)]++
			}
		}
	}
	if other[1] > other[2] {
		return 2
	}
	return 1
}

// sideInBracket is whose family a heading by a last name is, as a bracket behind it says: "SMITH FAMILY (mine)", "The Joneses (Bob's)".
func (r *Reader) sideInBracket(s *Statement) int {
	n := len(s.Phrases) - 1
	if n < 1 || !s.Phrases[n].Open || len(s.Phrases[n].Inside) != 1 || r.Couple[0] < 0 || speech.AnyHas(s.Phrases[:n], "photos") {
		return 0
	}
	in := s.Phrases[n].Inside[0]
	if in.Has("mine") {
		return r.Myself()
	}
	if w, ok := in.Word("half"); ok { // "Family (bride)"
		return r.HalfOf(w.Sex)
	}
	return r.HalfNamed(in.Text)
}
