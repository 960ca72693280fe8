package diagram

import (
	"math"
	"slices"
	"strconv"
	"unicode/utf8"

	"kinorder.example/server/internal/event"
)

// Bounds of what is drawn. A plan may come from outside and be anything.
const (
	mostRows   = 10
	mostPeople = 200
	farthestCM = 10_000
	widestCM   = 200
	shortestCM = 40
	tallestCM  = 400
)

// layout is a standing plan within bounds, its people by number.
type layout struct {
	ids     []string
	places  []place
	rows    []row // from front to back, none empty
	widthCM int
}

// place is where somebody is. Whoever is held by nobody of the row stands alone.
type place struct {
	event.StandingPlace
	holder int // -1 when nobody holds them
}

// row is a row and who is in it by number, held infants apart.
type row struct {
	event.StandingRow
	people []int
}

func layoutOf(s event.Standing) *layout {
	l := &layout{}
	for _, in := range s.Rows[:min(len(s.Rows), mostRows)] {
		l.add(in)
	}
	return l
}

// add brings a row within bounds.
func (l *layout) add(in event.StandingRow) {
	out := row{StandingRow: in}
	if in.Kind < event.GroundRow || in.Kind > event.SecondStepRow {
		out.Kind = event.PlainRow
	}
	out.AsideCM, out.WidthCM, out.BaseCM = between(in.AsideCM, -widestCM, widestCM), between(in.WidthCM, 0, farthestCM), between(in.BaseCM, 0, tallestCM)
	holders := map[string]int{}
	for _, p := range in.Places {
		if len(l.ids) == mostPeople {
			break
		}
		q := len(l.ids)
		l.ids = append(l.ids, p.Person)
		at := place{p, -1}
		at.XCM, at.HeadCM, at.WidthCM = between(p.XCM, -farthestCM, farthestCM), between(p.HeadCM, shortestCM, tallestCM), between(p.WidthCM, 0, widestCM)
		holder, held := holders[p.HeldBy]
		switch {
		case held && p.HeldBy != "" && p.Posture == event.Held:
			at.holder = holder
		case p.Posture < event.Upright || p.Posture >= event.Held:
			at.Posture = event.Upright
		}
		if at.holder < 0 {
			holders[p.Person] = q
			out.people = append(out.people, q)
			l.widthCM = max(l.widthCM, 2*at.XCM+at.WidthCM, at.WidthCM-2*at.XCM)
		}
		l.places = append(l.places, at)
	}
	if len(out.people) > 0 {
		l.rows = append(l.rows, out)
	}
}

func between(v, low, high int) int { return min(max(v, low), high) }

// shrink makes figures of many rows smaller, so that the picture is not taller than mostHeight.
func (l *layout) shrink(c canvas) {
	for range 20 {
		if l.draw(c).height <= mostHeight {
			return
		}
		l.widthCM += l.widthCM/10 + 1
	}
}

// drawing is a plan on a canvas, the back row on top as the camera sees it, in the units of the canvas, x to
// the right and y down.
type drawing struct {
	width, height float64
	middle        float64 // x of the middle of the picture
	bands         []band  // the rows from the back (top) to the front
	// figures are the people in the order of the bands, from left to right; held infants follow their holders.
	figures []figure
}

// band is the stretch of a row: base is the ground or step its people are on.
type band struct {
	row                    int
	left, right, top, base float64
	steps                  int     // under base
	captionY               float64 // baseline for words about the row
}

// figure is one person.
type figure struct {
	person, row int
	posture     event.Posture
	// x and y are the middle of the head, r its radius, shoulders half the width of the body below it,
	// base where feet, chair or knees are.
	x, y, r, shoulders, base float64
	// labelX is the middle of the space for a name, labelY its top. Held infants share that of their holder.
	labelX, labelY, labelWidth float64
	above                      float64 // what is free above the head
	heldBy                     int     // a person, or -1
}

// numberSize is the size of type at which numbers of neighbours stand clear of each other, at most numberFont.
func (d drawing) numberSize() float64 {
	size := numberFont
	digits := func(k int) float64 { return float64(len(strconv.Itoa(k + 1))) } // see numbers
	for k, f := range d.figures[1:] {
		if before := d.figures[k]; before.row == f.row && f.heldBy < 0 && before.heldBy < 0 {
			size = min(size, (f.x-before.x)/(0.29*(digits(k)+digits(k+1))+0.06)) // digits are 0.57 wide
		}
	}
	return max(size, 1)
}

// covers reports whether a number of that size is wider than its head.
func (d drawing) covers(numbers []int, size float64) bool {
	return slices.ContainsFunc(d.figures, func(f figure) bool {
		return 0.58*size*float64(len(strconv.Itoa(numbers[f.person]))) > 2*f.r && f.heldBy < 0
	})
}

// holds reports whether a number fits into the head, clear of its outline.
func (f figure) holds(number string, size float64) bool {
	return math.Hypot(0.29*size*float64(utf8.RuneCountInString(number)), 0.3*size) <= f.r-0.6
}

// canvas is what is drawn on: label is the height for names below each row, caption that for words above
// it, step the thickness of a step.
type canvas struct{ width, label, caption, step float64 }

// Proportions of the drawing: heads are drawn large, so that they can hold a number.
const (
	largestScale = 1.5  // units per centimetre, so that two people do not fill the page
	grownWidthCM = 50   // the room of a standing grown-up
	headShare    = 0.25 // radius of a head by that room
	largestHead  = 7.6  // holds a number of two digits
	grownCM      = 175
	grownHeads   = 5.2  // height of somebody of grownCM, in radii
	leastHeads   = 3.2  // nobody is drawn smaller
	gapHeads     = 0.45 // above the tallest head
	edge         = 4.0
	heldShare    = 0.7
)

// plain reports whether all stand in one row on the ground, which the picture says without words.
func (l *layout) plain() bool {
	return len(l.rows) == 1 && l.rows[0].Kind <= event.PlainRow && !slices.ContainsFunc(l.places, func(at place) bool {
		return at.Posture != event.Upright && at.Posture != event.Held
	}) && !slices.Contains(l.ids, "")
}

// draw lays the plan out on a canvas.
func (l *layout) draw(c canvas) drawing {
	scale := min(largestScale, (c.width-2*edge)/float64(max(1, l.widthCM)))
	d := drawing{width: c.width, middle: c.width / 2}
	radius := min(largestHead, headShare*scale*grownWidthCM)
	held := map[int][]int{}
	for q, at := range l.places {
		if at.holder >= 0 {
			held[at.holder] = append(held[at.holder], q)
		}
	}
	if l.plain() {
		c.caption = 0
	}
	y := edge
	for r := len(l.rows) - 1; r >= 0; r-- {
		row := l.rows[r]
		tall := 0.0
		height := func(q int) float64 {
			return max(leastHeads, grownHeads*float64(l.places[q].HeadCM-row.BaseCM)/grownCM) * radius
		}
		for _, q := range row.people {
			tall = max(tall, height(q))
		}
		middle := d.middle + scale*float64(row.AsideCM)
		b := band{
			row: r, steps: max(0, int(row.Kind-event.PlainRow)), captionY: y + c.caption*0.8, top: y + c.caption,
			left: middle - scale*float64(row.WidthCM)/2, right: middle + scale*float64(row.WidthCM)/2,
		}
		b.base = b.top + gapHeads*radius + tall
		below := b.base + float64(b.steps)*c.step
		for _, q := range row.people {
			at := l.places[q]
			f := figure{
				person: q, row: r, posture: at.Posture, heldBy: -1,
				x: d.middle + scale*float64(at.XCM), y: b.base - height(q) + radius, r: radius, base: b.base,
				labelY: below, labelWidth: scale * float64(at.WidthCM),
			}
			f.labelX, f.shoulders = f.x, min(0.46*f.labelWidth, 1.9*radius)
			if at.Posture == event.Upright { // children are slight, and have smaller heads
				f.r = min(radius, max(0.8*radius, 0.2*height(q)))
				f.y += f.r - radius
				f.shoulders = min(f.shoulders, 0.5*radius+0.35*(height(q)-2*f.r))
			}
			f.above = f.y - f.r - b.top
			d.figures = append(d.figures, f)
			d.figures = append(d.figures, f.holding(held[q])...)
		}
		d.bands = append(d.bands, b)
		y = below + c.label
	}
	d.height = y
	return d
}

// holding returns the infants in the arms of a figure, to its right and left.
func (f figure) holding(infants []int) []figure {
	var out []figure
	for k, q := range infants {
		g := f
		g.person, g.posture, g.heldBy = q, event.Held, f.person
		g.r = heldShare * f.r
		g.x, g.y = f.x+0.6*f.shoulders, f.y+2*f.r
		if k%2 == 1 {
			g.x = f.x - 0.6*f.shoulders
		}
		out = append(out, g)
	}
	return out
}
