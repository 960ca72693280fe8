package statements

import (
	"cmp"
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// leastAsked is how many questions make a form.
const leastAsked = 3

// question is what a line asks, whether a number stands before it, and whether the answer stands on it.
type question struct {
	ask                byte
	numbered, answered bool
	asks               bool // it begins with words that ask, and ends with a question mark
}

// FormLines finds the questions of a form and their answers: what stands before the photographs it asks for, and what
// it asks behind them.
func (r *Reader) FormLines() {
	qs := make([]question, len(r.Lines))
	for i := range r.Lines {
		qs[i] = r.question(i)
	}
	if r.numberedForm(qs) {
		return
	}
	for i, q := range qs { // also where the list is no form
		if q.answered && q.ask != 0 && !q.numbered && q.asks {
			r.Lines[i].Ask = q.ask
		}
	}
	end, headed := r.formEnd(qs)
	asked := 0
	for _, q := range qs[:end] {
		if q.people() && (headed || !q.numbered) {
			asked++
		}
	}
	if asked < leastAsked {
		return
	}
	asked = 0
	for i := range r.Lines {
		l, q := &r.Lines[i], qs[i]
		if q.numbered && !(headed && i < end) {
			continue
		}
		switch {
		case i < end && q.ask == lines.AsksNothing:
			q.ask = lines.AsksOther
		case i < end && q.ask == 0 && asked == 0 && !l.Blank && l.Mark == 0 && !r.namesKin(i):
			l.Ask = lines.AsksTitle
		}
		if q.ask == 0 || q.ask == lines.AsksNothing || i > end && q.ask != lines.AsksOther {
			continue
		}
		l.Ask = q.ask
		asked++
		if i < end {
			l.Mark, l.Label = 0, ""
			r.answerTo(i, qs[:end])
		} else {
			r.answerTo(i, qs)
		}
	}
	for i := 1; i < end; i++ {
		if l := &r.Lines[i]; qs[i].ask == 0 && l.Ask == 0 && l.Answer == 0 && l.Mark == 0 && !l.Blank && asked > 0 && i+1 < len(qs) && qs[i+1].ask != 0 && !r.namesKin(i) {
			l.Ask = lines.AsksBelow
		}
	}
}

// namesKin reports whether a line says whose kin somebody is, or a role of theirs: "Petra's new husband Uwe". It is no title.
func (r *Reader) namesKin(i int) bool {
	ph := r.Heads(i)
	return (speech.AnyHas(ph, "kin") || speech.AnyHas(ph, "role")) && slices.ContainsFunc(ph, func(p speech.Phrase) bool { return p.Capital && r.NameLike(&p) })
}

// people reports whether a question asks who somebody is.
func (q question) people() bool { return q.ask == lines.AsksCouple || q.ask == lines.AsksPeople }

// answerTo takes the line behind a question without an answer for what answers it.
func (r *Reader) answerTo(i int, qs []question) {
	for j := i + 1; !qs[i].answered && j < len(qs) && qs[j].ask == 0 && r.Lines[j].Mark == 0; j++ {
		if !r.Lines[j].Blank {
			r.Lines[j].Answer = i + 1
			return
		}
	}
}

// formEnd is where the photographs of a form begin: at their heading, else at the first line with a mark.
func (r *Reader) formEnd(qs []question) (int, bool) {
	asked, first, plain := 0, -1, 0
	for i := range r.Lines {
		l := &r.Lines[i]
		if l.Blank || l.Ruler {
			continue
		}
		if first < 0 && l.Mark != 0 {
			first = i
		}
		if l.Mark == '#' && qs[i].ask == 0 {
			plain++
		}
		if qs[i].people() {
			asked++
		} else if asked >= leastAsked && !qs[i].answered && len(r.Tokens[i]) < longQuestion && slices.ContainsFunc(r.Heads(i), func(p speech.Phrase) bool { return p.Has("photos") }) {
			return i, true
		}
		if plain > 1 {
			break // photographs
		}
	}
	return max(first, 0), false
}

// longQuestion is how many words and marks no question has.
const longQuestion = 20

// question is what a line asks.
func (r *Reader) question(i int) question {
	l, ts := &r.Lines[i], r.Tokens[i]
	none := question{numbered: l.Mark == '#'}
	ts = ts[:min(len(ts), longQuestion)]
	marked := slices.ContainsFunc(ts, func(t words.Token) bool { return t.Key == ":" || t.Key == "?" || t.Key == "=" })
	bare := none.numbered && len(ts) < 8 && i+1 < len(r.Lines) && !r.Lines[i+1].Blank && r.Lines[i+1].Mark == 0
	if len(ts) == 0 || l.Row || l.By != "" || l.Cells != nil || l.Mark != 0 && !none.numbered || !marked && !bare || !r.Effort.Spend(40*len(ts)) {
		return none
	}
	r.Line = l
	ph := r.Phrases(ts)
	at := r.QuestionEnd(ph)
	heads := at >= len(ph)-1 && !none.numbered && i+1 < len(r.Lines) && r.Lines[i+1].Mark == '-' // the photographs below it
	if at == len(ph) && !bare || at < 1 || heads {
		return none
	}
	ask := r.asks(ph[:at])
	if ask == lines.AsksCouple && speech.AnyHas(speech.Flat(ph[at:]), "kin") { // "Bride: mum Ida, dad Karl"
		return none
	}
	return question{ask, none.numbered, at < len(ph)-1, at < len(ph)-1 && ph[at].Key == "?" && ph[0].Has("ask") && !speech.AnyHas(ph, "wish")}
}

// asks is what the words of a question ask for.
func (r *Reader) asks(ph []speech.Phrase) byte {
	has := func(class string) bool {
		return slices.ContainsFunc(ph, func(p speech.Phrase) bool { return p.Has(class) && !p.Capital || p.Has(class) && !r.NameLike(&p) })
	}
	switch {
	case has("photos"):
		return 0
	case has("kin") || has("role") || has("group"):
		return lines.AsksPeople
	case has("name"):
		return lines.AsksCouple
	case ph[0].Has("ask") || ph[0].Key == "¿":
		return lines.AsksOther
	case has("half") || has("couple") || has("partner"):
		return lines.AsksCouple
	case has("key") || has("note") || has("near") || has("apart"):
		return lines.AsksOther
	}
	return lines.AsksNothing
}

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
