package sheet

import (
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/feature/plural"

	"kinorder.example/server/internal/event"
)

// sameInEnglish are the texts that a language really writes as English does, or that are no words.
var sameInEnglish = map[string][]key{
	"pt": {keyMinutes, keyHalfMinute, keyHours},
	"es": {keyMinutes, keyHalfMinute, keyHours},
	"fr": {keyMinutes, keyHalfMinute, keyHours, keyPhotographer, keyColumnLength, keyColumnDate},
	"de": {keyColumnName, keyColumnLength},
}

// signs are texts without words.
var signs = []key{keyTitleComma, keySentence, keyCircle, keyLabelled, keyColon, keyListSeparator}

var argument = regexp.MustCompile(`%\[\d\]s`)

// arguments lists the arguments that a text takes, each once.
func arguments(s string) []string {
	found := argument.FindAllString(s, -1)
	slices.Sort(found)
	return slices.Compact(found)
}

// No text is missing from any language or left in English, and all take what the English one takes.
func TestLanguagesAreComplete(t *testing.T) {
	for _, c := range catalogues[1:] {
		t.Run(c.tag.String(), func(t *testing.T) {
			assert.Len(t, c.texts, int(keyCount))
			for k := range keyCount {
				m, ok := c.texts[k]
				require.True(t, ok, "no %q", english.texts[k].other)
				en := english.texts[k]
				assert.Equal(t, arguments(en.other), arguments(m.other), "arguments of %q", m.other)
				for form, s := range m.forms {
					assert.Subset(t, arguments(en.other), arguments(s), "arguments of %q", s)
					assert.NotEmpty(t, s, "form %d of %q", form, m.other)
				}
				allowed := slices.Contains(signs, k) || slices.Contains(sameInEnglish[c.tag.String()], k)
				assert.Equal(t, allowed && m.other == en.other, m.other == en.other, "%q is left in English", m.other)
				rest := strings.ReplaceAll(argument.ReplaceAllString(m.other, ""), "%%", "")
				assert.NotContains(t, rest, "%", "a percent sign is written %%%%")
			}
			for i, list := range [][]string{c.weekdays[:], c.months[:]} {
				for _, s := range list {
					assert.NotEmpty(t, s, i)
				}
			}
		})
	}
}

// A text that counts has every form that the Unicode CLDR plural rules give the language, as package
// golang.org/x/text has them, and says the number or a word for it.
func TestPluralForms(t *testing.T) {
	for _, c := range catalogues {
		needed := map[plural.Form]bool{}
		for n := range 200 {
			needed[plural.Cardinal.MatchPlural(c.tag, n, 0, 0, 0, 0)] = true
		}
		delete(needed, plural.Other)
		for k := range keyCount {
			if len(english.texts[k].forms) == 0 {
				continue
			}
			for form := range needed {
				assert.Contains(t, c.texts[k].forms, form, "%s, %q", c.tag, c.texts[k].other)
			}
		}
	}
	// From memory: Arabic counts one, two, 3 to 10, 11 to 99 and hundreds differently.
	for n, want := range map[int]string{1: "شخص واحد", 2: "شخصان", 3: "٣ أشخاص", 10: "١٠ أشخاص", 11: "١١ شخصًا", 99: "٩٩ شخصًا", 100: "١٠٠ شخص ", 103: "١٠٣ أشخاص"} {
		assert.Contains(t, arabic.say(keyPeople, n)+" ", want)
	}
	assert.Equal(t, "0 personne sur la photo", french.say(keyPeople, 0), "French: zero is singular")
	assert.Equal(t, "0 Personen im Bild", german.say(keyPeople, 0))
	assert.Equal(t, "画面中 1 人", chinese.say(keyPeople, 1))
}

// Full dates as in Unicode CLDR 44, common/main, dateFormat full, Gregorian (from memory; the first
// of a month in French after the typography of the Imprimerie nationale).
func TestDates(t *testing.T) {
	want := map[string]string{
		"en": "Saturday 20 June 2026", "pt": "sábado, 20 de junho de 2026", "es": "sábado, 20 de junio de 2026",
		"fr": "samedi 20 juin 2026", "de": "Samstag, 20. Juni 2026", "ar": "السبت، ٢٠ يونيو ٢٠٢٦", "zh": "2026年6月20日星期六",
	}
	require.Len(t, want, len(catalogues))
	for _, c := range catalogues {
		assert.Equal(t, want[c.tag.String()], c.longDate("2026-06-20"))
	}
	assert.Equal(t, "jeudi 1er octobre 2026", french.longDate("2026-10-01"))
}

func TestChoiceOfLanguage(t *testing.T) {
	for tag, want := range map[string]string{
		"": "en", "en-GB": "en", "pt-BR": "pt", "es_MX": "es", "fr-CA": "fr", "de-CH": "de", "ar-EG": "ar", "zh-Hans-SG": "zh",
		"sv": "en", "x-own": "en",
	} {
		c, ok := catalogueFor(tag)
		require.True(t, ok, tag)
		assert.Equal(t, want, c.tag.String(), tag)
	}
	for _, tag := range []string{"?", "e", "español", strings.Repeat("a", 10000)} {
		_, ok := catalogueFor(tag)
		assert.False(t, ok, tag)
	}
	// Default numbering systems of Unicode CLDR (from memory): arab for Arabic and Egypt, latn for
	// Morocco; an extension of the tag overrides them.
	for tag, want := range map[string]string{"ar": "١٢", "ar-EG": "١٢", "ar-MA": "12", "ar-MA-u-nu-arab": "١٢", "ar-u-nu-latn": "12", "zh": "12"} {
		c, _ := catalogueFor(tag)
		assert.Equal(t, want, c.number(12), tag)
	}
}

// inScript is an event all of whose own texts are in one script, so that any letter of another comes
// from the labels.
func inScript(word string) (event.Event, event.CallSheet) {
	e := event.Event{
		Title: word, Date: "2026-06-20", TimeZone: "Europe/Lisbon",
		Sides: []event.Side{{ID: "a", Label: word}},
		People: []event.Person{
			{ID: "p", Name: word + "1", SayAs: word, Relation: word, Side: "a", AgeBand: event.Elder,
				Needs: []event.Need{event.Seat, event.Wheelchair, event.StepFree, event.Interpreter}, PresentFrom: "15:03"},
			{ID: "q", Name: word + "2", AgeBand: event.Child}, {ID: "r", Name: word + "3"},
		},
		Circles: []event.Circle{{ID: "c", Title: word + "4", Members: []string{"p", "q"}, Leader: "p"}},
		Blocks:  []event.Block{{ID: "b", Title: word, Place: word, Photographer: word}, {ID: "n", Title: word}, {ID: "z", Title: word}},
	}
	start := time.Date(2026, 6, 20, 14, 0, 0, 0, time.UTC)
	entries := []event.SheetEntry{
		{Title: word, Wait: 3 * time.Minute, Offset: 3 * time.Minute, Length: 20 * time.Second, StepIn: []string{"p", "q"}, Frames: 2, Near: []string{"r"}},
		{Title: word, Wait: time.Minute, Offset: 5 * time.Minute, Length: 90 * time.Second, StepOut: []string{"p"}, Stay: []string{"q"}, Standby: []string{"r"}, Released: []string{"q"}},
		{Title: word, Offset: 7 * time.Minute, Length: 90 * time.Minute, StepOut: []string{"q"}, StepIn: []string{"r", "p"}, Released: []string{"p"}},
		{Title: word, Offset: 97 * time.Minute, Length: 90 * time.Minute, Stay: []string{"r", "p"}},
	}
	s := event.CallSheet{
		Blocks: []event.SheetBlock{
			{Block: "b", Start: start, Length: 187 * time.Minute, StepIns: 4, Entries: entries},
			{Block: "n", Start: start.Add(24 * time.Hour), Length: time.Minute, Entries: []event.SheetEntry{{Title: word, StepIn: []string{"r"}}}},
			{Block: "z", Start: start},
		},
		LeftOut: []event.LeftOut{{Grouping: "g", Reason: word, Priority: event.Must}},
		Advice:  []event.Advice{{Text: word}, {Text: word, Severity: event.Warning}, {Text: word, Severity: event.Error}},
		Totals:  event.Totals{Groupings: 4, StepIns: 5, RequestedStepIns: 6, FloorStepIns: 5, Cost: 100, Bound: 90},
	}
	e.Groupings = []event.Grouping{{ID: "g", Title: word, Members: []string{"p"}}, {ID: "m", Members: []string{"c", "r"}, Without: []string{"q"}}}
	taken, _ := event.Expand(e)
	entries[3].Grouping, entries[3].Title = "m", taken[1].Title
	return e, s
}

var (
	markup   = regexp.MustCompile(`(?s)<style>.*?</style>|<[^>]*>`)
	latin    = regexp.MustCompile(`[A-Za-z]{2,}`)
	property = regexp.MustCompile(`(?m)^(BEGIN|END|VERSION|PRODID|CALSCALE|METHOD|UID|DTSTAMP|DTSTART|DTEND):.*$|^[A-Z]+:|\\n`)
)

// Nothing on any sheet is in English where the sheet is not: no text is written outside the catalogue.
func TestNoLabelEscapesTheCatalogue(t *testing.T) {
	for tag, word := range map[string]string{"ar": "كلمة", "zh": "词语"} {
		e, s := inScript(word)
		untimed := s
		untimed.Blocks = slices.Clone(s.Blocks)
		for i := range untimed.Blocks {
			untimed.Blocks[i].Start = time.Time{}
		}
		for kind := range kinds {
			for _, form := range kind.Forms() {
				for _, sheet := range []event.CallSheet{s, untimed, {}} {
					for _, per := range []Per{PerPerson, PerCircle} {
						out := string(draw(t, e, sheet, Options{Kind: kind, Form: form, Language: tag, Per: per, Stamp: time.Unix(0, 0)}))
						if form == Calendar {
							out = property.ReplaceAllString(strings.ReplaceAll(out, "\r\n ", ""), "")
						}
						out = markup.ReplaceAllString(out, " ")
						assert.Empty(t, latin.FindAllString(out, -1), "%s, kind %d, form %d", tag, kind, form)
					}
				}
			}
		}
	}
}
