package statements

import (
	"slices"

	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// whoIsWho takes a line of sentences that say who somebody is for a statement a clause, if it is one: "Ann is Tom's sister and
// she is married to Bo. They don't speak.". Its pronouns are the names that they stand for.
func (r *Reader) whoIsWho(i int) bool {
	l := &r.Lines[i]
	if l.Mark == '#' || l.Names || l.Ask != 0 || l.Answer != 0 || len(l.Cells) > 1 {
		return false
	}
	ts, n := r.Tokens[i], len(r.Statements)
	after := n > 0 && r.Statements[n-1].Told && r.Statements[n-1].Index == i-1
	if len(ts) == 0 || len(ts) > 100 || r.copula(ts, 0) == 0 && !(after && listedAs(ts[0].Key) != "") {
		return false
	}
	if r.asksFor(i) {
		return false // "one of"
	}
	before, follows := [][]words.Token(nil), false
	if n := len(r.Statements); n > 0 && i > 0 && r.Statements[n-1].Index == i-1 {
		before, follows = r.sentencesOf(r.Tokens[i-1]), r.Statements[n-1].Told
	}
	var out []*Statement
	found := false
	var owner []words.Token
	for n, ts := range r.sentencesOf(r.Tokens[i]) {
		began := len(ts) > 0 && listedAs(ts[0].Key) != ""
		ts = r.pronounsNamed(ts, before)
		before = append(before, ts)
		var told []*Statement
		told, owner = r.clausesTold(i, ts, owner)
		found = found || len(told) > 0 || n == 0 && began && follows
		if len(told) == 0 {
			told = []*Statement{r.tellingOf(i, ts)}
			if !told[0].tells && !r.KeepsApart(told[0].Phrases) {
				return false // it asks for something
			}
		}
		out = append(out, told...)
	}
	if !found {
		return false
	}
	for _, s := range out {
		s.Told = true
	}
	r.Statements = append(r.Statements, out...)
	return true
}

// saysKin reports whether a line has a verb between somebody's name and a word of kin or a role.
func (r *Reader) saysKin(i int) bool {
	at := r.copula(r.Tokens[i], 0)
	return at > 0 && len(r.namesOf(r.Tokens[i])) > 0
}

// tellingOf is a clause that says something else.
func (r *Reader) tellingOf(i int, ts []words.Token) *Statement {
	s := &Statement{Line: &r.Lines[i], Index: i, Clause: true}
	r.fillIn(s, ts)
	return s
}

// sentencesOf divides tokens where sentences end, and at a dash before one about those named: "... - they are divorced".
func (r *Reader) sentencesOf(ts []words.Token) [][]words.Token {
	var out [][]words.Token
	from, depth := 0, 0
	for k := range ts {
		switch {
		case ts[k].Key == "(":
			depth++
		case ts[k].Key == ")":
			depth--
		case depth > 0:
		case r.ends(ts, k), (ts[k].Key == "-" && ts[k].Gap || ts[k].Key == ",") && k+1 < len(ts) && listedAs(ts[k+1].Key) != "":
			if k > from {
				out = append(out, ts[from:k])
			}
			from = k + 1
		}
	}
	if from < len(ts) {
		out = append(out, ts[from:])
	}
	return out
}

// clausesTold are the clauses of a sentence in which somebody is said to be somebody's kin or to have a role; none where it has none.
// Kin of nobody said are of the owner named before: "Mia's mum is Petra, dad is Karl. Gran is Ida."
func (r *Reader) clausesTold(i int, ts, owner []words.Token) ([]*Statement, []words.Token) {
	var out []*Statement
	var subject []words.Token
	found, from, at := false, 0, r.copula(ts, 0)
	for at > 0 {
		next := r.copula(ts, at+1)
		end, begin := len(ts), len(ts)
		if next > 0 {
			end, begin = r.clauseEnd(ts, at, next)
		}
		if from < at {
			subject = ts[from:at]
		}
		if w, kin := r.kinAt(subject, 0); kin && len(owner) > 0 && len(r.namesOf(subject)) == 0 && w.Class == "kin" && len(r.Lexical(subject[0])) > 0 && r.Is(subject, 0, "kin") {
			subject = append(slices.Clone(owner), subject...)
		}
		owner = r.ownerFirst(subject, owner)
		told := r.clauseTold(i, subject, ts[at], ts[at+1:end])
		if len(told) == 0 {
			if told = []*Statement{r.tellingOf(i, slices.Concat(subject, ts[at:end]))}; !told[0].tells && !r.KeepsApart(told[0].Phrases) {
				return nil, nil
			}
		} else {
			found = true
		}
		out = append(out, told...)
		from, at = begin, next
	}
	if !found {
		return nil, owner
	}
	return out, owner
}

// ownerFirst is whose kin words begin with: "Mia's mum", "the bride's mum"; where they name nobody, still that of before.
func (r *Reader) ownerFirst(ts, before []words.Token) []words.Token {
	for k := range min(2, len(ts)) {
		if r.Is(ts, k, "half") && ts[k].Possessive {
			return ts[k : k+1]
		}
	}
	for _, c := range r.namesOf(ts) {
		if before = nil; c.owner && c.at == 0 {
			before = c.tokens
		}
	}
	return before
}

// copula is where the next "is" or "are" stands that is no part of a bracket or "who is"; 0 where none does.
func (r *Reader) copula(ts []words.Token, from int) int {
	depth := 0
	for k := from; k < len(ts); k++ {
		switch {
		case ts[k].Key == "(":
			depth++
		case ts[k].Key == ")":
			depth--
		case depth == 0 && k > 0 && k+1 < len(ts) && words.Listed("copula", ts[k].Key) && !words.Listed("pronoun", ts[k-1].Key):
			return k
		}
	}
	return 0
}

// clauseEnd is where a clause ends between two verbs, and where the next begins: at the last comma or "and", before several at the last
// that lets them be several.
func (r *Reader) clauseEnd(ts []words.Token, at, next int) (end, begin int) {
	several := words.Listed("are", ts[next].Key)
	end = next
	for k := next - 1; k > at+1; k-- {
		comma, and := ts[k].Key == ",", r.Is(ts, k, "and")
		if !comma && !and {
			continue
		}
		if w, kin := r.kinAt(ts[:next], k+1); several && and && ts[k-1].Key != "," && !(kin && w.Plural) && slices.ContainsFunc(ts[at+1:k], func(t words.Token) bool { return t.Key == "," }) {
			continue
		}
		end, begin = k, k+1
		if and && ts[k-1].Key == "," {
			end--
		}
		return end, begin
	}
	return next, next
}

// clauseTold are the statements of a clause: kin or a role before a colon, and its names behind it, in whichever order they stand.
func (r *Reader) clauseTold(i int, subject []words.Token, verb words.Token, rest []words.Token) []*Statement {
	if len(subject) == 0 {
		return nil
	}
	verb.Kind, verb.Key = 'p', ":"
	says := func(kind int, head, tail []*speech.Term) *Statement {
		s := &Statement{Line: &r.Lines[i], Index: i, Clause: true, is: len(tail) > 0, Colon: len(tail) > 0, saysWho: kind}
		s.Phrases = r.Phrases(slices.Concat(subject, []words.Token{verb}, rest))
		s.Head.Terms, s.Tail.Terms, s.Body = head, tail, tail
		return s
	}
	r.Line = &r.Lines[i]
	who, what := r.Parse(r.Phrases(subject), false), r.Parse(r.Phrases(rest), false)
	comma := slices.IndexFunc(rest, func(t words.Token) bool { return t.Key == "," || t.Key == "-" && t.Gap || t.Key == "(" })
	if len(who.Unknown) > 0 || len(who.Terms) == 0 {
		return nil
	}
	if comma > 0 && (len(what.Unknown) > 0 || len(what.Attrs) > 0) {
		what = r.Parse(r.Phrases(rest[:comma]), false)
	}
	half := func(ts []*speech.Term) bool { return len(ts) == 1 && ts[0].Kind == speech.Half }
	switch {
	case onlyNames(who.Terms) && slices.ContainsFunc(who.Terms, func(t *speech.Term) bool { return len(t.Names) == 1 && t.Names[0].Kind == speech.Kin }) && !onlyOpen(what.Terms):
		return []*Statement{says(Definition, who.Terms, nil)} // "Ann (mother) and Bo (father) are divorced"
	case len(what.Unknown) > 0:
		return nil
	case half(who.Terms) && onlyNames(what.Terms), onlyNames(who.Terms) && half(what.Terms):
		return []*Statement{says(Title, nil, nil)}
	case onlyOpen(who.Terms) && onlyNames(what.Terms):
		return []*Statement{says(Definition, who.Terms[:1], what.Terms)}
	case onlyNames(who.Terms) && onlyNames(what.Terms) && len(what.Terms) == 1 && what.Terms[0].Word.Arg == "partner" && what.Terms[0].Owner == nil:
		return []*Statement{says(Definition, append(slices.Clone(who.Terms), what.Terms[0]), nil)}
	case !onlyNames(who.Terms) || !onlyOpen(what.Terms) || len(who.Terms) > 1 && !words.Listed("are", verb.Text): // "maids Ann, Bea and Ida is flower girl"
		return nil
	}
	var out []*Statement
	var plain []*speech.Term
	for _, t := range who.Terms {
		if t.Owner != nil { // "their little girl Ann is Tom's sister"
			out = append(out, says(Definition, []*speech.Term{t}, nil))
			bare := *t
			bare.Word, bare.Owner = words.Word{}, nil
			t = &bare
		}
		plain = append(plain, t)
	}
	for _, t := range what.Terms {
		var tail []*speech.Term
		for _, x := range plain {
			one := *x
			tail = append(tail, &one)
		}
		out = append(out, says(Definition, []*speech.Term{t}, tail))
	}
	return out
}

// onlyNames reports whether terms are people by name.
func onlyNames(ts []*speech.Term) bool {
	return len(ts) > 0 && !slices.ContainsFunc(ts, func(t *speech.Term) bool { return t.Kind != speech.Person || t.Sep == "+" || t.Minus })
}

// onlyOpen reports whether terms are roles, or kin of whom is said, without names.
func onlyOpen(ts []*speech.Term) bool {
	return len(ts) > 0 && !slices.ContainsFunc(ts, func(t *speech.Term) bool {
		return t.Kind != speech.Role && (t.Kind != speech.Kin || t.Owner == nil) || len(t.Names) > 0 || t.Sep == "+" || t.Minus
	})
}
