package table

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/effort"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose"
	"kinorder.example/server/internal/intake/prose/photographs"
	"kinorder.example/server/internal/intake/roster"
	"kinorder.example/server/internal/wording"
)

// Codes of problems of tables.
const (
	CodeNoColumn = "NO_COLUMN" // error: a mapping names a column that is not there
	CodeNoTable  = "NO_TABLE"  // error: there is no header that is understood
	CodeUnused   = "NOT_USED"  // warning: a column, row or sheet is not used
	CodeCellLong = "CELL_LONG" // warning: a cell was cut
	maxProblems  = 300
)

// Options say how to read tables. The zero value is fine.
type Options struct {
	Base event.Event
	// Kind is what the table is; it is found out by the headers otherwise.
	Kind Kind
	// Columns gives columns by field, see Fields: the text of a header, or letters as in a spreadsheet.
	Columns map[string]string
	// Today completes days without a year. The zero time has them asked about.
	Today time.Time
}

// Result is what tables come to.
type Result struct {
	Event    event.Event
	Problems []place.Problem
	Lines    []place.Line // of every row that is not empty
	Language string       // that the tables are mostly in
}

// reader reads the tables of one file.
type reader struct {
	*roster.Roster
	cells       *prose.Cells
	problems    []place.Problem
	count       int
	uses        []*place.Line
	byRow       map[*Grid]map[int]*place.Line
	byPerson    map[*Grid][]person
	aside       map[*Grid]map[int]bool // rows of a matrix that are no people
	said        []photographs.Row      // what stands above headers, and remarks on guests
	today       time.Time
	sheets      []string // names of sheets
	groups      []*group
	inCircle    map[string][]int
	circleOrder []string
}

// table is a table with what its header says.
type table struct {
	g *Grid
	h head
}

// Read makes an event of tables: people first, then circles, then photographs from a table of them, or
// from a matrix when there is none, or those that guests have numbers of. What it returns when m is used up is worth
// nothing.
func Read(m *effort.Meter, grids []Grid, o Options) Result {
	r := &reader{Roster: roster.New(o.Base, m), byRow: make(map[*Grid]map[int]*place.Line), byPerson: make(map[*Grid][]person), inCircle: make(map[string][]int), today: o.Today}
	var tables []*table
	var all []Grid
	for _, g := range grids {
		all = append(all, split(g)...)
	}
	for k := range all {
		g := &all[k]
		r.cut(g)
		h, problems := g.header(o.Kind, o.Columns)
		r.problems = append(r.problems, problems...)
		if g.Name == matrixName && o.Kind == Unknown {
			h.kind = Matrix
		}
		h.findGroups(g)
		r.sheets = append(r.sheets, g.Name)
		tables = append(tables, &table{g, h})
	}
	r.cells = prose.NewCells(m, rowsOf(all))
	has := func(kind Kind) bool {
		return slices.ContainsFunc(tables, func(t *table) bool { return t.h.kind == kind })
	}
	grouped := slices.ContainsFunc(tables, func(t *table) bool { return t.h.kind == People && t.h.has("groups") })
	for _, t := range tables {
		r.before(t.g, t.h)
	}
	for _, kind := range []Kind{People, Circles, Groupings, Matrix, Unknown} {
		for _, t := range tables {
			if t.h.kind != kind {
				continue
			}
			r.unused(t.g, t.h)
			switch {
			case kind == People:
				r.people(t.g, t.h)
				r.fillCircles()
			case kind == Circles:
				r.circles(t.g, t.h)
			case kind == Groupings && grouped && !t.h.has("members"):
				r.key(t.g, t.h)
			case kind == Groupings:
				r.groupings(t.g, t.h)
			case kind == Matrix && has(Groupings):
				r.skip(t.g, event.Info, wording.Say("file.notRead"))
			case kind == Matrix:
				r.matrix(t.g, t.h)
				r.fillCircles()
			case grouped && r.keys(t.g):
			default:
				r.skip(t.g, unknownSeverity(len(tables), has), wording.Say("file.noHeaderIsUnderstood"))
			}
		}
	}
	if grouped {
		r.grouped(tables)
	}
	return r.result()
}

// keys reads a table without a header that says what the numbers of groups stand for.
func (r *reader) keys(g *Grid) bool {
	n := len(r.groups)
	h := head{columns: map[string]int{"groups": -1}}
	for row := range g.Rows {
		if !empty(g.Rows[row]) && !r.isKey(g, h, row) {
			r.reportRow(g, row, -1, event.Warning, place.CodeNotUsed, wording.Say("list.readsLikeARemarkAndNot"))
		}
	}
	return len(r.groups) > n
}

// rowsOf are the texts of all rows, for finding out what languages they are in. Marks say that once a row.
func rowsOf(grids []Grid) []string {
	var out []string
	for _, g := range grids {
		for _, row := range g.Rows {
			seen := make(map[string]bool)
			out = append(out, strings.Join(slices.DeleteFunc(slices.Clone(row), func(c string) bool {
				again := seen[c]
				seen[c] = true
				return again
			}), ", "))
		}
	}
	return out
}

// unused lists the columns that are not used.
func (r *reader) unused(g *Grid, h head) {
	for _, x := range h.unused {
		title := g.at(h.row, x)
		switch {
		case says("total", title) || h.kind == Unknown:
		case headerWords[h.kind][key1(title)] == "other":
			r.reportRow(g, h.row, x, event.Info, CodeUnused, wording.Say("file.columnIsNotNeeded", wording.Curly(short(title))))
		default:
			r.reportRow(g, h.row, x, event.Warning, CodeUnused, wording.Say("file.columnIsNotUsed", wording.Curly(short(title))))
		}
	}
}

func unknownSeverity(tables int, has func(Kind) bool) event.Severity {
	if tables > 1 && (has(People) || has(Groupings) || has(Matrix)) {
		return event.Warning
	}
	return event.Error
}

// before notes the header, and what stands above it: it may name the couple and the day.
func (r *reader) before(g *Grid, h head) {
	for row := 0; row <= h.row && row < len(g.Rows); row++ {
		if empty(g.Rows[row]) {
			r.use(g, row, place.Ruler)
			continue
		}
		r.use(g, row, place.Used)
		if row == h.row || h.kind == Unknown || r.isKey(g, h, row) {
			continue
		}
		title := strings.Join(distinct(g.Rows[row]), " ")
		r.said = append(r.said, photographs.Row{Kind: photographs.AboutRow, Line: g.Lines[row], Title: title})
		r.reportRow(g, row, -1, event.Info, place.CodeTakenAs, wording.Say("file.takenForTheTitle", wording.Curly(short(title))))
	}
}

// skip reports a sheet that is not read.
func (r *reader) skip(g *Grid, severity event.Severity, why wording.Message) {
	first := true
	for row := range g.Rows {
		if empty(g.Rows[row]) {
			continue
		}
		r.use(g, row, place.Reported)
		if first {
			r.add(g.problem(row, -1, severity, CodeNoTable, why))
		}
		first = false
	}
}

// cut shortens cells that no list has.
func (r *reader) cut(g *Grid) {
	for y, row := range g.Rows {
		for x, cell := range row {
			if c := []rune(cell); len(c) > MaxCell {
				row[x] = string(c[:MaxCell])
				r.add(g.problem(y, x, event.Warning, CodeCellLong, wording.Say("file.cellHasCharactersAndOnlyAre", len(c), MaxCell)))
			}
		}
	}
}

func (r *reader) add(p place.Problem) {
	if r.count++; r.count <= maxProblems {
		r.problems = append(r.problems, p)
	}
}

// mostShown is how many characters of a row are shown to say what became of it: an answer has room for thousands of rows.
const mostShown = 1000

// shownOf is at least as much of the cells of a row as is shown.
func shownOf(cells []string) string {
	var b strings.Builder
	for i, c := range cells {
		if i > 0 {
			b.WriteString(" | ")
		}
		b.WriteString(place.Shortened(c, mostShown))
		if b.Len() > 4*mostShown {
			break
		}
	}
	return b.String()
}

// use notes what became of a row.
func (r *reader) use(g *Grid, row int, use place.Use, fields ...string) {
	r.Effort.At(g.Lines[row])
	if r.byRow[g] == nil {
		r.byRow[g] = make(map[int]*place.Line)
	}
	l := r.byRow[g][row]
	if l == nil {
		cells := slices.DeleteFunc(slices.Clone(g.Rows[row]), func(c string) bool { return strings.TrimSpace(c) == "" })
		l = &place.Line{Number: g.Lines[row], Use: use, Text: place.Shortened(line(shownOf(cells)), mostShown)}
		r.byRow[g][row] = l
		r.uses = append(r.uses, l)
	}
	if use != place.Used || l.Use == place.Ruler {
		l.Use = use
	}
	l.Fields = append(l.Fields, fields...)
}

// reportRow adds a problem of a row; when the whole row is at fault it is not used.
func (r *reader) reportRow(g *Grid, row, column int, severity event.Severity, code string, m wording.Message) {
	if severity == event.Error {
		r.use(g, row, place.Asked)
	} else if column < 0 && severity == event.Warning {
		r.use(g, row, place.Reported)
	}
	r.add(g.problem(row, column, severity, code, m))
}

func (r *reader) result() Result {
	if len(r.said) > 0 {
		r.readRows(nil, nil, nil)
	}
	out := Result{Event: r.Event, Problems: r.problems, Language: r.cells.Language()}
	if n := r.count - len(r.problems); n > 0 && r.count > maxProblems {
		out.Problems = append(out.Problems, place.Problem{Advice: event.Tell(event.Error, event.CodeMoreNotListed, "", nil,
			wording.Say("file.moreProblemsAreNotListed", n))})
	}
	for _, l := range r.uses {
		out.Lines = append(out.Lines, *l)
	}
	return out
}

// fillCircles makes the circles that a column of the people names.
func (r *reader) fillCircles() {
	for _, title := range r.circleOrder {
		if _, known := r.CircleNamed(title); !known {
			r.AddCircle(line(title), r.inCircle[title])
		}
	}
	r.circleOrder = nil
}

// circles reads a table with a circle a row. Circles may hold others that stand below them.
func (r *reader) circles(g *Grid, h head) {
	type waiting struct {
		row     int
		members []string
	}
	var rows []waiting
	made := make(map[int]int)
	for row := h.row + 1; row < len(g.Rows); row++ {
		get := func(field string) string {
			if x, ok := h.columns[field]; ok {
				return g.at(row, x)
			}
			return ""
		}
		if isRuler(g, h, row) {
			r.use(g, row, place.Ruler)
			continue
		}
		c := event.Circle{ID: get("id"), Title: written(get("id"), get("title")), Leader: get("leader")}
		if id, ok := r.Known(c.Leader); ok {
			c.Leader = id
		}
		if c.ID != "" && r.HasID(c.ID) {
			r.reportRow(g, row, h.columns["id"], event.Error, event.CodeDuplicateID, wording.Say("file.idIsUsedTwice", wording.Curly(short(c.ID))))
			continue
		}
		made[row] = r.KeepCircle(c)
		r.use(g, row, place.Used, fmt.Sprintf("circles[%d]", made[row]))
		rows = append(rows, waiting{row, parts(get("members"))})
	}
	for _, w := range rows {
		r.Effort.At(g.Lines[w.row])
		var ids []string
		for _, m := range w.members {
			id, ok := r.Known(m)
			if !ok {
				if p, one := r.FindAt(m, names.Part, nil).One(); one {
					id, ok = r.ID(p), true
				}
			}
			if !ok {
				r.reportRow(g, w.row, h.columns["members"], event.Error, place.CodeNotKnown, wording.Say("file.noAmongThePeopleAndCircles", wording.Curly(short(m))))
				continue
			}
			ids = append(ids, id)
		}
		r.Event.Circles[made[w.row]].Members = ids
	}
}
