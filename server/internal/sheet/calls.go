package sheet

import (
	"strings"

	"kinorder.example/server/internal/sheet/fold"
)

// How names to read out are set in text.
const (
	callMark      = "> "
	callGap       = 2  // columns between two columns of names
	oneColumnUpTo = 4  // that many names stand one below the other, with what is to know beside them
	narrowest     = 16 // a column of names is not made narrower
	noteColumn    = 26 // nor narrower than this when most names have something to know under them
	mostColumns   = 4
)

// calls writes the names to read out. They are the only ones of a sheet with a mark in front.
func (w *writer) calls(e *entryView) {
	label := fold.Padded("    "+strings.ToUpper(w.Cat.Say("sheet.walkIn")), w.labelColumn())
	room := w.Columns - fold.Width(label)
	if len(e.Calls) == 0 {
		w.Hanging(label, w.Fold(fold.Words(w.Cat.Say("sheet.nobodyNew")), room))
		return
	}
	if len(e.Groups) > 0 {
		var lines []string
		for i := range e.Groups {
			lines = append(lines, w.group(&e.Groups[i], room)...)
		}
		w.Hanging(label, lines)
		return
	}
	count, column := w.callColumns(e.Calls, room)
	if count == 1 {
		widest := 0
		for i := range e.Calls {
			widest = max(widest, fold.Width(e.Calls[i].Name))
		}
		var lines []string
		for i := range e.Calls {
			lines = append(lines, w.callBeside(&e.Calls[i], widest, room)...)
		}
		w.Hanging(label, lines)
		w.leaders(e, fold.Width(label))
		return
	}
	cells := make([][]string, len(e.Calls))
	for i := range e.Calls {
		cells[i] = w.callBelow(&e.Calls[i], column)
	}
	w.Hanging(label, fold.Beside(cells, count, column, callGap))
	w.leaders(e, fold.Width(label))
}

// group writes a group of a call of many: its title, whoever gathers it, and then the names, which may be read out in
// its place.
func (w *writer) group(g *callGroup, room int) []string {
	colon, separator := w.Cat.Say("sheet.colon"), w.Cat.Say("sheet.listSeparator")
	var head, names []fold.Atom
	if g.Title != "" {
		head = append(head, fold.Atom{Text: g.Title, Own: true})
	}
	if g.Leader != "" {
		if g.Title != "" {
			head = append(head, fold.Atom{Text: "·"})
		}
		head = append(head, fold.Atom{Text: w.Cat.Say("sheet.leader"), Tail: colon}, fold.Atom{Text: g.Leader, Own: true})
	}
	for i := range g.Calls {
		names = append(names, fold.Atom{Text: g.Calls[i].Name, Own: true})
		if beside := g.Calls[i].beside(); len(beside) > 0 {
			names = append(names, fold.Atom{Text: "(" + w.Isolated(strings.Join(beside, separator)) + ")"})
		}
		if i < len(g.Calls)-1 {
			last := &names[len(names)-1]
			last.Tail = strings.TrimRight(separator, " ")
			last.Tight = last.Tail == separator
		}
	}
	var lines []string
	mark, indent := callMark, strings.Repeat(" ", len(callMark))
	for _, atoms := range [][]fold.Atom{head, names} {
		for _, l := range w.Fold(atoms, room-len(callMark)) {
			lines = append(lines, mark+l)
			mark = indent
		}
	}
	return lines
}

// leaders writes who gathers the others of a call, under the names.
func (w *writer) leaders(e *entryView, indent int) {
	if len(e.Leaders) > 0 {
		atoms := append([]fold.Atom{{Text: gathering(w.Cat, len(e.Leaders)), Tail: w.Cat.Say("sheet.colon")}}, w.Names(e.Leaders)...)
		w.Hanging(strings.Repeat(" ", indent), w.Fold(atoms, w.Columns-indent))
	}
}

// callColumns chooses how many columns of names to set in a room, and how wide. The widest name
// decides, but one that would take more than half the room is wrapped instead.
func (w *writer) callColumns(calls []callView, room int) (count, column int) {
	if len(calls) <= oneColumnUpTo {
		return 1, room
	}
	widest := narrowest
	for i := range calls {
		widest = max(widest, len(callMark)+fold.Width(calls[i].Name))
	}
	noted := 0
	for i := range calls {
		if len(calls[i].beside()) > 0 {
			noted++
		}
	}
	if 2*noted > len(calls) {
		widest = max(widest, noteColumn)
	}
	widest = max(min(widest, (room-callGap)/2), narrowest)
	count = min(max((room+callGap)/(widest+callGap), 1), mostColumns)
	return count, (room+callGap)/count - callGap
}

// beside returns what is to know about a name.
func (c *callView) beside() []string {
	if c.Say == "" {
		return c.Notes
	}
	return append([]string{c.Say}, c.Notes...)
}

// callBelow sets a name with what is to know under it.
func (w *writer) callBelow(c *callView, room int) []string {
	indent := strings.Repeat(" ", len(callMark))
	var lines []string
	for i, l := range w.Fold([]fold.Atom{{Text: c.Name, Own: true}}, room-len(callMark)) {
		if i == 0 {
			lines = append(lines, callMark+l)
		} else {
			lines = append(lines, indent+l)
		}
	}
	for _, l := range w.Fold(w.Names(c.beside()), room-2*len(callMark)) {
		lines = append(lines, indent+indent+l)
	}
	return lines
}

// callBeside sets a name with what is to know on the same line, if that has room.
func (w *writer) callBeside(c *callView, widest, room int) []string {
	notes := w.Fold(w.Names(c.beside()), room)
	head := callMark + fold.Padded(w.Isolated(c.Name), widest) + "   "
	if len(notes) == 1 && fold.Width(head)+fold.Width(notes[0]) <= room {
		return []string{head + notes[0]}
	}
	return w.callBelow(c, room)
}
