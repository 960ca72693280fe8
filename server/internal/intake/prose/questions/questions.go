// Package questions finds the questions of a form that couples fill in, and which lines answer them.
package questions

import (
	"slices"

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

// reader reads the lines of a form.
type reader struct{ *speech.Reader }

// Find finds the questions of a form and their answers: what stands before the photographs it asks for, and what it asks behind
// them.
func Find(r *speech.Reader) { (&reader{r}).find() }

func (r *reader) find() {
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
func (r *reader) namesKin(i int) bool {
	ph := r.Heads(i)
	return (speech.AnyHas(ph, "kin") || speech.AnyHas(ph, "role")) && slices.ContainsFunc(ph, func(p speech.Phrase) bool { return p.Capital && r.NameLike(&p) })
}

// people reports whether a question asks who somebody is.
func (q question) people() bool { return q.ask == lines.AsksCouple || q.ask == lines.AsksPeople }

// answerTo takes the line behind a question without an answer for what answers it.
func (r *reader) answerTo(i int, qs []question) {
	for j := i + 1; !qs[i].answered && j < len(qs) && qs[j].ask == 0 && r.Lines[j].Mark == 0; j++ {
		if !r.Lines[j].Blank {
			r.Lines[j].Answer = i + 1
			return
		}
	}
}

// formEnd is where the photographs of a form begin: at their heading, else at the first line with a mark.
func (r *reader) formEnd(qs []question) (int, bool) {
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
func (r *reader) question(i int) question {
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
	heads := at >= len(ph)-1 && !none.numbered && i+1 < len(r.Lines) && (r.Lines[i+1].Mark == '-' || r.Lines[i+1].Mark == '[') // the photographs below it
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
func (r *reader) asks(ph []speech.Phrase) byte {
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

// numberedForm finds the questions of a form that all have numbers, with their answers in the lines below. Where these are marked
// and the question asks for nobody, they are the photographs: "8. Which of these would you like?", "a) Couple with parents? Yes".
func (r *reader) numberedForm(qs []question) bool {
	var heads []int
	asking, answered, couple := 0, 0, false
	for i := range r.Lines {
		l := &r.Lines[i]
		if l.Mark != '#' || len(r.Tokens[i]) == 0 {
			continue
		}
		heads = append(heads, i)
		if slices.ContainsFunc(r.Tokens[i], func(t words.Token) bool { return t.Key == "?" }) {
			asking++
		}
		if qs[i].answered {
			answered++
		}
		couple = couple || qs[i].ask == lines.AsksCouple
	}
	if len(heads) < 4 || asking < leastAsked || answered > 1 || !couple {
		return false
	}
	for n, i := range heads {
		end := len(r.Lines)
		if n+1 < len(heads) {
			end = heads[n+1]
		}
		ask, marked := r.asks(r.Heads(i)), 0
		for j := i + 1; j < end; j++ {
			if r.Lines[j].Mark != 0 {
				marked++
			}
		}
		if l := &r.Lines[i]; marked > 0 && ask != lines.AsksPeople && ask != lines.AsksCouple {
			l.Ask, l.Part, l.Mark = lines.AsksBelow, lines.PhotoHead, 0
			continue
		}
		if ask == 0 || ask == lines.AsksNothing {
			ask = lines.AsksOther
		}
		r.Lines[i].Ask, r.Lines[i].Mark, r.Lines[i].Label = ask, 0, ""
		for j := i + 1; j < end; j++ {
			if l := &r.Lines[j]; !l.Blank && !l.Ruler {
				l.Answer, l.Mark, l.Label = i+1, 0, ""
			}
		}
	}
	for i := range heads[0] {
		if !r.Lines[i].Blank {
			r.Lines[i].Ask = lines.AsksTitle
		}
	}
	return true
}
