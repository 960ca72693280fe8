package sheet

import (
	"fmt"
	"strings"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/sheet/fill"
	"kinorder.example/server/internal/sheet/fold"
	"kinorder.example/server/internal/wording"
)

// pocketView is the whole order in lines, for one page that is folded into a pocket.
type pocketView struct {
	Columns [5]string // heads: number, title, people, how many of them are new, then free
	Blocks  []pocketBlock
	LeftOut []string
	Legend  string
	Class   string // gives the size of type and the widths of columns in print
	Named   bool   // who steps in is below each title: there is room
}

// pocketBlock is one block. Hours are how long it takes when it has no clock.
type pocketBlock struct {
	Title, Hours, Place, Late string
	Lines                     []pocketLine
}

// pocketLine is one grouping. New is empty when nobody walks in, In also when the title says who does.
type pocketLine struct {
	*entryView
	People, New string
	In          []string
}

// pocket puts the order into lines.
func (b *builder) pocket(v *sheetView) *pocketView {
	c := b.cat
	p := &pocketView{Legend: v.Legend, Columns: [5]string{
		c.Say("sheet.columnNumber"), c.Say("sheet.columnGrouping"), c.Say("sheet.columnPeople"), c.Say("sheet.walkIn"), c.Say("sheet.release"),
	}}
	for i := range v.Blocks {
		view := &v.Blocks[i]
		block := pocketBlock{Title: view.Title, Hours: view.Hours, Place: shortPlace(view.Place), Late: view.Late}
		if block.Hours == "" && len(view.Entries) > 0 {
			block.Hours = view.Facts[0]
		}
		if s := &b.sheet.Blocks[i]; s.SafeLength >= s.Length+time.Minute && len(view.Entries) > 0 {
			say := wording.Key("sheet.sure")
			if s.Start.IsZero() {
				say = "sheet.sureLength"
			}
			block.Hours += " (" + c.Say(say, b.ends(s, s.SafeLength)) + ")"
		}
		if end, _ := b.slotEnd(&b.sheet.Blocks[i]); end != "" {
			block.Hours = c.Facts(block.Hours, c.Say("sheet.slotUntil", end))
		}
		for k := range view.Entries {
			e := &view.Entries[k]
			at := event.SheetPlace{Block: i, Entry: k}
			line := pocketLine{entryView: e, People: c.Number(len(b.frames[b.place(at)].people) + b.guests[b.sheet.Entry(at).Grouping])}
			if in := b.sheet.Entry(at).StepIn; len(in) > 0 {
				line.New, line.In = c.Signed("+", c.Number(len(in))), b.steppingIn(in, e.Title)
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

// shortPlace is a place without what is said of it after a comma: whoever reads a list in the sun has been there.
func shortPlace(place string) string {
	if short, _, more := strings.Cut(place, ", "); more && fold.Width(place) > 34 {
		return short
	}
	return place
}

// steppingIn are the names of who steps in, unless the title has each of them.
func (b *builder) steppingIn(ids []string, title string) []string {
	var names []string
	said := true
	for _, c := range b.clusters(ids) {
		names = append(names, b.aloud(c))
		said = said && (c.group != nil && strings.Contains(title, c.group.title) || c.group == nil && strings.Contains(title, b.name(c.id)))
	}
	if said {
		return nil
	}
	return names
}

// pocketOn is the list for a page as high as paper has it, in the largest type at which all of it fits: nobody can be
// sent away by a number, so no name of who is free is left out.
func (b *builder) pocketOn(paper Paper, v *sheetView, cautions []string) *pocketView {
	p := b.pocket(v)
	wide, high := 555.0, 775.0 // points that Letter has
	if paper == A4 {
		wide, high = 538, 822
	}
	high -= 60 // title, heads and margins
	for _, c := range cautions {
		high -= 12 + 10.8*float64(fold.Rows(c, int(wide/5.1)))
	}
	var blocks []fill.Block
	for _, block := range p.Blocks {
		to := fill.Block{Head: block.Title + " " + block.Hours + " · " + block.Place, Late: block.Late}
		for _, l := range block.Lines {
			to.Lines = append(to.Lines, fill.Line{Title: strings.TrimSpace(l.Star + " " + l.Title + " " + l.IfTime), In: l.In, Then: l.Release})
		}
		blocks = append(blocks, to)
	}
	size, share, named := fill.List(blocks, wide, high)
	p.Class, p.Named = fmt.Sprintf("p%.0f w%d", size, share), named
	return p
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
			digits, clock = max(digits, fold.Width(w.Cat.Number(l.Number))), max(clock, fold.Width(l.Start))
			people, fresh = max(people, fold.Width(l.People)), max(fresh, fold.Width(l.New)+1)
		}
	}
	for _, b := range p.Blocks {
		w.Line()
		atoms := []fold.Atom{{Text: b.Title, Own: true}}
		if b.Hours != "" {
			atoms = append(atoms, fold.Atom{Text: b.Hours})
		}
		if b.Place != "" {
			atoms = append(atoms, fold.Atom{Text: "·"}, fold.Atom{Text: b.Place, Own: true})
		}
		for _, l := range w.Fold(atoms, w.Columns) {
			w.Line(l)
		}
		if b.Late != "" {
			w.paragraph(b.Late)
		}
		for _, l := range b.Lines {
			number := w.Cat.Number(l.Number)
			head := "[ ] " + strings.Repeat(" ", digits-fold.Width(number)) + number + "  " + fold.Padded(l.Start, clock) + "  "
			room := w.Columns - fold.Width(head) - people - fresh - 2
			lines := w.Fold(w.titled(l.entryView), room)
			lines[0] = fold.Padded(lines[0], room+2+people-fold.Width(l.People)) + l.People + strings.Repeat(" ", fresh-fold.Width(l.New)) + l.New
			if len(l.Release) > 0 {
				label := w.Cat.Say("sheet.labelled", w.Cat.Say("sheet.release"), "")
				for i, f := range w.Fold(w.Names(l.Release), w.Columns-fold.Width(head)-fold.Width(label)) {
					if i == 0 {
						lines = append(lines, label+f)
					} else {
						lines = append(lines, strings.Repeat(" ", fold.Width(label))+f)
					}
				}
			}
			w.Hanging(head, lines)
		}
	}
	if len(p.LeftOut) > 0 {
		w.Line()
		label := w.Cat.Say("sheet.labelled", w.Cat.Say("sheet.leftOut"), "")
		w.Hanging(label, w.Fold(w.Names(p.LeftOut), w.Columns-fold.Width(label)))
	}
}
