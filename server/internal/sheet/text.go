package sheet

import (
	"kinorder.example/server/internal/sheet/fold"
	"kinorder.example/server/internal/wording"
	"strings"
)

// writer writes a sheet as text.
type writer struct{ *fold.Writer }

func newWriter(cat *wording.Catalogue, columns int) *writer {
	return &writer{&fold.Writer{Cat: cat, Columns: columns}}
}

// text draws a call sheet for a terminal or a plain printer: no colours and no escape sequences, no
// line wider than asked for. Text from the event that is read in the other direction than the sheet
// is wrapped in the isolates U+2068 and U+2069, which take no room; a terminal that does not know
// them may show a box.
func (b *builder) text(o Options) []byte {
	kind, columns := o.Kind, o.Width
	if columns == 0 {
		columns = DefaultWidth
	}
	w := newWriter(b.cat, min(max(columns, MinWidth), MaxWidth))
	v := b.view()
	w.head(v)
	if kind != Pocket {
		for _, s := range v.Short {
			w.paragraph(s)
			w.Line()
		}
	}
	if kind != Planner {
		w.pocket(b.pocket(v))
		w.Line()
		for _, s := range b.cautions(o) {
			w.paragraph(s)
		}
	}
	if kind == Call {
		w.Line()
		for i := range v.Blocks {
			w.block(&v.Blocks[i])
		}
		w.leftOut(v.LeftOut)
	}
	if kind != Pocket {
		w.planner(v)
	}
	w.Line()
	w.paragraph(b.mark())
	return []byte(w.String())
}

// rule draws a line across.
func (w *writer) rule(mark string) { w.Line(strings.Repeat(mark, w.Columns)) }

// paragraph writes a sentence.
func (w *writer) paragraph(s string) {
	for _, l := range w.Fold(fold.Words(s), w.Columns) {
		w.Line(l)
	}
}

// own writes text from the event.
func (w *writer) own(s string) {
	for _, l := range w.Fold([]fold.Atom{{Text: s, Own: true}}, w.Columns) {
		w.Line(l)
	}
}

// head writes what holds for the whole sheet.
func (w *writer) head(v *sheetView) {
	w.rule("=")
	w.own(v.Title)
	if v.Date != "" {
		w.paragraph(v.Date)
	}
	if v.Legend != "" {
		w.paragraph(v.Legend)
	}
	w.rule("=")
}

// block writes one block.
func (w *writer) block(b *blockView) {
	if b.Title != "" {
		w.own(b.Title)
	}
	facts := b.Facts
	if b.Hours != "" {
		facts = append([]string{b.Hours}, facts...)
	}
	if b.Date != "" {
		facts = append([]string{b.Date}, facts...)
	}
	w.paragraph(w.Cat.Facts(facts...))
	for _, s := range b.Trust {
		w.paragraph(s)
	}
	if b.Late != "" {
		w.paragraph(b.Late)
	}
	if b.Light != "" {
		w.paragraph(b.Light)
	}
	w.labelled("sheet.place", b.Place)
	w.labelled("sheet.photographer", b.Photographer)
	if b.NoClock {
		w.paragraph(w.Cat.NoClock())
	}
	if len(b.Releases) > 0 {
		w.Line()
		w.paragraph(w.Cat.Say("sheet.releases"))
		widest := 0
		for _, r := range b.Releases {
			widest = max(widest, fold.Width(r.When))
		}
		for _, r := range b.Releases {
			head := "  " + fold.Padded(r.When, widest+2)
			w.Hanging(head, w.Fold(w.Names(r.Names), w.Columns-fold.Width(head)))
		}
	}
	w.Line()
	if len(b.Entries) == 0 {
		w.paragraph(w.Cat.Say("sheet.noEntries"))
	}
	digits, clock := 1, 0
	for i := range b.Entries {
		digits = max(digits, fold.Width(w.Cat.Number(b.Entries[i].Number)))
		clock = max(clock, fold.Width(b.Entries[i].Start))
	}
	for i := range b.Entries {
		w.entry(&b.Entries[i], digits, clock)
	}
}

// labelled writes a label and a text from the event, or nothing when there is none.
func (w *writer) labelled(k wording.Key, s string) {
	if s == "" {
		return
	}
	label := w.Cat.Say("sheet.labelled", w.Cat.Say(k), "")
	w.Hanging(label, w.Fold([]fold.Atom{{Text: s, Own: true}}, w.Columns-fold.Width(label)))
}

// entry writes one grouping: a line to find it by, the names to read out, each on a line of its own
// or in columns, and below them, smaller in that they share lines, everybody else.
func (w *writer) entry(e *entryView, digits, clock int) {
	w.rule("-")
	if e.Wait != "" {
		w.paragraph(e.Wait)
		w.Line()
	}
	number := w.Cat.Number(e.Number)
	head := "[ ] " + strings.Repeat(" ", max(digits-fold.Width(number), 0)) + number + "  " + fold.Padded(e.Start, clock) + "  "
	w.Hanging(head, w.Fold(w.titled(e), w.Columns-fold.Width(head)))
	facts := strings.Repeat(" ", fold.Width(head))
	w.Hanging(facts, w.Fold(w.factAtoms(e), w.Columns-fold.Width(facts)))
	if e.Lens != "" {
		w.Hanging(facts, w.Fold(fold.Words(e.Lens), w.Columns-fold.Width(facts)))
	}
	w.Line()
	w.calls(e)
	if e.Others() {
		w.Line()
	}
	w.returning("sheet.walkOut", e.Out)
	w.people("sheet.stay", e.Stay)
	w.people("sheet.near", e.Near)
	w.people("sheet.release", e.Release)
	w.returning("sheet.again", e.Again)
	w.people("sheet.ready", e.Ready)
	w.Line()
}

// titled is the title of an entry with what it is worth.
func (w *writer) titled(e *entryView) []fold.Atom {
	atoms := []fold.Atom{{Text: e.Title, Own: true}}
	if e.Star != "" {
		atoms = append([]fold.Atom{{Text: e.Star}}, atoms...)
	}
	if e.IfTime != "" {
		atoms = append(atoms, fold.Atom{Text: "(" + e.IfTime + ")"})
	}
	return atoms
}

// factAtoms are the minutes and counts of an entry, none of which is broken.
func (w *writer) factAtoms(e *entryView) []fold.Atom {
	atoms := fold.Apart(append([]string{e.Minutes}, e.Facts...), w.Cat.Say("sheet.factSeparator"))
	for i := range atoms {
		atoms[i].Own = false
	}
	return atoms
}

// labelColumn returns the width of the column of labels in front of an entry's people.
func (w *writer) labelColumn() int {
	widest := 0
	for _, k := range []wording.Key{"sheet.walkIn", "sheet.walkOut", "sheet.stay", "sheet.release", "sheet.again", "sheet.ready", "sheet.near"} {
		widest = max(widest, fold.Width(w.Cat.Say(k)))
	}
	return 4 + widest + 2
}

// people writes names behind a label, or nothing when there are none.
func (w *writer) people(k wording.Key, names []string) {
	if len(names) > 0 {
		w.returning(k, []outView{{Names: names}})
	}
}

// returning writes people behind a label, those who come back at one time on lines of their own.
func (w *writer) returning(k wording.Key, out []outView) {
	if len(out) == 0 {
		return
	}
	head := fold.Padded("    "+w.Cat.Say(k), w.labelColumn())
	var lines []string
	for _, o := range out {
		atoms := w.Names(o.Names)
		if o.Back > 0 {
			atoms = append([]fold.Atom{{Text: w.Cat.Back(o.Back, o.People)}}, atoms...)
		}
		lines = append(lines, w.Fold(atoms, w.Columns-fold.Width(head))...)
	}
	w.Hanging(head, lines)
}

// leftOut writes what is not taken and why.
func (w *writer) leftOut(list []leftOutView) {
	if len(list) == 0 {
		return
	}
	w.rule("=")
	w.paragraph(w.Cat.Say("sheet.leftOut"))
	for _, l := range list {
		atoms := []fold.Atom{{Text: l.Title, Own: true}}
		if l.Must {
			atoms = append(atoms, fold.Atom{Text: "(" + w.Cat.Say("sheet.must") + ")"})
		}
		if l.Reason != "" {
			atoms[len(atoms)-1].Tail = w.Cat.Say("sheet.colon")
			atoms = append(atoms, fold.Words(l.Reason)...)
		}
		w.Hanging("  - ", w.Fold(atoms, w.Columns-4))
	}
}

// planner writes how good the order is, and the advice. It closes the call sheet, as whoever has text is the planner.
func (w *writer) planner(v *sheetView) {
	if len(v.Totals)+len(v.Notes) == 0 {
		return
	}
	w.rule("=")
	w.paragraph(w.Cat.Say("sheet.plannerSheet"))
	for _, s := range v.Totals {
		w.paragraph(s)
	}
	for _, n := range v.Notes {
		head := "  - " + w.Cat.Say("sheet.labelled", n.Kind, "")
		w.Hanging(head, w.Fold(fold.Words(n.Text), w.Columns-fold.Width(head)))
	}
}
