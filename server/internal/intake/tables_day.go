package intake

import (
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/table"
	"kinorder.example/server/internal/wording"
)

// The day of an event in tables: what is neither a person nor a circle nor a photograph. Columns are the
// paths of the fields of an event file, such as space.widthCm; the table of the event itself has a field
// and its value a row. They are made of what WriteYAML writes and read by what reads YAML, so that a
// field that is carried there is carried here.

// lists are the tables with a row for each entry of a list of the event, by the names of both.
var dayLists = []struct{ table, field string }{{"Sides", "sides"}, {"Blocks", "blocks"}, {"Rules", "rules"}, {"Walks", "walks"}, {"Order", "order"}}

const (
	eventTable = "Event"
	// listMark ends the path of a column that holds several texts with semicolons between them.
	listMark = "[]"
)

// dayGrids writes the tables of the day. Those of lists without an entry are left out.
func dayGrids(e event.Event) []table.Grid {
	var grids []table.Grid
	all := (*decoder)(nil).event(&e)
	for _, list := range dayLists {
		if entries := objects(all.named(list.field).written); len(entries) > 0 {
			grids = append(grids, listGrid(list.table, entries))
		}
	}
	g := table.Grid{Name: eventTable, Rows: [][]string{{"field", "value"}}}
	for _, name := range append(slices.Clone(headFields), "pace", "weights", "kit") {
		for _, c := range flatten("", []field{all.named(name)}) {
			g.Rows = append(g.Rows, []string{c.path, c.text})
		}
	}
	return append(grids, g)
}

func listGrid(name string, entries [][]field) table.Grid {
	var paths []string
	rows := make([]map[string]string, len(entries))
	for i, fields := range entries {
		rows[i] = make(map[string]string)
		for _, c := range flatten("", fields) {
			if !slices.Contains(paths, c.path) {
				paths = append(paths, c.path)
			}
			rows[i][c.path] = c.text
		}
	}
	g := table.Grid{Name: name, Rows: [][]string{paths}}
	for _, row := range rows {
		line := make([]string, len(paths))
		for x, path := range paths {
			line[x] = row[path]
		}
		g.Rows = append(g.Rows, line)
	}
	return g
}

// pathText is the text of one field.
type pathText struct{ path, text string }

// flatten lists the fields that have a value, those inside of others by their path.
func flatten(prefix string, fields []field) []pathText {
	var out []pathText
	for _, f := range fields {
		path := join(prefix, f.name)
		switch v := f.written.(type) {
		case string:
			if v != "" {
				out = append(out, pathText{path, v})
			}
		case []any:
			var texts []string
			for i, entry := range v {
				switch entry := entry.(type) {
				case string:
					texts = append(texts, entry)
				case []field:
					out = append(out, flatten(path+"["+strconv.Itoa(i)+"]", entry)...)
				}
			}
			if len(texts) > 0 {
				out = append(out, pathText{path + listMark, strings.Join(texts, "; ")})
			}
		case []field:
			out = append(out, flatten(path, v)...)
		default:
			if text := flowValue(v); text != "" {
				out = append(out, pathText{path, text})
			}
		}
	}
	return out
}

// dayReading is what the tables of the day come to.
type dayReading struct {
	base     event.Event
	problems []Problem
	lines    []Line
	decoder  *decoder
	nodes    int // that may still be made for paths
}

// follows says that an advice only follows from a field that could not be read.
func (r *dayReading) follows(a event.Advice) bool { return r.decoder.follows(a) }

var (
	pathPattern = regexp.MustCompile(`^[A-Za-z]+(\[\d+\])?(\.[A-Za-z]+(\[\d+\])?)*(\[\])?$`)
	pathStep    = regexp.MustCompile(`[A-Za-z]+|\[\d+\]`)
)

// maxNodes is how many fields and entries the paths of a file may make, the empty ones before an entry
// included.
const maxNodes = 50_000

const noSuchField wording.Key = "file.sheetThereIsNoFieldWrite"

// readDay takes the tables of the day out of grids and puts what they say over base.
func readDay(grids *[]table.Grid, base event.Event) dayReading {
	r := dayReading{base: base, decoder: &decoder{src: &source{}}, nodes: maxNodes}
	root := &node{kind: object, offset: -1}
	*grids = slices.DeleteFunc(*grids, func(g table.Grid) bool {
		if len(g.Rows) == 0 {
			return false
		}
		if g.Name == eventTable && len(g.Rows[0]) >= 2 && strings.EqualFold(g.Rows[0][0], "field") && strings.EqualFold(g.Rows[0][1], "value") {
			r.readEvent(&g, root)
			return true
		}
		for _, list := range dayLists {
			if g.Name == list.table && isPaths(g.Rows[0]) {
				r.readList(&g, root, list.field)
				return true
			}
		}
		return false
	})
	if len(root.fields) == 0 {
		return r
	}
	var said event.Event
	r.decoder.event(&said).read(root, "")
	for _, f := range root.fields {
		put(&r.base, said, f.name)
	}
	r.problems = append(r.problems, r.decoder.problems...)
	return r
}

// isPaths reports whether a row holds paths of fields and nothing else.
func isPaths(row []string) bool {
	some := false
	for _, cell := range row {
		if cell != "" && !pathPattern.MatchString(cell) {
			return false
		}
		some = some || cell != ""
	}
	return some
}

// put copies one list of an event; what the table of the event says counts as a whole.
func put(into *event.Event, from event.Event, field string) {
	listed := func(name string) bool {
		return slices.ContainsFunc(dayLists, func(l struct{ table, field string }) bool { return l.field == name })
	}
	to, of := reflect.ValueOf(into).Elem(), reflect.ValueOf(from)
	for i, name := range namesOf(to.Type()) {
		if listed(field) && name == field || !listed(field) && !listed(name) && !slices.Contains([]string{"people", "circles", "groupings"}, name) {
			to.Field(i).Set(of.Field(i))
		}
	}
}

func (r *dayReading) readEvent(g *table.Grid, root *node) {
	for y, row := range g.Rows {
		if y == 0 || len(row) < 2 || row[0] == "" {
			r.line(g, y, place.Ruler)
			continue
		}
		if !pathPattern.MatchString(row[0]) || row[1] != "" && !r.set(root, row[0], row[1], mark{g.Lines[y], 2}) {
			r.line(g, y, place.Reported)
			r.decoder.report(mark{g.Lines[y], 1}, CodeUnknownField, "", noSuchField, wording.Curly(g.Name), show(row[0]))
			continue
		}
		r.line(g, y, place.Used)
	}
}

func (r *dayReading) readList(g *table.Grid, root *node, field string) {
	items := &node{kind: list, offset: -1, at: mark{1, 1}}
	for y, row := range g.Rows {
		if y == 0 || !slices.ContainsFunc(row, func(cell string) bool { return cell != "" }) {
			r.line(g, y, place.Ruler)
			continue
		}
		r.line(g, y, place.Used, field+"["+strconv.Itoa(len(items.items))+"]")
		item := &node{kind: object, offset: -1, at: mark{g.Lines[y], 1}}
		for x, cell := range row {
			at := mark{g.Lines[y], x + 1}
			if x < len(g.Rows[0]) && g.Rows[0][x] != "" && cell != "" && !r.set(item, g.Rows[0][x], cell, at) {
				r.decoder.report(at, CodeUnknownField, "", noSuchField, wording.Curly(g.Name), show(g.Rows[0][x]))
			}
		}
		items.items = append(items.items, item)
	}
	root.fields = append(root.fields, entry{name: field, offset: -1, at: mark{1, 1}, value: items})
}

func (r *dayReading) line(g *table.Grid, y int, use place.Use, fields ...string) {
	r.lines = append(r.lines, Line{Number: g.Lines[y], Use: use, Fields: fields})
}

// set puts a value at a path below an object and makes what is missing on the way. It returns false when
// that is too much.
func (r *dayReading) set(n *node, path, value string, at mark) bool {
	path, several := strings.CutSuffix(path, listMark)
	for _, step := range pathStep.FindAllString(path, -1) {
		if n = r.child(n, step, at); n == nil {
			return false
		}
	}
	if !several {
		n.kind, n.value = plain, value
		return true
	}
	n.kind = list
	for part := range strings.SplitSeq(value, ";") {
		if part = strings.TrimSpace(part); part != "" {
			n.items = append(n.items, &node{kind: plain, value: part, offset: -1, at: at})
		}
	}
	return true
}

// child returns the field or entry of a step and makes it when it is not there, nil when that is too much.
func (r *dayReading) child(n *node, step string, at mark) *node {
	if step[0] != '[' {
		n.kind = object
		for i := range n.fields {
			if n.fields[i].name == step {
				return n.fields[i].value
			}
		}
		if r.nodes--; r.nodes < 0 {
			return nil
		}
		made := &node{offset: -1, at: at}
		n.fields = append(n.fields, entry{name: step, offset: -1, at: at, value: made})
		return made
	}
	n.kind = list
	i, err := strconv.Atoi(step[1 : len(step)-1])
	if err != nil || i-len(n.items) >= r.nodes {
		return nil
	}
	for len(n.items) <= i {
		r.nodes--
		n.items = append(n.items, &node{offset: -1, at: at})
	}
	return n.items[i]
}
