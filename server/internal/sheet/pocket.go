package sheet

import (
	"strconv"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
)

// pocketView is the whole order in lines, for one page that is folded into a pocket.
type pocketView struct {
	Columns [5]string // heads: number, title, people, new, then free
	Blocks  []pocketBlock
	LeftOut []string
	Point   string // class that gives the size of type in print
}

// pocketBlock is one block. Hours are how long it takes when it has no clock.
type pocketBlock struct {
	Title, Hours, Place string
	Lines               []pocketLine
}

// pocketLine is one grouping. New is empty when nobody walks in.
type pocketLine struct {
	Number                    int
	Start, Title, People, New string
	Free                      []string
	names                     []string // all who are free
	heads                     []int    // how many people stand behind each of these names
}

// pocket puts the order into lines.
func (b *builder) pocket(v *sheetView) *pocketView {
	c := b.cat
	p := &pocketView{Columns: [5]string{
		c.Say(wording.KeyColumnNumber), c.Say(wording.KeyColumnGrouping), c.Say(wording.KeyColumnPeople), c.Say("sheet.columnNew"), c.Say("sheet.thenFree"),
	}}
	for i := range v.Blocks {
		view := &v.Blocks[i]
		block := pocketBlock{Title: view.Title, Hours: view.Hours, Place: view.Place}
		if block.Hours == "" && len(view.Entries) > 0 {
			block.Hours = view.Facts[0]
		}
		for k := range view.Entries {
			e := &view.Entries[k]
			line := pocketLine{Number: e.Number, Start: e.Start, Title: e.Title, People: b.crowd(e.Number-1, b.sheet.Blocks[i].Entries[k].Grouping), Free: e.Release, names: e.Release}
			at := event.SheetPlace{Block: i, Entry: k}
			if n := len(b.sheet.Entry(at).StepIn); n > 0 {
				line.New = c.Signed("+", c.Number(n))
			}
			for _, cluster := range b.clusters(b.released(at)) {
				line.heads = append(line.heads, cluster.people())
			}
			block.Lines = append(block.Lines, line)
		}
		p.Blocks = append(p.Blocks, block)
	}
	for _, l := range v.LeftOut {
		p.LeftOut = append(p.LeftOut, l.Title)
	}
	return p
}

// pocketOn is the list for a page as high as paper has it.
func (b *builder) pocketOn(paper Paper, v *sheetView) *pocketView {
	p := b.pocket(v)
	p.fit(paper, func(n int) string { return b.cat.Signed("+", b.cat.Number(n)) })
	return p
}

// pocketSizes are the sizes of type that the list is set in, in points: the largest at which it fits.
var pocketSizes = []float64{13, 12, 11, 10, 9}

// fit chooses the size of type: 12 points or more for up to 26 lines, 9 or more else. Where that is too large for all
// names of who is free then, some become a number, as the call sheet says them too.
func (p *pocketView) fit(paper Paper, more func(int) string) {
	lines, least := 0, 9.0
	for _, b := range p.Blocks {
		lines += len(b.Lines)
	}
	if lines <= 26 {
		least = 12
	}
	high := 735.0 // points that Letter has
	if paper == A4 {
		high = 785
	}
	for _, size := range pocketSizes {
		p.Point = "p" + strconv.Itoa(int(size))
		if p.high(size, 0, more) <= high {
			return
		}
		if size == least {
			break
		}
	}
	for _, rows := range []int{2, 1} {
		if p.high(least, rows, more) <= high {
			return
		}
	}
}

// high is the height of the list in points at a size of type, with the names of each line cut to the given rows; 0 cuts
// none.
// Widths of characters and heights of rows are by trial on paper.
func (p *pocketView) high(size float64, rows int, more func(int) string) float64 {
	room := 538 - 8*size - max(3.2*size, 38) - max(3.2*size, 47) // points for title and names
	title, free := int(room*0.57/(0.57*size)), int(room*0.43/(0.54*size))
	sum := 135.0 // title, heads, the rule of safety
	for _, b := range p.Blocks {
		sum += size * (1.15*float64(rowsOf(b.Title+" "+b.Hours+" · "+b.Place, int(538/(0.56*size)))) + 0.6)
		for i := range b.Lines {
			l := &b.Lines[i]
			if rows > 0 {
				l.shorten(free, rows, more)
			}
			sum += size * (1.15*float64(max(rowsOf(l.Title, title), rowsOfNames(l.Free, free))) + 0.33)
		}
	}
	return sum
}

// rowsOf says how many rows of so many columns a text takes.
func rowsOf(s string, columns int) int { return max((width(s)+columns-1)/max(columns, 1), 1) }

// rowsOfNames says how many rows names take, none of which is parted when it fits a row.
func rowsOfNames(names []string, columns int) int {
	rows, used := 1, 0
	for _, name := range names {
		if used > 0 && used+width(name)+2 > columns {
			rows, used = rows+1, 0
		}
		used += width(name) + 2
	}
	return rows
}

// shorten replaces names of people who are free by a number where they do not fit in the given rows.
func (l *pocketLine) shorten(columns, rows int, more func(int) string) {
	people := 0
	l.Free = l.names
	for n := len(l.names); n > 1 && rowsOfNames(l.Free, columns) > rows; n-- {
		people += l.heads[n-1]
		l.Free = append(l.names[:n-1:n-1], more(people))
	}
}

// pocketPage is the list on a page of its own.
type pocketPage struct {
	pageShell
	Pocket *pocketView
}

// pocket writes the list as text: a line for each grouping, with who is free then below it.
func (w *writer) pocket(p *pocketView) {
	digits, clock, people, fresh := 1, 0, 0, 0
	for _, b := range p.Blocks {
		for _, l := range b.Lines {
			digits, clock = max(digits, width(w.cat.Number(l.Number))), max(clock, width(l.Start))
			people, fresh = max(people, width(l.People)), max(fresh, width(l.New)+1)
		}
	}
	for _, b := range p.Blocks {
		w.line()
		atoms := []atom{{text: b.Title, own: true}}
		if b.Hours != "" {
			atoms = append(atoms, atom{text: b.Hours})
		}
		if b.Place != "" {
			atoms = append(atoms, atom{text: "·"}, atom{text: b.Place, own: true})
		}
		for _, l := range w.fold(atoms, w.width) {
			w.line(l)
		}
		for _, l := range b.Lines {
			number := w.cat.Number(l.Number)
			head := "[ ] " + strings.Repeat(" ", digits-width(number)) + number + "  " + padded(l.Start, clock) + "  "
			room := w.width - width(head) - people - fresh - 2
			lines := w.fold([]atom{{text: l.Title, own: true}}, room)
			lines[0] = padded(lines[0], room+2+people-width(l.People)) + l.People + strings.Repeat(" ", fresh-width(l.New)) + l.New
			if len(l.Free) > 0 {
				label := w.cat.Say(wording.KeyLabelled, w.cat.Say("sheet.thenFree"), "")
				for i, f := range w.fold(w.names(l.Free), w.width-width(head)-width(label)) {
					if i == 0 {
						lines = append(lines, label+f)
					} else {
						lines = append(lines, strings.Repeat(" ", width(label))+f)
					}
				}
			}
			w.hanging(head, lines)
		}
	}
	if len(p.LeftOut) > 0 {
		w.line()
		label := w.cat.Say(wording.KeyLabelled, w.cat.Say(wording.KeyLeftOut), "")
		w.hanging(label, w.fold(w.names(p.LeftOut), w.width-width(label)))
	}
}
