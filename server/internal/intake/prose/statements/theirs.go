package statements

import (
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// learnTheirs takes children for those of whoever they are said to be: "Isla (16) and Callum (13) are mine, Rory (9) is Andrew's", "Poppy
// (4) - she's Priya's".
func (r *Reader) learnTheirs(s *Statement) {
	var young []int // who was named since the last who were somebody's
	said := false
	for k := range s.Phrases {
		p := &s.Phrases[k]
		switch {
		case p.Kind != 'w' || p.Open:
			if p.Key == "." || p.Key == ";" {
				young, said = nil, false
			}
		case words.Listed("copula", p.Key) || listedAs(p.Key) != "" || p.Has("verb"):
			said = len(young) > 0 && k > 0
		case said:
			owners, end := r.parentsAt(s.Phrases, k)
			if end > k {
				r.childrenOf(young, owners)
				young = nil
			} else if end == k && r.NameLike(p) && !p.Possessive { // "Lewis is Catriona & Rob's": whose comes behind
				continue
			}
			said = false
		case r.NameLike(p) && !p.Possessive:
			if ids := r.Find(p.Text); len(ids) == 1 && r.isYoung(ids[0]) {
				young = append(young, ids[0])
			} else {
				young = nil
			}
		}
	}
}

// parentsAt is whose the words from k on say somebody is, and where they end: "mine", "Priya's", "Catriona & Rob's"; k where they don't.
func (r *Reader) parentsAt(ph []speech.Phrase, k int) ([]int, int) {
	if ph[k].Has("mine") {
		if i := r.WriterID(); i >= 0 {
			return []int{i}, k + 1
		}
		return nil, k
	}
	var out []int
	for n := k; n < len(ph) && n < k+4; n++ {
		p := &ph[n]
		if p.Key == "&" || p.Has("and") && n > k {
			continue
		}
		ids := r.Find(p.Text)
		if !r.NameLike(p) || len(ids) != 1 {
			return nil, k
		}
		out = append(out, ids[0])
		if p.Possessive {
			if n+1 < len(ph) && ph[n+1].Kind == 'w' && !ph[n+1].Has("and") {
				return nil, k // "she's Priya's niece"
			}
			return out, n + 1
		}
	}
	return nil, k
}

// isYoung reports whether somebody is said to be a child, or is the child of others' children.
func (r *Reader) isYoung(i int) bool {
	g := &r.Guests[i]
	return g.Half == 0 && (g.AgeBand == event.Child || g.AgeBand == event.Infant || g.Age >= 0 && g.Age < 30 || slices.ContainsFunc(g.Relations, func(x people.Relation) bool { return x.Word.Arg == "grandchild" }))
}

// childrenOf says of whom children are.
func (r *Reader) childrenOf(young, parents []int) {
	for _, i := range young {
		g := &r.Guests[i]
		w := words.Word{Class: "kin", Arg: "child"}
		if r.Main == "en" {
			w.Text = map[byte]string{'w': "daughter", 'm': "son", 0: "child"}[g.Sex]
		}
		for n, o := range slices.Backward(parents) {
			if o == i || slices.ContainsFunc(g.Relations, func(x people.Relation) bool { return x.Word.Arg == "child" && x.Of == o }) {
				continue
			}
			first := len(g.Relations) > 0 && (g.Relations[0].Of < 0 || r.Guests[g.Relations[0].Of].Half > 0)
			if r.Relate(i, w, parents[n:n+1]); len(g.Relations) > 1 && !first { // what they are to the couple stays first
				last := g.Relations[len(g.Relations)-1]
				g.Relations = slices.Insert(g.Relations[:len(g.Relations)-1], 0, last)
			}
		}
	}
}

// rolesDashed takes a dash for a colon between several roles and who share them: "Flower girls and page boys - Ann 4, Bea 3, Leo 6".
func (r *Reader) rolesDashed(s *Statement, at int) bool {
	head, tail := r.Parse(s.Phrases[:at], false), r.Parse(s.Phrases[at+1:], false)
	if len(head.Terms) < 2 || len(head.Unknown) > 0 || len(tail.Terms) < 2 || slices.ContainsFunc(head.Terms, func(t *speech.Term) bool {
		return t.Kind != speech.Role || !t.Word.Plural || len(t.Names) > 0 || t.Minus
	}) || slices.ContainsFunc(tail.Terms, func(t *speech.Term) bool { return t.Kind != speech.Person || t.Minus }) {
		return false
	}
	s.Head, s.Tail, s.Colon, s.Body = head, tail, true, tail.Terms
	return true
}
