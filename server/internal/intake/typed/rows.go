package typed

import (
	"cmp"
	"fmt"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/effort"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/roster"
	"kinorder.example/server/internal/kin"
	"kinorder.example/server/internal/wording"
)

// Row is a photograph of a table: who is in it in the words of a list, the rest as it stands.
type Row struct {
	Line     int // in the table
	Members  string
	Column   int // of Members
	Without  string
	Grouping event.Grouping // all but members and without; an empty id is made up
}

// ReadRows reads photographs of a table with the words of typed lists. base holds the people and circles
// of the table; its groupings come first. What it returns when m is used up is worth nothing.
func ReadRows(m *effort.Meter, rows []Row, base event.Event) Result {
	r := newReader(m, base)
	for _, row := range rows {
		r.lines = append(r.lines, line{number: row.Line, span: span{strings.TrimSpace(row.Members), 1}})
	}
	for _, dry := range []bool{true, false} {
		r.dry = dry
		r.last, r.lastIDs = nil, nil
		for k, row := range rows {
			r.reads(&r.lines[k])
			r.row(row)
		}
		if dry {
			r.dry = false
			r.declareGathered()
		}
	}
	r.fillEverybody()
	for k := range r.problems {
		// Places within a cell mean little: the cell is what has to be found.
		for _, row := range rows {
			if row.Line == r.problems[k].Line {
				r.problems[k].Column = row.Column
			}
		}
	}
	return r.result()
}

func (r *reader) row(row Row) {
	l := r.current
	if r.full(l) {
		return
	}
	r.use(l.number, place.Used)
	in := r.cell(row.Members, found{})
	out := r.cell(row.Without, in)
	if more, less := r.entriesOfCell(row.Members); len(less.ids) > 0 {
		in, out.ids = more, append(out.ids, less.ids...)
	}
	if r.dry {
		r.remember(in, out)
		return
	}
	g := row.Grouping
	if len(in.ids) == 0 && g.EachOf == "" {
		if !in.bad && !out.bad {
			r.report(mark{l.number, row.Column}, event.Error, CodeNobody, row.Grouping.Title, wording.Say("list.whoIsInWriteNamesOr", quoted(row.Grouping.Title)))
		}
		r.use(l.number, place.Asked)
		return
	}
	g.Members, g.Without = in.ids, out.ids
	if g.ID == "" || r.HasGrouping(g.ID) {
		g.ID = r.NewGroupingID(cmp.Or(g.Title, r.nameOf(in), g.EachOf))
	} else {
		r.TakeGroupingID(g.ID)
	}
	r.use(l.number, place.Used, fmt.Sprintf("groupings[%d]", len(r.Event.Groupings)))
	r.Event.Groupings = append(r.Event.Groupings, g)
	r.remember(in, out)
}

// cell resolves a cell: ids, whole names and titles between semicolons or line breaks as they are, else
// the words of a list.
func (r *reader) cell(text string, before found) found {
	if f, ok := r.direct(text); ok {
		return f
	}
	in, _ := r.entries(span{oneLine(text), 1}, before)
	return in
}

// entriesOfCell is cell for words that leave somebody out: "everyone except Rosa".
func (r *reader) entriesOfCell(text string) (in, out found) {
	if _, ok := r.direct(text); ok {
		return found{}, found{}
	}
	for _, p := range parts(span{oneLine(text), 1}) {
		if p.joint == without {
			quiet, count := r.problems, r.count
			in, out = r.entries(span{oneLine(text), 1}, found{})
			r.problems, r.count = quiet, count // asked already
			return in, out
		}
	}
	return found{}, found{}
}

// oneLine writes a cell on one line: line breaks separate entries.
func oneLine(text string) string {
	return strings.Join(strings.Fields(strings.ReplaceAll(strings.TrimSpace(text), "\n", "; ")), " ")
}

// direct resolves a cell all of whose entries are ids, whole names or titles.
func (r *reader) direct(text string) (found, bool) {
	var f found
	for _, entry := range strings.FieldsFunc(text, func(c rune) bool { return c == ';' || c == '\n' }) {
		if entry = strings.TrimSpace(entry); entry == "" {
			continue
		}
		id, ok := r.Known(entry)
		if !ok {
			return found{}, false
		}
		f.add(found{ids: []string{id}, people: r.PeopleOf(id)})
	}
	return f, true
}

// ReadAge understands an age in years or words, and ReadNeed a need; both return false for words that
// they do not understand.
func ReadAge(text string) (event.AgeBand, bool) {
	a := readAttribute(text)
	return a.age, a.aged && a.relation == ""
}

// ReadNeed understands the words for one need.
func ReadNeed(text string) ([]event.Need, bool) {
	a := readAttribute(text)
	return a.needs, len(a.needs) > 0
}

// SideOwner takes the owner out of words for a side: "Amara's side".
func SideOwner(text string) (string, bool) { return sideOwner(text) }

// AgeOfRelation is the age band that a relation says, an elder for a grandmother.
func AgeOfRelation(text string) (event.AgeBand, bool) {
	if rel, _, ok := roster.Titled(text); ok && rel.Kind == kin.Grandparent {
		return event.Elder, true
	}
	a := relationAttribute(text)
	return a.age, a.aged
}

// ReadPriority understands the words that lists use for how much a photograph is wanted.
func ReadPriority(text string) (event.Priority, bool) {
	var w wishes
	ok := (mustWords.has(text) || niceWords.has(text) || shouldWords.has(text)) && w.wish(span{text, 1})
	return w.priority, ok
}
