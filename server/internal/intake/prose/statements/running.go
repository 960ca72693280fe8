package statements

import (
	"slices"

	"kinorder.example/server/internal/intake/prose/facts"
	"kinorder.example/server/internal/intake/prose/plain"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// tells reports whether words of running text tell of people and ask for no photograph: they have a verb, and join
// nobody to the couple.
func (r *Reader) tells(ph []speech.Phrase) bool {
	verb := false
	has := func(class string) bool { return speech.AnyHas(ph, class) }
	if has("all") && (has("next") || has("last")) { // "Last one is everybody"
		return false
	}
	if k := slices.IndexFunc(ph, func(p speech.Phrase) bool { return words.Listed("namely", p.Key) }); k > 0 && ph[0].Has("next") && speech.AnyHas(ph[:k], "kin", "role", "group") {
		return false // "then the whole Lind family, which is Ann and Bob"
	}
	if ph[0].Has("next") && speech.AnyHas(ph[:min(len(ph), 4)], "same") {
		return false // "Then the same with Tom's parents, who have come all the way"
	}
	begins := 0
	for begins+1 < len(ph) && ph[begins].Has("next") {
		begins++
	}
	if begins+3 < len(ph) && r.InCouple(ph[begins].Text) && r.InCouple(ph[begins+2].Text) && words.Listed("copula", ph[begins+3].Key) {
		return true // "Ann and Bob are up to their eyes"
	}
	for k := range ph {
		p := &ph[k]
		if k == begins && len(ph) > k+1 && (p.Has("self") || r.InCouple(p.Text)) && (ph[k+1].Has("and") || ph[k+1].Has("with") || ph[k+1].Key == "+") {
			return false // "Me and my godmother, she's off at 4"
		}
		if r.NameLike(p) {
			continue
		}
		verb = verb || plain.Are(p.Token) || p.Has("verb") || p.Has("need") || p.Has("absent") || p.Has("dead")
		if p.Has("couple") || p.Has("all") || p.Has("half") && !p.Possessive {
			for _, at := range []int{k - 1, k + 1} {
				if at >= 0 && at < len(ph) && (ph[at].Has("with") || ph[at].Key == "+") {
					return false
				}
			}
		}
	}
	return verb
}

// opensWithAll takes "could we start with everyone from my side" for a wish.
func (s *Statement) opensWithAll() {
	for k := 1; k < min(len(s.Phrases), 8); k++ {
		if words.Listed("begins", s.Phrases[k-1].Key) && s.Phrases[k].Has("all") {
			s.Phrases, s.Opens = s.Phrases[k:], 'o'
			return
		}
	}
}

// sentence reports whether a whole line is a sentence that tells something, with its point.
func (r *Reader) sentence(p piece) bool {
	last := p.tokens[len(p.tokens)-1].Key
	return p.opens == 0 && (last == "." || last == "!") && r.tells(r.Phrases(p.tokens))
}

// leadIn leaves out the verbs of a wish before its people: "Last one is everybody", "could we start with".
func (r *Reader) leadIn(ph []speech.Phrase) []speech.Phrase {
	var out []speech.Phrase
	for k := range ph {
		p := &ph[k]
		if r.NameLike(p) || p.Has("kin") || p.Has("role") || p.Has("group") || p.Has("all") || p.Has("half") || p.Has("couple") && !p.Has("verb") {
			return append(out, ph[k:]...)
		}
		if !p.Has("verb") && !p.Has("remark") || p.Has("self") || p.Has("of") || p.Has("and") || p.Has("with") || p.Has("fill") {
			out = append(out, *p)
		}
	}
	return ph
}

// told parses what tells of people: of those whom it says who they are, or who are known.
func (r *Reader) told(ph []speech.Phrase) speech.Parsed {
	owned := false // "mine are Ann and Bob"
	out := r.Parse(slices.DeleteFunc(slices.Clone(ph), func(p speech.Phrase) bool {
		are := owned && words.Listed("are", p.Key)
		owned = p.Possessive || p.Has("mine")
		return !are && !r.NameLike(&p) && !p.Has("with") && !p.Has("and") && !p.Has("of") && !p.Has("need") && !p.Has("absent") && speech.MainClass(&p) != "kin" &&
			(p.Has("verb") || p.Has("remark") || p.Has("prep") || p.Has("next"))
	}), false)
	dead := speech.AnyHas(ph, "dead")
	out.Terms = speech.Without(r.Apposed(out.Terms, &facts.Scope{Last: -1}), func(t *speech.Term) bool {
		return dead && t.Kind == speech.Kin && len(t.Names) == 0 || t.Kind == speech.Couple || t.Kind == speech.All || t.Kind == speech.Label || t.Word.Arg == "family" && len(t.Names) == 0 || t.Kind == speech.Person && t.Word.Class == "" && t.Owner == nil && len(t.Names) == 0 && len(r.Find(t.Name)) == 0
	})
	out.Unknown = nil
	return out
}

// clauseKind is what a piece of running text is.
func (r *Reader) clauseKind(k int, s *Statement, ctx Context) int {
	has := s.has
	people := len(s.Head.Terms) + len(s.Tail.Terms)
	switch {
	case s.Opens == 0 && (ctx.Guests && r.tellsKin(s.Terms()) || len(r.toldOf(s)) > 0):
		return Definition
	case s.Line.Mark == 0 && has("event") && (r.nobodyElse(s) || r.namesBoth(s.Phrases)) && !slices.ContainsFunc(r.Statements[:k], func(o *Statement) bool { return o.Kind == Photo }):
		return Remark // above the photographs: "here is the list for the wedding of my daughter Ann with Bob"
	case s.Opens == 0 && s.Phrases[0].Has("iam") && people == 1 && s.Terms()[0].Kind == speech.Kin:
		return Remark // "I am her mother!"
	case s.Opens == 0 && (has("apart") || has("near") && has("not")):
		return Remark
	case s.tells && people > 0, s.Opens == 0 && people > 0 && r.listed(k, s), s.Opens == 0 && people == 1 && s.Terms()[0].Word.Arg == "family" && k+1 < len(r.Statements) && r.Statements[k+1].Index == s.Index && r.Statements[k+1].tells: // "Then my family. My parents are Ann and Bob"
		return Definition
	case s.tells, people == 0 && (s.Opens == 0 || len(r.Topic(s)) == 0):
		return Remark
	case s.Opens == 0 && people > 0 && len(s.Head.Terms) > 0 && !s.Head.Solo && !slices.ContainsFunc(s.Terms(), func(t *speech.Term) bool { return t.Kind != speech.Couple }) && (has("remark") || has("verb") || s.Head.Terms[0].Sep == "+"):
		return Remark // "we also want", "you plan this with us"
	case s.Opens != 0, people > 1 && slices.ContainsFunc(s.Terms(), func(t *speech.Term) bool { return t.Kind == speech.All || r.Leads(t) }):
		return Photo
	}
	return -1
}

// namesBoth reports whether words name both of the couple.
func (r *Reader) namesBoth(ph []speech.Phrase) bool {
	var named [3]bool
	for k := range ph {
		named[r.HalfNamed(ph[k].Text)] = true
	}
	return named[1] && named[2]
}

// listed reports whether a piece only says of whom the next ones want photographs: "his parents Ann and Bob. One of all
// of them".
func (r *Reader) listed(k int, s *Statement) bool {
	next := k + 1
	for next < len(r.Statements) && r.Statements[next].Index == s.Index && r.Statements[next].Opens == 0 && len(r.Statements[next].Terms()) == 0 {
		next++ // "I'd love"
	}
	if next >= len(r.Statements) || r.Statements[next].Index != s.Index || r.Statements[next].Opens == 0 || len(s.Phrases) > 0 && s.Phrases[0].Has("next") {
		return false
	}
	return !slices.ContainsFunc(s.Terms(), func(t *speech.Term) bool { return t.Kind == speech.All || t.Kind == speech.Same || r.Leads(t) })
}

// Topic is whom the pieces before one tell of, nearest first: those right before, or before the photographs of them.
func (r *Reader) Topic(s *Statement) []*Statement {
	var out []*Statement
	for k := s.At - 1; k >= 0 && r.Statements[k].Index == s.Index; k-- {
		o := r.Statements[k]
		switch {
		case o.Kind == Definition:
			out = append(out, o)
		case o.Kind == Photo && len(out) > 0, o.Kind == Photo && o.Opens == 0:
			return out
		}
	}
	return out
}

// OfLine are the statements of the line of one.
func (r *Reader) OfLine(s *Statement) []*Statement {
	from, to := s.At, s.At+1
	for from > 0 && r.Statements[from-1].Line == s.Line {
		from--
	}
	for to < len(r.Statements) && r.Statements[to].Line == s.Line {
		to++
	}
	return r.Statements[from:to]
}

// ofOneSide takes "on Tom's side his sisters" for the sisters alone.
func ofOneSide(terms []*speech.Term) []*speech.Term {
	for k := len(terms) - 2; k >= 0; k-- {
		t, next := terms[k], terms[k+1]
		if t.Kind != speech.Kin || t.Word.Arg != "family" || t.Owner == nil || t.Owner.Pronoun != "" || next.Owner == nil || next.Owner.Pronoun == "" || next.Word.Class != "kin" {
			continue
		}
		for _, x := range terms[k+1:] {
			if x.Owner != nil && x.Owner.Pronoun == next.Owner.Pronoun && x.Word.Arg != "partner" {
				x.Owner = t.Owner
			}
		}
		terms = slices.Concat(terms[:k], terms[k+1:])
	}
	return terms
}
