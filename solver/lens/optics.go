// Package lens works out what a camera can frame and hold sharp: angle of view, depth of field, and
// the focal length, distance and aperture for a group of a given size in a given space. It knows
// thin rectilinear lenses and blur circles, not the faults of a particular lens or sensor.
//
// All lengths are in millimetres and all distances are counted from the front principal plane,
// which for these distances is the camera. The formulas are those of any optics text: with
// h = f²/(N·c), near = h·s/(h + s − f) and far = h·s/(h − (s − f)).
package lens

import "math"

// DepthOfField returns the nearest and farthest distance that are sharp when the lens is focused at
// a distance above the focal length. far is +Inf from the hyperfocal distance on.
func DepthOfField(focal, aperture, circle, focus float64) (near, far float64) {
	h := focal * focal / (aperture * circle)
	near = h * focus / (h + focus - focal)
	if focus-focal >= h {
		return near, math.Inf(1)
	}
	return near, h * focus / (h - (focus - focal))
}

// FocusBetween returns the focus distance 2·near·far/(near + far) whose depth of field reaches
// equally well to both limits. For an infinite far limit it is twice the near one.
func FocusBetween(near, far float64) float64 { return 2 * near / (1 + near/far) }

// NeedAperture returns the smallest f-number that holds both limits sharp when the lens is focused
// between them; 0 when they coincide.
func NeedAperture(focal, circle, near, far float64) float64 {
	s := FocusBetween(near, far)
	// Solve near = h·s/(h + s − f) for h, then h = f²/(N·c) for N.
	if s <= near {
		return 0
	}
	h := near * (s - focal) / (s - near)
	return focal * focal / (h * circle)
}

// AngleOfView returns 2·atan(d/2f) in degrees across a side d of the sensor, focused at infinity.
func AngleOfView(side, focal float64) float64 {
	return 2 * math.Atan(side/(2*focal)) * 180 / math.Pi
}

// Field returns how much is seen at a distance across a side of the sensor: d·(s − f)/f.
func Field(side, focal, distance float64) float64 { return side * (distance - focal) / focal }

// FramingDistance returns the distance at which a side of the sensor sees a field: f·(field/d + 1).
func FramingDistance(side, focal, field float64) float64 { return focal * (field/side + 1) }

// EdgeStretch returns by how much a head at half a field's width from the middle is drawn wider
// than one in the middle: 1/cos of its angle off the axis, 1 for none.
func EdgeStretch(halfWidth, distance float64) float64 {
	return math.Hypot(halfWidth, distance) / distance
}

// DiffractionAperture returns the f-number at which the blur of diffraction, 2.44·λ·N across for
// green light of 0.00055 mm, fills the circle of confusion. Beyond it nothing gets sharper.
func DiffractionAperture(circle float64) float64 { return circle / (2.44 * 0.00055) }
