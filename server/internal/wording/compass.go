package wording

// compassKeys are the sixteen points of the compass, clockwise from north.
var compassKeys = [16]Key{
	"outdoors.north", "outdoors.northNorthEast", "outdoors.northEast", "outdoors.eastNorthEast",
	"outdoors.east", "outdoors.eastSouthEast", "outdoors.southEast", "outdoors.southSouthEast",
	"outdoors.south", "outdoors.southSouthWest", "outdoors.southWest", "outdoors.westSouthWest",
	"outdoors.west", "outdoors.westNorthWest", "outdoors.northWest", "outdoors.northNorthWest",
}

// Compass names the nearest of the sixteen points of the compass to a direction in degrees clockwise from
// north.
func Compass(degrees int) Message { return Say(compassKeys[CompassPoint(degrees)]) }

// CompassPoint returns the index of the nearest of the sixteen points, clockwise from north.
func CompassPoint(degrees int) int { return ((degrees%360+360)%360*2 + 22) / 45 % 16 }

// Metres writes metres with one decimal; those of centimetres below 0 are 0.
func Metres(centimetres int) Message {
	tenths := (max(0, centimetres) + 5) / 10
	return Say("sheet.metres", tenths/10, tenths%10)
}
