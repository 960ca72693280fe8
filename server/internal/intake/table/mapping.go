package table

import (
	"maps"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/wording"
)

// mapped applies a mapping to a header.
func (g *Grid) mapped(h *head, kind Kind, mapping map[string]string) []place.Problem {
	var problems []place.Problem
	if h.row < 0 {
		h.row = g.mappedRow(mapping)
	}
	for _, said := range slices.Sorted(maps.Keys(mapping)) {
		column, ok := g.column(h.row, mapping[said])
		if !ok {
			problems = append(problems, g.problem(-1, -1, event.Error, CodeNoColumn, wording.Say("file.noColumnFor", wording.Quoted(mapping[said]), said)))
			continue
		}
		if h.columns == nil {
			h.columns = make(map[string]int)
		}
		if h.kind == Unknown && kind == Unknown {
			h.kind = People
			if said == "members" || said == "title" || said == "people" || said == "photo" || said == "who" {
				h.kind = Groupings
			}
		}
		field := said
		if f, ok := headerWords[max(h.kind, kind)][key1(said)]; ok {
			field = f // "people", as messages call it
		}
		maps.DeleteFunc(h.columns, func(_ string, x int) bool { return x == column })
		h.columns[field] = column
		h.unused = slices.DeleteFunc(h.unused, func(x int) bool { return x == column })
	}
	return problems
}

// mappedRow finds the header row by the headers that a mapping names, -1 when it names none.
func (g *Grid) mappedRow(mapping map[string]string) int {
	for y := range min(maxHeader, len(g.Rows)) {
		for _, cell := range g.Rows[y] {
			for _, name := range mapping {
				if cell != "" && names.Plain(cell) == names.Plain(name) {
					return y
				}
			}
		}
	}
	return -1
}

// column finds a column by the text of its header, else by its letters. Without a header row, the first
// rows are searched.
func (g *Grid) column(row int, name string) (int, bool) {
	for y := range min(maxHeader, len(g.Rows)) {
		if row >= 0 && y != row {
			continue
		}
		for x, cell := range g.Rows[y] {
			if cell != "" && names.Plain(cell) == names.Plain(name) {
				return x, true
			}
		}
	}
	if n, err := excelize.ColumnNameToNumber(strings.ToUpper(strings.TrimSpace(name))); err == nil && n <= g.width() {
		return n - 1, true
	}
	return 0, false
}
