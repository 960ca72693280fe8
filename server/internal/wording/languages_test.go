package wording

import (
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/feature/plural"
)

// sameInEnglish are the texts that a language really writes as English does, or that are no words.
var sameInEnglish = map[string][]Key{
	"pt": {"sheet.minutes", "sheet.halfMinute", "sheet.hours", "phone.dismiss"},
	"es": {"sheet.minutes", "sheet.halfMinute", "sheet.hours"},
	"fr": {"phone.notes", "phone.told.note", "sheet.minutes", "sheet.halfMinute", "sheet.wholeMinutes", "sheet.hours", "sheet.photographer", "sheet.columnLength", "sheet.columnDate",
		"sheet.columnGrouping", "sheet.groupings", "sheet.photographCount", "sheet.photographs", "page.photographs", "check.groupings", "check.grouping2", "phone.dismiss"},
	"de": {"sheet.columnName", "sheet.columnLength", "phone.dismiss"},
}

// abbreviated are units, which German ends with a full stop.
var abbreviated = []Key{"sheet.minutes", "sheet.halfMinute", "sheet.hours"}

// signs are texts without words.
var signs = []Key{"sheet.degrees", "sheet.semicolon", "sheet.titleComma", "sheet.sentence", "sheet.sentences", "sheet.circle", "sheet.labelled", "sheet.colon", "sheet.listSeparator", "sheet.factSeparator", "page.of"}

// arguments lists the arguments that a wording takes, each once, by number.
func arguments(s string) []string {
	var found []string
	next := 0
	for _, m := range verb.FindAllStringSubmatch(s, -1) {
		switch {
		case m[2] == "%":
		case m[1] != "":
			found = append(found, m[1])
		default:
			next++
			found = append(found, strconv.Itoa(next))
		}
	}
	slices.Sort(found)
	return slices.Compact(found)
}

// others are the languages but English.
func others() []*Catalogue {
	var out []*Catalogue
	for _, e := range editions[1:] {
		out = append(out, e.get())
	}
	return out
}

func in(tag string) *Catalogue {
	c, _ := For(tag)
	return c
}

var french, german, arabic, chinese = in("fr"), in("de"), in("ar"), in("zh")

// No text is missing from any language or left in English, none is there that English lacks, and all take what
// the English one takes.
func TestLanguagesAreComplete(t *testing.T) {
	for _, c := range others() {
		tag := c.tag.String()
		t.Run(tag, func(t *testing.T) {
			for k := range c.texts {
				assert.Contains(t, english.texts, k)
			}
			for k, en := range english.texts {
				m, ok := c.texts[k]
				require.True(t, ok, "no %s: %q", k, en.other)
				assert.NotEmpty(t, m.other, k)
				assert.Equal(t, arguments(en.other), arguments(m.other), "%s: arguments of %q", k, m.other)
				for form, s := range m.forms {
					assert.Subset(t, arguments(en.other), arguments(s), "%s: arguments of %q", k, s)
					assert.NotEmpty(t, s, "%s: form %d", k, form)
				}
				allowed := slices.Contains(signs, k) || slices.Contains(sameInEnglish[tag], k)
				assert.Equal(t, allowed && m.other == en.other, m.other == en.other, "%s: %q is left in English", k, m.other)
				assert.NotContains(t, verb.ReplaceAllString(m.other, ""), "%", "%s: a percent sign is written %%%%", k)
				if tag == "ar" || tag == "zh" || strings.HasPrefix(string(k), "phone.") || slices.Contains(abbreviated, k) {
					continue
				}
				assert.Equal(t, strings.HasSuffix(en.other, "."), strings.HasSuffix(m.other, "."), "%s: the full stop of %q", k, m.other)
				assert.Equal(t, strings.HasSuffix(en.other, " "), strings.HasSuffix(m.other, " "), "%s: the end of %q", k, m.other)
			}
		})
	}
}

// A text that counts has every form that the Unicode CLDR plural rules give the language, as package
// golang.org/x/text has them, and says the number or a word for it.
func TestPluralForms(t *testing.T) {
	for _, c := range append(others(), english) {
		needed := map[plural.Form]bool{}
		for n := range 200 {
			needed[plural.Cardinal.MatchPlural(c.plurals, n, 0, 0, 0, 0)] = true
		}
		delete(needed, plural.Other)
		for k := range english.texts {
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
		assert.Contains(t, arabic.Say("sheet.people", n)+" ", want)
	}
	assert.Equal(t, "0 personne sur la photo", french.Say("sheet.people", 0), "French: zero is singular")
	assert.Equal(t, "0 pessoas na foto", in("pt").Say("sheet.people", 0), "Portugal: zero is plural, in Brazil it is not")
	assert.Equal(t, `"Lawn" has room for 1 person`, english.Say("plan.holdingPeople", Quoted("Lawn"), 1), "the first number chooses")
	assert.Equal(t, "0 Personen im Bild", german.Say("sheet.people", 0))
	assert.Equal(t, "画面中 1 人", chinese.Say("sheet.people", 1))
}

// Full dates as in Unicode CLDR 44, common/main, dateFormat full, Gregorian (from memory; the first
// of a month in French after the typography of the Imprimerie nationale).
func TestDates(t *testing.T) {
	want := map[string]string{
		"en": "Saturday 20 June 2026", "pt": "sábado, 20 de junho de 2026", "es": "sábado, 20 de junio de 2026",
		"fr": "samedi 20 juin 2026", "de": "Samstag, 20. Juni 2026", "ar": "السبت، ٢٠ يونيو ٢٠٢٦", "zh": "2026年6月20日星期六",
	}
	for tag, date := range want {
		assert.Equal(t, date, in(tag).LongDate("2026-06-20"))
	}
	assert.Equal(t, "jeudi 1er octobre 2026", french.LongDate("2026-10-01"))
}

func TestChoiceOfLanguage(t *testing.T) {
	for tag, want := range map[string]string{
		"": "en", "en-GB": "en", "pt-BR": "pt", "es_MX": "es", "fr-CA": "fr", "de-CH": "de", "ar-EG": "ar", "zh-Hans-SG": "zh",
		"sv": "en", "x-own": "en",
	} {
		c, ok := For(tag)
		require.True(t, ok, tag)
		assert.Equal(t, want, c.tag.String(), tag)
	}
	for _, tag := range []string{"?", "e", "español", strings.Repeat("a", 10000)} {
		_, ok := For(tag)
		assert.False(t, ok, tag)
	}
	// Default numbering systems of Unicode CLDR (from memory): arab for Arabic and Egypt, latn for
	// Morocco; an extension of the tag overrides them.
	for tag, want := range map[string]string{"ar": "١٢", "ar-EG": "١٢", "ar-MA": "12", "ar-MA-u-nu-arab": "١٢", "ar-u-nu-latn": "12", "zh": "12"} {
		c, _ := For(tag)
		assert.Equal(t, want, c.Number(12), tag)
	}
}

// Lengths are rounded to what can be kept: entries to half minutes, blocks up to whole ones.
func TestLengths(t *testing.T) {
	for d, want := range map[time.Duration]string{
		0: "½ min", -time.Hour: "½ min", 44 * time.Second: "½ min", 45 * time.Second: "1 min", 385 * time.Second: "6.5 min",
	} {
		assert.Equal(t, want, english.Minutes(d), d.String())
	}
	for d, want := range map[time.Duration]string{
		-1: "0 min", 60 * time.Second: "1 min", 61 * time.Second: "2 min", 2 * time.Hour: "120 min", 125 * time.Minute: "2 h 5 min",
	} {
		assert.Equal(t, want, english.WholeMinutes(d), d.String())
	}
	assert.Equal(t, "Saturday 12 June 2027", english.LongDate("2027-06-12"))
	assert.Equal(t, "next summer", english.LongDate("next summer"))
}
