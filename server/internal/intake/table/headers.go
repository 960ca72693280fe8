package table

import (
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/wording"
)

// Kind is what a table holds.
type Kind int

// The kinds. The zero value finds out by the headers.
const (
	Unknown   Kind = iota
	People         // a person a row
	Groupings      // a photograph a row
	Circles        // a circle a row
	Matrix         // people in rows, photographs in columns, a mark in each cell of somebody who is in it
	Whole          // all of an event, one table after the other
)

// Fields that a column can hold, by the names that a mapping uses. Those of people and of groupings that
// have the same name are told apart by the kind of the table.
var peopleFields = map[string]string{
	"id":            "id; guest id; person id; key",
	"name":          "name; names; full name; guest; guest name; guests; person; people; who; attendee; invitee; first and last name; name of guest; nome; nombre; nom; gast; name des gastes; 姓名; tên; الاسم",
	"nicknames":     "nickname; nicknames; known as; also called; also known as; aka; called; goes by; alias; aliases; short name",
	"sayAs":         "say as; say; said as; pronunciation; pronounced; how to say; how to say it; phonetic; sounds like",
	"relation":      "relation; relationship; relation to couple; relationship to couple; relation to the couple; role; kin; how related; how they are related; who are they; connection; relação; parentesco; parenté; lien; verwandtschaft; beziehung; 关系; quan hệ; صلة القرابة",
	"side":          "side; side of; whose side; family; whose family; family side; belongs to; guest of; party; lado; côté; seite; 一方; bên; الجانب",
	"sideId":        "side id",
	"ageBand":       "age; age band; age group; ages; category; adult or child; adult/child; generation; idade; edad; âge; alter; 年龄; tuổi; العمر",
	"heightCm":      "height; height cm; height (cm); height in cm; cm; altura; taille; größe",
	"needs":         "needs; need; access; accessibility; access needs; mobility; mobility needs; requirements; special needs; assistance; special requirements; necessidades; necesidades; besoins; bedarf",
	"presentFrom":   "present from; from; arrives; arrival; arriving; there from; available from; arrives at",
	"presentUntil":  "present until; until; leaves; leaving; departure; there until; available until; leaves at; departs",
	"presence":      "presence; times; present; there",
	"interpreter":   "interpreter; interpreted by",
	"absent":        "absent; not coming; declined; away",
	"attending":     "attending; coming; rsvp; will attend; attends; attendance; confirmed; reply",
	"releaseWeight": "release weight",
	"circles":       "circle; circles; group; groups; household; households; belongs with; gruppe; grupo; groupe",
	"privateNote":   "private note; private notes; note; notes; comment; comments; remark; remarks; notas; observações; remarques; notiz; bemerkung",
}

var groupingFields = map[string]string{
	"id":          "id; photo id; grouping id; key",
	"title":       "title; photo; photograph; picture; photo title; group; grouping; group photo; group name; name; combination; description; shot; what; título; titre; titel; foto; 照片; ảnh; الصورة",
	"members":     "members; people; who; who is in it; in it; in the photo; in the photograph; persons; guests; included; participants; subjects; with; names; pessoas; personas; personnes; personen; 人员; người; الأشخاص",
	"without":     "without; except; excluding; exclude; not; leave out; left out; minus",
	"eachOf":      "each of; one for each of; for each; each",
	"priority":    "priority; importance; how important; must; rank; level; prioridade; prioridad; priorité; priorität",
	"pin":         "pin; position; first or last; place in order",
	"minutes":     "minutes; min; mins; duration; time; length; time (min); minutos; minuten",
	"frames":      "frames; exposures; takes",
	"blocks":      "block; blocks; session; when",
	"after":       "after; follows",
	"notBefore":   "not before; earliest; no earlier than",
	"notAfter":    "not after; latest; no later than; by",
	"confirms":    "confirms",
	"privateNote": "private note; private notes; note; notes; comment; comments; remark; remarks; notas; remarques; notiz",
}

var circleFields = map[string]string{
	"id": "id; circle id", "title": "circle; household; title; name", "members": "members; people; who; names", "leader": "leader; gathered by; led by; contact",
}

// Fields lists the names that a mapping can use.
func Fields() []string {
	var out []string
	for _, fields := range []map[string]string{peopleFields, groupingFields, circleFields} {
		for f := range fields {
			if !slices.Contains(out, f) {
				out = append(out, f)
			}
		}
	}
	slices.Sort(out)
	return out
}

// synonyms are the fields by their headers as they are compared.
func synonyms(fields map[string]string) map[string]string {
	out := make(map[string]string)
	for field, list := range fields {
		for h := range strings.SplitSeq(list, ";") {
			if key := names.Plain(h); key != "" {
				out[key] = field
			}
		}
	}
	return out
}

var headerWords = map[Kind]map[string]string{
	People: synonyms(peopleFields), Groupings: synonyms(groupingFields), Circles: synonyms(circleFields),
}

// head is what the header of a table says.
type head struct {
	kind    Kind
	row     int            // of the header; below 0 when there is none
	columns map[string]int // by field
	unused  []int          // columns with a header that says nothing
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
			if kind != Unknown && kind != k && !(kind == Matrix && k == People) {
				continue
			}
			h, n := g.headed(row, k)
			if n > score {
				best, score = h, n
			}
		}
	}
	problems := g.mapped(&best, kind, mapping)
	if kind != Unknown && kind != Matrix {
		best.kind = kind
	}
	return best, problems
}

// headed reads a row as the header of a table of a kind. The second result says how well that fits, 0 for
// not at all.
func (g *Grid) headed(row int, kind Kind) (head, int) {
	h := head{kind: kind, row: row, columns: make(map[string]int)}
	for x, cell := range g.Rows[row] {
		if cell == "" {
			continue
		}
		field, ok := headerWords[kind][names.Plain(cell)]
		if _, taken := h.columns[field]; !ok || taken {
			h.unused = append(h.unused, x)
			continue
		}
		h.columns[field] = x
	}
	n := 2 * len(h.columns)
	_, name := h.columns["name"]
	_, members := h.columns["members"]
	_, leader := h.columns["leader"]
	_, title := h.columns["title"]
	switch {
	case kind == People && !name, kind != People && !members:
		return h, 0
	case kind == Circles && !leader && names.Plain(g.Name) != "circles" && names.Plain(g.Name) != "households":
		return h, 0
	case kind == Circles:
		n += 3
	case kind == Groupings && !title && len(h.columns) < 2:
		n = 1
	}
	return h, n
}

// mapped applies a mapping to a header.
func (g *Grid) mapped(h *head, kind Kind, mapping map[string]string) []place.Problem {
	var problems []place.Problem
	if h.row < 0 {
		h.row = g.mappedRow(mapping)
	}
	for _, field := range slices.Sorted(mapKeys(mapping)) {
		column, ok := g.column(h.row, mapping[field])
		if !ok {
			problems = append(problems, g.problem(-1, -1, event.Error, CodeNoColumn, wording.Say("file.noColumnFor", wording.Quoted(mapping[field]), field)))
			continue
		}
		if h.columns == nil {
			h.columns = make(map[string]int)
		}
		for f, x := range h.columns {
			if x == column {
				delete(h.columns, f)
			}
		}
		h.columns[field] = column
		h.unused = slices.DeleteFunc(h.unused, func(x int) bool { return x == column })
		if h.kind == Unknown && kind == Unknown {
			h.kind = People
			if field == "members" || field == "title" {
				h.kind = Groupings
			}
		}
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

func mapKeys(m map[string]string) func(func(string) bool) {
	return func(yield func(string) bool) {
		for k := range m {
			if !yield(k) {
				return
			}
		}
	}
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

// totals are words at the beginning of a row that adds up.
var totals = func() map[string]bool {
	set := make(map[string]bool)
	for w := range strings.FieldsSeq("total totals sum subtotal count totais suma totales totaux somme gesamt summe anzahl 合计 总计 المجموع tổng") {
		set[names.Plain(w)] = true
	}
	set["grand total"], set["head count"], set["number of people"] = true, true, true
	return set
}()

// isTotal reports whether a row adds up, rather than being an entry: a word for it stands first, alone or
// before numbers.
func isTotal(row []string) bool {
	first := ""
	for _, cell := range row {
		if cell == "" {
			continue
		}
		if first == "" {
			first = names.Plain(strings.TrimRight(cell, ": 0123456789"))
			if !totals[first] {
				return false
			}
			continue
		}
		if strings.Trim(cell, "0123456789.,") != "" {
			return false
		}
	}
	return first != ""
}

// empty reports whether a row holds nothing that can be read: no letter and no digit.
func empty(row []string) bool {
	return !slices.ContainsFunc(row, func(cell string) bool { return names.Plain(cell) != "" })
}
