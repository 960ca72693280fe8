package table

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/photographs"
	"kinorder.example/server/internal/wording"
)

// person is somebody whom a row names.
type person struct {
	row, index int
	side, id   string // as written
}

// people reads a table with a person a row.
func (r *reader) people(g *Grid, h head) {
	var all []person
	under := "" // a heading
	for row := h.row + 1; row < len(g.Rows); row++ {
		cells := g.Rows[row]
		switch {
		case isRuler(g, h, row):
			r.use(g, row, place.Ruler)
			continue
		case r.aside[g][row], r.isKey(g, h, row):
			continue
		case isHeading(g, h, row):
			r.use(g, row, place.Used)
			under = strings.TrimRight(line(strings.Join(cells[:slices.IndexFunc(cells, func(c string) bool { return c != "" })+1], "")), ":")
			continue
		}
		r.use(g, row, place.Used)
		for _, p := range r.row(g, h, row) {
			if p.side == "" && p.id == "" && under != "" {
				if r.isSide(under) {
					p.side = under
				} else {
					r.join(under, p.index)
				}
			}
			all = append(all, p)
			r.byPerson[g] = append(r.byPerson[g], p)
		}
	}
	if h.has("side") && !h.has("id") && sparse(g, h) {
		fill(all)
	}
	r.findCouple(all)
	for _, p := range all {
		if p.side != "" || p.id != "" {
			id := r.sideOf(p.side, p.id)
			r.Update(p.index, func(x *event.Person) { x.Side = id })
		}
	}
}

// isHeading reports whether a row is a heading over those below: one text, merged over columns or with a word for a
// side or a circle in it, where others have several.
func isHeading(g *Grid, h head, row int) bool {
	if filled(g.Rows[row]) != 1 || len(h.columns)+len(h.marked) < 2 {
		return false
	}
	at := slices.IndexFunc(g.Rows[row], func(c string) bool { return c != "" })
	text := g.Rows[row][at]
	if len([]rune(text)) > 60 {
		return false
	}
	if n := len(g.Rows[row]); at+1 < n && g.Rows[row][at+1] == text || strings.HasSuffix(text, ":") {
		return true
	}
	if number, ok := h.columns["number"]; h.kind == Groupings && (at == 0 || ok && at == number) && at != h.columns["title"] && !(h.has("members") && at == h.columns["members"]) {
		return true
	}
	words := names.Words(text)
	sided := slices.ContainsFunc(words, func(w string) bool { return says("section", w) }) || says("couple", text)
	loud := text == strings.ToUpper(text) && text != strings.ToLower(text) && len(words) > 1
	return sided || loud
}

// sparse reports whether sides are written once for the rows below: most rows have none, and no two in a row do.
func sparse(g *Grid, h head) bool {
	n, rows, before := 0, 0, false
	for row := h.row + 1; row < len(g.Rows); row++ {
		if empty(g.Rows[row]) || isTotal(g.Rows[row]) {
			continue
		}
		rows++
		has := g.at(row, h.columns["side"]) != ""
		if has && before {
			return false
		}
		if before = has; has {
			n++
		}
	}
	return n > 0 && 3*n <= 2*rows
}

// fill gives everybody the side that was written last above.
func fill(all []person) {
	last := ""
	for i := range all {
		if all[i].side == "" {
			all[i].side = last
		}
		last = all[i].side
	}
}

// isRuler reports whether a row holds nothing of its own: it is empty, a total of the others, or the header once more, as
// on every page of a long list. A total has no id.
func isRuler(g *Grid, h head, row int) bool {
	cells := g.Rows[row]
	return empty(cells) || isTotal(cells) && h.get(g, row)("id") == "" || h.row >= 0 && slices.Equal(cells, g.Rows[h.row])
}

// row reads one row: mostly one person, or several whom a cell names together.
func (r *reader) row(g *Grid, h head, row int) []person {
	get := h.get(g, row)
	name, said := written(get("id"), get("name")), ""
	column := h.columns["name"]
	if h.has("first") || h.has("last") {
		column = h.columns["first"]
		name = line(strings.Join([]string{get("first"), cmp.Or(get("last"), get("name"))}, " "))
	}
	whole, own := name, get("id") != "" // written by kinorder: nothing has to be found out
	if bare := line(brackets.ReplaceAllString(name, "")); bare != "" && !own {
		for _, b := range brackets.FindAllString(name, -1) {
			said = joined(said, strings.Trim(b, " ()（）[]"))
		}
		name = bare
	}
	switch {
	case names.Plain(name) == "" && !own:
		r.reportRow(g, row, -1, event.Warning, place.CodeNotUsed, wording.Say("file.noNameInThisRow"))
		return nil
	case nobody(name) && !own:
		severity := event.Warning
		if r.wanted(g, h, row) {
			severity = event.Error // somebody is wanted in photographs
		}
		r.reportRow(g, row, column, severity, place.CodeNotUsed, wording.Say("file.nameIsNoName", wording.Curly(short(whole))))
		return nil
	}
	var out []person
	each := []string{name}
	if !own {
		each = couples(name)
	}
	for _, n := range each {
		i := r.person(g, h, row, n, said, get)
		out = append(out, person{row, i, get("side"), get("sideId")})
	}
	if len(each) == 1 && !own && forSeveral(name) {
		r.reportRow(g, row, column, event.Warning, place.CodeStandsFor, wording.Say("file.standsForSeveral", wording.Curly(short(name))))
	}
	return out
}

// nobody reports whether a name is none: "Guest", "+1", "Plus one of Dan".
func nobody(name string) bool {
	if says("nobody", name) || !strings.ContainsFunc(name, isLetter) {
		return true
	}
	ws := names.Words(name)
	return len(ws) > 1 && (says("nobody", ws[0]) && says("nobody", ws[0]+" "+ws[1]) || ws[0] == "guest" || ws[0] == "plus" && ws[1] == "one") ||
		strings.Contains(name, "+1") || strings.HasSuffix(name, "?") && len(ws) < 2
}

// forSeveral reports whether a name stands for people whom it does not name: "The Holt family", "Mr & Mrs Lee".
func forSeveral(name string) bool {
	ws := names.Words(name)
	return slices.ContainsFunc(ws, func(w string) bool { return says("section", w) }) || len(ws) > 1 && ws[0] == "the" && strings.HasSuffix(ws[len(ws)-1], "s") ||
		joint.MatchString(name) && names.IsTitle(ws[0])
}

// joint is what joins two names in a cell.
var joint = regexp.MustCompile(`(?i)\s*[&+]\s*|\s+(?:and|und|et|y|e)\s+|\s*[和、]\s*`)

// couples divides "Ann & Bo Lund" into Ann Lund and Bo Lund. What has a word of address or for a group is one.
func couples(name string) []string {
	parts := joint.Split(name, -1)
	if len(parts) != 2 || strings.Contains(name, ",") {
		return []string{name}
	}
	a, b := strings.TrimSpace(parts[0]), strings.TrimSpace(parts[1])
	wa, wb := strings.Fields(a), strings.Fields(b)
	if nameLike(a) == 0 || nameLike(b) == 0 || len(wa) > 3 || len(wb) > 3 || nobody(a) || nobody(b) || forSeveral(a) || forSeveral(b) || names.IsTitle(wa[0]) || names.IsTitle(wb[0]) {
		return []string{name}
	}
	if len(wa) == 1 && len(wb) > 1 {
		a += " " + strings.Join(wb[1:], " ")
	}
	return []string{a, b}
}

func (r *reader) person(g *Grid, h head, row int, name, said string, get func(string) string) int {
	p := event.Person{
		ID: get("id"), Name: name, SayAs: get("sayAs"), Relation: written(get("id"), get("relation")),
		PresentFrom: get("presentFrom"), PresentUntil: get("presentUntil"), Interpreter: get("interpreter"),
		Nicknames: list(get("nicknames")), Presence: spans(get("presence")),
	}
	column := func(field string) int { return h.columns[field] }
	p.HeightCM = r.number(g, row, column("heightCm"), strings.TrimSuffix(strings.TrimSpace(get("heightCm")), "cm"), "check.heightInCentimetres")
	if w := get("releaseWeight"); w != "" {
		n := r.number(g, row, column("releaseWeight"), w, "check.releaseWeight")
		p.ReleaseWeight = &n
	}
	r.attending(g, row, column("attending"), get, &p)
	if p.Relation == "" {
		p.Relation, said = said, ""
	}
	if p.Relation != "" && p.ID == "" {
		first, rest, _ := strings.Cut(strings.NewReplacer("，", ",", "؛", ",", ";", ",", "،", ",").Replace(p.Relation), ",")
		said = joined(strings.TrimSpace(rest), said)
		_, p.Relation = r.cells.Relation(first, &p)
	}
	for _, piece := range list(said) {
		p.PrivateNote = joined(p.PrivateNote, r.cells.Describe(piece, &p))
	}
	if age := get("ageBand"); age != "" && !r.cells.Age(age, &p) {
		p.PrivateNote = joined(p.PrivateNote, age)
		r.reportRow(g, row, column("ageBand"), event.Info, place.CodeKeptAsNote, wording.Say("file.noAgeThatIsKnown", wording.Curly(short(age))))
	}
	for _, need := range list(get("needs")) {
		if no(need) {
			continue
		}
		if rest := r.cells.Describe(strings.ReplaceAll(need, "_", " "), &p); rest != "" {
			p.PrivateNote = joined(p.PrivateNote, rest)
			r.reportRow(g, row, column("needs"), event.Info, place.CodeKeptAsNote, wording.Say("file.noNeedThatIsKnown", wording.Curly(short(rest))))
		}
	}
	if note := get("privateNote"); note != "" && p.ID == "" {
		p.PrivateNote = joined(p.PrivateNote, r.cells.Describe(note, &p))
	} else {
		p.PrivateNote = joined(p.PrivateNote, note)
	}
	if p.ID != "" && r.HasID(p.ID) {
		r.reportRow(g, row, column("id"), event.Error, event.CodeDuplicateID, wording.Say("file.idIsUsedTwiceGiveEachPerson", wording.Curly(short(p.ID))))
	}
	i := r.Add(p)
	if p.PrivateNote != "" && get("id") == "" {
		r.said = append(r.said, photographs.Row{Kind: photographs.GuestRow, Line: g.Lines[row], Title: line(p.PrivateNote), Members: r.ID(i)})
	}
	r.use(g, row, place.Used, fmt.Sprintf("people[%d]", i))
	for _, c := range list(get("circles")) {
		r.join(c, i)
	}
	return i
}

// newCircle is what it takes to make a circle.
const newCircle = 2000

// join puts somebody into a circle that is made when all are read.
func (r *reader) join(circle string, i int) {
	if r.inCircle[circle] == nil {
		if !r.Effort.Spend(newCircle) {
			return
		}
		r.circleOrder = append(r.circleOrder, circle)
	}
	r.inCircle[circle] = append(r.inCircle[circle], i)
}

// attending reads who does not come. No answer yet means that they come.
func (r *reader) attending(g *Grid, row, column int, get func(string) string, p *event.Person) {
	p.Absent = yes(get("absent")) || says("no", get("absent")) && names.Plain(get("absent")) == "declined"
	a := get("attending")
	if there := get("presence"); a == "" && !strings.ContainsAny(there, "0123456789") {
		a, p.Presence = there, nil // "Présence: oui"
	}
	switch {
	case a == "" || yes(a):
	case no(a):
		p.Absent = true
	case says("maybe", a):
		r.reportRow(g, row, column, event.Info, place.CodeTakenAs, wording.Say("file.takenAsComing", wording.Curly(short(p.Name)), wording.Curly(short(a))))
	default:
		if rest := r.cells.Describe(a, p); rest != "" {
			p.PrivateNote = joined(p.PrivateNote, rest)
			r.reportRow(g, row, column, event.Info, place.CodeTakenAs, wording.Say("file.takenAsComing", wording.Curly(short(p.Name)), wording.Curly(short(a))))
		}
	}
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
	o := r.owner(label)
	if o >= 0 {
		if known, ok := r.SideOf(o); ok {
			return known
		}
	}
	return r.AddSide(line(label), o)
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

// line writes a cell on one line.
func line(s string) string {
	return spaces.ReplaceAllString(strings.TrimSpace(s), " ")
}

// written is a cell of a row: as it stands if the row has an id, as those have that kinorder writes.
func written(id, cell string) string {
	if id != "" && !strings.Contains(cell, "\n") {
		return cell
	}
	return line(cell)
}

// spaces are line breaks and the like, and several spaces; a single one that does not break stays.
var spaces = regexp.MustCompile(`\s*[\n\t]\s*|\s{2,}`)

func isLetter(r rune) bool { return names.Plain(string(r)) != "" && (r < '0' || r > '9') }

func short(s string) string { return place.Shortened(s, 40) }

func joined(a, b string) string {
	if a == "" || b == "" {
		return a + b
	}
	return a + "; " + b
}
