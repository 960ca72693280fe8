package table

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/roster"
	"kinorder.example/server/internal/intake/typed"
	"kinorder.example/server/internal/wording"
)

// groupings reads a table with a photograph a row.
func (r *reader) groupings(g *Grid, h head) {
	var rows []typed.Row
	at := make(map[int]int) // rows by line
	for row := h.row + 1; row < len(g.Rows); row++ {
		get := func(field string) string {
			if x, ok := h.columns[field]; ok {
				return g.at(row, x)
			}
			return ""
		}
		if empty(g.Rows[row]) || isTotal(g.Rows[row]) || repeatsHeader(g, h, row) {
			r.use(g, row, place.Ruler)
			continue
		}
		members, without := get("members"), get("without")
		if members == "" && get("eachOf") == "" {
			members = get("title") // "Couple + parents" under a header "photo" says it all
		}
		r.use(g, row, place.Used)
		at[g.Lines[row]] = row
		rows = append(rows, typed.Row{Line: g.Lines[row], Members: members, Column: h.columns["members"] + 1, Without: without, Grouping: r.grouping(g, h, row, get)})
	}
	got := typed.ReadRows(r.Effort, rows, r.Event)
	for _, p := range got.Problems {
		if row, ok := at[p.Line]; ok {
			p.Advice = g.problem(row, p.Column-1, p.Severity, p.Code, p.Message).Advice
		}
		r.add(p)
	}
	for _, l := range got.Lines {
		r.use(g, at[l.Number], l.Use, l.Fields...)
	}
	r.Roster = roster.New(got.Event, r.Effort)
}

// grouping reads everything of a row but who is in it.
func (r *reader) grouping(g *Grid, h head, row int, get func(string) string) event.Grouping {
	x := event.Grouping{
		ID: get("id"), Title: line(get("title")), PrivateNote: get("privateNote"),
		Blocks: parts(get("blocks")), After: parts(get("after")), Confirms: parts(get("confirms")),
		NotBefore: get("notBefore"), NotAfter: get("notAfter"),
	}
	x.Frames = r.number(g, row, h.columns["frames"], get("frames"), "check.numberOfFrames")
	if m := strings.TrimSpace(strings.TrimSuffix(strings.TrimSuffix(get("minutes"), "utes"), "min")); m != "" {
		v, err := strconv.ParseFloat(strings.Replace(m, ",", ".", 1), 64)
		if err != nil {
			r.reportRow(g, row, h.columns["minutes"], event.Error, event.CodeUnknownValue, wording.Say("file.minutesAreNoNumber", wording.Curly(short(m))))
		} else {
			x.Minutes = &v
		}
	}
	r.ranks(g, h, row, get, &x)
	if each := get("eachOf"); each != "" {
		id, ok := r.CircleNamed(each)
		if !ok {
			r.reportRow(g, row, h.columns["eachOf"], event.Error, typed.CodeNotKnown, wording.Say("file.noCircle", wording.Curly(short(each))))
			id = each
		}
		x.EachOf = id
	}
	return x
}

// ranks reads the priority and the place in the order.
func (r *reader) ranks(g *Grid, h head, row int, get func(string) string, x *event.Grouping) {
	if p := get("priority"); p != "" {
		var ok bool
		if x.Priority, ok = priority(p); !ok {
			r.reportRow(g, row, h.columns["priority"], event.Error, event.CodeUnknownValue, wording.Say("file.priorityIsNotKnown", wording.Curly(short(p))))
		}
	}
	switch names.Plain(get("pin")) {
	case "":
	case "first", "start", "opening":
		x.Pin = event.PinFirst
	case "last", "end", "closing":
		x.Pin = event.PinLast
	default:
		r.reportRow(g, row, h.columns["pin"], event.Error, event.CodeUnknownValue, wording.Say("file.noPlaceInTheOrder", wording.Curly(short(get("pin")))))
	}
}

// priority understands the words of lists, and A to C or 1 to 3.
func priority(s string) (event.Priority, bool) {
	switch names.Plain(s) {
	case "a", "1", "high", "yes", "x":
		return event.Must, true
	case "b", "2", "medium", "normal", "should":
		return event.Should, true
	case "c", "3", "low", "no", "nice":
		return event.Nice, true
	}
	return typed.ReadPriority(s)
}

// isMatrix reports whether a table is people against photographs: under a row of titles, the cells right
// of the names are empty or hold marks, and few other things.
func (g *Grid) isMatrix(h head) bool {
	if h.kind == Groupings || h.kind == Circles || h.kind == People && len(h.columns) > len(h.unused)+1 {
		return false
	}
	row, first := g.titles(h)
	if row < 0 {
		return false
	}
	marks, other := 0, 0
	for y := row + 1; y < len(g.Rows); y++ {
		if isTotal(g.Rows[y]) {
			continue
		}
		for x := first; x < len(g.Rows[row]); x++ {
			if g.at(row, x) == "" || known(h, x) {
				continue
			}
			switch cell := g.at(y, x); {
			case cell == "":
			case isMark(cell) || no(cell):
				marks++
			default:
				other++
			}
		}
	}
	return marks > 0 && other*10 <= marks
}

// known reports whether a column is one of people and not of a photograph.
func known(h head, column int) bool {
	for _, x := range h.columns {
		if x == column {
			return true
		}
	}
	return false
}

// titles finds the row of titles of a matrix, and the first column that can hold marks.
func (g *Grid) titles(h head) (row, first int) {
	if h.row >= 0 {
		return h.row, 0
	}
	for y := range min(maxHeader, len(g.Rows)) {
		n := 0
		for x := 1; x < len(g.Rows[y]); x++ {
			if g.at(y, x) != "" {
				n++
			}
		}
		if n > 0 && y+1 < len(g.Rows) {
			return y, 1
		}
	}
	return -1, 0
}

// isMark reports whether a cell says that somebody is in a photograph: a short sign, not a word for no.
func isMark(cell string) bool {
	if no(cell) {
		return false
	}
	return yes(cell) || len([]rune(cell)) <= 2
}

// matrix reads people against photographs.
func (r *reader) matrix(g *Grid, h head) {
	top, first := g.titles(h)
	if top < 0 {
		r.skip(g, event.Error, wording.Say("file.noTitlesOfPhotographsAboveThe"))
		return
	}
	if h.row < 0 {
		h.row, h.columns = top, map[string]int{"name": 0}
		r.before(g, h)
	}
	if _, ok := h.columns["name"]; !ok {
		h.columns["name"] = 0
	}
	var columns []int
	for x := first; x < len(g.Rows[top]); x++ {
		if title := g.at(top, x); !known(h, x) && names.Plain(title) != "" && !totals[names.Plain(title)] {
			columns = append(columns, x)
		}
	}
	start := len(r.Event.People)
	r.people(g, h)
	r.marks(g, top, columns, start)
}

// marks makes a photograph of each column.
func (r *reader) marks(g *Grid, top int, columns []int, start int) {
	for _, x := range columns {
		var members []string
		i := start
		for y := top + 1; y < len(g.Rows); y++ {
			l := r.byRow[g][y]
			if l == nil || !slices.ContainsFunc(l.Fields, func(f string) bool { return strings.HasPrefix(f, "people[") }) {
				continue
			}
			cell := g.at(y, x)
			switch {
			case cell == "" || no(cell):
			case !isMark(cell):
				r.reportRow(g, y, x, event.Warning, typed.CodeTakenAs, wording.Say("file.takenForAMark", wording.Curly(short(cell)), r.Event.People[i].Name, wording.Curly(short(g.at(top, x)))))
				fallthrough
			default:
				members = append(members, r.ID(i))
			}
			i++
		}
		if len(members) == 0 {
			r.reportRow(g, top, x, event.Warning, CodeUnused, wording.Say("file.nobodyIsMarkedInTheColumn", wording.Curly(short(g.at(top, x)))))
			continue
		}
		title := line(g.at(top, x))
		r.use(g, top, place.Used, fmt.Sprintf("groupings[%d]", len(r.Event.Groupings)))
		r.Event.Groupings = append(r.Event.Groupings, event.Grouping{ID: r.NewGroupingID(title), Title: title, Members: members})
	}
}
