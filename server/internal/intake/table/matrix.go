package table

import (
	"slices"
	"strconv"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/photographs"
	"kinorder.example/server/internal/wording"
)

// isMark reports whether a cell says that somebody is in a photograph: a short sign, or a word for yes.
func isMark(cell string) bool {
	if no(cell) || says("maybe", cell) {
		return false
	}
	return yes(cell) || len([]rune(cell)) <= 2
}

// matrix reads people against photographs.
func (r *reader) matrix(g *Grid, h head) {
	if h.row < 0 {
		r.skip(g, event.Error, wording.Say("file.noTitlesOfPhotographsAboveThe"))
		return
	}
	if h.turned {
		r.turned(g, h)
		return
	}
	if !h.has("name") && !h.has("first") {
		h.columns["name"] = 0
	}
	made := make(map[int]*event.Grouping)
	about := r.aboutPhotographs(g, h, made)
	r.people(g, about)
	var rows []photographs.Row
	for _, x := range h.marked {
		var members []string
		for _, p := range r.byPerson[g] {
			if r.marked(g, p.row, x, r.Event.People[p.index].Name, line(g.at(h.row, x))) {
				members = append(members, r.ID(p.index))
			}
		}
		title := line(g.at(h.row, x))
		if len(members) == 0 {
			r.reportRow(g, h.row, x, event.Warning, CodeUnused, wording.Say("file.nobodyIsMarkedInTheColumn", wording.Curly(short(title))))
			continue
		}
		row := photographs.Row{Line: g.Lines[h.row], Title: title, Members: strings.Join(members, ";")}
		if made[x] != nil {
			row.Grouping = *made[x]
		}
		row.Grouping.Title = title
		rows = append(rows, row)
	}
	r.readRows(g, rows, map[int]int{g.Lines[h.row]: h.row})
}

// marked reads a cell of a matrix. What may be a mark is asked about; what says more is kept with the photograph.
func (r *reader) marked(g *Grid, row, x int, who, title string) bool {
	cell := g.at(row, x)
	first, _, _ := strings.Cut(strings.NewReplacer("(", " ", ",", " ", "\n", " ").Replace(cell), " ")
	switch {
	case cell == "" || no(cell):
		return false
	case says("maybe", cell) || strings.HasSuffix(cell, "?"):
		r.reportRow(g, row, x, event.Error, place.CodeWhichOne, wording.Say("file.isIn", wording.Curly(short(who)), wording.Curly(short(title)), wording.Curly(short(cell))))
		return false
	case no(first) && len(cell) > len(first):
		r.reportRow(g, row, x, event.Info, place.CodeKeptAsNote, wording.Say("file.takenForNoMark", wording.Curly(short(cell)), wording.Curly(short(who)), wording.Curly(short(title))))
		return false
	case !isMark(cell):
		r.reportRow(g, row, x, event.Warning, place.CodeTakenAs, wording.Say("file.takenForAMark", wording.Curly(short(cell)), wording.Curly(short(who)), wording.Curly(short(title))))
	}
	return true
}

// aboutPhotographs takes the rows out of a matrix that say something of its photographs: how much they are wanted, how long they take.
func (r *reader) aboutPhotographs(g *Grid, h head, made map[int]*event.Grouping) head {
	if r.aside == nil {
		r.aside = make(map[*Grid]map[int]bool)
	}
	r.aside[g] = make(map[int]bool)
	for row := h.row + 1; row < len(g.Rows); row++ {
		at := slices.IndexFunc(g.Rows[row], func(c string) bool { return c != "" })
		if at < 0 || slices.Contains(h.marked, at) {
			continue
		}
		field := headerWords[Groupings][key1(g.Rows[row][at])]
		if g.counts(h, row) {
			field = "count"
		}
		if field != "priority" && field != "minutes" && field != "privateNote" && field != "pin" && field != "start" && field != "blocks" && field != "count" {
			continue
		}
		r.aside[g][row] = true
		r.use(g, row, place.Used)
		for _, x := range h.marked {
			if made[x] == nil {
				made[x] = &event.Grouping{}
			}
			if cell := g.at(row, x); cell != "" && field != "count" {
				r.set(g, row, x, field, cell, made[x])
			}
		}
	}
	return h
}

// counts reports whether the cells of a row are numbers that count the marks above them, whatever the row is called.
func (g *Grid) counts(h head, row int) bool {
	right, wrong := 0, 0
	for _, x := range h.marked {
		cell, n := g.at(row, x), 0
		for y := h.row + 1; y < row; y++ {
			if above := g.at(y, x); above != "" && !no(above) {
				n++
			}
		}
		switch said, err := strconv.Atoi(cell); {
		case cell != "" && err != nil:
			return false
		case said != n:
			wrong++
		case n > 1:
			right++
		}
	}
	return right > 0 && right >= wrong
}

// turned reads a matrix with a photograph a row and people in the columns.
func (r *reader) turned(g *Grid, h head) {
	people := make(map[int]int)
	for _, x := range h.marked {
		name := line(g.at(h.row, x))
		said := ""
		if bare := line(brackets.ReplaceAllString(name, "")); bare != "" {
			said = strings.Trim(strings.Join(brackets.FindAllString(name, -1), "; "), " ()（）[]")
			name = bare
		}
		if nobody(name) {
			r.reportRow(g, h.row, x, event.Error, place.CodeNotUsed, wording.Say("file.nameIsNoName", wording.Curly(short(name))))
			continue
		}
		if i, ok := r.FindAt(name, names.Part, nil).One(); ok {
			people[x] = i
			continue
		}
		people[x] = r.person(g, h, h.row, name, said, func(string) string { return "" })
		r.byPerson[g] = append(r.byPerson[g], person{row: h.row, index: people[x]})
	}
	r.findCouple(r.byPerson[g])
	var rows []photographs.Row
	at := make(map[int]int)
	for row := h.row + 1; row < len(g.Rows); row++ {
		if isRuler(g, h, row) {
			r.use(g, row, place.Ruler)
			continue
		}
		if isHeading(g, h, row) && g.at(row, h.columns["title"]) == "" {
			r.use(g, row, place.Used)
			continue
		}
		made, _ := r.grouping(g, h, row)
		for _, x := range h.marked {
			if i, ok := people[x]; ok && r.marked(g, row, x, r.Event.People[i].Name, made.Title) {
				made.Members = append(made.Members, r.ID(i))
			}
		}
		switch {
		case made.Title == "" && len(made.Members) == 0:
			r.use(g, row, place.Ruler)
		case len(made.Members) == 0 && filled(g.Rows[row]) == 1:
			r.use(g, row, place.Used) // a heading
		case len(made.Members) == 0:
			r.reportRow(g, row, h.columns["title"], event.Error, place.CodeNobody, wording.Say("list.whoIsInWriteNamesOr", wording.Curly(short(made.Title))))
		default:
			note := line(h.get(g, row)("privateNote"))
			x := photographs.Row{Line: g.Lines[row], Title: made.Title, Members: strings.Join(made.Members, ";"), Note: note, NoteColumn: h.columns["privateNote"] + 1, Grouping: made}
			x.Grouping.PrivateNote = without(made.PrivateNote, h.get(g, row)("privateNote"))
			at[g.Lines[row]], rows = row, append(rows, x)
		}
	}
	r.readRows(g, rows, at)
}

// unheaded takes a table without a header that is understood for a matrix when all its cells right of the first
// column and below the first row are marks.
func (g *Grid) unheaded(h *head, kind Kind) {
	top := -1
	for y := range min(maxHeader, len(g.Rows)-1) {
		if n := filled(g.Rows[y]); n > 1 || n == 1 && g.at(y, 0) == "" {
			top = y
			break
		}
	}
	if top < 0 {
		return
	}
	first := 1
	marks, other, ticks := 0, 0, 0
	for x := first; x < len(g.Rows[top]); x++ {
		m, o := g.marksIn(top, x)
		marks, other, ticks = marks+m, other+o, ticks+g.ticks(top, x)
	}
	if marks < 3 && kind != Matrix || marks == 0 || other*10 > marks || 2*ticks < marks {
		return
	}
	h.kind, h.row, h.columns = Matrix, top, map[string]int{"name": 0}
	for x := first; x < len(g.Rows[top]); x++ {
		if title := g.at(top, x); names.Plain(title) != "" && !says("total", title) {
			h.marked = append(h.marked, x)
		}
	}
	var across, down int
	for _, x := range h.marked {
		across += nameLike(g.at(top, x))
	}
	rows := 0
	for y := top + 1; y < len(g.Rows); y++ {
		if g.at(y, 0) != "" && !isTotal(g.Rows[y]) {
			rows++
			down += nameLike(g.at(y, 0))
		}
	}
	if h.turned = across*rows > down*len(h.marked) && 2*across > len(h.marked); h.turned {
		h.columns = map[string]int{"title": 0}
	}
}

// nameLike is 1 for words that look like the name of one person, 0 for those of a photograph.
func nameLike(s string) int {
	ws := names.Words(s)
	if len(ws) == 0 || len(ws) > 4 || strings.ContainsAny(s, "+&/0123456789:'’") || says("all", s) {
		return 0
	}
	for _, w := range ws {
		if says("section", w) || headerWords[Groupings][w] == "title" || says("couple", w) {
			return 0
		}
	}
	return 1
}
