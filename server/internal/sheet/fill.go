package sheet

import (
	"html/template"
	"slices"
	"strconv"

	"kinorder.example/server/internal/sheet/fill"
	"kinorder.example/server/internal/sheet/fold"
)

// filling is the style that sets parts of a sheet larger, where that takes no page more.
func filling(parts string, pages func(factor, lower float64) float64) template.CSS {
	f := fill.Larger(pages)
	if f == 1 {
		return ""
	}
	return template.CSS("@media print { " + parts + " { zoom: " + strconv.FormatFloat(f, 'f', 2, 64) + " } }")
}

// paperRoom is what a page has between its margins, of the smaller paper where it may be either.
func paperRoom(paper Paper) (wide, high float64) {
	switch paper {
	case A4:
		return 533, 779
	case Letter:
		return 549, 729
	default:
		return 533, 729
	}
}

// typed is how large the entries of a sheet are set: the names to read out, those of groups, and everybody else.
type typed struct{ names, groups, others float64 }

var typeOf = map[Kind]typed{Call: {11.5, 9, 10.5}, Reader: {14, 12.5, 12}}

// paged says how many pages blocks take at a factor. Each begins with a head; rest is what follows the last entry.
func (t typed) paged(blocks [][]*entryView, heads []float64, first, rest float64, paper Paper, factor, lower float64) float64 {
	wide, high := paperRoom(paper)
	pages := fill.Pages{High: high / factor / lower, At: first}
	for i, entries := range blocks {
		for k, e := range entries {
			h := t.high(e, wide/factor)
			if k == 0 {
				h += heads[i]
			}
			pages.Put(h, e.Long())
		}
	}
	pages.Put(rest, false)
	return pages.Count()
}

// high is the height of an entry.
func (t typed) high(e *entryView, wide float64) float64 {
	h := 21.0 // number and title, space and rule
	if e.Wait != "" {
		h += 20
	}
	facts := e.Minutes
	for _, f := range e.Facts {
		facts += ", " + f
	}
	if float64(fold.Width(e.Star+e.Title))*7.9+float64(fold.Width(facts+e.IfTime))*4.9 > wide-110 {
		h += 10
	}
	if e.Lens != "" {
		h += 10
	}
	return h + t.called(e, wide-90) + t.beside(e, wide)
}

// called is the height of the names to read out.
func (t typed) called(e *entryView, wide float64) float64 {
	h := 0.0
	if len(e.Groups) > 0 {
		for _, g := range e.Groups {
			var names []string
			for _, c := range g.Calls {
				names = append(names, c.line()+"  ")
			}
			h += 15.5 + 1.1*t.groups*float64(fold.RowsOfNames(names, int(wide/(0.56*t.groups))))
		}
		return h
	}
	if len(e.Calls) > 1 {
		wide = (wide - 17) / 2
	}
	for i := range e.Calls {
		c := &e.Calls[i]
		row := 1.2 * t.names
		if float64(fold.Width(c.Name))*0.55*t.names+float64(fold.Width(c.line())-fold.Width(c.Name))*5.2 > wide {
			row += 12
		}
		if c.Leads {
			row += 10
		}
		h += row
	}
	if len(e.Calls) > 1 { // in two columns
		h *= float64((len(e.Calls)+1)/2) / float64(len(e.Calls))
	}
	return h
}

// line is a name with what is to know beside it.
func (c *callView) line() string {
	s := c.Name
	for _, n := range c.beside() {
		s += " " + n
	}
	return s
}

// beside is the height of what is said of everybody else.
func (t typed) beside(e *entryView, wide float64) float64 {
	columns := func(points float64) int { return int((points - 77) / (0.55 * t.others)) }
	out, again := flat(e.Out), flat(e.Again)
	one := func(room int) float64 { return float64(fold.RowsOfLists(room, out, e.Stay, e.Near)) }
	other := func(room int) float64 { return float64(fold.RowsOfLists(room, e.Release, again, e.Ready)) }
	rows := one(columns(wide)) + other(columns(wide))
	if e.Side() == "beside" {
		rows = max(one(columns(wide*6/11)), other(columns(wide*5/11)))
	}
	return 1.08 * t.others * rows
}

// setLarger sets entries larger, so far as they take no page more.
func (t typed) setLarger(parts string, blocks []blockPage, first, rest float64, paper Paper) template.CSS {
	var entries [][]*entryView
	var heads []float64
	for _, block := range blocks {
		var list []*entryView
		for _, e := range block.Entries {
			list = append(list, e.entryView)
		}
		entries, heads = append(entries, list), append(heads, t.head(block.blockView))
	}
	return filling(parts, func(f, lower float64) float64 { return t.paged(entries, heads, first, rest, paper, f, lower) })
}

// head is the height of what stands above the entries of a block.
func (t typed) head(v *blockView) float64 {
	h := 26.0
	if t == typeOf[Reader] {
		return h
	}
	facts := 0
	for _, s := range append(append([]string{v.Photographer}, v.Facts...), v.Trust...) {
		facts += fold.Width(s) + 3
	}
	h += 11.5 * float64((facts+104)/105)
	for _, s := range []string{v.Late, v.Light} {
		if s != "" {
			h += 12
		}
	}
	if n := len(v.Releases); n > 0 {
		h += 12 + 12.5*float64((n+1)/2)
	}
	return h
}

// pages says how many pages the notes for the planner take.
func (p *plannerPage) pages(paper Paper, factor, lower float64) float64 {
	wide, high := paperRoom(paper)
	rows, between := 0, 50.0
	for _, text := range slices.Concat(p.Short, p.Totals) {
		rows += fold.Rows(text, int(wide/factor/5.7))
	}
	for _, n := range p.Notes {
		rows += fold.Rows(n.Kind+n.Text, int(wide/factor/5.7))
		between += 6
	}
	return (13.7*float64(rows) + between) * factor * lower / high
}
