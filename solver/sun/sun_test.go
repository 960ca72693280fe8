package sun

import (
	"errors"
	"math"
	"testing"
	"time"
)

// The tables of the U.S. Naval Observatory, Astronomical Applications Department, "Rise and Set for
// the Sun for 2020" and "Civil Twilight for 2020" and "2023" (public domain; copies in the
// repository klausbrunner/solarpositioning), in Universal Time rounded to the minute. A time
// belongs to its UT date, so an evening in Anchorage stands under the next date.
var (
	anchorage    = Place{61 + 13.0/60, -(149 + 52.0/60)}
	auckland     = Place{-(36 + 50.0/60), 174 + 48.0/60}
	brasilia     = Place{-(15 + 48.0/60), -(47 + 51.0/60)}
	singapore    = Place{1 + 17.0/60, 103 + 50.0/60}
	longyearbyen = Place{78 + 13.0/60, 15 + 38.0/60}
	mcmurdo      = Place{-(77 + 51.0/60), 166 + 40.0/60}
)

type published struct {
	name       string
	place      Place
	year       int
	month, day int
	begin, end int // HHMM
}

var riseAndSet = []published{
	{"Anchorage", anchorage, 2020, 1, 15, 1857, 119},
	{"Anchorage", anchorage, 2020, 3, 20, 1558, 414},
	{"Anchorage", anchorage, 2020, 6, 21, 1220, 742},
	{"Anchorage", anchorage, 2020, 9, 22, 1545, 400},
	{"Anchorage", anchorage, 2020, 12, 21, 1914, 41},
	{"Auckland", auckland, 2020, 1, 15, 1718, 742},
	{"Auckland", auckland, 2020, 3, 20, 1825, 632},
	{"Auckland", auckland, 2020, 6, 21, 1934, 512},
	{"Auckland", auckland, 2020, 9, 22, 1809, 617},
	{"Auckland", auckland, 2020, 12, 21, 1659, 740},
	{"Brasilia", brasilia, 2020, 1, 15, 852, 2150},
	{"Brasilia", brasilia, 2020, 3, 20, 915, 2122},
	{"Brasilia", brasilia, 2020, 6, 21, 938, 2049},
	{"Brasilia", brasilia, 2020, 9, 22, 901, 2107},
	{"Brasilia", brasilia, 2020, 12, 21, 838, 2142},
	{"Singapore", singapore, 2020, 1, 15, 2312, 1115},
	{"Singapore", singapore, 2020, 3, 20, 2309, 1115},
	{"Singapore", singapore, 2020, 6, 21, 2301, 1112},
	{"Singapore", singapore, 2020, 9, 22, 2254, 1101},
	{"Singapore", singapore, 2020, 12, 21, 2302, 1104},
}

// Above 78 degrees a minute of time is a hair of altitude: two minutes are allowed, and days next to
// polar day or night are left out.
var riseAndSetPolar = []published{
	{"Longyearbyen", longyearbyen, 2020, 3, 20, 448, 1725},
	{"Longyearbyen", longyearbyen, 2020, 4, 15, 38, 2133},
	{"Longyearbyen", longyearbyen, 2020, 9, 22, 431, 1705},
	{"McMurdo", mcmurdo, 2020, 3, 20, 1849, 715},
	{"McMurdo", mcmurdo, 2020, 4, 15, 2213, 342},
	{"McMurdo", mcmurdo, 2020, 9, 22, 1828, 700},
}

var civil = []published{
	{"Anchorage", anchorage, 2020, 1, 15, 1801, 215},
	{"Anchorage", anchorage, 2020, 3, 20, 1515, 457},
	{"Anchorage", anchorage, 2020, 9, 22, 1502, 443},
	{"Anchorage", anchorage, 2020, 12, 21, 1812, 143},
	{"Auckland", auckland, 2023, 1, 15, 1649, 812},
	{"Auckland", auckland, 2023, 3, 20, 1758, 659},
	{"Auckland", auckland, 2023, 6, 21, 1905, 540},
	{"Auckland", auckland, 2023, 9, 22, 1744, 643},
	{"Auckland", auckland, 2023, 12, 21, 1627, 810},
	{"Brasilia", brasilia, 2023, 1, 15, 828, 2213},
	{"Brasilia", brasilia, 2023, 3, 20, 854, 2144},
	{"Brasilia", brasilia, 2023, 6, 21, 914, 2112},
	{"Brasilia", brasilia, 2023, 9, 22, 840, 2129},
	{"Brasilia", brasilia, 2023, 12, 21, 813, 2205},
	{"Singapore", singapore, 2023, 1, 15, 2250, 1138},
	{"Singapore", singapore, 2023, 3, 20, 2248, 1136},
	{"Singapore", singapore, 2023, 6, 21, 2238, 1135},
	{"Singapore", singapore, 2023, 9, 22, 2233, 1122},
	{"Singapore", singapore, 2023, 12, 21, 2239, 1127},
}

var civilPolar = []published{
	{"Longyearbyen", Place{78 + 13.0/60, 15 + 39.0/60}, 2023, 3, 20, 309, 1907},
	{"Longyearbyen", Place{78 + 13.0/60, 15 + 39.0/60}, 2023, 9, 22, 237, 1858},
	{"McMurdo", mcmurdo, 2023, 3, 20, 1700, 904},
	{"McMurdo", mcmurdo, 2023, 9, 22, 1652, 838},
}

func TestPublishedTimes(t *testing.T) {
	sunUp := func(d Day) Span { return d.Sun }
	twilight := func(d Day) Span { return d.Civil }
	for _, row := range riseAndSet {
		row.check(t, sunUp, time.Minute)
	}
	for _, row := range civil {
		row.check(t, twilight, time.Minute)
	}
	for _, row := range riseAndSetPolar {
		row.check(t, sunUp, 2*time.Minute)
	}
	for _, row := range civilPolar {
		row.check(t, twilight, 2*time.Minute)
	}
}

// check looks for the event on the UT date among those of the neighbouring local dates, here in
// Universal Time.
func (row published) check(t *testing.T, pick func(Day) Span, within time.Duration) {
	t.Helper()
	hit := func(kind string, hhmm int, of func(Span) time.Time) {
		want := time.Date(row.year, time.Month(row.month), row.day, hhmm/100, hhmm%100, 0, 0, time.UTC)
		best := time.Duration(math.MaxInt64)
		for shift := -1; shift <= 1; shift++ {
			date := want.AddDate(0, 0, shift)
			d, err := Of(row.place, date.Year(), date.Month(), date.Day(), time.UTC)
			if err != nil {
				t.Fatal(err)
			}
			if s := pick(d); s.State == Crosses {
				best = min(best, of(s).Sub(want).Abs())
			}
		}
		if best > within {
			t.Errorf("%s %d-%02d-%02d %s %04d: off by %v", row.name, row.year, row.month, row.day, kind, hhmm, best)
		}
	}
	hit("begin", row.begin, func(s Span) time.Time { return s.Begin })
	hit("end", row.end, func(s Span) time.Time { return s.End })
}

// The same tables print "never up" and "never sets", and for twilight "none" and "all night".
func TestPolarStates(t *testing.T) {
	for _, row := range []struct {
		name             string
		place            Place
		month, day       int
		sun, civil       State
		sunIs, civilKnow bool
	}{
		{"Longyearbyen", longyearbyen, 1, 15, StaysBelow, StaysBelow, true, true},
		{"Longyearbyen", longyearbyen, 6, 21, StaysAbove, StaysAbove, true, true},
		{"Longyearbyen", longyearbyen, 12, 21, StaysBelow, StaysBelow, true, true},
		{"McMurdo", mcmurdo, 1, 15, StaysAbove, StaysAbove, true, true},
		{"McMurdo", mcmurdo, 6, 21, StaysBelow, StaysBelow, true, true},
		{"McMurdo", mcmurdo, 12, 21, StaysAbove, StaysAbove, true, true},
		{"Anchorage", anchorage, 6, 21, Crosses, StaysAbove, true, true},
		// The first and last sunrise of 2020 in Longyearbyen.
		{"Longyearbyen", longyearbyen, 2, 16, Crosses, Crosses, true, false},
		{"Longyearbyen", longyearbyen, 10, 25, Crosses, Crosses, true, false},
	} {
		d, err := Of(row.place, 2020, time.Month(row.month), row.day, time.UTC)
		if err != nil {
			t.Fatal(err)
		}
		if d.Sun.State != row.sun || (row.civilKnow && d.Civil.State != row.civil) {
			t.Errorf("%s %d-%d: sun %v, civil %v; want %v, %v", row.name, row.month, row.day, d.Sun.State, d.Civil.State, row.sun, row.civil)
		}
		if d.Sun.State != Crosses && (!d.Sun.Begin.IsZero() || !d.Sun.End.IsZero()) {
			t.Errorf("%s %d-%d: has times without a crossing", row.name, row.month, row.day)
		}
	}
}

// Reda and Andreas, Solar Position Algorithm, NREL/TP-560-34302 (2008), example: Golden, Colorado,
// 17 October 2003. The sunset printed there (17:20:19) falls on the UT date, which is the local
// evening of the 16th; the local evening of the 17th has its sunset at 17:18:51 (worked out).
func TestLocalDate(t *testing.T) {
	zone := time.FixedZone("UTC-7", -7*3600)
	golden := Place{39.742476, -105.1786}
	for _, row := range []struct {
		day                 int
		rise, transit, sets string
	}{
		{17, "06:12:43", "11:46:05", "17:18:51"},
		{16, "", "", "17:20:19"},
	} {
		d, err := Of(golden, 2003, time.October, row.day, zone)
		if err != nil {
			t.Fatal(err)
		}
		for _, event := range []struct {
			want string
			got  time.Time
		}{{row.rise, d.Sun.Begin}, {row.transit, d.Noon}, {row.sets, d.Sun.End}} {
			if event.want == "" {
				continue
			}
			want, err := time.ParseInLocation(time.DateTime, time.Date(2003, 10, row.day, 0, 0, 0, 0, zone).Format(time.DateOnly)+" "+event.want, zone)
			if err != nil {
				t.Fatal(err)
			}
			if off := event.got.Sub(want).Abs(); off > 3*time.Second {
				t.Errorf("day %d: %v, want %v", row.day, event.got, want)
			}
		}
	}
}

// The position printed in the same example, for 12:30:30 local time: topocentric zenith 50.11162
// (with refraction) and azimuth 194.34024 degrees (from memory; hence the wide tolerance).
func TestPosition(t *testing.T) {
	at := time.Date(2003, 10, 17, 12, 30, 30, 0, time.FixedZone("UTC-7", -7*3600))
	got, err := At(Place{39.742476, -105.1786}, at)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(got.Altitude-39.888) > 0.05 || math.Abs(got.Azimuth-194.340) > 0.05 {
		t.Errorf("%+v, want altitude 39.89 and azimuth 194.34", got)
	}
	// At solar noon the altitude is 90° − |latitude − declination|, by definition; at the June
	// solstice the declination is the obliquity, 23.44°.
	d, err := Of(singapore, 2020, time.June, 20, time.FixedZone("UTC+8", 8*3600))
	if err != nil {
		t.Fatal(err)
	}
	noon, err := At(singapore, d.Noon)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(noon.Altitude-(90-23.44+singapore.Latitude)) > 0.02 || math.Abs(noon.Azimuth) > 1 && math.Abs(noon.Azimuth-360) > 1 {
		t.Errorf("noon at the solstice: %+v", noon)
	}
}

func TestEveningAfterMidnightBelongsToItsDay(t *testing.T) {
	// Reykjavik keeps UTC all year; around midsummer the sun sets after midnight.
	d, err := Of(Place{64.146, -21.942}, 2026, time.June, 21, time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	if d.Sun.Begin.Day() != 21 || d.Sun.End.Day() != 22 || d.Sun.End.Hour() != 0 {
		t.Errorf("sun from %v to %v, want a sunset shortly after midnight of the 22nd", d.Sun.Begin, d.Sun.End)
	}
}

func TestNoonFallsOnItsDateInEveryZone(t *testing.T) {
	for hours := -12; hours <= 14; hours++ {
		zone := time.FixedZone("", hours*3600)
		longitude := max(-180, min(180, float64(hours)*15))
		for yearDay := 0; yearDay < 365; yearDay += 7 {
			date := time.Date(2026, 1, 1+yearDay, 0, 0, 0, 0, time.UTC)
			d, err := Of(Place{50, longitude}, date.Year(), date.Month(), date.Day(), zone)
			if err != nil {
				t.Fatal(err)
			}
			if d.Noon.Day() != date.Day() || d.Noon.Hour() < 11 || d.Noon.Hour() > 14 {
				t.Errorf("zone %d: noon of %v at %v", hours, date.Format(time.DateOnly), d.Noon)
			}
			if !(d.Civil.Begin.Before(d.Sun.Begin) && d.Sun.Begin.Before(d.Noon) && d.Noon.Before(d.Sun.End) && d.Sun.End.Before(d.Civil.End)) {
				t.Errorf("zone %d, %v: events out of order: %+v", hours, date.Format(time.DateOnly), d)
			}
		}
	}
}

func TestLight(t *testing.T) {
	south, north := 180.0, 0.0
	for _, c := range []struct {
		name   string
		sun    Position
		camera float64
		light  Light
		glare  Glare
	}{
		{"high noon", Position{60, 180}, south, HighSun, NoGlare},
		{"low sun ahead", Position{10, 170}, south, LowSun, IntoLens},
		{"low sun behind the camera", Position{10, 170}, north, LowSun, IntoEyes},
		{"low sun from the side", Position{10, 90}, north, LowSun, NoGlare},
		{"across north", Position{10, 350}, 10, LowSun, IntoLens},
		{"after sunset", Position{-3, 180}, south, Twilight, NoGlare},
		{"night", Position{-8, 180}, south, Dark, NoGlare},
	} {
		if c.sun.Light() != c.light || c.sun.Glare(c.camera) != c.glare {
			t.Errorf("%s: light %v, glare %v; want %v, %v", c.name, c.sun.Light(), c.sun.Glare(c.camera), c.light, c.glare)
		}
	}
	// An evening block in Brasilia that runs past civil dusk (21:29 UT by the table of 2023).
	west := 270.0
	s, err := Between(brasilia, time.Date(2023, 9, 22, 20, 0, 0, 0, time.UTC), time.Date(2023, 9, 22, 21, 40, 0, 0, time.UTC), &west)
	if err != nil {
		t.Fatal(err)
	}
	if s.Worst != Dark || s.Glare != IntoLens || s.Begin.Light() != LowSun || s.End.Light() != Dark {
		t.Errorf("evening in Brasilia: %+v", s)
	}
}

func TestBadRequestsAreNamed(t *testing.T) {
	now := time.Date(2026, 5, 1, 12, 0, 0, 0, time.UTC)
	for name, f := range map[string]func() error{
		"latitude":  func() error { _, err := At(Place{91, 0}, now); return err },
		"longitude": func() error { _, err := At(Place{0, math.NaN()}, now); return err },
		"date":      func() error { _, err := Of(Place{}, 2026, time.February, 30, time.UTC); return err },
		"year":      func() error { _, err := Of(Place{}, 1700, time.February, 3, time.UTC); return err },
		"zone":      func() error { _, err := Of(Place{}, 2026, time.February, 3, nil); return err },
		"backwards": func() error { _, err := Between(Place{}, now, now.Add(-time.Second), nil); return err },
		"place":     func() error { _, err := Between(Place{Latitude: -91}, now, now, nil); return err },
	} {
		if err := f(); !errors.Is(err, ErrInvalid) {
			t.Errorf("%s: %v, want ErrInvalid", name, err)
		}
	}
	for _, pole := range []Place{{90, 0}, {-90, 0}} {
		d, err := Of(pole, 2026, time.June, 21, time.UTC)
		if err != nil || d.Sun.State == Crosses {
			t.Errorf("pole %v: %+v, %v", pole, d, err)
		}
	}
}
