package standing

// Diagram is a plan as a drawing, the back row on top as the camera sees it. Units are those of the
// canvas that was asked for, x to the right and y down. It holds geometry only: whoever draws it
// brings names, words and strokes.
type Diagram struct {
	Width, Height float64
	// Middle is the x of the middle of the picture.
	Middle float64
	// Bands are the rows from the back (top) to the front.
	Bands []Band
	// Figures are the people in the order of the bands, from left to right; held infants follow
	// their holders.
	Figures []Figure
}

// Band is the stretch of a row.
type Band struct {
	// Row is the index in the plan, Kind its kind.
	Row  int
	Kind Kind
	// Left, Right, Top and Base bound the people: Base is the ground (or step) they are on.
	Left, Right, Top, Base float64
	// Steps is how many steps are under Base.
	Steps int
	// CaptionY is the baseline for words about the row.
	CaptionY float64
}

// Figure is one person.
type Figure struct {
	Person, Row int
	Posture     Posture
	// X and Y are the middle of the head, R its radius. Shoulders is half the width of the body
	// below it.
	X, Y, R, Shoulders float64
	// Base is where feet, chair or knees are.
	Base float64
	// LabelX is the middle of the space for a name, LabelY its top, LabelWidth its width; the
	// height is that of Canvas.Label. Held infants share the space of their holder.
	LabelX, LabelY, LabelWidth float64
	// HeldBy is the person who holds this one, or -1.
	HeldBy int
}

// Canvas is what a diagram is drawn on, in units of one's own.
type Canvas struct {
	// Width is the width of the canvas, Label the height for names below each row, Caption that
	// for words above it. Step is the thickness in which a step is drawn.
	Width, Label, Caption, Step float64
}

// Proportions of the drawing: heads are drawn large, so that they can hold a number.
const (
	largestScale = 1.5  // units per centimetre, so that two people do not fill the page
	headShare    = 0.25 // radius of a head by the room of a standing grown-up
	largestHead  = 13.0
	grownCM      = 175
	grownHeads   = 6.2 // height of somebody of grownCM, in radii
	leastHeads   = 3.2 // nobody is drawn smaller
	gapHeads     = 0.6 // above the tallest head
	edge         = 6.0
	heldShare    = 0.7
)

// Diagram lays a plan out on a canvas.
func (p Plan) Diagram(c Canvas) Diagram {
	scale := min(largestScale, (c.Width-2*edge)/float64(max(1, p.WidthCM)))
	d := Diagram{Width: c.Width, Middle: c.Width / 2}
	radius := min(largestHead, headShare*scale*standingWidth)
	held := map[int][]int{}
	for q, at := range p.Places {
		if at.HeldBy >= 0 {
			held[at.HeldBy] = append(held[at.HeldBy], q)
		}
	}
	y := edge
	for r := len(p.Rows) - 1; r >= 0; r-- {
		row := p.Rows[r]
		tall := 0.0
		height := func(q int) float64 {
			return max(leastHeads, grownHeads*float64(p.Places[q].HeadCM-row.BaseCM)/grownCM) * radius
		}
		for _, q := range row.People {
			tall = max(tall, height(q))
		}
		middle := d.Middle + scale*float64(row.AsideCM)
		b := Band{
			Row: r, Kind: row.Kind, Steps: steps(row.Kind), CaptionY: y + c.Caption*0.8, Top: y + c.Caption,
			Left: middle - scale*float64(row.WidthCM)/2, Right: middle + scale*float64(row.WidthCM)/2,
		}
		b.Base = b.Top + gapHeads*radius + tall
		below := b.Base + float64(b.Steps)*c.Step
		for _, q := range row.People {
			at := p.Places[q]
			width := scale * float64(at.WidthCM)
			x := d.Middle + scale*float64(at.XCM)
			f := Figure{
				Person: q, Row: r, Posture: at.Posture, HeldBy: -1,
				X: x, Y: b.Base - height(q) + radius, R: radius, Base: b.Base,
				LabelX: x, LabelY: below, LabelWidth: width,
			}
			f.Shoulders = min(0.46*width, 1.9*radius)
			if at.Posture == Standing { // children are slight, and have smaller heads
				f.R = min(radius, max(0.8*radius, 0.2*height(q)))
				f.Y += f.R - radius
				f.Shoulders = min(f.Shoulders, 0.5*radius+0.35*(height(q)-2*f.R))
			}
			d.Figures = append(d.Figures, f)
			d.Figures = append(d.Figures, f.holding(held[q])...)
		}
		d.Bands = append(d.Bands, b)
		y = below + c.Label
	}
	d.Height = y + edge
	return d
}

// steps is how many steps a row stands on.
func steps(k Kind) int { return max(0, int(k)-int(StandingRow)) }

// holding returns the infants in the arms of a figure, to its right and left.
func (f Figure) holding(infants []int) []Figure {
	var out []Figure
	for k, q := range infants {
		g := f
		g.Person, g.Posture, g.HeldBy = q, Held, f.Person
		g.R = heldShare * f.R
		g.X, g.Y = f.X+0.6*f.Shoulders, f.Y+2*f.R
		if k%2 == 1 {
			g.X = f.X - 0.6*f.Shoulders
		}
		out = append(out, g)
	}
	return out
}
