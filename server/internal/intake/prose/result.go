package prose

import (
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/wording"
)

// report adds a problem at a line and column, once: lines are read twice.
func (r *reader) report(line, column int, severity event.Severity, code, written string, m wording.Message, candidates ...string) {
	if severity == event.Error && column > 0 {
		r.Use(line, place.Asked)
	}
	if !slices.ContainsFunc(r.Problems, func(p place.Problem) bool { return p.Line == line && p.Column == column && p.Code == code }) {
		r.Report(line, column, severity, code, written, m, candidates...)
	}
}

// at reports a problem about bytes of the current line.
func (r *reader) at(s int, severity event.Severity, code, written string, m wording.Message, candidates ...string) {
	r.report(r.cur.number, r.cur.column(s), severity, code, written, m, candidates...)
}

// result puts everything into the order of the lines.
func (r *reader) result() place.Result {
	var lines []int
	for i := range r.lines {
		if !r.lines[i].blank {
			lines = append(lines, r.lines[i].number)
		}
	}
	return r.Result(r.event, lines)
}
