package prose

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
)

// Three and more names behind words for several, with "and" before the last, are who those are.
func TestNamesBehindRoles(t *testing.T) {
	got, _ := photographsOf(t, "Nell & Otto", "", "- Nell with her bridesmaids, Eve, Uma and Cleo", "- Nell and Otto with the ushers, Ed, Max and Pete", "- Otto with our friends from the choir, Ida, Ada and Kurt",
		"- Nell with Granny Joan")
	assert.Equal(t, []string{"Cleo, Eve, Nell, Uma", "Ed, Max, Nell, Otto, Pete", "Ada, Ida, Kurt, Otto", "Granny Joan, Nell"}, got)
}

// Words that say how much a photo is wanted stand before a colon over nobody.
func TestWishBeforeColon(t *testing.T) {
	got, res := photographsOf(t, "Gruppenfotos Hochzeit Nell & Otto, 12. Juni 2027", "", "- Brautpaar mit Oma Hilde", "- Nell mit Trauzeugin Kathi", "",
		"Wenn noch Zeit ist: Nell mit ihren Freundinnen Kathi, Ida und Eve")
	assert.Equal(t, []string{"Nell, Oma Hilde, Otto", "Kathi, Nell", "Eve, Ida, Kathi, Nell"}, got)
	assert.Equal(t, event.Nice, res.Event.Groupings[2].Priority)
	assert.NotEqual(t, event.Child, res.Event.People[1].AgeBand, "the day of a date is no age")
}

// A place and a time "after the ceremony" are no part of the day that the photographs below are set aside with.
func TestHeadingsAfterTheCeremony(t *testing.T) {
	got, _ := photographsOf(t, "Nell & Otto", "", "3:45pm - Church steps, straight after the ceremony", "- Nell with Ida", "- Otto with Karl", "", "5:30pm - Lawn, before guests are seated", "- Nell & Otto with Eve")
	assert.Equal(t, []string{"Ida, Nell", "Karl, Otto", "Eve, Nell, Otto"}, got)
}

// Whose family it is belongs to it, except where it is to be alone.
func TestFamilyOfOne(t *testing.T) {
	got, _ := photographsOf(t, "Nell & Otto", "", "1. Nell with her mum Ida and dad Karl", "2. Nell's family", "3. Nell's family without Karl", "4. Nell's family alone")
	assert.Equal(t, []string{"Ida, Karl, Nell", "Ida, Karl, Nell", "Ida, Nell", "Ida, Karl"}, got)
}

// A word with a sentence to itself is no person where others are named, and one alone asks for no photo.
func TestExclamations(t *testing.T) {
	got, res := photographsOf(t, "Nell & Otto", "", "12/05/2025, 19:02 - Nell: 1. us with Ida", "12/05/2025, 19:03 - Otto: Omgosh. 2. us with Karl", "12/05/2025, 19:04 - Nell: Brillo!", "12/05/2025, 19:05 - Nell: ach ja klar. 3. us with Eve")
	assert.Equal(t, []string{"Ida, Nell, Otto", "Karl, Nell, Otto", "Eve, Nell, Otto"}, got)
	assert.Len(t, res.Event.People, 5)
}

// What a line says and its photographs don't have is asked about, once.
func TestAccountOfWords(t *testing.T) {
	_, res := photographsOf(t, "Nell & Otto", "", "1. Otto with his three brothers", "2. Otto's brother Ed", "3. Otto's brother Max", "4. Ida's children Ada and Eve", "5. all cousins of Nell together, without grown-ups", "6. Nell's cousin Uma")
	var asked []string
	for _, p := range res.Problems {
		if p.Line == 3 || p.Line == 7 {
			asked = append(asked, p.Text())
		}
	}
	assert.Contains(t, asked, "The line says 3 people; people known to be in it: 2.")
	assert.Contains(t, asked, "Who is left out by “without grown-ups”? Nobody was.")
}

// Rules in the words "away from" and "but not": both are named, and what people are kept away from is no thing.
func TestRulesAwayFrom(t *testing.T) {
	for said, want := range map[string]int{
		"Keep Ida away from Karl": 1, "Please keep Ida well away from Karl": 1, "Ida and Karl are fine in one photo but NOT side by side": 1,
		"Ida and Karl OK but not next to each other thanks": 1, "Ida and Karl can sit far from the speakers": 0,
	} {
		_, res := photographsOf(t, "Nell & Otto", "", "1. Couple with Ida", "2. Couple with Karl", "", said)
		assert.Len(t, res.Event.Rules, want, said)
	}
}

// The place behind the hours is that of the photos, and nobody.
func TestPlaceBehindHours(t *testing.T) {
	for line, want := range map[string]string{
		"Group photos 3.15pm to 4pm, rose garden, Long Barn": "rose garden, Long Barn",
		"15:15-16:00 rose garden":                            "rose garden",
		"Gruppenfotos 15:15 bis 16:00 Uhr, im Rosengarten":   "Rosengarten",
		"Photos 15h15 à 16h00, devant l'église":              "l'église",
		"Group photos 3.15pm to 4pm":                         "",
	} {
		got, res := photographsOf(t, "Nell & Otto, 12 June 2027", line, "", "1. Nell with Ida", "2. Otto with Karl")
		assert.Equal(t, []string{"Ida, Nell", "Karl, Otto"}, got, line)
		if assert.Len(t, res.Event.Blocks, 1, line) {
			b := res.Event.Blocks[0]
			assert.Equal(t, []string{"15:15", "16:00", want}, []string{b.Opens, b.Closes, b.Place}, line)
		}
	}
}

// A role of several words in front of a name is no part of it, in a section of guests either.
func TestRoleBeforeNameAmongGuests(t *testing.T) {
	got, _ := photographsOf(t, "Nell & Otto", "", "Otto's side", "Mum Ida, Dad Karl", "Brother Max + wife Eve", "Best man Max, ushers Ed and Pete", "", "Photos", "1. Everyone", "2. Otto with best man and ushers", "3. Otto with Ida and Karl")
	assert.Equal(t, []string{"Ed, Eve, Ida, Karl, Max, Nell, Otto, Pete", "Ed, Max, Otto, Pete", "Ida, Karl, Otto"}, got)
}

// Photos in capitals head what is below, whatever the line tells beside, and so do photos over numbers below who is who.
func TestHeadingsThatTellMore(t *testing.T) {
	got, _ := photographsOf(t, "Run sheet / Nell & Otto", "", "PREP (Nell, at the mill)", "dress, shoes, rings", "Ida doing up the dress", "", "CEREMONY 1pm", "guests arriving, details", "confetti", "",
		"GROUPS 1.45pm, walled garden, 30 min", "couple with Ida", "Otto with Karl")
	assert.Equal(t, []string{"Ida, Nell, Otto", "Karl, Otto"}, got)
	got, _ = photographsOf(t, "Nell & Otto", "", "who is who", "A = bride and groom (Nell, Otto)", "B = Nell's mum Ida + dad Karl", "C = her brothers Max and Pete", "",
		"shots, in this order. star = really want it", "1 - A + B *", "2 - Nell with C", "3 - A, B and C")
	assert.Equal(t, []string{"Ida, Karl, Nell, Otto", "Max, Nell, Pete", "Ida, Karl, Max, Nell, Otto, Pete"}, got)
}
