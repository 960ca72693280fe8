package prose

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
)

// The day of a club: a team with who leads it before a colon, offices written short and called by the whole word elsewhere, brackets that
// say of which team somebody is, a given name that is a word for a grandfather, too. Those of a team of children are some.
func TestTeamsOfClub(t *testing.T) {
	got, res := photographsOf(t, "FERNDALE ROWING CLUB / TEAM PHOTOS SUN 4 OCT 2026", "",
		"1. Committee - Pres. Ida Moe, Sec. Karl Lind, Treas. Vera Poole",
		"2. Minis w/ coach Nell: Poppy, Leo, Amara, Ella R, Ella T",
		"3. Boys Squad w/ coach Otto: Max, Ben, Jon",
		"4. Squad captains: Poppy (Minis), Max (Boys)",
		"5. Rower of the year with the President - Leo + Ida",
		"6. Whole club by the boats")
	assert.Equal(t, []string{"Ida Moe, Sec Karl Lind, Treas Vera Poole", "Amara, Ella R, Ella T, Leo, Nell, Poppy", "Ben, Jon, Max, Otto", "Max, Poppy", "Leo, Ida Moe"}, normal(got[:5]))
	assert.Len(t, res.Event.People, 13)
	for _, p := range res.Event.People {
		child := strings.Contains("Poppy Leo Amara Ella R Ella T Max Ben Jon", p.Name)
		assert.Equal(t, child, p.AgeBand == event.Child, p.Name)
	}
}

// normal leaves out the word for an office, which is written before names.
func normal(list []string) []string {
	for k := range list {
		list[k] = strings.ReplaceAll(list[k], "Pres ", "")
	}
	return list
}

// Couples behind a dash are a photo each.
func TestCouplesEach(t *testing.T) {
	for _, c := range [][3]string{{"Lind get-together", "Couples - %", "&"}, {"Lind / Moe family weekend", "The couples: %", "+"}, {"Familientreffen Lind", "Paare - %", "und"}, {"Fotos de la reunión familiar", "Parejas - %", "y"}, {"Fotos do encontro de família", "Casais - %", "e"}} {
		line := strings.ReplaceAll(c[1], "%", strings.ReplaceAll("Ida & Karl, Vera & Max, Nell & Leo", "&", c[2]))
		got, _ := photographsOf(t, c[0], "", "1. "+line, "2. Ida, Karl, Vera")
		assert.Equal(t, []string{"Ida, Karl", "Max, Vera", "Leo, Nell", "Ida, Karl, Vera"}, got, line)
	}
}

// What somebody is called behind the word for what they are is their name.
func TestCalledByKin(t *testing.T) {
	got, res := photographsOf(t, "Nell & Otto", "Nell's side: mother Ida, father Karl, grandmother Abuelita, aunt Tita", "Otto's side: mother Rita, grandparents Nana and Papa Lind", "",
		"1. Nell with grandmother", "2. Nell with Abuelita", "3. Nell & Otto with Nell's parents and grandparents", "4. Otto with his grandparents")
	assert.Equal(t, []string{"Abuelita, Nell", "Abuelita, Nell", "Abuelita, Ida, Karl, Nell, Otto", "Nana Lind, Otto, Papa Lind"}, got)
	assert.Len(t, res.Event.People, 9)
}

// A word that stands between names is one, whatever else it means; how many frames a photo is names nobody.
func TestPlaceOfNames(t *testing.T) {
	got, res := photographsOf(t, "Ana et Luc", "", "1. Parents d'Ana : Ana, Luc, Thu, Minh", "2. Ana, Luc, Thu, Minh, Lina (6 ans)", "3. Ana avec Thu")
	assert.Equal(t, []string{"Ana, Luc, Minh, Thu", "Ana, Lina, Luc, Minh, Thu", "Ana, Thu"}, got)
	assert.Len(t, res.Event.People, 5)
	for _, once := range []string{"Nell with Mum (Ida) and Dad (Karl): just one frame", "Nell with Ida and Karl - only one photo", "Nell with Ida, Karl, one photo only"} {
		got, res := photographsOf(t, "Nell & Otto", "", "1. "+once, "2. Otto with Rita and Bert")
		assert.Equal(t, "Ida, Karl, Nell", got[0], once)
		assert.Len(t, res.Event.People, 6, once)
	}
}

// Parents who are separated are photographed one by one where a line says that there is a photo for each.
func TestOneEach(t *testing.T) {
	for _, c := range [][]string{
		{"Ana & Luc", "Les mariés avec les parents de Luc (Ida / Karl, séparés donc 1 photo chacun)"},
		{"Ana & Luc", "Couple with Luc's parents (Ida & Karl, divorced so one photo each)"},
		{"Ana & Luc", "Brautpaar mit Eltern von Luc (Ida u. Karl, geschieden, je ein Foto)"},
		{"Ana y Luc", "Los novios con los padres de Luc (Ida / Karl, separados, una foto con cada uno)"},
		{"Ana e Luc", "Noivos com os pais do Luc (Ida / Karl, separados, uma foto com cada um)"},
	} {
		got, _ := photographsOf(t, c[0], "", "1. "+c[1], "2. "+c[0])
		assert.Equal(t, []string{"Ana, Ida, Luc", "Ana, Karl, Luc"}, got[:2], c[1])
	}
}

// "Everybody" behind a family and a comma is all of it, and a bracket that begins with "also" adds to it.
func TestAllOfFamily(t *testing.T) {
	for _, c := range [][3]string{
		{"Braut: Nell, Bräutigam: Otto", "Familie der Braut, alle (auch Onkel Joe u. Tante Ann)", "Brautpaar mit Brauteltern (Ida u. Karl)"},
		{"Nell & Otto", "Nell's family, everyone (also Uncle Joe, Aunt Ann)", "Couple with Nell's parents (Ida, Karl)"},
		{"Nell & Otto", "Nell's family - everyone (plus Uncle Joe, Aunt Ann)", "Couple with Nell's parents (Ida, Karl)"},
		{"Nell & Otto", "Famille de Nell, tous (aussi Tonton Joe, Tata Ann)", "Les mariés avec les parents de Nell (Ida, Karl)"},
	} {
		got, _ := photographsOf(t, c[0], "", "1. "+c[2], "2. "+c[1], "3. "+c[0][:4]+" + Rita")
		assert.Contains(t, got[1], "Ida, Karl", c[1])
		assert.Contains(t, got[1], "Joe", c[1])
		assert.NotContains(t, got[1], "Rita", c[1])
	}
}

// Siblings of each side, once with whom they are with and once without.
func TestEachSideBothWays(t *testing.T) {
	got, _ := photographsOf(t, "Nell & Otto", "", "Nell & Otto w/ Ida", "Nell w/ Karl", "Nell w/ Mum (Vera)", "Otto w/ Dad (Bert)", "Nell/Otto w/ siblings, each side (one with partners, one without)", "   - Nell: Joe, stepbrother Max + wife Eve", "   - Otto: Zoe + husb. Leo")
	assert.ElementsMatch(t, []string{"Joe, Max, Nell, Otto", "Nell, Otto, Zoe", "Eve, Joe, Max, Nell, Otto", "Leo, Nell, Otto, Zoe"}, got[4:])
}

// In Arabic what somebody needs is said in words that have no capitals, a group "of" others is no name, and "and the" begins none.
func TestArabicRemarks(t *testing.T) {
	got, res := photographsOf(t, "صور الأهل والأصحاب", "العريس: كريم - العروس: دينا", "", "• دينا وكريم مع جدو إبراهيم، يحتاج كرسي ليجلس", "• دينا وكريم مع تيتا سعاد وهي تتعب بسرعة", "• زملاء الجامعة إذا بقي وقت", "• الجميع")
	assert.Len(t, res.Event.People, 5, got)
}

// A last line of a chat changes a photo to some of those in it.
func TestOnlySome(t *testing.T) {
	got, _ := photographsOf(t, "13/08/2026, 19:02 - Nell: hiya! the family shots", "13/08/2026, 19:03 - Nell: 1) us with Otto's mum (Rita) and Bert", "13/08/2026, 19:04 - Nell: 2) us and my dad (Karl)",
		"13/08/2026, 20:31 - Otto: can you also add my best man Joe and the ushers (Max, Ben)", "13/08/2026, 20:52 - Otto: change to no 1, Bert can't make it now. only me and mum for that one", "13/08/2026, 20:53 - Nell: and then everyone to finish!!")
	assert.Equal(t, []string{"Otto, Rita", "Karl, Nell, Otto"}, got[:2])
	assert.Equal(t, "Ben, Joe, Max", strings.NewReplacer(", Nell", "", ", Otto", "").Replace(got[2]))
	assert.NotContains(t, got[3], "Bert")
}

// Small letters before lines are referred to by small ones, and a name that is another word is one in a title.
func TestSmallLetters(t *testing.T) {
	got, _ := photographsOf(t, "GROUPS - Nell & Till, St Ada's", "", " a) Nell, Till, Ida, Karl", " b) as a plus Joe, Eve (6)", " c) Nell, Till, Rita, Bert", " d) c plus Max & Zoe (not Max's girlfriend)", " e) a and c combined")
	assert.Equal(t, []string{"Ida, Karl, Nell, Till", "Eve, Ida, Joe, Karl, Nell, Till", "Bert, Nell, Rita, Till", "Bert, Max, Nell, Rita, Till, Zoe", "Bert, Ida, Karl, Nell, Rita, Till"}, got)
}

// Whom a bracket names has the wife that is named behind, and officers have ranks of two words.
func TestBesideBracket(t *testing.T) {
	got, res := photographsOf(t, "Léa & Luc", "", "1. Les mariés + papa de Luc (Éric) et Valérie, sa femme", "2. Les mariés + maman de Luc (Ida)", "3. B&G with Guard of Honour (Sqn Ldr Moe, Fg Off Lind, Plt Off Poole, WO Tully)", "4. B&G w/ Stn Cdr and husband (Gp Capt & Mr Low)")
	assert.Equal(t, []string{"Luc, Léa, Valérie, Éric", "Ida, Luc, Léa", "Fg Off Lind, Luc, Léa, Plt Off Poole, Sqn Ldr Moe, WO Tully", "Gp Capt Low, Luc, Léa, Mr Low"}, []string{sorted(got[0]), sorted(got[1]), sorted(got[2]), sorted(got[3])})
	assert.Len(t, res.Event.People, 11)
}

func sorted(list string) string {
	names := strings.Split(list, ", ")
	slices.Sort(names)
	return strings.Join(names, ", ")
}

// A grandfather is not who is called after him, and what sponsors hold divides them and gives all that role.
func TestJuniorAndSponsors(t *testing.T) {
	got, _ := photographsOf(t, "Lind / Moe get-together", "", "1. Families one at a time", "   * Linds: Kofi Jr, Ada, Leo (9)", "   * Moes: Ida, Max, Zoe (6)", "2. Grandpa Kofi with all the grandkids", "3. Grandpa + Ida")
	assert.Equal(t, []string{"Ada, Kofi Jr, Leo", "Ida, Max, Zoe", "Grandpa Kofi, Leo, Zoe", "Grandpa Kofi, Ida"}, got)
	got, _ = photographsOf(t, "Bride & Groom: Nell & Otto", "", "1. Secondary Sponsors - candle (Ida & Max), cord (Kuya Joe & Ate Zoe)", "2. Bridesmaids - Ida, Eve", "3. Secondary sponsors with B&G", "4. Whole entourage")
	assert.Equal(t, []string{"Ate Zoe, Ida, Kuya Joe, Max, Nell, Otto", "Ate Zoe, Eve, Ida, Kuya Joe, Max, Nell, Otto"}, got[2:])
}
