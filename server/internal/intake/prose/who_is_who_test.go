package prose

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
)

// rulesApart are the names of those whom the rules of an event keep apart.
func rulesApart(res place.Result) []string {
	var out []string
	for _, r := range res.Event.Rules {
		for _, id := range r.Apart.People {
			k := slices.IndexFunc(res.Event.People, func(p event.Person) bool { return p.ID == id })
			out = append(out, res.Event.People[k].Name)
		}
	}
	return out
}

// Who is who is said in sentences, with pronouns for whoever was named last whom they fit.
func TestWhoIsWhoInSentences(t *testing.T) {
	got, res := photographsOf(t, "Nell & Otto", "", "WHO IS WHO", "Nell is the bride, Otto is the groom.", "Max and Tim are Nell's brothers. Tim is the younger one, he's 15.",
		"Her mum is Vera and her dad is Karl. They are divorced and must not be in the same photo.", "Karl's wife is Wendy, and their little girl Ida (5) is Nell's half sister.",
		"Otto's parents are Ruth and Jon. Pia is Otto's sister and she is married to Gus.", "Granny Jo is Jon's mother. She is 90 and needs to sit.", "Obi is Otto's best man. He arrives late, not before 4 pm.",
		"Tess, Pia and Lena are the bridesmaids, Tess is the maid of honour.", "The ushers are Max, Gus and Otto's friend Moe.", "Uncle Finn is not invited.", "",
		"1. Couple with bride's mum", "2. Couple with bride's dad, Wendy and Ida", "3. Nell with her two brothers", "4. Couple with groom's parents, sister and her husband", "5. Otto and his gran",
		"6. Nell with bridesmaids", "7. Nell + maid of honour", "8. Otto with best man and ushers")
	assert.Equal(t, []string{
		"Nell, Otto, Vera", "Ida, Karl, Nell, Otto, Wendy", "Max, Nell, Tim", "Gus, Jon, Nell, Otto, Pia, Ruth", "Granny Jo, Otto", "Lena, Nell, Pia, Tess", "Nell, Tess", "Gus, Max, Moe, Obi, Otto",
	}, got)
	assert.Equal(t, []string{"Vera", "Karl"}, rulesApart(res))
	for _, p := range res.Event.People {
		assert.Equal(t, p.Name == "Uncle Finn", p.Absent, p.Name)
	}
}

// So it is in other languages.
func TestWhoIsWhoAbroad(t *testing.T) {
	got, res := photographsOf(t, "Eva & Tim", "", "Vera ist Evas Mutter, ihr Vater ist Karl. Sie sind geschieden und dürfen nicht auf ein Foto.", "Evas Schwester ist Pia und sie ist verheiratet mit Max.", "",
		"1. Brautpaar mit Evas Mutter", "2. Brautpaar mit Evas Vater", "3. Eva mit Schwester und deren Mann")
	assert.Equal(t, []string{"Eva, Tim, Vera", "Eva, Karl, Tim", "Eva, Max, Pia"}, got)
	assert.Subset(t, []string{"Vera", "Karl"}, rulesApart(res))
	got, res = photographsOf(t, "Luz y Marcos", "", "Ana es la madre de Luz y Pedro es su padre. Están divorciados y no pueden salir juntos.", "Los padres de Marcos son Julia y Ramón.", "",
		"1. Novios con la madre de la novia", "2. Novios con el padre de la novia", "3. Novios con los padres de Marcos")
	assert.Equal(t, []string{"Ana, Luz, Marcos", "Luz, Marcos, Pedro", "Julia, Luz, Marcos, Ramón"}, got)
	assert.Equal(t, []string{"Ana", "Pedro"}, rulesApart(res))
	got, res = photographsOf(t, "Inès & Hugo", "", "Anne est la mère d'Inès et Luc est son père. Ils sont divorcés.", "Léa est la sœur d'Inès, elle est mariée à Noé.", "",
		"1. Les mariés avec la mère d'Inès", "2. Les mariés avec le père d'Inès", "3. Inès avec sa sœur et son mari")
	assert.Equal(t, []string{"Anne, Hugo, Inès", "Hugo, Inès, Luc", "Inès, Léa, Noé"}, got)
	assert.Equal(t, []string{"Anne", "Luc"}, rulesApart(res))
}

// Only those are kept apart whom the words name, or a pronoun for the two of the sentence before.
func TestKeptApartByName(t *testing.T) {
	list := []string{"Bride Mia Brandt, groom Jonas Okafor", "", "Petra's new husband Uwe Brandt", "Mia's brother Tom Lindqvist", "Jonas' father Emeka", "", "Photos", "Mia with her mum", "Couple and Tom"}
	for first, want := range map[string][]string{
		"Mia's mum is Petra Brandt, dad is Holger Lindqvist - they are divorced and must NOT be in the same photo!!": {"Petra Brandt", "Holger Lindqvist"},
		"Petra (mother) and Holger (father) are divorced and must not be in the same photo":                          {"Petra", "Holger"},
		"Petra is Mia's mother. Holger is Mia's father. They are divorced, keep them apart.":                         {"Petra", "Holger"},
		"Petra and Rita are Mia's aunts. They don't speak to Tom.":                                                   nil,
	} {
		_, res := photographsOf(t, slices.Insert(slices.Clone(list), 1, first)...)
		assert.Equal(t, want, rulesApart(res), first)
		asked := slices.ContainsFunc(res.Problems, func(p place.Problem) bool { return p.Line == 2 && p.Severity == event.Warning })
		assert.Equal(t, want == nil, asked, first)
	}
}

// A rule of somebody whom the list does not know is asked about, with the name that may be meant; a hyphen in a name hides nobody.
func TestKeptApartUnknown(t *testing.T) {
	list := []string{"Nell & Otto", "", "Nell's mum Gill and her husband Karl", "Nell's dad Jean-Marc and his wife Dawn", "", "Photos", "1. Couple with Gill and Karl", "2. Couple with Jean-Marc and Dawn"}
	for said, want := range map[string]string{
		"(Jill and Marten are divorced and NOT on speaking terms - please don't put them next to each other)": "Who must not be together here? “Jill” is not in the list: did you mean “Gill”?",
		"Rufus and Gill don't speak":                  "“Rufus” is in no photo: what this line says of them is not used.",
		"Please don't put those two next to my uncle": "Who must not be together here? Write both names in this line.",
		"Gill and Jean-Marc don't speak":              "",
	} {
		_, res := photographsOf(t, slices.Insert(slices.Clone(list), 4, said)...)
		k := slices.IndexFunc(res.Problems, func(p place.Problem) bool { return p.Line == 5 && p.Severity == event.Warning && p.Text() == want })
		assert.Equal(t, want != "", k >= 0, "%s: %v", said, res.Problems)
		assert.Equal(t, want == "", len(res.Event.Rules) == 1, said)
		if k >= 0 && strings.Contains(want, "Gill") {
			assert.Equal(t, []string{"Gill"}, res.Problems[k].Candidates)
		}
	}
}

// Lines that only say who somebody is, above the photographs, are none.
func TestTellingIsNoPhotograph(t *testing.T) {
	got, _ := photographsOf(t, "Mia & Jonas", "", "Petra is Mia's mother.", "Petra's new husband Uwe", "Grandpa Karl, 91, Petra's father, walks badly", "cousins Ida, Zoe and Gus", "Aunt Vera and Uncle Ben",
		"Jonas's brother Max - arrives late, not before 4 pm", "", "Photos:", "Mia with her mum", "Jonas with Max")
	assert.Equal(t, []string{"Mia, Petra", "Jonas, Max"}, got)
}

// Without a title, who marries is who is said to be the bride and the groom.
func TestBrideAndGroomAreSaid(t *testing.T) {
	got, _ := photographsOf(t, "Nell is the bride, Otto is the groom.", "Otto's parents are Ruth and Jon.", "Obi is Otto's best man. He arrives late, not before 4 pm.", "", "Photos:", "Couple with Otto's parents", "Otto with his best man")
	assert.Equal(t, []string{"Jon, Nell, Otto, Ruth", "Obi, Otto"}, got)
}
