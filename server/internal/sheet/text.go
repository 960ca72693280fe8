package sheet

import (
	"kinorder.example/server/internal/wording"
	"strings"
)

// text draws a call sheet for a terminal or a plain printer: no colours and no escape sequences, no
// line wider than asked for. Text from the event that is read in the other direction than the sheet
// is wrapped in the isolates U+2068 and U+2069, which take no room; a terminal that does not know
// them may show a box.
func (b *builder) text(kind Kind, columns int) []byte {
	if columns == 0 {
		columns = DefaultWidth
	}
	w := &writer{cat: b.cat, width: min(max(columns, MinWidth), MaxWidth)}
	v := b.view()
	w.head(v)
	if kind != Planner {
		w.pocket(b.pocket(v))
		w.line()
		for _, s := range b.cautions(kind) {
			w.paragraph(s)
		}
	}
	if kind == Call {
		w.line()
		for i := range v.Blocks {
			w.block(&v.Blocks[i])
		}
		w.leftOut(v.LeftOut)
	}
	if kind != Pocket {
		w.planner(v)
	}
	w.line()
	w.paragraph(b.mark())
	return []byte(w.out.String())
}

// rule draws a line across.
func (w *writer) rule(mark string) { w.line(strings.Repeat(mark, w.width)) }

// paragraph writes a sentence.
func (w *writer) paragraph(s string) {
	for _, l := range w.fold(words(s), w.width) {
		w.line(l)
	}
}

// own writes text from the event.
func (w *writer) own(s string) {
	for _, l := range w.fold([]atom{{text: s, own: true}}, w.width) {
		w.line(l)
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
	w.paragraph(w.cat.Facts(facts...))
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
		w.paragraph(w.cat.NoClock())
	}
	if len(b.Releases) > 0 {
		w.line()
		w.paragraph(w.cat.Say("sheet.releases"))
		widest := 0
		for _, r := range b.Releases {
			widest = max(widest, width(r.When))
		}
		for _, r := range b.Releases {
			head := "  " + padded(r.When, widest+2)
			w.hanging(head, w.fold(w.names(r.Names), w.width-width(head)))
		}
	}
	w.line()
	if len(b.Entries) == 0 {
		w.paragraph(w.cat.Say("sheet.noEntries"))
	}
	digits := 1
	if n := len(b.Entries); n > 0 {
		digits = width(w.cat.Number(b.Entries[n-1].Number))
	}
	clock := 0
	for i := range b.Entries {
		clock = max(clock, width(b.Entries[i].Start))
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
	label := w.cat.Say("sheet.labelled", w.cat.Say(k), "")
	w.hanging(label, w.fold([]atom{{text: s, own: true}}, w.width-width(label)))
}

// entry writes one grouping: a line to find it by, the names to read out, each on a line of its own
// or in columns, and below them, smaller in that they share lines, everybody else.
func (w *writer) entry(e *entryView, digits, clock int) {
	w.rule("-")
	if e.Wait != "" {
		w.paragraph(e.Wait)
		w.line()
	}
	number := w.cat.Number(e.Number)
	head := "[ ] " + strings.Repeat(" ", max(digits-width(number), 0)) + number + "  " + padded(e.Start, clock) + "  "
	w.hanging(head, w.fold(w.titled(e), w.width-width(head)))
	facts := strings.Repeat(" ", width(head))
	w.hanging(facts, w.fold(w.factAtoms(e), w.width-width(facts)))
	if e.Lens != "" {
		w.hanging(facts, w.fold(words(e.Lens), w.width-width(facts)))
	}
	w.line()
	w.calls(e)
	if e.Others() {
		w.line()
	}
	w.returning("sheet.walkOut", e.Out)
	w.people("sheet.stay", e.Stay)
	w.people("sheet.near", e.Near)
	w.people("sheet.release", e.Release)
	w.returning("sheet.again", e.Again)
	w.people("sheet.ready", e.Ready)
	w.line()
}

// titled is the title of an entry with what it is worth.
func (w *writer) titled(e *entryView) []atom {
	atoms := []atom{{text: e.Title, own: true}}
	if e.Star != "" {
		atoms = append([]atom{{text: e.Star}}, atoms...)
	}
	if e.IfTime != "" {
		atoms = append(atoms, atom{text: "(" + e.IfTime + ")"})
	}
	return atoms
}

// factAtoms are the minutes and counts of an entry, none of which is broken.
func (w *writer) factAtoms(e *entryView) []atom {
	atoms := apart(append([]string{e.Minutes}, e.Facts...), w.cat.Say("sheet.factSeparator"))
	for i := range atoms {
		atoms[i].own = false
	}
	return atoms
}

// labelColumn returns the width of the column of labels in front of an entry's people.
func (w *writer) labelColumn() int {
	widest := 0
	for _, k := range []wording.Key{"sheet.walkIn", "sheet.walkOut", "sheet.stay", "sheet.release", "sheet.again", "sheet.ready", "sheet.near"} {
		widest = max(widest, width(w.cat.Say(k)))
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
	head := padded("    "+w.cat.Say(k), w.labelColumn())
	var lines []string
	for _, o := range out {
		atoms := w.names(o.Names)
		if o.Back > 0 {
			atoms = append([]atom{{text: w.cat.Back(o.Back, o.People)}}, atoms...)
		}
		lines = append(lines, w.fold(atoms, w.width-width(head))...)
	}
	w.hanging(head, lines)
}

// leftOut writes what is not taken and why.
func (w *writer) leftOut(list []leftOutView) {
	if len(list) == 0 {
		return
	}
	w.rule("=")
	w.paragraph(w.cat.Say("sheet.leftOut"))
	for _, l := range list {
		atoms := []atom{{text: l.Title, own: true}}
		if l.Must {
			atoms = append(atoms, atom{text: "(" + w.cat.Say("sheet.must") + ")"})
		}
		if l.Reason != "" {
			atoms[len(atoms)-1].tail = w.cat.Say("sheet.colon")
			atoms = append(atoms, words(l.Reason)...)
		}
		w.hanging("  - ", w.fold(atoms, w.width-4))
	}
}

// planner writes how good the order is, and the advice. It closes the call sheet, as whoever has text is the planner.
func (w *writer) planner(v *sheetView) {
	if len(v.Totals)+len(v.Notes) == 0 {
		return
	}
	w.rule("=")
	w.paragraph(w.cat.Say("sheet.plannerSheet"))
	for _, s := range v.Totals {
		w.paragraph(s)
	}
	for _, n := range v.Notes {
		head := "  - " + w.cat.Say("sheet.labelled", n.Kind, "")
		w.hanging(head, w.fold(words(n.Text), w.width-width(head)))
	}
}
