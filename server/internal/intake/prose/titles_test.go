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

// A subject that says only that photos follow, and when, is no name of a day: the couple is.
func TestTitlesOfMailsAreTheCouple(t *testing.T) {
	for first, want := range map[string]string{
		"Subject: group photos for Saturday 12 June 2027!!": "Nell & Otto",
		"Betreff: Gruppenfotos":                             "Nell & Otto",
		"Group photos 12 June 2027":                         "Nell & Otto",
		"Subject: Fwd: our wedding at the mill":             "our wedding at the mill",
		"Wedding of Nell & Otto":                            "Wedding of Nell & Otto",
	} {
		_, got := photographsOf(t, first, "", "Couple: Nell & Otto", "", "1. Nell & Otto + her mum Ida")
		assert.Equal(t, want, got.Event.Title, first)
	}
}

// Where somebody stands is for all to read; how many there are counts beside it, and "by 3.40" is in the afternoon.
func TestTitlesSayWhere(t *testing.T) {
	_, got := photographsOf(t, "Couple: Nell & Otto", "Date: 2027-06-19", "", "1. Bridesmaids: Eve, Uma, by the rose arch", "2. Everyone!! from the balcony (about 110 guests)",
		"3. Nell + Nana Pearl, on medication, let her go by 3.40 please")
	g := got.Event.Groupings
	assert.Equal(t, []string{"Bridesmaids: Eve, Uma, by the rose arch", "Everyone from the balcony", "Nell + Nana Pearl"}, []string{g[0].Title, g[1].Title, g[2].Title})
	assert.Equal(t, 105, g[1].Guests)
	assert.Empty(t, g[0].PrivateNote+g[1].PrivateNote, "what the title says is no private note too")
	_, de := photographsOf(t, "Nell & Otto", "", "1. Alle zusammen (ca. 80 Leute) von der Treppe aus", "2. Nell mit Ida im Garten")
	assert.Equal(t, []string{"Alle zusammen von der Treppe aus", "Nell mit Ida im Garten"}, []string{de.Event.Groupings[0].Title, de.Event.Groupings[1].Title})
	assert.Equal(t, "15:40", got.Event.People[len(got.Event.People)-1].PresentUntil)
}

// What stands over nothing at the end of a list is wanted too, everybody of whom more is said are some, and a range ends.
func TestNothingAtTheEndIsLost(t *testing.T) {
	got, res := photographsOf(t, "Couple: Nell & Otto", "Date: 2027-06-19", "Group photos 3.15 to 4.15 on the lawn, speeches 5pm", "", "1. Nell & Otto + her parents Ida and Karl",
		"2. Everyone who is still there", "", "Everyone who was born in Volos", "All the people from the choir", "The neighbours from number 12")
	assert.Equal(t, []string{"Ida, Karl, Nell, Otto", "Everyone who was born in Volos, Ida, Karl, Neighbours from number 12, Nell, Otto, People from the choir", "Everyone who was born in Volos", "People from the choir", "Neighbours from number 12"}, got)
	assert.Equal(t, []string{"15:15", "16:15"}, []string{res.Event.Blocks[0].Opens, res.Event.Blocks[0].Closes})
	for _, line := range []string{"Photos de 15h15 à 16h15", "Fotos de 15:15 a 16:15", "Fotos von 15:15 bis 16:15", "Fotos das 15h15 às 16h15"} {
		_, res := photographsOf(t, "Nell & Otto, 19.6.2027", line, "", "1. Nell & Otto + Ida", "2. Nell & Otto + Karl", "3. Nell + Eve")
		if assert.NotEmpty(t, res.Event.Blocks, line) {
			assert.Equal(t, []string{"15:15", "16:15"}, []string{res.Event.Blocks[0].Opens, res.Event.Blocks[0].Closes}, line)
		}
	}
}
