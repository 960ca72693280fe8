package statements

import (
	"slices"

	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// adds reports whether a message only adds people to the photograph before: "+ Jonno", "Ken goes in that one too".
func (r *Reader) adds(s *Statement) bool {
	terms := s.Terms()
	if len(terms) == 0 || s.Phrases[len(s.Phrases)-1].Key == "?" || slices.ContainsFunc(terms, func(t *speech.Term) bool {
		own := t.Kind == speech.Kin && t.Owner != nil && s.Phrases[0].Has("with") // "con mis abuelos"
		return own || t.Kind == speech.Couple || t.Kind == speech.All || t.Kind == speech.Half || t.Kind == speech.Same || t.Kind == speech.Person && (r.HalfNamed(t.Name) > 0 || r.IsHonour(t.Name))
	}) {
		return false
	}
	if before := r.before(s.At); s.Phrases[0].Has("and") && len(terms) > 1 && (speech.AnyHas(s.Phrases, "self") || before != nil && joins(s) && slices.ContainsFunc(before.Terms(), func(t *speech.Term) bool { return t.Text == terms[0].Text })) {
		return false // "And me, Tom and Kit", "and Nan with the kids" below "Dad with Nan"
	}
	there := speech.AnyHas(s.Phrases, "there")
	return there || !r.wishful(s) && (s.Phrases[0].Key == "+" || s.Phrases[0].Has("and") || s.Phrases[0].Has("with"))
}

// wishful reports whether a message says that it wants a photograph: "one of", "a big one", "pic with", "can we have".
func (r *Reader) wishful(s *Statement) bool {
	return s.requests || speech.AnyHas(s.Phrases, "wish", "photos")
}

// requested is where the people begin in a message that asks for something: "can you also add my aunts"; 0 in others.
func requested(ph []speech.Phrase) int {
	asks := false
	for k := range min(len(ph)-1, 6) {
		if asks = asks || k < 3 && words.Listed("may", ph[k].Key); asks && (ph[k].Has("add") || words.Listed("asks for", ph[k].Key)) {
			return k + 1
		}
	}
	return 0
}

// SectionWriters finds who writes the lines below a heading that says so, "TOM'S SIDE (from Bea)": "me" is that one there, up to the next
// ruler.
func (r *Reader) SectionWriters() {
	by, last := "", len(r.Lines)-1 // the last line that says "me"
	for ; last >= 0 && !slices.ContainsFunc(r.Tokens[last], func(t words.Token) bool { return r.Is([]words.Token{t}, 0, "self") }); last-- {
	}
	for i := range r.Lines {
		l := &r.Lines[i]
		if l.Ruler {
			by = ""
		}
		if i == 0 || by == "" && i > last {
			continue
		}
		ph := r.Heads(i)
		if n := len(ph); n > 1 && n < 6 && l.Mark == 0 && l.By == "" && speech.AnyHas(ph, "side", "kin") && len(ph[n-1].Inside) > 1 && words.Listed("from", ph[n-1].Inside[0].Key) {
			if name, end := r.NameAt(ph[n-1].Inside, 1); name != "" && end == len(ph[n-1].Inside) && r.HalfNamed(name) == 0 {
				if by = name; len(r.Find(name)) == 0 {
					r.Enter(name)
				}
				continue
			}
		}
		if l.By == "" && l.Mark != 0 {
			l.By = by
		}
	}
}

// chatter reports whether a message without a number is no wish: it names nobody, or one without a word that it is
// wanted; of somebody else than the couple, unless it names them or everybody.
func (r *Reader) chatter(s *Statement) bool {
	terms := s.Terms()
	whole := slices.ContainsFunc(terms, func(t *speech.Term) bool {
		return t.Kind == speech.All || t.Kind == speech.Couple || t.Kind == speech.Half || t.Kind == speech.Same
	})
	switch {
	case len(terms) == 0, s.Phrases[0].Has("greet") && !whole && !speech.AnyHas(s.Phrases, "self", "wish"):
		return true
	case r.Couple[0] >= 0 && r.HalfNamed(s.Line.By) == 0 && len(r.Find(s.Line.By)) == 0:
		return !whole
	case s.Phrases[len(s.Phrases)-1].Key == "?" && !r.wishful(s) && !(whole && len(terms) > 1 && terms[1].Sep == "+"), r.tells(speech.Sentences(s.Phrases)[0]) && !r.wishful(s):
		return true
	case !s.Head.Solo && !slices.ContainsFunc(terms, func(t *speech.Term) bool { return !r.Leads(t) }):
		return s.Phrases[0].Has("greet") || s.Phrases[len(s.Phrases)-1].Key == "?"
	case slices.ContainsFunc(s.Phrases, func(p speech.Phrase) bool {
		w, _ := p.Word("edit")
		return w.Arg != "" && w.Arg != "add" && !p.Has("with")
	}) && !whole:
		return true
	case !r.marked:
		return false
	}
	return len(terms) < 2 && !r.wishful(s) && !slices.ContainsFunc(terms, func(t *speech.Term) bool { return t.Kind == speech.All })
}

// edgeOfLetter reports whether a line is a greeting or sign-off by where it stands, whatever its words: "Alright Steve,", "Groete, Ann".
func (r *Reader) edgeOfLetter(k int, s *Statement) bool {
	terms, n := s.Head.Terms, len(s.Phrases)
	if s.Line.Mark != 0 || s.Line.By != "" || s.Colon || n > 5 {
		return false
	}
	first := k == 0 && n > 1 && s.Phrases[n-1].Key == ","
	return first || k > 0 && k == len(r.Statements)-1 && s.Line.After && len(terms) == 2 && r.Doubtful(terms[0]) && terms[1].Sep == "," && terms[1].Kind == speech.Person
}

// Greets reports whether a line is a greeting or a sign-off: "Hi Steph,", "Best wishes, Ann".
func (r *Reader) Greets(s *Statement) bool {
	if s.Line.Mark != 0 || len(s.Phrases) == 0 || !s.Phrases[0].Has("greet") || r.NameLike(&s.Phrases[0]) {
		return false
	}
	comma := slices.IndexFunc(s.Phrases, func(p speech.Phrase) bool { return p.Key == "," }) // "Dear Ms Lind, here is our list of photos as agreed"
	return len(s.Phrases) < 9 || comma > 0 && comma < 6 && s.has("photos") && len(s.Tail.Terms) == 0 && !joins(s)
}
