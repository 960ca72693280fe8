package table

import (
	"regexp"
	"slices"
	"strings"
)

// PartNames are the names of the tables that together hold an event, as sheets of a workbook or parts of
// a CSV file.
var PartNames = []string{"People", "Circles", "Photographs", "Sides", "Blocks", "Rules", "Walks", "Order", "Event"}

// partName is a row that begins a part: its name in brackets, and nothing else.
var partName = regexp.MustCompile(`^\[([A-Za-z]+)\]$`)

// named returns the name of the part that a row begins.
func named(row []string) (string, bool) {
	if len(row) == 0 || slices.ContainsFunc(row[1:], func(cell string) bool { return cell != "" }) {
		return "", false
	}
	m := partName.FindStringSubmatch(row[0])
	if m == nil || !slices.Contains(PartNames, m[1]) {
		return "", false
	}
	return m[1], true
}

// Parts takes a CSV file apart into the tables that WriteParts put into it. One that does not begin with
// the name of a part is one table.
func Parts(g Grid) []Grid {
	first := slices.IndexFunc(g.Rows, func(row []string) bool { return !empty(row) })
	if first < 0 {
		return []Grid{g}
	}
	if _, ok := named(g.Rows[first]); !ok {
		return []Grid{g}
	}
	var out []Grid
	for y, row := range g.Rows {
		if name, ok := named(row); ok {
			out = append(out, Grid{Name: name})
			continue
		}
		if len(out) > 0 {
			at := &out[len(out)-1]
			at.Rows, at.Lines = append(at.Rows, row), append(at.Lines, g.Lines[y])
		}
	}
	return out
}

// Joined is tables as one, each below a row with its name in brackets and above an empty one.
func Joined(grids []Grid) Grid {
	var rows [][]string
	for _, g := range grids {
		rows = append(rows, []string{"[" + g.Name + "]"})
		rows = append(rows, g.Rows...)
		rows = append(rows, []string{""})
	}
	width := 0
	for _, row := range rows {
		width = max(width, len(row))
	}
	for i, row := range rows { // RFC 4180: every row has as many cells
		rows[i] = append(slices.Clone(row), make([]string, width-len(row))...)
	}
	return Grid{Rows: rows}
}

// BeginsPart reports whether a text begins with the name of a part.
func BeginsPart(text string) bool {
	line, _, _ := strings.Cut(strings.TrimLeft(text, "\uFEFF\r\n "), "\n")
	_, ok := named([]string{strings.Trim(strings.TrimSpace(line), ",;\t\"")})
	return ok
}

// split takes a table apart where another begins below blank rows, with a header of its own.
func split(g Grid) []Grid {
	from, headed := 0, false
	var out []Grid
	cut := func(to int) {
		part := Grid{Name: g.Name, Rows: g.Rows[from:to], Lines: g.Lines[from:to]}
		if slices.ContainsFunc(part.Rows, func(row []string) bool { return !empty(row) }) {
			out = append(out, part)
		}
		from = to
	}
	for y := range g.Rows {
		start := y
		for start > from && start > y-3 && filled(g.Rows[start-1]) == 1 && !empty(g.Rows[start-1]) { // titles
			start--
		}
		if headed && (start == from || !empty(g.Rows[start-1])) {
			continue
		}
		for _, k := range []Kind{People, Groupings} {
			if h, n := (&Grid{Rows: g.Rows[:y+1]}).headed(y, k); n > 2 && len(h.columns) > 1 && 2*len(h.columns) > len(h.unused) {
				if headed {
					cut(start)
				}
				headed = true
				break
			}
		}
	}
	cut(len(g.Rows))
	return out
}
