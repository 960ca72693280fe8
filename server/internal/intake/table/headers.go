package table

import (
	"maps"
	"regexp"
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/place"
)

// Kind is what a table holds.
type Kind int

// The kinds. The zero value finds out by the headers.
const (
	Unknown   Kind = iota
	People         // a person a row
	Groupings      // a photograph a row
	Circles        // a circle a row
	Matrix         // people in rows, photographs in columns, a mark in each cell of somebody who is in it; or turned
	Whole          // all of an event, one table after the other
)

// head is what the header of a table says.
type head struct {
	kind    Kind
	row     int            // of the header; below 0 when there is none
	columns map[string]int // by field
	unused  []int          // columns with a header that says nothing
	marked  []int          // of those, the columns with nothing but marks: of a matrix
	more    []int          // further columns of people: of her side, of his
	turned  bool           // a matrix with a photograph a row
}

func (h head) has(field string) bool { _, ok := h.columns[field]; return ok }

// get returns a cell of a row by its field.
func (h head) get(g *Grid, row int) func(field string) string {
	return func(field string) string {
		if x, ok := h.columns[field]; ok && field != "privateNote" {
			return strings.ReplaceAll(g.at(row, x), "\t", " ")
		} else if ok {
			return g.at(row, x)
		}
		return ""
	}
}

// maxHeader is in which of the first rows the header is looked for.
const maxHeader = 15

// header finds the header row of a table and what it is a table of. mapping gives columns by field, as
// the text of their headers or as letters.
func (g *Grid) header(kind Kind, mapping map[string]string) (head, []place.Problem) {
	best := head{row: -1}
	score := 0
	for row := range min(maxHeader, len(g.Rows)) {
		for _, k := range []Kind{Groupings, People, Circles} {
			if kind != Unknown && kind != k && !(kind == Matrix && k != Circles) {
				continue
			}
			if h, n := g.headed(row, k); n > score && !(k == Groupings && h.has("members") && g.mostlyMarks(h)) {
				best, score = h, n
			}
		}
	}
	if best.row >= 0 {
		g.fuller(&best)
	}
	problems := g.mapped(&best, kind, mapping)
	if kind != Unknown && kind != Matrix {
		best.kind = kind
	}
	g.findMarks(&best, kind)
	return best, problems
}

// headed reads a row as the header of a table of a kind. The second result says how well that fits, 0 for
// not at all.
func (g *Grid) headed(row int, kind Kind) (head, int) {
	h := head{kind: kind, row: row, columns: make(map[string]int)}
	others := 0
	for x, cell := range g.Rows[row] {
		if cell == "" || len(cell) > place.MaxLine { // nor does a text head a column
			continue
		}
		field, ok := headerWords[kind][key1(cell)]
		if !ok {
			field, ok = headerWords[kind][key1(brackets.ReplaceAllString(cell, ""))]
		}
		if kind == People && field == "name" && h.has("name") && key1(cell) == "who" {
			field = "relation" // "Guest, Who": who they are
		}
		switch {
		case ok && field == "title" && strings.Contains(cell, "#"):
			h.columns["number"] = x // "Photo #"
		case ok && field == "blocks" && g.labels(row, x):
			h.columns["number"] = x // "Slot", over "F01"
		case ok && field == "more":
			h.more = append(h.more, x)
		case !ok || h.has(field):
			h.unused = append(h.unused, x)
		case field == "other":
			others++
			h.unused = append(h.unused, x)
		default:
			h.columns[field] = x
		}
	}
	if x, ok := h.columns["last"]; ok && kind == People && !h.has("name") && !h.has("first") {
		h.columns["name"] = x // "Nom" alone is all of the name
		delete(h.columns, "last")
	}
	if len(h.more) > 0 && !h.has("members") {
		h.columns["members"], h.more = h.more[0], h.more[1:]
	}
	if kind == Groupings && !h.has("members") && !h.has("title") && len(h.columns)+others > 1 {
		g.untitled(&h)
	}
	n := 2*(len(h.columns)+len(h.more)) + min(others, 2)
	switch {
	case kind == People && !h.has("name") && !h.has("first"), kind == Circles && !h.has("members"):
		return h, 0
	case kind == Circles && !h.has("leader") && names.Plain(g.Name) != "circles" && names.Plain(g.Name) != "households":
		return h, 0
	case kind == Circles:
		n += 3
	case kind == Groupings && h.has("members") && len(h.columns) < 2:
		n = 1
	case kind == Groupings && !h.has("members") && (!h.has("title") || len(h.columns)+len(h.unused) < 2):
		return h, 0
	case kind == Groupings && !h.has("members"):
		n--
	}
	return h, n
}

// labels reports whether the cells below a header are letters with a number, each another.
func (g *Grid) labels(row, x int) bool {
	seen := make(map[string]bool)
	for y := row + 1; y < len(g.Rows); y++ {
		cell := g.at(y, x)
		if cell != "" && (!labelForm.MatchString(cell) || seen[cell]) {
			return false
		}
		seen[cell] = cell != ""
	}
	return len(seen) > 2
}

var labelForm = regexp.MustCompile(`^[A-Z]{1,2}-?[0-9]{1,3}$`)

// fuller takes headers for a field that have a word for one in them: "Est. time needed".
func (g *Grid) fuller(h *head) {
	if len(h.columns) < 2 && len(h.unused) > 2 {
		return
	}
	taken := func(f string) bool { return h.has(f) || f == "id" || f == "sideId" }
	h.unused = slices.DeleteFunc(h.unused, func(x int) bool {
		if marks, other := g.marksIn(h.row, x); marks > 0 && other == 0 {
			return false
		}
		f, n := headerWords[h.kind].fieldOf(g.at(h.row, x), taken)
		if n == 0 || f == "other" || f == "more" {
			return false
		}
		h.columns[f] = x
		return true
	})
	if x, ok := g.peopled(h); ok {
		h.columns["members"], h.unused = x, slices.DeleteFunc(h.unused, func(u int) bool { return u == x })
	}
	if h.kind != People || h.has("privateNote") {
		return
	}
	for i, x := range h.unused { // words that no header explains are remarks
		if marks, other := g.marksIn(h.row, x); other > marks && headerWords[People][key1(g.at(h.row, x))] != "other" {
			h.columns["privateNote"], h.unused = x, slices.Delete(h.unused, i, i+1)
			return
		}
	}
}

// untitled finds the column that says who is in a photograph where no header is a word for it: one has such a word in it,
// "Wer soll drauf", or the cells below join people.
func (g *Grid) untitled(h *head) {
	found := -1
	for _, x := range h.unused {
		f, n := headerWords[Groupings].fieldOf(g.at(h.row, x), h.has)
		if n > 0 && (f == "members" || f == "title") && (found < 0 || f == "members" && !h.has("members")) {
			maps.DeleteFunc(h.columns, func(_ string, of int) bool { return of == found })
			h.columns[f], found = x, x
		}
	}
	if found < 0 {
		if x, ok := g.joined(h); ok {
			h.columns["members"], found = x, x
		}
	}
	h.unused = slices.DeleteFunc(h.unused, func(x int) bool { return x == found })
}

// joiner stands between several people.
var joiner = regexp.MustCompile(`[,;+&/、，]|\s(?:and|und|et|y|e|و)\s`)

// peopled finds the column that says who is in a photograph by its cells where no header does: most join several people.
func (g *Grid) peopled(h *head) (int, bool) {
	if h.kind != Groupings || h.has("members") || !h.has("title") {
		return 0, false
	}
	return g.joined(h)
}

// joined finds a column without a known header whose cells mostly join several people.
func (g *Grid) joined(h *head) (int, bool) {
	for _, x := range h.unused {
		several, all := 0, 0
		for y := h.row + 1; y < len(g.Rows); y++ {
			if cell := g.at(y, x); cell != "" && !isTotal(g.Rows[y]) {
				all++
				if joiner.MatchString(cell) {
					several++
				}
			}
		}
		if all > 2 && 2*several > all {
			return x, true
		}
	}
	return 0, false
}

// mostlyMarks reports whether columns of yes and no outnumber all others: then "Who" says who a guest is.
func (g *Grid) mostlyMarks(h head) bool {
	n := 0
	for _, x := range h.unused {
		if marks, other := g.marksIn(h.row, x); other == 0 && marks > 2 && g.ticks(h.row, x) == marks {
			n++
		}
	}
	return n > 2 && n > len(h.columns)+len(h.more)
}

// marksIn counts the cells of a column below a row that are marks, and those that are others.
func (g *Grid) marksIn(row, x int) (marks, other int) {
	for y := row + 1; y < len(g.Rows); y++ {
		switch cell := g.at(y, x); {
		case cell == "" || isTotal(g.Rows[y]):
		case isMark(cell) || no(cell) || says("maybe", cell):
			marks++
		default:
			other++
		}
	}
	return marks, other
}

// titled are the fields whose words may be the title of a photograph too: "Family", "Friends".
var titled = []string{"side", "circles", "ageBand", "relation", "section"}

// findMarks finds the columns of a matrix. A guest list with one column of marks that is not known is none.
func (g *Grid) findMarks(h *head, kind Kind) {
	if kind != Unknown && kind != Matrix || h.kind == Circles || h.kind == Groupings && h.has("members") {
		return
	}
	if h.row < 0 {
		g.unheaded(h, kind)
		return
	}
	columns := slices.Clone(h.unused)
	own := kind == Matrix || g.Name == matrixName // every title may be one of a photograph
	for f, x := range h.columns {
		named := f == "id" || f == "name" || f == "first" || f == "last" || f == "title"
		if _, other := g.marksIn(h.row, x); other == 0 && (slices.Contains(titled, f) || own && !named) && g.ticks(h.row, x) > 0 {
			columns = append(columns, x)
		}
	}
	slices.Sort(columns)
	marks, others := 0, 0
	for _, x := range columns {
		title := g.at(h.row, x)
		m, o := g.marksIn(h.row, x)
		if title == "" || says("total", title) || !own && headerWords[h.kind][key1(title)] == "other" || o > m || 2*g.ticks(h.row, x) < m {
			continue
		}
		h.marked = append(h.marked, x)
		marks, others = marks+m, others+o
	}
	least := 2
	if own || len(h.columns) == 1 {
		least = 1
	}
	if len(h.marked) < least || marks == 0 || others*5 > marks {
		h.marked = nil
		return
	}
	maps.DeleteFunc(h.columns, func(_ string, x int) bool { return slices.Contains(h.marked, x) })
	h.unused = slices.DeleteFunc(h.unused, func(x int) bool { return slices.Contains(h.marked, x) })
	h.turned = h.kind == Groupings
	h.kind = Matrix
}

// ticks counts the cells of a column that say yes or no.
func (g *Grid) ticks(row, x int) int {
	n := 0
	for y := row + 1; y < len(g.Rows); y++ {
		if cell := g.at(y, x); cell != "" && !isTotal(g.Rows[y]) && (yes(cell) || no(cell)) {
			n++
		}
	}
	return n
}

// filled counts the different cells of a row that are not empty: merged ones count as one.
func filled(row []string) int {
	n, last := 0, ""
	for _, cell := range row {
		if cell != "" && cell != last {
			n, last = n+1, cell
		}
	}
	return n
}

// distinct are those cells, each on one line.
func distinct(row []string) (cells []string) {
	for _, cell := range row {
		if cell = line(cell); cell != "" && (len(cells) == 0 || cells[len(cells)-1] != cell) {
			cells = append(cells, cell)
		}
	}
	return cells
}

// isTotal reports whether a row adds up, rather than being an entry: a word for it stands first, alone or
// before numbers.
func isTotal(row []string) bool {
	first := false
	for _, cell := range row {
		if cell == "" {
			continue
		}
		if !first {
			if first = says("total", strings.TrimRight(cell, ": 0123456789")); !first {
				return false
			}
			continue
		}
		if strings.Trim(strings.ToLower(cell), "0123456789.,: 分钟人minhugesptox×") != "" {
			return false
		}
	}
	return first
}

// empty reports whether a row holds nothing that can be read: no letter and no digit.
func empty(row []string) bool {
	return !slices.ContainsFunc(row, func(cell string) bool { return names.Plain(cell) != "" })
}

// brackets are words in brackets.
var brackets = regexp.MustCompile(`\s*[(（\[][^()（）\[\]]*[)）\]]`)
