package prose

import (
	"maps"
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/facts"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/statements"
	"kinorder.example/server/internal/intake/prose/words"
	"kinorder.example/server/internal/wording"
)

// answer is a line that names those whom words of other lines stand for, as the question who they are asks for it: "Ann's family: Ann,
// Bob".
type answer struct {
	label string // as it is written
	from  int    // where the names begin
	photo bool   // it asks for a photograph too
}

// answers are the lines, by their index, that answer what is asked of the list, wherever they stand, or that only say who a group is and
// were read as photographs, with those that are known already.
func (r *reader) answers() map[int]answer {
	out := make(map[int]answer)
	maps.Copy(out, r.told)
	if len(r.Questions)+len(r.Leaned) == 0 {
		return out
	}
	found := make(map[int]answer)
	ends := len(r.Lines) // where the last lines begin that are all answers, below an empty one
	for i, all := len(r.Lines)-1, true; i >= 0; i-- {
		l := &r.Lines[i]
		if l.Blank || r.told[i].from > 0 {
			continue
		}
		a, ok := r.answerAt(i)
		if ok {
			found[i] = a
		}
		if all = all && ok; all && l.After {
			ends = i
		}
	}
	for i, a := range found {
		asks, key := r.asksPhoto(i), people.LabelKey(a.label)
		tells := r.Marked() && r.Lines[i].Mark == 0 || i >= ends || r.whole(key, i)
		if a.photo = asks && !tells; r.Questions[key] || asks && tells {
			out[i] = a
		}
	}
	return out
}

// answerAt is what a line answers, if it does: words in question before a colon, and behind it nothing but people by name.
func (r *reader) answerAt(i int) (answer, bool) {
	l := &r.Lines[i]
	if l.Ruler || l.Struck || len(l.Cells) > 1 || l.Answer != 0 || l.Heads > 0 || !r.Effort.Spend(20*words.Weight(l.Text)) {
		return answer{}, false
	}
	for at, c := range l.Text {
		if c != ':' && c != '：' {
			continue
		}
		key := people.LabelKey(l.Text[:at])
		if !r.Questions[key] && !r.Leaned[key] {
			continue
		}
		a := answer{label: strings.TrimSpace(l.Text[:at]), from: at + 1}
		said := r.parsed(i, a)
		ok := len(said.Terms) > 0 && len(said.Unknown) == 0 && !said.HasRemark() && !slices.ContainsFunc(said.Terms, func(t *speech.Term) bool {
			return t.Minus || t.Kind != speech.Person && len(t.Names) == 0
		})
		return a, ok
	}
	return answer{}, false
}

// parsed are the people of an answer.
func (r *reader) parsed(i int, a answer) speech.Parsed {
	r.Line = &r.Lines[i]
	tokens := words.Elided(words.Tokenize(r.Line.Text))
	from := slices.IndexFunc(tokens, func(t words.Token) bool { return t.Start >= a.from })
	if from < 0 {
		return speech.Parsed{}
	}
	return r.Parse(r.Phrases(tokens[from:]), false)
}

// asksPhoto reports whether a line was read as a photograph.
func (r *reader) asksPhoto(i int) bool {
	return slices.ContainsFunc(r.Statements, func(s *statements.Statement) bool {
		return s.Line == &r.Lines[i] && s.Kind != statements.Definition && s.Kind != statements.Title && s.Kind != statements.Remark
	})
}

// whole reports whether another line has the words of a label, and no others.
func (r *reader) whole(key string, i int) bool {
	for j := range r.Lines {
		if j != i && !r.Lines[j].Blank && r.Effort.Spend(len(r.Lines[j].Text)) && people.LabelKey(r.Lines[j].Text) == key {
			return true
		}
	}
	return false
}

// setAside takes answers that ask for nothing out of the list, so that no other line is read by them.
func (r *reader) setAside() {
	for i, a := range r.told {
		if a.photo {
			continue
		}
		l := &r.Lines[i]
		l.Ruler = true
		r.Use(l.Number, place.Used)
		if i+1 < len(r.Lines) {
			r.Lines[i+1].After = r.Lines[i+1].After || l.After
		}
	}
}

// learnAnswers takes up who is named in answers.
func (r *reader) learnAnswers() {
	for i := range r.Lines {
		a, ok := r.told[i]
		if !ok {
			continue
		}
		in := r.parsed(i, a)
		r.LearnTerms(in.Terms, &facts.Scope{Last: -1})
		var ids []int
		for _, t := range in.Terms {
			for _, x := range append([]*speech.Term{t}, t.Names...) {
				ids = people.Union(ids, x.Guests)
			}
		}
		if len(ids) > 0 {
			r.Answers[people.LabelKey(a.label)] = ids
			r.Taken[r.Line.Number] = []wording.Message{wording.Say("%s: %s", a.label, r.And(ids))}
		}
	}
}
