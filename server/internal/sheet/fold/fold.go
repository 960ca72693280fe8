// Package fold breaks text into lines of so many columns: names stay whole, and text from outside is made safe to put on a
// line. It knows nothing of what a sheet says.
package fold

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/clipperhouse/displaywidth"

	"kinorder.example/server/internal/wording"
)

// Clean makes text from outside safe to put on a line: control characters, which could drive a
// terminal, and the characters that embed or override directions, which could reorder what follows,
// are taken out, and line breaks and runs of spaces become one space. Joiners, direction marks and
// first strong isolates stay: scripts and titles of mixed direction need them. Isolates are closed.
func Clean(s string) string {
	s = strings.ToValidUTF8(s, "\uFFFD")
	s = strings.Map(func(r rune) rune {
		switch {
		case breaks(r):
			return ' '
		case unicode.IsControl(r), r >= 0x202A && r <= 0x202E, r == 0x2066, r == 0x2067:
			return -1
		}
		return r
	}, s)
	return balanced(strings.Join(strings.FieldsFunc(s, func(r rune) bool { return r == ' ' }), " "))
}

// balanced closes the isolates that text opens and drops the ends of those that it does not.
func balanced(s string) string {
	if !strings.Contains(s, wording.FirstIsolate) && !strings.Contains(s, wording.PopIsolate) {
		return s
	}
	open := 0
	s = strings.Map(func(r rune) rune {
		switch string(r) {
		case wording.FirstIsolate:
			open++
		case wording.PopIsolate:
			if open == 0 {
				return -1
			}
			open--
		}
		return r
	}, s)
	return s + strings.Repeat(wording.PopIsolate, open)
}

// Width returns how many columns of a terminal text takes: two for wide East Asian characters, none
// for combining marks. Characters of ambiguous width count as one.
func Width(s string) int { return displaywidth.String(s) }

// Atom is a piece of a line that is kept together when it fits: a name or a word. Tail, a comma for
// instance, is never parted from it.
type Atom struct {
	Text string
	Tail string
	Own  bool // from the event: of unknown direction
	// Tight says that no space follows: the tail holds all that separates it from the next.
	Tight bool
}

// Writer lays out text of a given width.
type Writer struct {
	Cat     *wording.Catalogue
	Columns int
	strings.Builder
}

// Isolated wraps text from the event where its direction is not that of the sheet. Plain terminals
// order such text by themselves and only need to be told where it ends.
func (w *Writer) Isolated(s string) string {
	return w.Cat.Isolated(balanced(s))
}

// Fold breaks atoms into lines of at most room columns. An atom that fits no line is broken at its
// spaces, and a word that fits no line between characters.
func (w *Writer) Fold(atoms []Atom, room int) []string {
	room = max(room, 1)
	var lines []string
	line, used, tight := "", 0, false
	flush := func() {
		if line != "" {
			lines = append(lines, line)
		}
		line, used = "", 0
	}
	for _, a := range atoms {
		need := Width(a.Text) + Width(a.Tail)
		gap := " "
		if tight {
			gap = ""
		}
		if used > 0 && used+len(gap)+need > room {
			flush()
		}
		if used > 0 {
			line, used = line+gap, used+len(gap)
		}
		tight = a.Tight
		if used+need <= room {
			line, used = line+w.piece(a.Text, a.Own)+a.Tail, used+need
			continue
		}
		pieces := breakUp(a.Text, a.Tail, room)
		for i, p := range pieces {
			if i == len(pieces)-1 {
				if Width(p)+Width(a.Tail) > room {
					lines, p = append(lines, w.piece(p, a.Own)), ""
				}
				line, used = w.piece(p, a.Own)+a.Tail, Width(p)+Width(a.Tail)
				break
			}
			lines = append(lines, w.piece(p, a.Own))
		}
	}
	flush()
	return lines
}

// piece is part of an atom, on one line.
func (w *Writer) piece(s string, own bool) string {
	if own {
		return w.Isolated(s)
	}
	return s
}

// breakUp cuts text that is too long into pieces, the last of which has room for the tail.
func breakUp(text, tail string, room int) []string {
	var pieces []string
	piece, used := "", 0
	add := func(s string, need int, glue string) {
		if used > 0 && used+len(glue)+need > room {
			pieces = append(pieces, piece)
			piece, used = "", 0
		}
		if used > 0 {
			piece, used = piece+glue, used+len(glue)
		}
		piece, used = piece+s, used+need
	}
	list := strings.FieldsFunc(text, breaks)
	for i, word := range list {
		need := Width(word)
		if i == len(list)-1 {
			need += Width(tail)
		}
		if need <= room {
			add(word, need, " ")
			continue
		}
		glue := " "
		for _, part := range parts(word) {
			add(part, Width(part), glue)
			glue = ""
		}
	}
	return append(pieces, piece)
}

// parts cuts a word into its characters. What closes stays with the one before it, what opens with the one after:
// no line begins with a stop or ends with a bracket that
// opens, unless there are many in a row.
func parts(word string) []string {
	var out []string
	opened := false
	for g := displaywidth.StringGraphemes(word); g.Next(); {
		first, _ := utf8.DecodeRuneInString(g.Value())
		closes := unicode.In(first, unicode.Pe, unicode.Pf) || unicode.In(first, unicode.Po) && !strings.ContainsRune("&@#%*/", first)
		if n := len(out); n > 0 && (opened || closes) && Width(out[n-1]) < 6 {
			out[n-1] += g.Value()
		} else {
			out = append(out, g.Value())
		}
		opened = unicode.In(first, unicode.Ps, unicode.Pi)
	}
	return out
}

// breaks says that a line may end at a character: at white space, but not at that which keeps a number
// with its unit.
func breaks(r rune) bool { return unicode.IsSpace(r) && r != '\u00a0' && r != '\u202f' }

// Words makes an atom of every word of a sentence.
func Words(s string) []Atom {
	var out []Atom
	for _, word := range strings.FieldsFunc(s, breaks) {
		out = append(out, Atom{Text: word})
	}
	return out
}

// Names makes atoms of names that are separated by commas.
func (w *Writer) Names(list []string) []Atom { return Apart(list, w.Cat.Say("sheet.listSeparator")) }

// Apart makes atoms of texts with a separator between them.
func Apart(list []string, whole string) []Atom {
	separator := strings.TrimRight(whole, " ")
	out := make([]Atom, len(list))
	for i, n := range list {
		out[i] = Atom{Text: n, Own: true}
		if i < len(list)-1 {
			out[i].Tail, out[i].Tight = separator, separator == whole
		}
	}
	return out
}

// Padded fills text up to a number of columns.
func Padded(s string, columns int) string {
	return s + strings.Repeat(" ", max(columns-Width(s), 0))
}

// Line writes one line without spaces at its end.
func (w *Writer) Line(parts ...string) {
	w.WriteString(strings.TrimRight(strings.Join(parts, ""), " "))
	w.WriteByte('\n')
}

// Hanging writes lines behind a head; the lines after the first are indented to match.
func (w *Writer) Hanging(head string, lines []string) {
	indent := strings.Repeat(" ", Width(head))
	if len(lines) == 0 {
		w.Line(head)
	}
	for i, l := range lines {
		if i == 0 {
			w.Line(head, l)
		} else {
			w.Line(indent, l)
		}
	}
}

// Beside sets cells side by side, downwards first as lists are read, in so many columns of the
// same width.
func Beside(cells [][]string, count, column, gap int) []string {
	var lines []string
	rows := (len(cells) + count - 1) / count
	for row := range rows {
		height := 0
		for c := row; c < len(cells); c += rows {
			height = max(height, len(cells[c]))
		}
		for h := range height {
			line := ""
			for c := row; c < len(cells); c += rows {
				text := ""
				if h < len(cells[c]) {
					text = cells[c][h]
				}
				line += Padded(text, column+gap)
			}
			lines = append(lines, line)
		}
	}
	return lines
}

// Shortened is the beginning of a text that takes no more than so many columns, with dots where something is left out.
func Shortened(s string, columns int) string {
	if Width(s) <= columns || columns < 2 {
		return s
	}
	return balanced(breakUp(s, "", columns-1)[0]) + "…"
}

// Rows says how many rows of so many columns a text takes.
func Rows(s string, columns int) int { return max((Width(s)+columns-1)/max(columns, 1), 1) }

// RowsOfNames says how many rows names take, none of which is parted when it fits a row.
func RowsOfNames(names []string, columns int) int {
	rows, used := 1, 0
	for _, name := range names {
		need := Width(name) + 2
		if used > 0 && used+need > columns {
			rows, used = rows+1, 0
		}
		more := Rows(name, columns) - 1
		rows, used = rows+more, used+need-more*columns
	}
	return rows
}

// RowsOfLists says how many rows several lists of names take, each with a label of its own.
func RowsOfLists(columns int, lists ...[]string) int {
	n := 0
	for _, names := range lists {
		if len(names) > 0 {
			n += RowsOfNames(names, columns)
		}
	}
	return n
}
