package sheet

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
)

// evening is a sheet with a low sun that goes down behind the people, and a lens for its photograph.
func evening() (event.Event, event.CallSheet) {
	e := event.Event{
		Title: "X", Date: "2026-06-20", TimeZone: "Europe/Lisbon",
		People: []event.Person{{ID: "p", Name: "X"}}, Groupings: []event.Grouping{{ID: "g", Title: "X", Members: []string{"p"}}},
		Blocks: []event.Block{{ID: "b", Title: "X"}},
	}
	at := func(hour, minute int) time.Time { return time.Date(2026, 6, 20, hour, minute, 0, 0, time.UTC) }
	s := event.CallSheet{Blocks: []event.SheetBlock{{
		Block: "b", Start: at(18, 30), Length: 20 * time.Minute,
		Light: &event.BlockLight{
			Sunrise: at(5, 12), Sunset: at(20, 5), Dusk: at(20, 37), Glare: event.IntoLens,
			Begin: event.SunAt{Altitude: 16, Azimuth: 286, Height: event.LowSun, Side: event.SunAhead},
			End:   event.SunAt{Altitude: 12, Azimuth: 289, Height: event.LowSun, Side: event.SunAhead},
		},
		Entries: []event.SheetEntry{{Grouping: "g", Title: "X", Length: 20 * time.Minute, StepIn: []string{"p"}, Frames: 2, Lens: &event.EntryLens{
			FocalMM: 50, DistanceCM: 480, Aperture: 5.6, FocusCM: 550, FocusRow: 2, NearCM: 420, FarCM: 0, AngleAcross: 39.6, AngleUp: 27,
			Rows: 3, Warnings: []event.LensWarning{event.SpaceTooSmall, event.SmallInFrame},
		}}},
	}}}
	return e, s
}

func TestLightAndLensInEveryLanguage(t *testing.T) {
	want := map[string][2]string{
		"en": {"low sun (16° to 12°) from the west-north-west, in front of the camera · sunset 21:05, dark from 21:37",
			"50 mm from 5 m, f/5.6, 3 rows, focus on row 2, sharp from 4.5 m on, does not fit from here: more rows, a wider lens or more room"},
		"pt": {"sol baixo (16° a 12°) a oés-noroeste, à frente da câmara · pôr do sol 21:05, escuro a partir das 21:37", "50 mm a 5 m, f/5,6, 3 filas"},
		"es": {"sol bajo (16° a 12°) al oestenoroeste, delante de la cámara · puesta de sol 21:05, oscuro desde las 21:37", "50 mm a 5 m, f/5,6, 3 filas"},
		"fr": {"soleil bas (16° à 12°) côté ouest-nord-ouest, devant l’appareil · coucher du soleil 21:05, nuit dès 21:37", "à 5 m"},
		"de": {"tief stehende Sonne (16° bis 12°) aus Westnordwest, vor der Kamera · Sonnenuntergang 21:05, dunkel ab 21:37", "50 mm aus 5 m, f/5,6, 3 Reihen"},
		"ar": {"شمس منخفضة (١٦° إلى ١٢°) من جهة غرب الشمال الغربي، أمام الكاميرا · الغروب ٢١:٠٥، الظلام من ٢١:٣٧", "٥٠ مم من مسافة ٥ م، \u2066f/٥٫٦\u2069، ٣ صفوف"},
		"zh": {"低角度太阳 16° 至 12°，位于西北偏西，在相机前方 · 日落 21:05，21:37 起天黑", "50 mm，距离 5 米，f/5.6，3 排"},
	}
	e, s := evening()
	for tag, parts := range want {
		out, err := Draw(e, s, Options{Form: HTML, Language: tag})
		require.NoError(t, err)
		for _, part := range parts {
			assert.Contains(t, spaced(out.Content), part, tag)
		}
		text, err := Draw(e, s, Options{Form: Text, Language: tag, Width: 400})
		require.NoError(t, err)
		assert.Contains(t, string(text.Content), parts[0], tag)
		cat, _ := wording.For(tag)
		assert.Contains(t, string(text.Content), cat.Say("sheet.cautionSun"), "the camera looks into the sun")
	}
}

// spaced is a sheet with plain spaces in place of those that keep numbers with their units.
func spaced(content []byte) string { return strings.ReplaceAll(string(content), "\u00a0", " ") }

func TestLightSaysWhatThereIs(t *testing.T) {
	e, s := evening()
	l := s.Blocks[0].Light
	english, _ := wording.For("en")
	line := func() string { return newBuilder(english, &e, &s).sky().Light(&s.Blocks[0]) }
	l.End = event.SunAt{Altitude: -2, Azimuth: 300, Height: event.Twilight}
	assert.Equal(t, "low sun (16°) from the west-north-west, in front of the camera; at the end twilight · sunset 21:05, dark from 21:37", line())
	l.Begin = event.SunAt{Altitude: 82, Azimuth: 40}
	l.End = event.SunAt{Altitude: 81, Azimuth: 330}
	assert.Equal(t, "high sun (82°); at the end high sun (81°) · stay in open shade, or use a little fill flash · sunset 21:05, dark from 21:37", line())
	l.Begin, l.Sunset, l.Dusk, l.Sun, l.Twilight = event.SunAt{Altitude: 4, Azimuth: 359, Height: event.LowSun}, time.Time{}, time.Time{}, event.SunStaysUp, event.SunStaysUp
	l.End = l.Begin
	assert.Equal(t, "low sun (4°) from the north · the sun does not set", line())
	l.Sun, l.Twilight = event.SunStaysDown, event.SunStaysDown
	l.Begin.Height, l.End.Height = event.Dark, event.Dark
	assert.Equal(t, "dark · the sun does not rise, it does not get light", line())
	l.Sun, l.Twilight, l.Sunset = event.SunRises, event.SunStaysUp, time.Date(2026, 6, 20, 23, 0, 0, 0, time.UTC)
	l.Sunrise = s.Blocks[0].Start.Add(time.Hour)
	assert.True(t, strings.HasSuffix(line(), "· sunrise 20:30, sunset 00:00, it does not get dark"), line())
	// Nonsense that a caller sends back does no harm.
	l.Begin.Azimuth, l.Begin.Altitude, l.Begin.Height, l.Begin.Side = -2147483648, 2147483647, 0, 99
	assert.NotPanics(t, func() { line() })
	s.Blocks[0].Light = nil
	assert.Empty(t, line())
}

func TestReadersSheetsSayNothingOfLenses(t *testing.T) {
	e, s := evening()
	for _, kind := range []Kind{Reader, Cards, Finder} {
		out, err := Draw(e, s, Options{Kind: kind, Form: HTML})
		require.NoError(t, err)
		assert.NotContains(t, spaced(out.Content), "50 mm")
	}
}

// Lenses are told as a photographer sets them: a focal length that has a mark, never a longer one than was reckoned, and
// distances in halves of metres.
func TestLensesAsTheyAreSet(t *testing.T) {
	e, s := evening()
	english, _ := wording.For("en")
	for _, c := range []struct {
		lens event.EntryLens
		want string
	}{
		{event.EntryLens{FocalMM: 59, DistanceCM: 1060, Aperture: 4, FocusCM: 1060, NearCM: 650, FarCM: 8360}, "50 mm from 10.5 m, f/4, focus at 10.5 m, sharp from 6.5 m on"},
		{event.EntryLens{FocalMM: 85, DistanceCM: 870, Aperture: 2.8, FocusCM: 890, NearCM: 830, FarCM: 1060}, "85 mm from 8.5 m, f/2.8, focus at 9 m, sharp from 8.5 to 10.5 m"},
		{event.EntryLens{FocalMM: 69.5, DistanceCM: 300, Aperture: 2.8, FocusCM: 310, NearCM: 293, FarCM: 328}, "50 mm from 3 m, f/2.8, focus at 3 m, sharp from 2.9 to 3.3 m"},
		{event.EntryLens{FocalMM: 8, DistanceCM: 120, Aperture: 8, FocusCM: 120, NearCM: 60}, "8 mm from 1 m, f/8, focus at 1 m, sharp from 1 m on"},
	} {
		assert.Equal(t, c.want, spaced([]byte(newBuilder(english, &e, &s).sky().Lens(&c.lens))))
	}
}
