package table

import (
	"cmp"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/photographs"
	"kinorder.example/server/internal/intake/roster"
	"kinorder.example/server/internal/wording"
)

// groupings reads a table with a photograph a row. Who is in it is read as the lines of a list are, all rows of the
// table together, below the headings that stand between them.
func (r *reader) groupings(g *Grid, h head) {
	var rows []photographs.Row
	at := make(map[int]int) // rows by line
	section := ""
	below := len(g.Rows) // where text begins, behind an empty row
	for row := below - 1; row > h.row && filled(g.Rows[row]) < 2; row-- {
		if empty(g.Rows[row]) {
			below = row
		}
	}
	for row := h.row + 1; row < len(g.Rows); row++ {
		at[g.Lines[row]] = row
		if s := line(h.get(g, row)("section")); s != "" && s != section {
			rows, section = append(rows, photographs.Row{Kind: photographs.HeadingRow, Line: g.Lines[row], Title: s}), s
		}
		if x, ok := r.photoRow(g, h, row, row > below); ok {
			rows = append(rows, x)
		}
	}
	r.readRows(g, rows, at)
}

// photoRow reads one row: a photograph, a heading or, below the table, text. It reports whether the row is one of these.
func (r *reader) photoRow(g *Grid, h head, row int, below bool) (photographs.Row, bool) {
	get := h.get(g, row)
	x := photographs.Row{Line: g.Lines[row], Title: written(get("id"), get("title")), Members: get("members"), Without: get("without"),
		Note: line(get("privateNote")), Column: h.columns["members"] + 1, NoteColumn: h.columns["privateNote"] + 1, Label: get("number")}
	for _, column := range h.more {
		if cell := g.at(row, column); cell != "" {
			x.Members = strings.TrimPrefix(x.Members+", "+cell, ", ")
		}
	}
	text := below && x.Members == ""
	switch {
	case isRuler(g, h, row):
		r.use(g, row, place.Ruler)
		return x, false
	case text || isHeading(g, h, row):
		kind := photographs.HeadingRow
		if text {
			kind = photographs.TextRow
		}
		r.use(g, row, place.Used)
		only := g.Rows[row][slices.IndexFunc(g.Rows[row], func(c string) bool { return c != "" })]
		return photographs.Row{Kind: kind, Line: g.Lines[row], Title: line(only)}, true
	case slices.ContainsFunc(g.Rows[row], func(c string) bool { return says("cut", c) }) && get("id") == "":
		r.reportRow(g, row, -1, event.Warning, place.CodeNotUsed, wording.Say("list.notUsed", place.Quoted(shownOf(g.Rows[row]))))
		return x, false
	case x.Title == "" && x.Members == "" && get("eachOf") == "":
		r.reportRow(g, row, -1, event.Warning, place.CodeNotUsed, wording.Say("list.readsLikeARemarkAndNot"))
		return x, false
	}
	r.use(g, row, place.Used)
	if says("maybe", x.Members) && !slices.ContainsFunc(parts(x.Members), r.isKnown) {
		x.Members = "?" // who they are is asked
	}
	if !h.has("members") {
		x.Column = h.columns["title"] + 1
	}
	if x.Couple = line(get("couple")); says("both", x.Couple) || yes(x.Couple) {
		x.Couple = "couple"
	} else if says("her", x.Couple) {
		x.Couple = "bride"
	} else if says("him", x.Couple) {
		x.Couple = "groom"
	} else if no(x.Couple) {
		x.Couple = ""
	}
	x.Grouping, x.Count = r.grouping(g, h, row)
	if x.Grouping.ID != "" {
		x.Note = "" // written by kinorder: nothing has to be found out
	} else {
		x.Grouping.PrivateNote = without(x.Grouping.PrivateNote, get("privateNote"))
	}
	return x, true
}

// isKnown reports whether a text is an id or name as it stands, such as that of a guest who is written as "TBC".
func (r *reader) isKnown(text string) bool { _, ok := r.Known(text); return ok }

// readRows makes photographs of rows, with what is said before them; at gives the rows by their lines.
func (r *reader) readRows(g *Grid, rows []photographs.Row, at map[int]int) {
	rows, r.said = append(r.said, rows...), nil
	got := r.cells.ReadRows(rows, r.Event, r.today)
	for _, p := range got.Problems {
		if row, ok := at[p.Line]; ok && row >= 0 {
			p.Advice = g.problem(row, p.Column-1, p.Severity, p.Code, p.Message).Advice
		}
		r.add(p)
	}
	for _, l := range got.Lines {
		if row, ok := at[l.Number]; ok && row >= 0 {
			r.use(g, row, l.Use, l.Fields...)
		}
	}
	r.Roster = roster.New(got.Event, r.Effort)
}

// grouping reads everything of a row but who is in it, and how many people it says there are.
func (r *reader) grouping(g *Grid, h head, row int) (event.Grouping, int) {
	get := h.get(g, row)
	x := event.Grouping{
		ID: get("id"), Title: written(get("id"), get("title")), After: parts(get("after")), Confirms: parts(get("confirms")),
		NotBefore: get("notBefore"), NotAfter: get("notAfter"),
	}
	x.Frames = r.number(g, row, h.columns["frames"], get("frames"), "check.numberOfFrames")
	x.Guests = r.number(g, row, h.columns["guests"], get("guests"), "check.numberOfGuests")
	if v, err := strconv.ParseFloat(get("worth"), 64); err == nil {
		x.Worth = &v
	}
	for _, field := range []string{"privateNote", "minutes", "start", "priority", "pin", "blocks"} {
		if cell := get(field); cell != "" {
			r.set(g, row, h.columns[field], field, cell, &x)
		}
	}
	if each := get("eachOf"); each != "" {
		id, ok := r.CircleNamed(each)
		if !ok {
			r.reportRow(g, row, h.columns["eachOf"], event.Error, place.CodeNotKnown, wording.Say("file.noCircle", wording.Curly(short(each))))
			id = each
		}
		x.EachOf = id
	}
	count, _ := strconv.Atoi(strings.Trim(get("count"), "~ 人"))
	return x, count
}

var (
	// clockForm is a time of day, and minutesForm how long something takes: "5", "2-3 min", "~4'".
	clockForm   = regexp.MustCompile(`(?i)^(\d{1,2})(?:[:.h](\d{2})|h)?\s*(am|pm|uhr|h)?(?:\s*[-–].*)?$`)
	minutesForm = regexp.MustCompile(`(?i)^[~≈c.a ]*(?:\d+(?:[.,]\d+)?\s*[-–]\s*)?(\d+(?:[.,]\d+)?)\s*(?:m|min|mins|minutes?|minutos?|minuten|'|’|分钟|分|دقيقة|دقائق|phút)?\.?$`)
)

// set reads one thing that a cell says of a photograph.
func (r *reader) set(g *Grid, row, column int, field, cell string, x *event.Grouping) {
	switch field {
	case "privateNote":
		x.PrivateNote = joined(x.PrivateNote, cell)
	case "minutes":
		m := minutesForm.FindStringSubmatch(cell)
		if m == nil {
			r.reportRow(g, row, column, event.Warning, event.CodeUnknownValue, wording.Say("file.minutesAreNoNumber", wording.Curly(short(cell))))
			return
		}
		if v, err := strconv.ParseFloat(strings.Replace(m[1], ",", ".", 1), 64); err == nil && v > 0 {
			x.Minutes = &v
		}
	case "start":
		switch at := clock(cell); {
		case at != "" && strings.ContainsAny(cell, ":.hHmMr"):
			x.NotBefore = at
		case minutesForm.MatchString(cell):
			r.set(g, row, column, "minutes", cell, x)
		default:
			r.note(g, row, column, cell, x)
		}
	case "priority":
		var ok bool
		if x.Priority, ok = priority(g.spelled(column, cell)); !ok {
			r.reportRow(g, row, column, event.Warning, event.CodeUnknownValue, wording.Say("file.priorityIsNotKnown", wording.Curly(short(cell))))
		}
	case "pin":
		r.pin(g, row, column, cell, x)
	case "blocks":
		for _, b := range parts(cell) {
			if i := slices.IndexFunc(r.Event.Blocks, func(k event.Block) bool { return k.ID == b || strings.EqualFold(k.Title, b) }); i >= 0 {
				x.Blocks = append(x.Blocks, r.Event.Blocks[i].ID)
			} else if at := clock(b); at != "" && strings.ContainsAny(b, ":.hHmM") {
				x.NotBefore = at
			} else {
				r.note(g, row, column, b, x)
			}
		}
	}
}

// note keeps what a cell says that has no place in an event.
func (r *reader) note(g *Grid, row, column int, cell string, x *event.Grouping) {
	x.PrivateNote = joined(x.PrivateNote, cell)
	r.reportRow(g, row, column, event.Info, place.CodeKeptAsNote, wording.Say("list.keptAsNotes", wording.Curly(short(cell))))
}

func (r *reader) pin(g *Grid, row, column int, cell string, x *event.Grouping) {
	switch strings.ToLower(strings.TrimSpace(cell)) {
	case "first", "start", "opening":
		x.Pin = event.PinFirst
	case "last", "end", "closing":
		x.Pin = event.PinLast
	default:
		if _, err := strconv.Atoi(cell); err != nil {
			r.reportRow(g, row, column, event.Error, event.CodeUnknownValue, wording.Say("file.noPlaceInTheOrder", wording.Curly(short(cell))))
		}
	}
}

// clock writes a time of day as HH:MM; a range has its beginning.
func clock(cell string) string {
	m := clockForm.FindStringSubmatch(strings.TrimSpace(cell))
	if m == nil {
		return ""
	}
	h, _ := strconv.Atoi(m[1])
	minute, _ := strconv.Atoi(cmp.Or(m[2], "0"))
	switch strings.ToLower(m[3]) {
	case "pm":
		h = h%12 + 12
	case "am":
		h %= 12
	}
	if h > 23 || minute > 59 {
		return ""
	}
	return strconv.Itoa(100 + h)[1:] + ":" + strconv.Itoa(100 + minute)[1:]
}

// spelled is a priority in full that a column of letters has beside "M" for must: "M", "S" and "N".
func (g *Grid) spelled(column int, cell string) string {
	full, ok := map[string]string{"m": "must", "s": "should", "w": "should"}[strings.ToLower(cell)]
	if !ok {
		return cell
	}
	in := func(letter string) bool {
		return slices.ContainsFunc(g.Rows, func(row []string) bool { return column < len(row) && strings.EqualFold(row[column], letter) })
	}
	if in("h") || in("l") || !in("m") { // "H", "M" and "L"
		return cell
	}
	return full
}

// priority understands the words of lists, and A to C or 1 to 3.
func priority(s string) (event.Priority, bool) {
	for _, p := range []struct {
		meaning string
		is      event.Priority
	}{{"must", event.Must}, {"should", event.Should}, {"nice", event.Nice}} {
		if says(p.meaning, s) {
			return p.is, true
		}
	}
	first, rest, _ := strings.Cut(strings.NewReplacer("-", " ", "–", " ", "(", " ", ":", " ").Replace(s), " ")
	if strings.TrimSpace(rest) != "" && first != s {
		return priority(first)
	}
	return event.Should, false
}

// without is a private note without what a cell for notes says, which is read for itself.
func without(note, cell string) string {
	return strings.TrimPrefix(strings.TrimPrefix(note, cell), "; ")
}
