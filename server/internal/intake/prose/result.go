package prose

import (
	"cmp"
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/wording"
)

// use notes what became of a line. What is asked or reported stays so.
func (r *reader) use(n int, use place.Use, fields ...string) {
	u := r.uses[n]
	if u == nil {
		u = &place.Line{Number: n, Use: use}
		r.uses[n] = u
	}
	switch {
	case use == place.Asked, u.Use == place.Reported && use == place.Used, u.Use == place.Ruler:
		u.Use = use
	}
	u.Fields = append(u.Fields, fields...)
}

// mostNamed is how many candidates a question names.
const mostNamed = 20

// report adds a problem at a line and column.
func (r *reader) report(line, column int, severity event.Severity, code, written string, m wording.Message, candidates ...string) {
	if severity == event.Error && column > 0 {
		r.use(line, place.Asked)
	}
	for _, p := range r.problems {
		if p.Line == line && p.Column == column && p.Code == code {
			return
		}
	}
	if r.count++; r.count > maxAsked {
		return
	}
	r.problems = append(r.problems, place.Problem{
		Advice: event.Tell(severity, code, "", nil, m),
		Line:   line, Column: column, Written: clip(written), Candidates: candidates[:min(mostNamed, len(candidates))],
	})
}

// at reports a problem about bytes of the current line.
func (r *reader) at(s int, severity event.Severity, code, written string, m wording.Message, candidates ...string) {
	r.report(r.cur.number, r.cur.column(s), severity, code, written, m, candidates...)
}

// result puts everything into the order of the lines.
func (r *reader) result() Result {
	slices.SortStableFunc(r.problems, func(a, b place.Problem) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	if n := r.count - len(r.problems); n > 0 {
		r.problems = append(r.problems, place.Problem{Advice: event.Tell(event.Error, event.CodeMoreNotListed, "", nil,
			wording.Say("list.moreQuestionsAreNotListed", n))})
	}
	var lines []place.Line
	for i := range r.lines {
		l := &r.lines[i]
		if l.blank {
			continue
		}
		u := r.uses[l.number]
		if u == nil {
			u = &place.Line{Number: l.number, Use: place.Reported}
		}
		lines = append(lines, *u)
	}
	return Result{Event: r.event, Problems: r.problems, Lines: lines}
}

// clip shortens words of the list to 60 characters.
func clip(s string) string {
	if c := []rune(s); len(c) > 60 {
		return string(c[:60]) + "…"
	}
	return s
}

// quoted puts words of the list into a sentence; the isolates keep a name's direction to itself.
func quoted(s string) wording.Arg { return wording.Curly(clip(s)) }
