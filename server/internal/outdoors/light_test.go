package outdoors_test

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
)

// shone plans two photographs in one block somewhere.
func shone(t *testing.T, latitude, longitude float64, zone, date, opens, facing string, change ...func(*event.Event)) event.CallSheet {
	t.Helper()
	e := trio()
	e.Date, e.TimeZone = date, zone
	e.Latitude, e.Longitude = &latitude, &longitude
	e.Blocks = []event.Block{{ID: "lawn", Title: "Lawn", Opens: opens, Facing: facing}}
	for _, f := range change {
		f(&e)
	}
	return planned(t, e)
}

func codes(s event.CallSheet) []string {
	var out []string
	for _, a := range s.Advice {
		if slices.Contains([]string{event.CodeEndsInDark, event.CodeEndsInTwilight, event.CodeSunInLens, event.CodeSunInEyes, event.CodeNoZoneForSun}, a.Code) {
			out = append(out, a.Code)
		}
	}
	return out
}

// Sunset and the end of civil twilight as the U.S. Naval Observatory prints them, "Rise and Set for the
// Sun for 2020" and "Civil Twilight for 2020" and "2023", to the minute and here on local clocks:
// Anchorage on the evening of 14 January (UT date 15), Auckland in southern summer, Brasilia, and
// Singapore next to the equator.
func TestLightIsThatOfTheTables(t *testing.T) {
	for _, c := range []struct {
		name                string
		latitude, longitude float64
		zone, date          string
		sunset, dusk        string // empty where that year's table does not have it
	}{
		{"Anchorage", 61 + 13.0/60, -(149 + 52.0/60), "America/Anchorage", "2020-01-14", "16:19", "17:15"},
		{"Auckland", -(36 + 50.0/60), 174 + 48.0/60, "Pacific/Auckland", "2020-12-21", "20:40", ""},
		{"Auckland", -(36 + 50.0/60), 174 + 48.0/60, "Pacific/Auckland", "2023-06-21", "", "17:40"},
		{"Brasilia", -(15 + 48.0/60), -(47 + 51.0/60), "America/Sao_Paulo", "2020-06-21", "17:49", ""},
		{"Brasilia", -(15 + 48.0/60), -(47 + 51.0/60), "America/Sao_Paulo", "2023-09-22", "", "18:29"},
		{"Singapore", 1 + 17.0/60, 103 + 50.0/60, "Asia/Singapore", "2020-03-20", "19:15", ""},
		{"Singapore", 1 + 17.0/60, 103 + 50.0/60, "Asia/Singapore", "2023-03-20", "", "19:36"},
	} {
		s := shone(t, c.latitude, c.longitude, c.zone, c.date, "14:00", "")
		light := s.Blocks[0].Light
		require.NotNil(t, light, c.name)
		zone, err := time.LoadLocation(c.zone)
		require.NoError(t, err)
		for want, got := range map[string]time.Time{c.sunset: light.Sunset, c.dusk: light.Dusk} {
			if want == "" {
				continue
			}
			at, err := time.ParseInLocation("2006-01-02 15:04", c.date+" "+want, zone)
			require.NoError(t, err)
			assert.WithinDuration(t, at, got, time.Minute, "%s %s", c.name, want)
		}
		assert.Equal(t, event.SunRises, light.Sun, c.name)
		assert.Empty(t, codes(s), "afternoon in %s without a direction of the camera", c.name)
	}
}

// The same tables: never up, never sets, twilight all night and none.
func TestLightOfPolarDays(t *testing.T) {
	const latitude, longitude = 78 + 13.0/60, 15 + 38.0/60
	for _, c := range []struct {
		name          string
		latitude      float64
		date, opens   string
		sun, twilight event.SunDay
		codes         []string
	}{
		{"Longyearbyen in June", latitude, "2020-06-21", "23:00", event.SunStaysUp, event.SunStaysUp, nil},
		{"Longyearbyen in December", latitude, "2020-12-21", "12:00", event.SunStaysDown, event.SunStaysDown, []string{event.CodeEndsInDark}},
		{"the pole in June", 90, "2020-06-21", "12:00", event.SunStaysUp, event.SunStaysUp, nil},
		{"the pole in December", 90, "2020-12-21", "12:00", event.SunStaysDown, event.SunStaysDown, []string{event.CodeEndsInDark}},
		{"the other pole", -90, "2020-12-21", "12:00", event.SunStaysUp, event.SunStaysUp, nil},
	} {
		s := shone(t, c.latitude, longitude, "Arctic/Longyearbyen", c.date, c.opens, "")
		light := s.Blocks[0].Light
		require.NotNil(t, light, c.name)
		assert.Equal(t, c.sun, light.Sun, c.name)
		assert.Equal(t, c.twilight, light.Twilight, c.name)
		assert.True(t, light.Sunset.IsZero() && light.Dusk.IsZero() && light.Sunrise.IsZero(), "%s: %+v", c.name, light)
		assert.Equal(t, c.codes, codes(s), c.name)
	}
	// Tromsø in December: the sun does not rise and noon is in twilight.
	s := shone(t, 69.65, 18.96, "Europe/Oslo", "2026-12-21", "11:30", "south")
	assert.Equal(t, event.SunStaysDown, s.Blocks[0].Light.Sun)
	assert.Equal(t, event.SunRises, s.Blocks[0].Light.Twilight)
	assert.Equal(t, event.Twilight, s.Blocks[0].Light.Begin.Height)
	assert.Equal(t, []string{event.CodeEndsInTwilight}, codes(s), "nobody looks into a sun that is down")
}

// Where the sun stands for whoever is behind the camera, on an evening in Lisbon: it sets in the
// west-north-west in June, and in the west-south-west in the southern winter of Auckland's mirror.
func TestLightForTheCamera(t *testing.T) {
	for _, c := range []struct {
		facing string
		side   event.SunSide
		codes  []string
	}{
		{"", event.SideUnknown, nil},
		{"WNW", event.SunAhead, []string{event.CodeSunInLens}},
		{"290", event.SunAhead, []string{event.CodeSunInLens}},
		{"ESE", event.SunBehind, []string{event.CodeSunInEyes}},
		{"NNE", event.SunLeft, nil},
		{"SSW", event.SunRight, nil},
	} {
		s := shone(t, 38.7, -9.4, "Europe/Lisbon", "2026-06-20", "19:30", c.facing)
		light := s.Blocks[0].Light
		assert.Equal(t, event.LowSun, light.Begin.Height, c.facing)
		assert.InDelta(t, 287, light.Begin.Azimuth, 3, c.facing)
		assert.Equal(t, c.side, light.Begin.Side, c.facing)
		assert.Equal(t, c.codes, codes(s), c.facing)
		for _, a := range s.Advice {
			switch a.Code {
			case event.CodeSunInLens:
				assert.Contains(t, a.Text(), "open shade first. Else have the sun behind them and the camera look west-north-west")
				assert.Contains(t, a.Text(), "optical viewfinder", "the caution")
			case event.CodeSunInEyes:
				assert.Contains(t, a.Text(), "open shade")
			}
		}
	}
	// South of the equator the sun of noon stands in the north.
	s := shone(t, -36.83, 174.8, "Pacific/Auckland", "2026-06-20", "12:15", "S")
	assert.Less(t, min(s.Blocks[0].Light.Begin.Azimuth, 360-s.Blocks[0].Light.Begin.Azimuth), 20)
	assert.Equal(t, event.SunBehind, s.Blocks[0].Light.Begin.Side)
}

func TestBlocksInTheDark(t *testing.T) {
	lisbon := func(opens string, change ...func(*event.Event)) event.CallSheet {
		return shone(t, 38.7, -9.4, "Europe/Lisbon", "2026-06-20", opens, "", change...)
	}
	for opens, want := range map[string][]string{
		"20:30": nil,
		"21:00": {event.CodeEndsInTwilight}, // sunset 21:05
		"21:28": {event.CodeEndsInDark},     // dark from 21:37
		"23:00": {event.CodeEndsInDark},
		"04:00": {event.CodeEndsInDark},
		"08:00": nil,
	} {
		assert.Equal(t, want, codes(lisbon(opens)), opens)
	}
	assert.Contains(t, adviceOf(t, lisbon("04:00"), event.CodeEndsInDark), "starts before dawn")
	// Likely over before it is dark and not safely so.
	late := lisbon("21:20", func(e *event.Event) { e.Confidence = 99 })
	assert.Contains(t, adviceOf(t, late, event.CodeEndsInDark), "may end in the dark")
	// A block after midnight has the dusk of the evening before it.
	night := lisbon("2026-06-21T00:30:00+01:00")
	assert.Equal(t, 20, night.Blocks[0].Light.Dusk.Day())
	assert.Contains(t, adviceOf(t, night, event.CodeEndsInDark), "starts in the dark")
}

// The night on which the clocks go back: 25 October 2026 in Lisbon, sunset at 17:45 winter time (worked
// out with the same formulas; the change of the clocks is what is tested).
func TestLightAfterAChangeOfTheClocks(t *testing.T) {
	before := shone(t, 38.7, -9.4, "Europe/Lisbon", "2026-10-24", "15:00", "")
	after := shone(t, 38.7, -9.4, "Europe/Lisbon", "2026-10-25", "15:00", "")
	lisbon, err := time.LoadLocation("Europe/Lisbon")
	require.NoError(t, err)
	was, is := before.Blocks[0].Light.Sunset.In(lisbon), after.Blocks[0].Light.Sunset.In(lisbon)
	assert.Equal(t, 18, was.Hour(), was)
	assert.Equal(t, 17, is.Hour(), is)
	assert.InDelta(t, 24*60-1, is.Sub(was).Minutes(), 1.5)
}

func TestNoLightWhereItIsNotKnown(t *testing.T) {
	for name, change := range map[string]func(*event.Event){
		"no place":     func(e *event.Event) { e.Latitude, e.Longitude = nil, nil },
		"indoors":      func(e *event.Event) { e.Blocks[0].Indoors = true },
		"no clock":     func(e *event.Event) { e.Blocks = nil },
		"no zone":      func(e *event.Event) { e.TimeZone = "" },
		"far too late": func(e *event.Event) { e.Date = "2150-06-20" },
	} {
		s := shone(t, 38.7, -9.4, "Europe/Lisbon", "2026-06-20", "22:30", "", change)
		assert.Nil(t, s.Blocks[0].Light, name)
		assert.NotContains(t, codes(s), event.CodeEndsInDark, name)
	}
	// A block's own place goes before that of the event.
	s := shone(t, 38.7, -9.4, "Europe/Lisbon", "2026-06-20", "15:00", "", func(e *event.Event) {
		latitude, longitude := 78.2, 15.6
		e.Blocks[0].Latitude, e.Blocks[0].Longitude = &latitude, &longitude
	})
	assert.Equal(t, event.SunStaysUp, s.Blocks[0].Light.Sun)
}

// At noon nobody looks into the sun, and all eyes lie in shadow; indoors and in winter that is nothing to speak of.
func TestHighSun(t *testing.T) {
	noon := func(date string, change ...func(*event.Event)) []string {
		var out []string
		for _, a := range shone(t, 38.7, -9.4, "Europe/Lisbon", date, "13:15", "N", change...).Advice {
			out = append(out, a.Code)
		}
		return out
	}
	assert.Contains(t, noon("2026-06-20"), event.CodeSunIsHigh)
	assert.NotContains(t, noon("2026-12-20"), event.CodeSunIsHigh)
	assert.NotContains(t, noon("2026-06-20", func(e *event.Event) { e.Blocks[0].Indoors = true }), event.CodeSunIsHigh)
}
