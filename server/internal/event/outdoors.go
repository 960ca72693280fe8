package event

import "time"

// Kit is the camera for the group photographs and its lenses. The zero value is none.
type Kit struct {
	SensorWidthMM, SensorHeightMM float64
	Lenses                        []Lens
	GroupAperture                 float64 // the smallest f-number for groups; 0 means by people and light
}

// Given says that the event has a kit.
func (k Kit) Given() bool {
	return len(k.Lenses) > 0 || k.SensorWidthMM != 0 || k.SensorHeightMM != 0 || k.GroupAperture != 0
}

// Lens is a lens of a kit.
type Lens struct {
	Title              string
	FocalMM, FocalToMM float64 // FocalToMM is 0 when it does not zoom
	Widest, WidestLong float64 // f-numbers; WidestLong is 0 when it is the same
	ClosestCM          int     // 0 means no limit of interest
}

// BlockLight is what the sun does on the day of a block and during it.
type BlockLight struct {
	Sunrise, Sunset time.Time // zero when there is none that day
	Dusk            time.Time // when civil dusk ends; zero when it does not
	Sun, Twilight   SunDay
	Begin, End      SunAt
	Glare           Glare
}

// SunDay is what the sun does on one day. Of twilight, up means that it never gets dark.
type SunDay int

// The sun days. The zero value rises and sets.
const (
	SunRises SunDay = iota
	SunStaysUp
	SunStaysDown
)

// HighFrom is how high, in degrees, a sun stands that leaves eyes in shadow whichever way people look. Common practice,
// no source.
const HighFrom = 55

// Overhead is the altitude in degrees from which on a direction of the sun says nothing. Common practice,
// no source.
const Overhead = 75

// SunAt says where the sun stands at one time, in whole degrees: Altitude from -90 to 90, Azimuth
// clockwise from north from 0 to 359.
type SunAt struct {
	Altitude, Azimuth int
	Height            SunHeight
	Side              SunSide
}

// SunHeight is what light the sun gives.
type SunHeight int

// The heights, from most light to least. The zero value is high.
const (
	HighSun SunHeight = iota
	LowSun
	Twilight
	Dark
)

// SunSide is the direction of the sun as seen from behind the camera.
type SunSide int

// The sides. The zero value is not known.
const (
	SideUnknown SunSide = iota
	SunAhead
	SunBehind
	SunLeft
	SunRight
)

// Glare says who looks into the sun.
type Glare int

// The glares. The zero value is nobody, or not known.
const (
	NoGlare Glare = iota
	IntoLens
	IntoEyes
)

// EntryLens says with which lens, from where and at which aperture a photograph is taken. Distances
// are from the camera, in centimetres.
type EntryLens struct {
	Lens        int // index in the kit
	FocalMM     float64
	Upright     bool
	DistanceCM  int // to the front row
	Aperture    float64
	FocusCM     int
	FocusRow    int // from 1 at the front
	NearCM      int
	FarCM       int     // 0 means that what is sharp does not end
	AngleAcross float64 // degrees, with one decimal
	AngleUp     float64
	Rows        int
	WidthCM     int // of the group, without margin
	HeightCM    int
	DepthCM     int
	Warnings    []LensWarning
}

// LensWarning is something that cannot be had with the kit and the space.
type LensWarning int

// The warnings. The zero value is not used.
const (
	NoLensWarning LensWarning = iota
	SpaceTooSmall
	NotAllSharp
	EdgesStretched
	SmallInFrame
)
