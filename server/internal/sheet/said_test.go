package sheet_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/sheet"
)

// friends is an event without a title: a couple, and two photos of three friends each.
func friends() (event.Event, event.CallSheet) {
	e := event.Event{Circles: []event.Circle{{ID: "couple", Title: "Tessa & Owen", Members: []string{"t", "o"}}}}
	for _, p := range []string{"t", "o", "a", "b", "c", "d", "e", "f"} {
		e.People = append(e.People, event.Person{ID: p, Name: strings.ToUpper(p) + p})
	}
	order := []taken{
		{id: "1", title: "One", seconds: 60, members: []string{"a", "b", "c"}},
		{id: "2", title: "Two", seconds: 60, members: []string{"d", "e", "f"}},
		{id: "3", title: "Three", seconds: 60, members: []string{"t", "o"}},
	}
	return e, event.CallSheet{Blocks: []event.SheetBlock{block("", time.Time{}, order, nil)}}
}

// "Everyone" is free only when nobody is wanted any more: read aloud it empties the lawn.
func TestEveryoneOnlyAtTheEnd(t *testing.T) {
	e, s := friends()
	text := textOf(t, e, s, 0)
	assert.Equal(t, 4, strings.Count(text, "Free to go: all of these")+strings.Count(text, "Free to go  all of these"), text)
	assert.NotContains(t, text, "everyone")
	s.Blocks[0].Entries = s.Blocks[0].Entries[:2]
	assert.Contains(t, textOf(t, e, s, 0), "Free to go: everyone")
}

// Those whom the day is about are no guests, who could go; a sheet without a title has their names over it.
func TestTheCoupleIsAtHome(t *testing.T) {
	e, s := friends()
	text := textOf(t, e, s, 0)
	assert.True(t, strings.HasPrefix(strings.TrimLeft(text, "=\n"), "Tessa & Owen\n"), text)
	assert.NotContains(t, text, "Free to go: T")
	for _, kind := range []sheet.Kind{sheet.Pocket, sheet.Reader, sheet.Finder, sheet.Standing} {
		assert.Contains(t, page(t, e, s, kind), "<title>Tessa &amp; Owen – ")
	}
}

// What somebody is to somebody is said in the grammar of the sheet, as is the group that lists make of everybody.
func TestRelationsInTheLanguageOfTheSheet(t *testing.T) {
	e, s := friends()
	e.Circles = append(e.Circles, event.Circle{ID: "everybody", Title: "Everybody", Members: []string{"a", "b", "c"}})
	for language, of := range map[string][2]string{
		"de": {"Nele's freund", "Freund von Nele"}, "fr": {"Hugo's compagne", "compagne d’Hugo"}, "es": {"Ana's novia", "novia de Ana"},
		"pt": {"Rui's namorada", "namorada de Rui"}, "en": {"Bob's wife", "Bob's wife"}, "zh": {"Bob's wife", "Bob's wife"},
	} {
		e.People[2].Relation = of[0]
		text := string(drawn(t, e, s, sheet.Options{Language: language}))
		assert.Contains(t, text, of[1], language)
		assert.Equal(t, language == "en", strings.Contains(string(drawn(t, e, s, sheet.Options{Kind: sheet.Finder, Form: sheet.HTML, Language: language})), "Everybody"), language)
	}
}

// Several who gather are spoken of as several; groups that nobody gathers stand apart.
func TestGroupsThatNobodyGathers(t *testing.T) {
	e, s := pairs(1)
	e.Circles[1].Leader = ""
	e.People = append(e.People, event.Person{ID: "o1", Name: "Åse"}, event.Person{ID: "o2", Name: "Bo"})
	s.Blocks[0].Entries[0].StepIn = append(s.Blocks[0].Entries[0].StepIn, "o1", "o2")
	text := shown(page(t, e, s, sheet.Cards))
	assert.Contains(t, text, "Rounds up the others: a1 ·")
	assert.Contains(t, text, "No helper for: Household Household Household b (3), Others (3)")
}

// Who gathers others is said after all that is to know of the person, not within how the name is said.
func TestTheLeaderIsSaidLast(t *testing.T) {
	e, s := quay()
	e.Circles[1].Leader = "duarte"
	assert.Contains(t, shown(page(t, e, s, sheet.Finder)), "Duarte Sequeira Amara's brother Rounds up the others")
}

// A title in two directions is a thing of its own over a column of the chart.
func TestTitlesOfTheChartAreIsolated(t *testing.T) {
	e, s := quay()
	assert.Contains(t, page(t, e, s, sheet.Chart), "\u2068Both families\u2069</text>")
}

// On a sheet in the script of a name nobody is told how that is said, and it comes before those in other scripts.
func TestNamesInTheScriptOfTheSheet(t *testing.T) {
	e, s := quay()
	for i, name := range []string{"Zoë Kaptein", "陈美玲", "سلمى منصور"} {
		e.People[i].Name, e.People[i].SayAs = name, "zz as it stands"
	}
	for language, first := range map[string]string{"en": "Zoë Kaptein", "ar": "سلمى منصور", "zh": "陈美玲"} {
		index := func(kind sheet.Kind) string {
			return string(drawn(t, e, s, sheet.Options{Kind: kind, Form: sheet.HTML, Language: language}))
		}
		_, list, _ := strings.Cut(index(sheet.Finder), `index">`)
		for _, name := range []string{"Zoë Kaptein", "陈美玲", "سلمى منصور"} {
			assert.LessOrEqual(t, strings.Index(list, first), strings.Index(list, name), language)
		}
		own := map[string]int{"en": 5, "ar": 3, "zh": 3}[language] // from A to Z those in a script that readers may not know
		assert.Equal(t, own, strings.Count(index(sheet.Finder), "as it stands"), language)
	}
}

// Whoever is free is read out: a name in a script that the caller may not know is followed by how it is said.
func TestWhoIsFreeCanBeReadOut(t *testing.T) {
	e, s := quay()
	for _, kind := range []sheet.Kind{sheet.Pocket, sheet.Reader} {
		assert.Contains(t, page(t, e, s, kind), "陳寶珠 say chun bo\u2011joo")
	}
	assert.NotContains(t, string(drawn(t, e, s, sheet.Options{Kind: sheet.Pocket, Form: sheet.HTML, Language: "zh"})), "chun bo")
}
