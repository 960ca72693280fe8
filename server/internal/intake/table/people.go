package table

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/typed"
	"kinorder.example/server/internal/wording"
)

// people reads a table with a person a row.
func (r *reader) people(g *Grid, h head) {
	r.side = make(map[string]string)
	for row := h.row + 1; row < len(g.Rows); row++ {
		r.use(g, row, place.Used)
		cells := g.Rows[row]
		get := func(field string) string {
			if x, ok := h.columns[field]; ok {
				return g.at(row, x)
			}
			return ""
		}
		name := line(get("name"))
		switch {
		case empty(cells), isTotal(cells), repeatsHeader(g, h, row):
			r.use(g, row, place.Ruler)
			continue
		case names.Plain(name) == "":
			r.reportRow(g, row, -1, event.Warning, typed.CodeNotUsed, wording.Say("file.noNameInThisRow"))
			continue
		}
		r.person(g, h, row, name, get)
	}
}

// repeatsHeader reports whether a row is the header once more, as on every page of a long list.
func repeatsHeader(g *Grid, h head, row int) bool {
	if h.row < 0 {
		return false
	}
	return slices.Equal(g.Rows[row], g.Rows[h.row])
}

func (r *reader) person(g *Grid, h head, row int, name string, get func(string) string) {
	p := event.Person{
		ID: get("id"), Name: name, SayAs: get("sayAs"), Relation: line(get("relation")), PrivateNote: get("privateNote"),
		PresentFrom: get("presentFrom"), PresentUntil: get("presentUntil"), Interpreter: get("interpreter"),
		Nicknames: list(get("nicknames")), Presence: spans(get("presence")),
	}
	column := func(field string) int { return h.columns[field] }
	p.HeightCM = r.number(g, row, column("heightCm"), strings.TrimSuffix(strings.TrimSpace(get("heightCm")), "cm"), "check.heightInCentimetres")
	if w := get("releaseWeight"); w != "" {
		n := r.number(g, row, column("releaseWeight"), w, "check.releaseWeight")
		p.ReleaseWeight = &n
	}
	p.Absent = yes(get("absent")) || get("attending") != "" && no(get("attending"))
	r.age(g, row, column("ageBand"), get("ageBand"), &p)
	for _, need := range list(get("needs")) {
		if n, ok := typed.ReadNeed(strings.ReplaceAll(need, "_", " ")); ok {
			p.Needs = append(p.Needs, n...)
		} else if !no(need) {
			p.PrivateNote = joined(p.PrivateNote, need)
			r.reportRow(g, row, column("needs"), event.Info, typed.CodeKeptAsNote, wording.Say("file.noNeedThatIsKnown", wording.Curly(short(need))))
		}
	}
	side, id := get("side"), get("sideId")
	if side != "" || id != "" {
		p.Side = r.sideOf(side, id)
	}
	if p.ID != "" && r.HasID(p.ID) {
		r.reportRow(g, row, column("id"), event.Error, event.CodeDuplicateID, wording.Say("file.idIsUsedTwiceGiveEachPerson", wording.Curly(short(p.ID))))
	}
	i := r.Add(p)
	r.use(g, row, place.Used, fmt.Sprintf("people[%d]", i))
	for _, c := range list(get("circles")) {
		if r.inCircle[c] == nil {
			r.circleOrder = append(r.circleOrder, c)
		}
		r.inCircle[c] = append(r.inCircle[c], i)
	}
}

// age reads the age of a person: years or words. Without it, a relation may say it.
func (r *reader) age(g *Grid, row, column int, text string, p *event.Person) {
	if text == "" {
		if band, ok := typed.AgeOfRelation(p.Relation); ok {
			p.AgeBand = band
		}
		return
	}
	band, ok := typed.ReadAge(text)
	if !ok {
		p.PrivateNote = joined(p.PrivateNote, text)
		r.reportRow(g, row, column, event.Info, typed.CodeKeptAsNote, wording.Say("file.noAgeThatIsKnown", wording.Curly(short(text))))
		return
	}
	p.AgeBand = band
}

// sideOf returns the side with a label, which is made when it is new.
func (r *reader) sideOf(label, id string) string {
	if id != "" {
		if known, ok := r.SideNamed(id); ok {
			return known
		}
		return r.AddSideAs(id, label)
	}
	if known, ok := r.SideNamed(label); ok {
		return known
	}
	if known, ok := r.side[names.Plain(label)]; ok {
		return known
	}
	made := r.AddSide(line(label), -1)
	r.side[names.Plain(label)] = made
	return made
}

// number reads a whole number; an empty cell is 0.
func (r *reader) number(g *Grid, row, column int, text string, what wording.Key) int {
	text = strings.TrimSpace(text)
	if text == "" {
		return 0
	}
	n, err := strconv.Atoi(strings.TrimSuffix(strings.TrimSuffix(text, ".00"), ".0"))
	if err != nil {
		r.reportRow(g, row, column, event.Error, event.CodeUnknownValue, wording.Say("file.noWholeNumber", wording.Say(what), wording.Curly(short(text))))
	}
	return n
}

// list divides a cell at semicolons, line breaks and commas.
func list(text string) []string {
	var out []string
	for _, part := range strings.FieldsFunc(text, func(c rune) bool { return c == ';' || c == '\n' || c == ',' || c == '、' || c == '،' }) {
		if part = strings.TrimSpace(part); part != "" {
			out = append(out, part)
		}
	}
	return out
}

// spans reads stretches of time: "15:30-16:00; 17:00-".
func spans(text string) []event.Span {
	var out []event.Span
	for _, part := range list(text) {
		from, until, _ := strings.Cut(strings.ReplaceAll(part, "–", "-"), "/")
		if !strings.Contains(part, "/") && strings.Count(part, "-") == 1 {
			from, until, _ = strings.Cut(strings.ReplaceAll(part, "–", "-"), "-")
		}
		out = append(out, event.Span{From: strings.TrimSpace(from), Until: strings.TrimSpace(until)})
	}
	return out
}

// line writes a cell on one line.
func line(s string) string {
	return spaces.ReplaceAllString(strings.TrimSpace(s), " ")
}

// spaces are line breaks and the like, and several spaces; a single one that does not break stays.
var spaces = regexp.MustCompile(`\s*[\n\t]\s*|\s{2,}`)

func short(s string) string {
	if c := []rune(s); len(c) > 40 {
		return string(c[:40]) + "…"
	}
	return s
}

func joined(a, b string) string {
	if a == "" {
		return b
	}
	return a + "; " + b
}

var (
	yesWords = strings.Fields("yes y true 1 x ✓ ✔ ☑ sim sí si oui ja absent declined")
	noWords  = strings.Fields("no n false 0 - – — . none nein non não nao ✗ ✘ ❌ ☐ □ declined regrets absent")
)

func yes(s string) bool { return slices.Contains(yesWords, strings.ToLower(strings.TrimSpace(s))) }

func no(s string) bool { return slices.Contains(noWords, strings.ToLower(strings.TrimSpace(s))) }
