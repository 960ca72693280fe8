package sheet

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/clipperhouse/displaywidth"

	"kinorder.example/server/internal/wording"
)

// width returns how many columns of a terminal text takes: two for wide East Asian characters, none
// for combining marks. Characters of ambiguous width count as one.
func width(s string) int { return displaywidth.String(s) }

// atom is a piece of a line that is kept together when it fits: a name or a word. Tail, a comma for
// instance, is never parted from it.
type atom struct {
	text string
	tail string
	own  bool // from the event: of unknown direction
	// tight says that no space follows: the tail holds all that separates it from the next.
	tight bool
}

// writer lays out text of a given width.
type writer struct {
	cat   *wording.Catalogue
	width int
	out   strings.Builder
}

// isolated wraps text from the event where its direction is not that of the sheet. Plain terminals
// order such text by themselves and only need to be told where it ends.
func (w *writer) isolated(s string) string {
	return w.cat.Isolated(balanced(s))
}

// fold breaks atoms into lines of at most room columns. An atom that fits no line is broken at its
// spaces, and a word that fits no line between characters.
func (w *writer) fold(atoms []atom, room int) []string {
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
		need := width(a.text) + width(a.tail)
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
		tight = a.tight
		if used+need <= room {
			line, used = line+w.piece(a.text, a.own)+a.tail, used+need
			continue
		}
		pieces := breakUp(a.text, a.tail, room)
		for i, p := range pieces {
			if i == len(pieces)-1 {
				if width(p)+width(a.tail) > room {
					lines, p = append(lines, w.piece(p, a.own)), ""
				}
				line, used = w.piece(p, a.own)+a.tail, width(p)+width(a.tail)
				break
			}
			lines = append(lines, w.piece(p, a.own))
		}
	}
	flush()
	return lines
}

// piece is part of an atom, on one line.
func (w *writer) piece(s string, own bool) string {
	if own {
		return w.isolated(s)
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
		need := width(word)
		if i == len(list)-1 {
			need += width(tail)
		}
		if need <= room {
			add(word, need, " ")
			continue
		}
		glue := " "
		for _, part := range parts(word) {
			add(part, width(part), glue)
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
		if n := len(out); n > 0 && (opened || closes) && width(out[n-1]) < 6 {
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

// words makes an atom of every word of a sentence.
func words(s string) []atom {
	var out []atom
	for _, word := range strings.FieldsFunc(s, breaks) {
		out = append(out, atom{text: word})
	}
	return out
}

// names makes atoms of names that are separated by commas.
func (w *writer) names(list []string) []atom { return apart(list, w.cat.Say("sheet.listSeparator")) }

// apart makes atoms of texts with a separator between them.
func apart(list []string, whole string) []atom {
	separator := strings.TrimRight(whole, " ")
	out := make([]atom, len(list))
	for i, n := range list {
		out[i] = atom{text: n, own: true}
		if i < len(list)-1 {
			out[i].tail, out[i].tight = separator, separator == whole
		}
	}
	return out
}

// padded fills text up to a number of columns.
func padded(s string, columns int) string {
	return s + strings.Repeat(" ", max(columns-width(s), 0))
}

// line writes one line without spaces at its end.
func (w *writer) line(parts ...string) {
	w.out.WriteString(strings.TrimRight(strings.Join(parts, ""), " "))
	w.out.WriteByte('\n')
}

// hanging writes lines behind a head; the lines after the first are indented to match.
func (w *writer) hanging(head string, lines []string) {
	indent := strings.Repeat(" ", width(head))
	if len(lines) == 0 {
		w.line(head)
	}
	for i, l := range lines {
		if i == 0 {
			w.line(head, l)
		} else {
			w.line(indent, l)
		}
	}
}

// columns sets cells side by side, downwards first as lists are read, in so many columns of the
// same width.
func columns(cells [][]string, count, column, gap int) []string {
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
				line += padded(text, column+gap)
			}
			lines = append(lines, line)
		}
	}
	return lines
}
