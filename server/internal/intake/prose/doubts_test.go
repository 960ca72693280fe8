package prose

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
)

// framed are the names of who is in the photographs of a list, a line each, and what is asked.
func framed(list string) (photographs, asked []string) {
	got := Read(nil, list, event.Event{}, time.Time{})
	index := event.NewIndex(&got.Event)
	name := make(map[string]string)
	for _, p := range got.Event.People {
		name[p.ID] = p.Name
	}
	for _, g := range got.Event.Groupings {
		var in []string
		for _, id := range g.Members {
			for _, k := range index.PeopleOf(id) {
				in = append(in, got.Event.People[k].Name)
			}
		}
		slices.Sort(in)
		photographs = append(photographs, strings.Join(in, " "))
	}
	for _, p := range got.Problems {
		if p.Severity != event.Info {
			asked = append(asked, p.Text())
		}
	}
	return photographs, asked
}

// In a list without capitals and commas, names that stand alone elsewhere are divided, words with a slip are read, and whom a
// line says it is not with stays out.
func TestHastyList(t *testing.T) {
	got, asked := framed("nell + otto family pics\n\nme and leah\nus w ottos dad gary NOT w tina theyre divorced\nbridesmaids leah chloe jodie\nus w leah and lil ida\nthe whole weding party")
	assert.Equal(t, []string{"leah nell", "gary nell otto", "chloe jodie leah", "leah lil ida nell otto", "chloe jodie leah nell otto"}, got)
	assert.Empty(t, asked)
}

// What cannot be right is asked: another number of people than words stand for, and a word that nothing says to be a person.
func TestDoubts(t *testing.T) {
	const list = "Couple: Nell & Otto\nNell's parents: Ruth, Karl\nOtto's mother: Sue, Otto's stepmother: Joan\n1. Couple with "
	for line, want := range map[string]string{
		"both mothers":         "",
		"both sets of parents": "The line says 4 people; people known to be in it: 3.",
		"all four parents":     "The line says 4 people; people known to be in it: 3.",
		"Ruth and Karl":        "",
		"Ruth zupfi Grolm":     "Is “Grolm” a person? If not, take the word out of the line.",
		"Grolm, Karl":          "",
		"Ruth, Uncle Grolm":    "",
	} {
		_, asked := framed(list + line)
		asked = slices.DeleteFunc(asked, func(s string) bool { return strings.Contains(s, "is in no photo") })
		if want == "" {
			assert.Empty(t, asked, line)
		} else {
			assert.Equal(t, []string{want}, asked, line)
		}
	}
}

// Whom a line names and has in none of its photos is asked about, also where another sentence of the line says who they are; not
// who is to be kept apart, taken away or is not there.
func TestNamedInNoPhoto(t *testing.T) {
	const list = "Couple: Nell & Otto\n\n1. Nell and Otto with Ruth\n"
	for line, want := range map[string]string{
		"The bridesmaids are Ida, Lou and Nell's friend Pippa. One of the bridesmaids with Nell": "“Pippa” is named in this line, but in none of its photos. Are they to be in it? Write the names beside each other.",
		"The bridesmaids are Ida and Lou. One of the bridesmaids with Nell":                      "",
		"2. Nell with Karl. Please keep Ruth away from Karl":                                     "",
	} {
		_, asked := framed(list + line)
		asked = slices.DeleteFunc(asked, func(s string) bool {
			return strings.Contains(s, "paragraph was split") || strings.Contains(s, "is in no photo")
		})
		if want == "" {
			assert.Empty(t, asked, line)
		} else {
			assert.Contains(t, asked, want, line)
		}
	}
}

// Two names without a mark between them, both of people whom the list has named alone, are two.
func TestTwoKnownSideBySide(t *testing.T) {
	got, asked := framed("Nell & Otto\nBridesmaids: Ciara, Temi\nGroomsmen: Rory, Seyi\n\n- Nell + Otto / Ciara Rory\n- Nell + Otto, Temi Seyi")
	assert.Equal(t, []string{"Ciara Nell Otto Rory", "Nell Otto Seyi Temi"}, got)
	assert.Empty(t, asked)
}

// Three words in a row where all others have one may be three people; words for people that stand for nobody are asked about, and
// what stands behind the couple in a title is a place.
func TestNamesInARowAndNobody(t *testing.T) {
	const list = "Nell & Otto, Hartwell Barn\n\n1. Nell and Otto with Ruth\n2. Nell and Otto with Karl\n3. Nell with Ida\n4. Otto with Lou\n5. "
	for line, want := range map[string]string{
		"Nell with Zarra Quill Lex":          "Is “Zarra Quill Lex” one person? If not, write commas between the names.",
		"Nell and Otto with all 4 of them":   "Who else belongs to “all 4 of them”? Write their names.",
		"Nell and Otto with both of them":    "",
		"Otto with Ruth, the two of them":    "",
		"Nell and Otto with Zarra Quillfeld": "",
	} {
		got, asked := framed(list + line)
		asked = slices.DeleteFunc(asked, func(s string) bool {
			return strings.Contains(s, "is in no photo") || strings.Contains(s, "same people")
		})
		if want == "" {
			assert.Empty(t, asked, line)
		} else {
			assert.Equal(t, []string{want}, asked, line)
		}
		assert.Equal(t, "Nell Otto Ruth", got[0], line)
	}
}

// A comma may stand between the couple. Two brides or grooms may be named behind the word for both; of a chat in which others say "me" too, those two are the couple
// of whom one names the other; and who writes "mum and dad" means their own.
func TestCoupleAmongOthers(t *testing.T) {
	for list, want := range map[string]string{
		"Couple: Nell, Ida\n\n1. Couple with Karl":                                      "Ida Karl Nell",
		"Hart / Lowe wedding, brides: Nell & Ida, 20 June 2026\n\n1. Couple with Karl":  "Ida Karl Nell",
		"Boda Ruiz / Soto, novias: Nell y Ida, 20 junio 2026\n\n1. Las novias con Karl": "Ida Karl Nell",
		"[12/05/2026, 19:02] Nell: 1. Me & Otto with Mum and Dad\n[12/05/2026, 19:03] Otto: 2. me with Karl\n[12/05/2026, 19:04] Pia: can I have one of me and you\n" +
			"[12/05/2026, 19:05] Mum: he's my brother\n[12/05/2026, 19:06] Nell: 3. Me & Otto with Otto's mum and dad (Ruth & Emil)": "Nell Nell's dad Nell's mum Otto",
	} {
		got, _ := framed(list)
		if assert.NotEmpty(t, got, list) {
			assert.Equal(t, want, got[0], list)
		}
	}
}

// Kin below whose they are stand for guests, until photographs have a heading or numbers, whatever joins them.
func TestKinBelowASide(t *testing.T) {
	for _, photos := range []string{"PHOTOS\n", ""} {
		got, asked := framed("Wedding of Klara Brand and Tobias Oko\n\nKlara's side:\nMum Signe Brand, Dad Arne Brand\nUncle Leif + aunt Randi\nbrother Magnus (32) & his wife Petra, their kids Ella (4), Jon 7 months\n" +
			"Tobias' side: \nstepdad Henry Vale\ngrandad Samuel Oko 83\nsister Ada Oko, sister Ifa Oko with husband Piet\n\n" + photos +
			"1. Tobias with his sisters\n2. Couple with Klara's parents\n3. Couple with Magnus, Petra and the kids\n4. Couple with all grandparents")
		assert.Equal(t, []string{"Ada Oko Ifa Oko Tobias Oko", "Arne Brand Klara Brand Signe Brand Tobias Oko", "Ella Jon Klara Brand Magnus Petra Tobias Oko", "Klara Brand Samuel Oko Tobias Oko"}, got)
		assert.Empty(t, asked)
	}
}

// How many families there are is no number of people.
func TestTwoFamiliesAreNoTwo(t *testing.T) {
	_, asked := framed("Nell & Otto\n\n- Nell and Otto with Nell's mum Ida and dad Karl\n- Nell and Otto with Otto's mum Vera\n- Nell and Otto with the two families")
	assert.False(t, slices.ContainsFunc(asked, func(a string) bool { return strings.Contains(a, "says 2 people") }), asked)
}

// Where the words of a line and who came out cannot both be right it is asked, with the same words on all lines of one cause; and not
// where a line says itself who is in it.
func TestWordsAndPeopleDisagree(t *testing.T) {
	const both = "Ida and Karl came out as kin of both Nell and Otto. Whose are they? Say it in a line such as “Nell's family: name, name”."
	for lines, want := range map[string][]string{
		"siblings: Ida, Karl\n1. Nell with siblings\n2. Otto with siblings": {both, both},
		"1. Nell with her brother Karl\n2. Otto with his sister Ida":        nil,
		"1. a+n with Ruth": {"Who are “a+n”? Say it in a line of its own, such as “Couple: name & name”."},
		"1. N+O with Ruth": nil,
		"Grandparents: Ida, Karl, Lou\n1. Nell with maternal grandparents":                      {"“grandparents” came out as Ida, Karl and Lou. Which of them are meant? Write the names."},
		"Grandfather: Karl\n1. Couple with Karl\n2. Couple with grandfather":                    {"This photo came out with the same people as line 4. If somebody else is meant, write the names; if not, delete one of the two."},
		"1. Couple with Ruth\n2. same with Sue":                                                 nil,
		"Nell's brother: Karl\nNell's aunt: Ida\n1. Couple with Nell's family (Ruth and Karl)":  nil,
		"Nell's brother: Karl\nKarl's wife: Ida\nIda's aunt: Lou\n1. Couple with both families": {"Lou: not in this photo. Do they belong to “both families”? If so, write the names there."},
	} {
		_, asked := framed("Couple: Nell & Otto\nNell's mother: Ruth, Otto's mother: Sue\n" + lines)
		asked = slices.DeleteFunc(asked, func(s string) bool { return strings.Contains(s, "is in no photo") })
		assert.Equal(t, want, asked, lines)
	}
	_, asked := framed("Golden wedding of Joan and Ted\nGrandchildren: Ann (4), Bo (6)\n\n1. Joan and Ted with the grandchildren\n2. Joan and Ted with Kit (9)")
	assert.Contains(t, asked, "Kit: not in this photo. Do they belong to “grandchildren”? If so, write the names there.")
}
