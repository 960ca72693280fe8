// Package diagram draws a standing plan as an SVG picture that reads in black and white: who stands,
// sits, kneels or is on a step, with names below the figures where they fit and otherwise numbers
// and a list by row. It draws what it is given and plans nothing.
package diagram

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"kinorder.example/server/internal/event"
)

// ErrInvalid is wrapped by every error of this package.
var ErrInvalid = errors.New("invalid diagram")

// The widths of a canvas: at the width of a page, or of a half or third of one, a unit is 0.94 points; on a card of half
// a page 0.91.
const (
	PageWidth  = 560.0
	HalfWidth  = 272.0
	ThirdWidth = 176.0
)

// Measures in units of the canvas. Nothing is set in less than 9 points: captions and numbers on cards either, names and
// lists on a page.
const (
	captionFont  = 10.0
	numberFont   = 10.0
	largestFont  = 10.5
	smallestFont = 9.6
	lineHeight   = 1.15
	keyFont      = 9.6
	keyGap       = 6.0
	stepHeight   = 7.0
	// mostHeight leaves room for a title and a list of names on the page: by looking.
	mostHeight = 400.0
)

// narrowest is how far the words about a row are narrowed where they are too long.
const narrowest = 0.85

// captionWidth is how wide words about a row are.
func captionWidth(s string, font float64) float64 { return 1.05 * font * width(s) }

// captionSize is the size of words about rows. A narrower picture of numbers is blown up to the width of a card; its words
// are as large there as those of any other.
func captionSize(o Options) float64 {
	if o.NumbersOnly && o.Width < HalfWidth {
		return captionFont * o.Width / HalfWidth
	}
	return captionFont
}

// Words are the words of a picture. The zero value of a field is not replaced: start from English.
type Words struct {
	// Title names the picture for those who hear it read.
	Title string
	// OnlyRow, FrontRow and BackRow name rows.
	OnlyRow, FrontRow, BackRow string
	// MiddleRow names a row by its number from the front.
	MiddleRow func(n int) string
	// Postures say how people in a row hold still.
	Postures map[event.Posture]string
	// Separator stands between the words about a row, Colon after them.
	Separator, Colon string
	// Holding joins a holder and a held infant, in a list.
	Holding string
	// Guests counts people known by number only.
	Guests func(n int) string
	// Number writes a number.
	Number func(n int) string
	// RightToLeft lists names from the right in the list by row.
	RightToLeft bool
}

// English returns plain English words.
func English() Words {
	return Words{
		Title: "Where everybody stands, as the camera sees it", OnlyRow: "One row", FrontRow: "Front row", BackRow: "Back row",
		MiddleRow: func(n int) string { return fmt.Sprintf("Row %d", n) },
		Postures: map[event.Posture]string{
			event.Upright: "standing", event.OnGround: "on the ground", event.Kneeling: "kneeling", event.OnChair: "on a chair",
			event.InWheelchair: "in a wheelchair", event.OnStep: "on the step", event.OnSecondStep: "on the second step",
		},
		Separator: ", ", Colon: ":", Holding: "holding", Guests: func(n int) string { return fmt.Sprintf("%d other guests", n) }, Number: strconv.Itoa,
	}
}

// Options say how to draw. The zero value is a picture as wide as a page, with names.
type Options struct {
	// Width is that of the canvas, 100 to 2000; 0 means PageWidth.
	Width float64
	// NumbersOnly draws numbers and neither names nor a list: Rows says who they are.
	NumbersOnly bool
}

// SVG draws a standing plan with the names of people by id. Names are set in any script; long ones are
// wrapped and made smaller, and where that is not enough the figures are numbered from the back row on
// and listed below. What a plan cannot be is brought into bounds. The error wraps ErrInvalid when
// nobody is in it or the width is out of range.
func SVG(s event.Standing, names map[string]string, w Words, o Options) (string, error) {
	if o.Width == 0 {
		o.Width = PageWidth
	}
	plan := layoutOf(s)
	if len(plan.ids) == 0 || !(o.Width >= 100 && o.Width <= 2000) {
		return "", fmt.Errorf("%w: %d people on a canvas %g wide", ErrInvalid, len(plan.ids), o.Width)
	}
	p := picture{words: w, names: make([]string, len(plan.ids)), plan: plan, width: o.Width, caption: captionSize(o)}
	for q, id := range plan.ids {
		p.names[q] = printable(names[id])
	}
	c := canvas{width: o.Width, caption: captionSize(o) * 1.3, step: stepHeight}
	plan.shrink(c)
	var labels [][]string
	var font float64
	lines := 0
	if !o.NumbersOnly {
		labels, font, lines = fitLabels(plan.draw(c), p.names)
	}
	if labels != nil {
		c.label = float64(lines)*font*lineHeight + 4
	} else {
		c.label = 3
		c.caption = captionSize(o) * 1.2
	}
	d := plan.draw(c)
	height := d.height
	var keys []keyLine
	if labels == nil {
		if p.numbers, p.numberSize = plan.numbers(d), d.numberSize(); d.covers(p.numbers, p.numberSize) {
			p.below, c.label = true, 2.1*p.numberSize+3
			d = plan.draw(c)
			height = d.height
		}
	}
	if labels == nil && !o.NumbersOnly {
		keys = p.key(d, height)
		height += (float64(len(keys))+0.5)*keyFont*1.35 + keyGap
	}
	p.open(d, height)
	for _, b := range d.bands {
		p.band(b, len(d.bands))
	}
	for _, f := range d.figures {
		p.figure(f)
	}
	if labels != nil {
		for k, f := range d.figures {
			p.label(f, labels[k], font)
		}
	}
	for _, line := range keys {
		p.keyLine(line)
	}
	p.out.WriteString("</svg>\n")
	return p.out.String(), nil
}

// Labelled reports whether SVG with these options writes every name below its figure.
func Labelled(s event.Standing, names map[string]string, o Options) bool {
	plan := layoutOf(s)
	if o.NumbersOnly || len(plan.ids) == 0 {
		return false
	}
	clean := make([]string, len(plan.ids))
	for q, id := range plan.ids {
		clean[q] = printable(names[id])
	}
	c := canvas{width: cmp.Or(o.Width, PageWidth), caption: captionFont * 1.3, step: stepHeight}
	plan.shrink(c)
	labels, _, _ := fitLabels(plan.draw(c), clean)
	return labels != nil
}

// CardWidths lists the widths, the narrowest first, at which a plan can be drawn with numbers on a card, to which all are
// blown up: numbers have the size of other type and cover no head.
func CardWidths(s event.Standing) []float64 {
	var out []float64
	for _, width := range []float64{110, 125, 140, 160, ThirdWidth, 200, 220, 245, HalfWidth} {
		plan, font := layoutOf(s), captionSize(Options{Width: width, NumbersOnly: true})
		c := canvas{width: width, caption: font * 1.2, label: 3, step: stepHeight}
		plan.shrink(c)
		d := plan.draw(c)
		small := slices.ContainsFunc(d.figures, func(f figure) bool { return f.heldBy < 0 && f.r < 0.58*numberFont })
		if d.numberSize() == numberFont && (!small || width == HalfWidth) {
			out = append(out, width)
		}
	}
	return out
}

// Row is a row in words.
type Row struct {
	Caption string     // empty when all stand in one row
	People  []Numbered // from left to right; held infants come after their holders
}

// Numbered is a person with the number of their figure, from 1.
type Numbered struct {
	Number  int
	ID      string
	Holding bool // the person is held by the one before
}

// Rows lists people as figures are numbered: from the back row on.
func Rows(s event.Standing, w Words) []Row {
	plan := layoutOf(s)
	p := picture{words: w, plan: plan}
	d := plan.draw(canvas{width: PageWidth})
	p.numbers = plan.numbers(d)
	var out []Row
	for _, b := range d.bands {
		row := Row{}
		if !plan.plain() {
			row.Caption = p.captionOf(b, len(d.bands))
		}
		for _, f := range d.figures {
			if id := plan.ids[f.person]; f.row == b.row && id != "" {
				row.People = append(row.People, Numbered{p.numbers[f.person], id, f.heldBy >= 0})
			}
		}
		out = append(out, row)
	}
	return out
}

// Least is the least of the widths at which a plan is drawn well: with its names in a third of a page, else in half of
// one, with numbers where the names are too long; wide enough for the words about its rows.
func Least(s event.Standing, names map[string]string, w Words) float64 {
	most, words := 0, 0.0
	for _, row := range s.Rows {
		most = max(most, len(row.Places))
	}
	for _, row := range Rows(s, w) {
		words = max(words, narrowest*captionWidth(row.Caption, captionFont))
	}
	switch { // numbers of people by looking
	case most <= 4 && words <= ThirdWidth-8 && Labelled(s, names, Options{Width: ThirdWidth}):
		return ThirdWidth
	case most <= 8 && words <= HalfWidth-8:
		return HalfWidth
	default:
		return PageWidth
	}
}

// picture is an SVG under way.
type picture struct {
	out   strings.Builder
	words Words
	names []string
	plan  *layout
	width float64
	// caption is the size of words about rows.
	caption float64
	// numbers by person, nil when names stand below the figures.
	numbers    []int
	numberSize float64
	below      bool // numbers stand below the figures, as they would cover the heads
}

// numbers counts people with a name in the order of Rows; the others have 0.
func (l *layout) numbers(d drawing) []int {
	out, n := make([]int, len(d.figures)), 0
	for _, f := range d.figures {
		if l.ids[f.person] != "" {
			n++
			out[f.person] = n
		}
	}
	return out
}

// captionOf says which row a band is and how people hold still in it, from left to right.
func (p *picture) captionOf(b band, rows int) string {
	name := p.words.OnlyRow
	switch {
	case rows == 1:
	case b.row == 0:
		name = p.words.FrontRow
	case b.row == rows-1:
		name = p.words.BackRow
	default:
		name = p.words.MiddleRow(b.row + 1)
	}
	between, told := p.words.Separator, [event.Held]bool{}
	for _, q := range p.plan.rows[b.row].people {
		if posture := p.plan.places[q].Posture; !told[posture] {
			name += between + p.words.Postures[posture]
			between, told[posture] = " / ", true // with a comma somebody reads that people stand on chairs
		}
	}
	guests := 0
	for _, q := range p.plan.rows[b.row].people {
		if p.plan.ids[q] == "" {
			guests++
		}
	}
	if guests > 0 {
		name += p.words.Separator + p.words.Guests(guests)
	}
	return name
}
