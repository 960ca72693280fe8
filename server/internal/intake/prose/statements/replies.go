package statements

import (
	"slices"

	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// answered reports whether a line of a chat asks what the next one answers, which says itself who is wanted or that nobody is:
// "And a big one of everybody?", "yes, all the guests". What the couple ask the photographer is their own wish.
func (r *Reader) answered(i int) bool {
	ts, by := r.Tokens[i], r.Lines[i].By
	if by == "" || r.HalfNamed(by) > 0 || len(ts) == 0 || ts[len(ts)-1].Key != "?" {
		return false
	}
	for i++; i < len(r.Lines) && (r.Lines[i].Blank || r.Lines[i].Ruler); {
		i++
	}
	if i == len(r.Lines) || r.Lines[i].By == by || len(r.Tokens[i]) == 0 {
		return false
	}
	ts = r.Tokens[i]
	return words.Listed("declined", ts[0].Key) || words.Listed("yes", ts[0].Key) && len(r.Parse(r.Heads(i), false).Terms) > 0
}

// replied is where the question of a line ends whose answer stands behind it, "Couple with parents? Yes, Ann and Bob", or 0.
func (r *Reader) replied(ts []words.Token) int {
	at := slices.IndexFunc(ts, func(t words.Token) bool { return t.Key == "?" })
	if at < 1 || at+1 >= len(ts) || ts[0].Key == "(" {
		return 0
	}
	if next := ts[at+1]; !r.Line.Row && !words.Listed("yes", next.Key) && !words.Listed("declined", next.Key) && !(r.Is(ts, at+1, "alone") && next.Kind == 'w') {
		return 0
	}
	return at
}

// replies are the statements of a line that asks and answers itself: what it asks for with whom the answer adds, or who the answer
// says is in it instead; several where it says "first Ann, then Bob"; none where the answer is no.
func (r *Reader) replies(i int) []*Statement {
	ts := r.Tokens[i]
	r.Line = &r.Lines[i]
	at := r.replied(ts)
	if at == 0 || r.Lines[i].Ask != 0 || r.Lines[i].Answer > 0 {
		return nil
	}
	ask := r.statement(i, ts[:at], 0)
	if len(ask.Head.Terms)+len(ask.Head.Unknown) == 0 {
		return nil
	}
	rest := ts[at+1:]
	if words.Listed("declined", rest[0].Key) {
		ask.greets = true
		return []*Statement{ask}
	}
	for len(rest) > 0 && (rest[0].Kind == 'p' && rest[0].Key != "(" && rest[0].Key != "+" || words.Listed("yes", rest[0].Key)) {
		rest = rest[1:]
	}
	var out []*Statement
	for _, part := range r.firstThen(rest) {
		out = append(out, r.reply(i, ask, part))
	}
	return out
}

// firstThen divides words at those that go on to another photograph: "2 photos, first Ann on her own, then Bob".
func (r *Reader) firstThen(ts []words.Token) [][]words.Token {
	first := slices.IndexFunc(ts, func(t words.Token) bool { return words.Listed("first of", t.Key) })
	then := slices.IndexFunc(ts, func(t words.Token) bool { return words.Listed("then", t.Key) })
	if first < 0 || then < first+2 {
		return [][]words.Token{ts}
	}
	return append([][]words.Token{ts[first+1 : then]}, r.firstThen(slices.Concat(ts[first:first+1], ts[then+1:]))...)
}

// reply is a question as a photograph, with what a part of its answer says of who is in it.
func (r *Reader) reply(i int, ask *Statement, ts []words.Token) *Statement {
	s := *ask
	s.Head.Terms = slices.Clone(ask.Head.Terms)
	if len(ts) == 0 {
		return &s
	}
	s.Phrases = slices.Concat(ask.Phrases, r.Phrases(ts))
	said := r.Parse(r.Phrases(ts), false)
	said.Terms = append(said.Terms, inBrackets(r, ts)...)
	if ask.Line.Row { // "YES (from the window?)"
		said.Attrs = slices.DeleteFunc(said.Attrs, func(a speech.Attribute) bool { return a.Class == "tbc" && a.Text == "?" })
	}
	s.Head.Attrs = slices.Concat(s.Head.Attrs, said.Attrs)
	for _, a := range said.Unknown {
		a.Class = "note"
		s.Head.Attrs = append(s.Head.Attrs, a)
	}
	if len(said.Terms) == 0 || slices.ContainsFunc(said.Terms, func(t *speech.Term) bool { return t.Kind == speech.All }) {
		return &s
	}
	more := r.Is(ts, 0, "and") || r.Is(ts, 0, "with") || slices.ContainsFunc(ts, func(t words.Token) bool { return words.Listed("besides", t.Key) })
	if open := speech.OpenTerms(s.Head.Terms); !more && len(open) > 0 { // who they are, or who of them
		s.Head.Terms = speech.Without(s.Head.Terms, func(t *speech.Term) bool { return slices.Contains(open, t) })
	}
	if said.Terms[0].Sep = "+"; said.Solo {
		s.Head.Solo = false
	}
	s.Head.Terms = append(s.Head.Terms, said.Terms...)
	return &s
}

// inBrackets are the people of an answer that is all in brackets: "(just Ann)".
func inBrackets(r *Reader, ts []words.Token) []*speech.Term {
	if len(ts) < 3 || ts[0].Key != "(" || ts[len(ts)-1].Key != ")" {
		return nil
	}
	return r.Parse(r.Phrases(ts[1:len(ts)-1]), true).Terms
}
