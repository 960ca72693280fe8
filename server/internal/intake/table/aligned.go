package table

import (
	"regexp"
	"strings"
	"unicode/utf8"
)

var (
	gap     = regexp.MustCompile(`\s{2,}|\t+`)
	counted = regexp.MustCompile(`^\d{1,3}[.)]?\s+`)
	bar     = regexp.MustCompile(`\|`)
	barRule = regexp.MustCompile(`^[\s|:+=-]+$`)
)

// Aligned takes a text apart whose columns stand below one another, between wide gaps or bars, below a header that is
// understood. What stands above and below such rows is in rows of one cell.
func Aligned(text string) (Grid, bool) {
	lines := strings.Split(strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(text), "\n")
	for i := range lines[:min(maxHeader, len(lines))] {
		bars := strings.Count(lines[i], "|") > 1
		cells, starts := alignedCells(lines[i], bars, nil)
		g := Grid{Rows: [][]string{cells}}
		if len(cells) < 3 {
			continue
		}
		if h, n := g.headed(0, Groupings); n < 3 || len(h.columns) < 2 || 2*len(h.columns) < len(cells) {
			continue
		}
		out, rows := Grid{}, 0
		for k, line := range lines {
			row := []string{"", strings.TrimSpace(line)}
			switch {
			case bars && barRule.MatchString(line):
				row[1] = ""
			case k == i:
				row = append([]string{"#"}, cells...)
			case k > i && bars == (strings.Count(line, "|") > 1):
				if row, _ = alignedCells(line, bars, starts); filled(row[1:]) > 1 {
					rows++
				}
			}
			out.Rows, out.Lines = append(out.Rows, row), append(out.Lines, k+1)
		}
		if rows > 2 {
			return out, true
		}
	}
	return Grid{}, false
}

// alignedCells are the cells of a line and where they begin, in characters. Where the columns of the header are known,
// each stands in the one that it begins nearest to, behind a number of the line.
func alignedCells(line string, bars bool, columns []int) (cells []string, starts []int) {
	from := len(line) - len(strings.TrimLeft(line, "| \t"))
	if columns != nil {
		number := counted.FindString(line[from:])
		from += len(number)
		cells = make([]string, 1+len(columns))
		cells[0] = strings.Trim(number, " \t.)")
	}
	edge := gap
	if bars {
		edge = bar
	}
	for x := 0; strings.TrimSpace(line[from:]) != ""; x++ {
		m := edge.FindStringIndex(line[from:])
		if m == nil {
			m = []int{len(line) - from, len(line) - from}
		}
		cell, at := strings.TrimSpace(line[from:from+m[0]]), utf8.RuneCountInString(line[:from])
		if from += m[1]; columns == nil {
			cells, starts = append(cells, cell), append(starts, at)
			continue
		}
		best := min(x, len(columns)-1)
		for k, start := range columns {
			if !bars && abs(start-at) < abs(columns[best]-at) {
				best = k
			}
		}
		cells[1+best] = strings.TrimSpace(cells[1+best] + " " + cell)
	}
	return cells, starts
}

func abs(n int) int { return max(n, -n) }
