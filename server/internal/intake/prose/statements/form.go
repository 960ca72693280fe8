package statements

import (
	"cmp"
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// asked parses a question without the words that ask.
func (r *Reader) asked(ph []speech.Phrase) speech.Parsed {
	if k := len(ph) - 2; k > 0 && ph[k].Has("with") && words.Listed("asked with", ph[k+1].Key) {
		ph = ph[:k]
	}
	ph = slices.DeleteFunc(slices.Clone(ph), func(p speech.Phrase) bool {
		return (p.Has("ask") || p.Has("remark") || p.Has("name") || p.Has("verb")) && !p.Has("of") && !p.Has("fill") && !p.Has("kin") && !r.NameLike(&p)
	})
	if n := len(ph); n > 0 {
		ph[n-1].Possessive = false // "Mum's name"
	}
	out := r.Parse(ph, false)
	if len(out.Terms) > 1 && out.Terms[0].Kind == speech.Kin && out.Terms[0].Word.Arg == "sibling" { // "Siblings, with partners and children": an answer says which they are
		out.Terms = speech.Without(out.Terms, func(t *speech.Term) bool { return t.Word.Arg == "partner" || t.Word.Arg == "child" })
	}
	return out
}

// answers parses an answer; whose people are says what stands behind them: "Juliette for Camille", "Mara (bride)".
func (r *Reader) answers(ph []speech.Phrase) speech.Parsed {
	var out speech.Parsed
	var before *speech.Owner
	from := 0
	for k := 0; k <= len(ph); k++ {
		var o *speech.Owner
		if k+1 < len(ph) && ph[k+1].Key == ":" && r.ownerAt(ph, k) != nil { // "Lara: sister Pia. Ben: none"
			before = r.ownerAt(ph, k)
			from = k + 2
			continue
		}
		ends := k < len(ph) && ph[k].Key == "." && before != nil
		if k < len(ph) && !ends {
			if o = r.ownerAt(ph, k+1); o == nil || !ph[k].Has("for") {
				continue
			}
		}
		part := r.Parse(ph[min(from, k):k], false)
		o = cmp.Or(o, before)
		for _, t := range part.Terms {
			t.Owner = cmp.Or(t.Owner, o)
			if x := t.Names; len(x) == 1 && t.Kind == speech.Person && (x[0].Kind == speech.Half || x[0].Kind == speech.Person && r.InCouple(x[0].Name)) {
				t.Owner, t.Names = &speech.Owner{Half: x[0].Word.Sex, Name: x[0].Name}, nil
			}
		}
		out.Terms, out.Attrs, out.Unknown = append(out.Terms, part.Terms...), append(out.Attrs, part.Attrs...), append(out.Unknown, part.Unknown...)
		from = k + 2
		if ends {
			from, before = k+1, nil
		}
	}
	return out
}

// forWhom reports whether names are given to one of the couple: "Juliette for Camille".
func (r *Reader) forWhom(ph []speech.Phrase) bool {
	for k := 1; k+1 < len(ph); k++ {
		if ph[k].Has("for") && r.NameLike(&ph[k-1]) && r.ownerAt(ph, k+1) != nil {
			return true
		}
	}
	return false
}

// ownerAt is whom of the couple words name at k.
func (r *Reader) ownerAt(ph []speech.Phrase, k int) *speech.Owner {
	for k < len(ph) && ph[k].Has("fill") {
		k++
	}
	if k >= len(ph) {
		return nil
	}
	if w, ok := ph[k].Word("half"); ok {
		return &speech.Owner{Half: w.Sex}
	}
	if r.InCouple(ph[k].Text) {
		return &speech.Owner{Name: ph[k].Text}
	}
	if ph[k].Has("self") && r.Couple[0] >= 0 {
		return &speech.Owner{Pronoun: "my"}
	}
	return nil
}

// formKind is what a line of a form is: who somebody is, what the title says, or a remark.
func (r *Reader) formKind(s *Statement) int {
	q := s.Line.Ask
	if s.Line.Answer > 0 {
		q = r.Lines[s.Line.Answer-1].Ask
	}
	switch q {
	case lines.AsksBelow:
		return Heading
	case lines.AsksPeople:
		return Definition
	case lines.AsksCouple, lines.AsksTitle:
		return Title
	}
	label := s.Phrases[:max(0, min(len(s.Phrases), r.QuestionEnd(s.Phrases)))]
	switch {
	case speech.AnyHas(label, "key"):
		return Title
	case speech.AnyHas(label, "near", "apart"):
		return Definition
	}
	return Remark
}

// Clock is the time of day before a line, empty where there is none.
func (s *Statement) Clock() string {
	if s.Line.Clock == "" {
		return ""
	}
	written, _, _ := strings.Cut(s.Line.Raw, s.Line.Text)
	return speech.Afternoon(speech.Phrase{Token: words.Token{Key: s.Line.Clock, Text: written}})
}

// shouted reports whether a line is in capitals, but for what stands in brackets.
func (s *Statement) shouted() bool {
	text, _, _ := strings.Cut(s.Line.Text, "(")
	return text == strings.ToUpper(text) && text != strings.ToLower(text)
}
