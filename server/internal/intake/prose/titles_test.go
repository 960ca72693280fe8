package prose

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// A photograph is called what its line says, without what is said beside the people: every reader sees titles.
func TestTitles(t *testing.T) {
	_, got := photographsOf(t, "Wedding of Nell & Otto", "",
		"MOB Ida (wheelchair), FOB Karl", "MOH Pia", "",
		"1. B&G + MOB + FOB",
		"2) Nell w/ her parents (must)",
		"- Nell with Ida and Karl - ONE only, quick, Ida and Karl don't speak",
		"[ ] Otto + Gran Vera (82, can't stand long) + Emil",
		"Everyone - Karl",
		"    + Karl",
		"6. Couple + bridesmaids (Pia, Lotte)",
		"7. same + Karl")
	var titles []string
	for _, g := range got.Event.Groupings {
		titles = append(titles, g.Title)
	}
	assert.Equal(t, []string{"B&G + MOB + FOB", "Nell w/ her parents", "Nell with Ida and Karl", "Otto + Gran Vera + Emil",
		"Everyone - Karl", "Everyone - Karl + Karl", "Couple + bridesmaids (Pia, Lotte)", ""}, titles)
	relations := map[string]string{}
	for _, p := range got.Event.People {
		relations[p.Name] = p.Relation
	}
	assert.Equal(t, "mother", relations["Ida"])
	assert.Equal(t, "father", relations["Karl"])
	assert.Equal(t, "maid of honour", relations["Pia"])
}

// "Mum" below a heading says little on a sheet: names make the title.
func TestTitlesBelowHeadings(t *testing.T) {
	_, got := photographsOf(t, "Wedding of Nell & Otto", "", "Nell's family:", "- parents: Ida, Karl", "- mum", "- Nell + mum", "", "Otto's family:", "- Vera & Emil")
	var titles []string
	for _, g := range got.Event.Groupings {
		titles = append(titles, g.Title)
	}
	assert.Contains(t, titles, "Nell + mum")
	assert.NotContains(t, titles, "mum")
}

// Ages between names end no title, and a greeting is none of the day.
func TestTitlesWithAges(t *testing.T) {
	_, got := photographsOf(t, "Hi Dana,", "", "Couple: Nell & Otto", "", "1. Nell & Otto + her mum Ida", "2. The Linds: Ben Jr, Eve, Uma 11, Jude 8")
	assert.Equal(t, "The Linds: Ben Jr, Eve, Uma, Jude", got.Event.Groupings[1].Title)
	assert.Empty(t, got.Event.Title)
}
