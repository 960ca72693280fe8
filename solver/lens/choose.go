package lens

import (
	"errors"
	"fmt"
	"math"
)

// ErrInvalid is wrapped by every error of this package.
var ErrInvalid = errors.New("invalid lens request")

// Sensor is the picture side of a camera.
type Sensor struct {
	// Width and Height are the sides in millimetres, 1 to 200, as the camera is held across.
	Width, Height float64
	// Circle is the circle of confusion in millimetres, 0.001 to 1; 0 means diagonal/1500, the
	// rule that gives 0.029 for 36 × 24 mm.
	Circle float64
}

// CircleOfConfusion returns the largest blur in millimetres that counts as sharp.
func (s Sensor) CircleOfConfusion() float64 {
	if s.Circle > 0 {
		return s.Circle
	}
	return math.Hypot(s.Width, s.Height) / 1500
}

// Optic is a lens of a kit.
type Optic struct {
	// Shortest and Longest are the focal lengths in millimetres, 1 to 2000; equal for a lens that
	// does not zoom.
	Shortest, Longest float64
	// Widest is the smallest f-number at the shortest focal length, 0.7 to 45.
	Widest float64
	// WidestLong is the smallest f-number at every longer focal length; 0 means the same.
	WidestLong float64
	// Closest is the nearest focus distance in millimetres; 0 means no limit of interest.
	Closest float64
}

func (o Optic) widest(focal float64) float64 {
	if focal > o.Shortest && o.WidestLong > 0 {
		return o.WidestLong
	}
	return o.Widest
}

// Kit is what a photographer brings.
type Kit struct {
	Sensor Sensor
	Optics []Optic
}

// Group is what has to be framed and held sharp, in millimetres.
type Group struct {
	// Width, Height and Depth are the sides of the box around everybody: 1 to 100 000; Depth
	// from the front of the front row to the back of the back row, 0 to 100 000.
	Width, Height, Depth float64
	// Margin is the free share of the group's size wanted on every side, 0 to 1.
	Margin float64
}

// Space is where it happens.
type Space struct {
	// Distance is the farthest that the camera can stand from the front of the front row, in
	// millimetres, 100 to 1 000 000.
	Distance float64
	// Upright allows the camera to be turned. It is turned when that frames the group larger.
	Upright bool
	// Slowest is the smallest f-number the photographer likes for groups; 0 means none.
	Slowest float64
}

// Choice is a set-up. Distances are in millimetres from the camera.
type Choice struct {
	// Optic is the index of the lens in the kit.
	Optic int
	// Focal is the focal length in millimetres.
	Focal float64
	// Upright says that the camera is turned.
	Upright bool
	// Distance is to the front of the front row.
	Distance float64
	// Aperture is the f-number, a standard one.
	Aperture float64
	// Focus is the distance to focus at; Near and Far are the limits of what is sharp.
	Focus, Near, Far float64
	// AngleAcross and AngleUp are the angles of view in degrees, as the camera is held.
	AngleAcross, AngleUp float64
	// FieldWidth and FieldHeight are what is seen at the front row, in millimetres.
	FieldWidth, FieldHeight float64
	// Stretch is how much wider a head at the edge is drawn than one in the middle (1 for none).
	Stretch float64
	// Warnings are what is wrong with the best set-up, in the order of their constants.
	Warnings []Warning
}

// Warning is something that a set-up cannot do.
type Warning uint8

const (
	// SpaceTooSmall means that no lens frames and focuses on the group from here: plan more rows
	// or split the group. FieldWidth and FieldHeight say what would fit, margin included.
	SpaceTooSmall Warning = iota
	// NotAllSharp means that no useful aperture holds all rows sharp: fewer rows or more distance.
	NotAllSharp
	// EdgesStretched means that heads at the edge are drawn more than 10 % wider.
	EdgesStretched
	// SmallInFrame means that the group fills less than half the picture both ways: crop it.
	SmallInFrame
)

// Marks of a good set-up: common practice, no source. Focal lengths are those on a sensor of 36 × 24 mm with the same
// angle of view.
const (
	// Faces look best from far with a long lens, but from farther than reach nobody hears the photographer and
	// faces are not watched any more; nothing beyond longest looks better.
	reach, longest = 10_000, 135.0
	// Below shortest, heads at the ends of a group that fills the picture are drawn a tenth wider and faces near
	// the camera lose their shape.
	shortest     = 35.0
	worstStretch = 1.10 // warned about
	goodStretch  = 1.06 // from as far as reach no matter: heads at the edge at most 6 % wider
	goodDepth    = 0.25 // the same: depth at most a quarter of the distance, so that heads match
	halfHead     = 150  // faces and backs of heads stand this far off the rows' planes
	smallFill    = 0.5
)

// stops are the full f-stops as they are engraved.
var stops = [...]float64{1, 1.4, 2, 2.8, 4, 5.6, 8, 11, 16, 22, 32, 45}

// Choose returns the best set-up for a group, of those that frame it with its margin inside the space: the longest
// lens up to 135 mm (as on 36 × 24) from no farther than a voice carries, or than it takes so that edges are not stretched
// and rows match in size; else the nearest with 35 mm and more; else the longest below; then the lower index. So a couple
// has 85 to 135 mm where there is room, and nobody a wider lens than the room forces. The aperture is the widest standard one
// that the lens has, that is not below Slowest and that holds the whole depth sharp, and never one
// beyond diffraction. When nothing fits it returns the widest view there is, with SpaceTooSmall. Its
// errors wrap ErrInvalid and name every field that is out of range.
func Choose(k Kit, g Group, s Space) (Choice, error) {
	if err := errors.Join(k.check(), g.check(), s.check()); err != nil {
		return Choice{}, fmt.Errorf("%w: %w", ErrInvalid, err)
	}
	upright := s.Upright && k.Sensor.fitsUpright(g)
	across, up := k.Sensor.held(upright)
	far := min(g.farthest(), s.Distance)
	best, bestRank := Choice{Optic: -1}, rank{}
	for i, o := range k.Optics {
		need := func(focal float64) float64 { return g.framing(across, up, focal) }
		for _, focal := range o.candidates(need, k.Sensor.crop(), far, s.Distance) {
			d := max(need(focal), o.Closest)
			if d > s.Distance {
				continue
			}
			if r := rankOf(focal*k.Sensor.crop(), d, far); best.Optic < 0 || r.better(bestRank) {
				best, bestRank = Choice{Optic: i, Focal: focal, Upright: upright, Distance: d}, r
			}
		}
	}
	if best.Optic < 0 {
		best = k.widestView(g, s, upright)
	}
	k.finish(&best, g, s)
	return best, nil
}

// farthest is from how far the group is willingly taken.
func (g Group) farthest() float64 {
	half := g.Width / 2
	return max(reach, half/math.Sqrt(goodStretch*goodStretch-1), g.Depth/goodDepth)
}

// crop is how much longer a lens looks than on a sensor of 36 × 24 mm.
func (s Sensor) crop() float64 { return math.Hypot(36, 24) / math.Hypot(s.Width, s.Height) }

// rank says how good a focal length (as on 36 × 24) is: the lower class first, then the lower off.
type rank struct {
	class int
	off   float64
}

func rankOf(focal, distance, far float64) rank {
	switch {
	case focal < shortest-0.5: // 23 mm on a sensor half as large counts
		return rank{3, -focal}
	case distance > far:
		return rank{2, distance}
	case focal > longest:
		return rank{1, focal}
	}
	return rank{0, -focal}
}

func (r rank) better(than rank) bool {
	return r.class < than.class || r.class == than.class && r.off < than.off-1e-9
}

// framing returns the distance of the front row at which the group and its margin fit the frame. The
// front row is nearest, so what fits there fits behind.
func (g Group) framing(across, up, focal float64) float64 {
	room := 1 + 2*g.Margin
	return max(FramingDistance(across, focal, g.Width*room), FramingDistance(up, focal, g.Height*room))
}

// fitsUpright says whether the group fills more of the picture with the camera turned.
func (s Sensor) fitsUpright(g Group) bool {
	return max(g.Width/s.Height, g.Height/s.Width) < max(g.Width/s.Width, g.Height/s.Height)
}

func (s Sensor) held(upright bool) (across, up float64) {
	if upright {
		return s.Height, s.Width
	}
	return s.Width, s.Height
}

// candidates returns the ends of a lens's range, the marks inside it and the focal lengths that frame the group from
// two distances. The framing distance is proportional to the focal length.
func (o Optic) candidates(need func(float64) float64, crop float64, far, farthest float64) []float64 {
	out := []float64{o.Shortest, o.Longest}
	for _, focal := range []float64{
		math.Ceil(shortest / crop), math.Floor(longest / crop),
		// Rounded down to the millimetre a ring can be set to: a little more is seen.
		math.Floor(o.Shortest * far / need(o.Shortest)), math.Floor(o.Shortest * farthest / need(o.Shortest)),
	} {
		if focal > o.Shortest && focal < o.Longest {
			out = append(out, focal)
		}
	}
	return out
}

// fill returns the larger share of the picture that the group takes.
func (k Kit) fill(g Group, c Choice) float64 {
	across, up := k.Sensor.held(c.Upright)
	return max(g.Width/Field(across, c.Focal, c.Distance), g.Height/Field(up, c.Focal, c.Distance))
}

// widestView returns the lens that comes closest to framing the group from the farthest place.
func (k Kit) widestView(g Group, s Space, upright bool) Choice {
	across, up := k.Sensor.held(upright)
	best, least := Choice{}, math.Inf(1)
	for i, o := range k.Optics {
		if d := max(g.framing(across, up, o.Shortest), o.Closest); d < least {
			least, best = d, Choice{Optic: i, Focal: o.Shortest, Upright: upright, Distance: s.Distance}
		}
	}
	return best
}

// finish fills in the aperture, the figures and the warnings.
func (k Kit) finish(c *Choice, g Group, s Space) {
	across, up := k.Sensor.held(c.Upright)
	circle := k.Sensor.CircleOfConfusion()
	c.AngleAcross, c.AngleUp = AngleOfView(across, c.Focal), AngleOfView(up, c.Focal)
	c.FieldWidth, c.FieldHeight = Field(across, c.Focal, c.Distance), Field(up, c.Focal, c.Distance)
	c.Stretch = EdgeStretch(g.Width/2, c.Distance)
	room := 1 + 2*g.Margin
	fits := g.Width*room <= c.FieldWidth+1e-6 && g.Height*room <= c.FieldHeight+1e-6
	if !fits || c.Distance < k.Optics[c.Optic].Closest {
		c.Warnings = append(c.Warnings, SpaceTooSmall)
	}
	near, far := max(c.Distance-halfHead, c.Focal+1), c.Distance+g.Depth+halfHead
	c.Focus = FocusBetween(near, far)
	least := max(k.Optics[c.Optic].widest(c.Focal), s.Slowest)
	sharp := false
	c.Aperture, sharp = aperture(least, NeedAperture(c.Focal, circle, near, far), DiffractionAperture(circle))
	if !sharp {
		c.Warnings = append(c.Warnings, NotAllSharp)
	}
	c.Near, c.Far = DepthOfField(c.Focal, c.Aperture, circle, c.Focus)
	if c.Stretch > worstStretch {
		c.Warnings = append(c.Warnings, EdgesStretched)
	}
	if k.fill(g, *c) < smallFill {
		c.Warnings = append(c.Warnings, SmallInFrame)
	}
}

// aperture returns the first standard stop from least on that reaches need without passing the
// diffraction limit; failing that, the last useful one and false. A lens wider than every stop in
// reach, or slower than the limit, is used at its widest.
func aperture(least, need, diffraction float64) (float64, bool) {
	last := least
	for _, n := range stops {
		if n < least-0.05 || n > diffraction {
			continue
		}
		last = n
		if n >= need {
			return n, true
		}
	}
	return last, last >= need
}
