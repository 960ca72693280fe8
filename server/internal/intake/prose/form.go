package prose

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/words"
)

// leastAsked is how many questions make a form.
const leastAsked = 3

// question is what a line asks, whether a number stands before it, and whether the answer stands on it.
type question struct {
	ask                byte
	numbered, answered bool
}

// formLines finds the questions of a form and their answers: what stands before the photographs it asks for, and what
// it asks behind them.
func (r *reader) formLines() {
	qs := make([]question, len(r.lines))
	for i := range r.lines {
		qs[i] = r.question(i)
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
	for i := range r.lines {
		l, q := &r.lines[i], qs[i]
		if q.numbered && !(headed && i < end) {
			continue
		}
		switch {
		case i < end && q.ask == lines.AsksNothing:
			q.ask = lines.AsksOther
		case i < end && q.ask == 0 && asked == 0 && !l.Blank && l.Mark == 0:
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
		}
	}
	for i := 1; i < end; i++ {
		if l := &r.lines[i]; qs[i].ask == 0 && l.Ask == 0 && l.Answer == 0 && l.Mark == 0 && !l.Blank && asked > 0 && i+1 < len(qs) && qs[i+1].ask != 0 {
			l.Ask = lines.AsksBelow
		}
	}
}

// people reports whether a question asks who somebody is.
func (q question) people() bool { return q.ask == lines.AsksCouple || q.ask == lines.AsksPeople }

// answerTo takes the line behind a question without an answer for what answers it.
func (r *reader) answerTo(i int, qs []question) {
	for j := i + 1; !qs[i].answered && j < len(qs) && qs[j].ask == 0 && r.lines[j].Mark == 0; j++ {
		if !r.lines[j].Blank {
			r.lines[j].Answer = i + 1
			return
		}
	}
}

// formEnd is where the photographs of a form begin: at their heading, else at the first line with a mark.
func (r *reader) formEnd(qs []question) (int, bool) {
	asked, first := 0, -1
	for i := range r.lines {
		l := &r.lines[i]
		if l.Blank || l.Ruler {
			continue
		}
		if first < 0 && l.Mark != 0 {
			first = i
		}
		if qs[i].people() {
			asked++
		} else if asked >= leastAsked && !qs[i].answered && len(r.tokens[i]) < longQuestion && slices.ContainsFunc(r.heads(i), func(p phrase) bool { return p.has("photos") }) {
			return i, true
		}
	}
	return max(first, 0), false
}

// longQuestion is how many words and marks no question has.
const longQuestion = 20

// question is what a line asks.
func (r *reader) question(i int) question {
	l, ts := &r.lines[i], r.tokens[i]
	none := question{numbered: l.Mark == '#'}
	ts = ts[:min(len(ts), longQuestion)]
	marked := slices.ContainsFunc(ts, func(t words.Token) bool { return t.Key == ":" || t.Key == "?" || t.Key == "=" })
	bare := none.numbered && len(ts) < 8 && i+1 < len(r.lines) && !r.lines[i+1].Blank && r.lines[i+1].Mark == 0
	if len(ts) == 0 || l.By != "" || l.Cells != nil || l.Mark != 0 && !none.numbered || !marked && !bare || !r.Effort.Spend(40*len(ts)) {
		return none
	}
	r.Line = l
	ph := r.phrasesOf(ts)
	at := r.questionEnd(ph)
	if at == len(ph) && !bare || at < 1 {
		return none
	}
	return question{r.asks(ph[:at]), none.numbered, at < len(ph)-1}
}

// questionEnd is the mark behind the question of a line: a colon, or a question mark behind words that ask; it is the
// end of the line where there is none, and -1 where people are joined before it.
func (r *reader) questionEnd(ph []phrase) int {
	for k := 0; k < min(len(ph), 16); k++ {
		switch ph[k].Key {
		case ":", "=":
			return k
		case "?":
			if ph[0].has("ask") || ph[0].Key == "¿" || k == len(ph)-1 || k < 4 {
				return k
			}
			return -1
		case ",", "+":
			if !ph[0].has("ask") {
				return -1
			}
		}
		if ph[k].has("with") {
			return -1
		}
	}
	return len(ph)
}

// asks is what the words of a question ask for.
func (r *reader) asks(ph []phrase) byte {
	has := func(class string) bool {
		return slices.ContainsFunc(ph, func(p phrase) bool { return p.has(class) && !p.Capital || p.has(class) && !r.nameLike(&p) })
	}
	switch {
	case has("photos"):
		return 0
	case has("kin") || has("role"):
		return lines.AsksPeople
	case has("name"):
		return lines.AsksCouple
	case ph[0].has("ask") || ph[0].Key == "¿":
		return lines.AsksOther
	case has("half") || has("couple") || has("partner"):
		return lines.AsksCouple
	case has("key") || has("note") || has("near") || has("apart"):
		return lines.AsksOther
	}
	return lines.AsksNothing
}

// asked parses a question without the words that ask.
func (r *reader) asked(ph []phrase) parsed {
	ph = slices.DeleteFunc(slices.Clone(ph), func(p phrase) bool {
		return (p.has("ask") || p.has("remark") || p.has("name") || p.has("verb")) && !p.has("of") && !p.has("fill") && !p.has("kin") && !r.nameLike(&p)
	})
	if n := len(ph); n > 0 {
		ph[n-1].Possessive = false // "Mum's name"
	}
	return r.parse(ph, false)
}

// answers parses an answer; whose people are says what stands behind them: "Juliette for Camille", "Mara (bride)".
func (r *reader) answers(ph []phrase) parsed {
	var out parsed
	var before *owner
	from := 0
	for k := 0; k <= len(ph); k++ {
		var o *owner
		if k+1 < len(ph) && ph[k+1].Key == ":" && r.ownerAt(ph, k) != nil { // "Lara: sister Pia. Ben: none"
			before = r.ownerAt(ph, k)
			from = k + 2
			continue
		}
		ends := k < len(ph) && ph[k].Key == "." && before != nil
		if k < len(ph) && !ends {
			if o = r.ownerAt(ph, k+1); o == nil || !ph[k].has("for") {
				continue
			}
		}
		part := r.parse(ph[min(from, k):k], false)
		o = firstOwnerOf(o, before)
		for _, t := range part.terms {
			t.own = firstOwnerOf(t.own, o)
			if x := t.sub; len(x) == 1 && t.kind == person && (x[0].kind == half || x[0].kind == person && r.InCouple(x[0].name)) {
				t.own, t.sub = &owner{half: x[0].w.Sex, name: x[0].name}, nil
			}
		}
		out.terms, out.attrs, out.lost = append(out.terms, part.terms...), append(out.attrs, part.attrs...), append(out.lost, part.lost...)
		from = k + 2
		if ends {
			from, before = k+1, nil
		}
	}
	return out
}

// ownerAt is whom of the couple words name at k.
func (r *reader) ownerAt(ph []phrase, k int) *owner {
	for k < len(ph) && ph[k].has("fill") {
		k++
	}
	if k >= len(ph) {
		return nil
	}
	if w, ok := ph[k].word("half"); ok {
		return &owner{half: w.Sex}
	}
	if r.InCouple(ph[k].Text) {
		return &owner{name: ph[k].Text}
	}
	return nil
}

// formKind is what a line of a form is: who somebody is, what the title says, or a remark.
func (r *reader) formKind(s *statement) int {
	q := s.l.Ask
	if s.l.Answer > 0 {
		q = r.lines[s.l.Answer-1].Ask
	}
	switch q {
	case lines.AsksBelow:
		return heading
	case lines.AsksPeople:
		return definition
	case lines.AsksCouple, lines.AsksTitle:
		return title
	}
	label := s.ph[:max(0, min(len(s.ph), r.questionEnd(s.ph)))]
	switch {
	case slices.ContainsFunc(label, func(p phrase) bool { return p.has("key") }):
		return title
	case slices.ContainsFunc(label, func(p phrase) bool { return p.has("near") || p.has("apart") }):
		return definition
	}
	return remark
}

// formCouple reads the names that a form asks for: of both, of the bride and the groom, or of one partner and the other.
func (r *reader) formCouple() bool {
	var one, said [2]string
	for i := range r.lines {
		l := &r.lines[i]
		if l.Ask != lines.AsksCouple {
			continue
		}
		label := r.heads(i)
		at := max(0, r.questionEnd(label))
		label, ph := label[:at], label[min(len(label), at+1):]
		for j := range r.lines {
			if r.lines[j].Answer == i+1 {
				label, ph = r.heads(i), r.heads(j)
			}
		}
		if a, b, ok := r.pair(ph, 0); ok {
			r.setCouple(a, b, r.saidFirst(ph))
			return true
		}
		name, _ := r.nameAt(ph, 0)
		for k := range label {
			w, half := label[k].word("half")
			p, partner := label[k].word("partner")
			switch {
			case half && w.Sex == 'm', partner && p.Arg == "2":
				one[1], said[1] = name, strings.ToLower(w.Text)
			case half, partner:
				one[0], said[0] = name, strings.ToLower(w.Text)
			}
		}
	}
	return r.setBoth(one, said)
}

// setBoth enters a couple of whom each is named in a line, with what the lines call them: "" where not bride and groom.
func (r *reader) setBoth(one, said [2]string) bool {
	if one[0] == "" || one[1] == "" {
		return false
	}
	if said[0] == "" {
		r.setCouple(one[0], one[1], 0)
		r.callPartners()
		return true
	}
	r.setCouple(one[0], one[1], 'w')
	if r.Formal {
		r.Guests[r.Couple[0]].Relation, r.Guests[r.Couple[1]].Relation = said[0], said[1]
	}
	return true
}

// saidFirst is 'w' or 'm' where a bracket behind the first name of a pair says so: "Camille (la mariée) et Adrien".
func (r *reader) saidFirst(ph []phrase) byte {
	at := slices.IndexFunc(ph, func(p phrase) bool { return p.open })
	if at < 1 || at > 3 {
		return 0
	}
	for _, p := range ph[at].inside {
		if w, ok := p.word("half"); ok {
			return w.Sex
		}
	}
	return 0
}

// callPartners writes the names for "P1" and "Partner 2" wherever they stand: before kin, they say whose it is.
func (r *reader) callPartners() {
	for i := range r.tokens {
		ts := r.tokens[i]
		var out []words.Token
		for k := 0; k < len(ts); k++ {
			n, arg := partnerAt(ts[k:])
			owns := n > 0 && len(ts) > k+n+1 && words.Apostrophe([]rune(ts[k+n].Text)[0]) && ts[k+n+1].Key == "s"
			if n == 0 || r.lines[i].Ask == lines.AsksCouple {
				out = append(out, ts[k])
				continue
			}
			g := &r.Guests[r.Couple[arg-1]]
			t := ts[k+n-1]
			if owns { // "Partner 1's"
				n += 2
			}
			t.Start, t.Gap, t.Kind, t.Capital, t.Text, t.Key, t.Possessive = ts[k].Start, ts[k].Gap, 'w', true, g.Given, words.Key(g.Given), t.Possessive || owns
			if k+n < len(ts) {
				_, ws := r.longest(ts[k+n:])
				t.Possessive = t.Possessive || len(ws) > 0 && (ws[0].Class == "kin" || ws[0].Class == "role" || ws[0].Class == "side")
			}
			out = append(out, t)
			k += n - 1
		}
		r.tokens[i] = out
	}
}

// partnerAt is how many tokens at the front stand for one of two partners, and which.
func partnerAt(ts []words.Token) (int, int) {
	key := ""
	for n := range min(2, len(ts)) {
		key = strings.TrimSpace(key + " " + ts[n].Key)
		for _, w := range words.Find(key) {
			if w.Class == "partner" {
				return n + 1, int(w.Arg[0] - '0')
			}
		}
	}
	return 0, 0
}
