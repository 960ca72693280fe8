package photographs

import (
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/statements"
	"kinorder.example/server/internal/intake/prose/words"
	"kinorder.example/server/internal/wording"
)

// priorityOf is the priority that a phrase says.
func priorityOf(p *speech.Phrase) (event.Priority, bool) {
	switch {
	case p.Has("nice"):
		return event.Nice, true
	case p.Has("must"):
		return event.Must, true
	}
	return event.Should, false
}

var priorityWords = map[event.Priority]wording.Key{event.Must: "page.must", event.Nice: "page.ifTime"}

// legend reads what marks before or behind photographs mean: "★ = only if there's time".
func (r *Reader) legend(s *statements.Statement) {
	fields := markFields(s.Line.Raw)
	starred := s.Kind == statements.Remark && slices.ContainsFunc(fields, func(f string) bool { return stars(f) > 0 })
	star := func(f string) bool { return stars(f) > 0 || f == "*" }
	for k, f := range fields {
		if !words.OnlyMarks(f) {
			continue
		}
		from, to := k+1, k+1
		switch {
		case k+2 < len(fields) && words.Explains(fields[k+1]):
			from, to = k+2, min(len(fields), k+8)
		case star(f) && k > 0 && words.Listed("marked", fields[k-1]): // "put a * by the ones you can't live without"
			to = len(fields)
		case starred && star(f): // "*** must have, ** nice"
			for to < len(fields) && !star(fields[to]) {
				to++
			}
		}
		for _, p := range r.Phrases(words.Tokenize(strings.Join(fields[from:to], " "))) {
			if prio, ok := priorityOf(&p); ok {
				r.marks[strings.Trim(f, "()[]\ufe0f")] = prio
				r.took(s, nil, wording.Say("%s: %s", f, wording.Say(priorityWords[prio])))
				break
			}
		}
	}
}

// starRun is marks that stand right at a word where none divides words: "父母★", "★=必拍".
var starRun = regexp.MustCompile(`^\s*\d{1,2}[.)]?\*+|[★⭐☆※◎●○◆◇▲△]+\x{fe0f}?[=＝:：]?`)

// markFields are the words of a line, with such marks apart.
func markFields(raw string) []string {
	return strings.Fields(starRun.ReplaceAllStringFunc(raw, func(m string) string {
		mark := strings.TrimRight(m, "=＝:：")
		if n := strings.IndexByte(m, '*'); n > 0 { // "6* F + Ann"
			return m[:n] + " " + m[n:]
		}
		if mark == m {
			return " " + m + " "
		}
		return " " + mark + " = "
	}))
}

// stars is how many stars a word is, 0 where it is none: one of the keyboard may be a bullet.
func stars(f string) int {
	f = strings.ReplaceAll(f, "\ufe0f", "")
	if strings.Trim(f, "★⭐") == "" || len(f) > 1 && strings.Trim(f, "*") == "" {
		return utf8.RuneCountInString(f)
	}
	return 0
}

// graded takes stars before or behind photographs for what they are wanted, where the list doesn't say it: those with the most
// are a must, and of three grades those with the fewest are nice to have. Common practice, no source.
func (r *Reader) graded() {
	if slices.ContainsFunc(slices.Collect(maps.Keys(r.marks)), func(f string) bool { return stars(f) > 0 }) {
		return
	}
	grades := make(map[int][]string)
	for _, s := range r.Statements {
		if !r.Effort.Spend(10 * len(s.Line.Raw)) {
			return
		}
		for _, f := range markFields(s.Line.Raw) {
			if n := stars(f); n > 0 && s.Kind == statements.Photo {
				grades[n] = append(grades[n], f)
			}
		}
	}
	for n, marks := range grades {
		for _, f := range marks {
			switch {
			case n == slices.Max(slices.Collect(maps.Keys(grades))) && len(marks) < len(r.Statements)-2:
				r.marks[strings.Trim(f, "()[]\ufe0f")] = event.Must
			case n == slices.Min(slices.Collect(maps.Keys(grades))) && len(grades) > 2:
				r.marks[strings.Trim(f, "()[]\ufe0f")] = event.Nice
			}
		}
	}
}

// markedAs is the priority that the marks of a line say, by the legend of the list.
func (r *Reader) markedAs(l *lines.Line) (event.Priority, bool) {
	if prio, ok := r.ranks[l.Label]; ok && l.Label != "" {
		return prio, true
	}
	for _, f := range markFields(l.Raw) {
		if prio, ok := r.marks[strings.Trim(f, "()[]\ufe0f")]; ok {
			return prio, true
		}
	}
	return event.Should, false
}

// saidBefore is the priority that the words right before a wish say: "If there's time, one of Ann with Bob", or the title of a row.
func (r *Reader) saidBefore(s *statements.Statement) event.Priority {
	if len(s.Line.Cells) > 1 && len(r.OfLine(s)) == 1 {
		for _, p := range speech.Flat(r.Phrases(r.Tokens[s.Index])) {
			if prio, ok := priorityOf(&p); ok && !r.NameLike(&p) {
				return prio
			}
		}
	}
	if s.At == 0 {
		return event.Should
	}
	if b := r.Statements[s.At-1]; b.Clause && b.Line == s.Line && b.Kind == statements.Remark && len(b.Terms()) == 0 && len(b.Phrases) < 9 {
		return r.wanted([]*statements.Statement{b})
	}
	return event.Should
}

// ranked reads which photographs by number a sentence wants first or can do without: "8 to 10 only if time".
func (r *Reader) ranked(s *statements.Statement, ph []speech.Phrase) {
	if s.Kind != statements.Remark && s.Kind != statements.Definition {
		return
	}
	prio, said := event.Should, false
	if speech.AnyHas(ph, "first") {
		return // "1 and 2 must come first": early, not more wanted
	}
	for k := range ph {
		if p, ok := priorityOf(&ph[k]); ok {
			prio, said = p, true
		}
	}
	last := -1
	for k := range ph {
		if label := strings.ToUpper(ph[k].Text); said && len(label) > 1 && r.Labelled(label) { // "ii, iv"
			r.rank(s, ph, label, prio)
		}
		if ph[k].Kind != 'n' || !said {
			continue
		}
		n := ph[k].Num
		from := n
		if last >= 0 && last < n && n < 100 && (ph[k-1].Key == "-" || ph[k-1].Key == "to" || ph[k-1].Has("until")) {
			from = last
		}
		for ; from <= n; from++ {
			if i := slices.IndexFunc(r.Statements, func(s *statements.Statement) bool { return s.Line.Label == strconv.Itoa(from) && s.Line.Mark == '#' }); i >= 0 {
				r.rank(s, ph, strconv.Itoa(from), prio)
			}
		}
		last = n
	}
}

// rank gives the photograph of a number or letter a priority.
func (r *Reader) rank(s *statements.Statement, ph []speech.Phrase, label string, prio event.Priority) {
	r.ranks[label] = prio
	r.took(s, ph, wording.Say("%s: %s", label, wording.Say(priorityWords[prio])))
}
