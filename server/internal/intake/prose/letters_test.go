package prose

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// warned are the warnings and questions of a line.
func warned(t *testing.T, line int, list ...string) string {
	t.Helper()
	_, res := photographsOf(t, list...)
	var out []string
	for _, p := range res.Problems {
		if p.Line == line {
			out = append(out, p.Text())
		}
	}
	return strings.Join(out, " ")
}

// "Are" behind a role is a colon, whoever is among them, and "the four of us" are those.
func TestRolesAre(t *testing.T) {
	got, _ := photographsOf(t, "Hi Pia,", "", "Nell and Otto's wedding is on 12 June 2027. Max here, Otto's best man.", "", "Ushers are me, Karl, Ed and Pete. One of the four of us with Otto.",
		"Bridesmaids are Eve, Uma and Cleo. One with Nell.", "", "- Nell with Ida", "", "Max")
	assert.Equal(t, []string{"Ed, Karl, Max, Otto, Pete", "Cleo, Eve, Nell, Uma", "Ida, Nell"}, got)

	got, _ = photographsOf(t, "Nell & Otto", "", "best man is Karl, ushers are Ed and Kurt", "", "1. Otto with his best man", "2. Otto with the ushers")
	assert.Equal(t, []string{"Karl, Otto", "Ed, Kurt, Otto"}, got)
}

// A role in a bracket behind several names is that of all since the bracket before.
func TestBracketOfRow(t *testing.T) {
	got, _ := photographsOf(t, "Nell & Otto", "", "- Otto + Karl (best man), Ed, Max (ushers)", "- Otto with the ushers")
	assert.Equal(t, []string{"Ed, Karl, Max, Otto", "Ed, Max, Otto"}, got)
}

// "Us two" are the two before it, whoever writes; "all together" are those named before it.
func TestTheseTwo(t *testing.T) {
	got, _ := photographsOf(t, "Hi Pia, it's Max, Nell and Otto's wedding on 12 June 2027", "", "- Nell and Otto with Ida", "- Me and Nell, just the two of us", "- Ida, Karl and Eve all together with Nell")
	assert.Equal(t, []string{"Ida, Nell, Otto", "Max, Nell", "Eve, Ida, Karl, Nell"}, got)
}

// After two parents "his sisters" are those of their child; a name and a number are that one's children.
func TestWhoseTwo(t *testing.T) {
	got, _ := photographsOf(t, "Nell & Otto", "", "- Otto with his parents Ida and Karl", "- Nell and Otto with Ida, Karl, his sisters Eve and Uma", "- Otto with his two sisters", "- Nell and Otto with Eves two, Max 5 and Cleo 7")
	assert.Equal(t, []string{"Ida, Karl, Otto", "Eve, Ida, Karl, Nell, Otto, Uma", "Eve, Otto, Uma", "Cleo, Max, Nell, Otto"}, got)
}

// A word for several that fits one is asked about; a photo of everybody says whom it counts without knowing them.
func TestOneOfSeveral(t *testing.T) {
	list := []string{"Nell & Otto", "", "1. Nell with her bridesmaid Eve", "2. Nell with her bridesmaids", "3. Nell with her cousins", "4. Everyone"}
	assert.Contains(t, warned(t, 4, list...), "Who else belongs to “bridesmaids”?")
	assert.Contains(t, warned(t, 6, list...), "also counts Nell's cousins")
}

// Who marries stands in running text, whoever writes, and nobody is made of a greeting, a sign-off or a day.
func TestDeclaredCouple(t *testing.T) {
	for _, c := range []struct{ hello, say, sign, second string }{
		{"Hallo Pia,", "ich bin Ida, die Trauzeugin. Nell und Otto heiraten am 12.6.2027, und ich schreibe Ihnen.", "Ida", "Brautpaar mit Karl"},
		{"Alright Pia,", "Best man here, Max. It's Nell and Otto's wedding on 12 June 2027.", "Max", "Couple with Karl"},
	} {
		got, _ := photographsOf(t, c.hello, "", c.say, "", "- "+c.second, "- Nell + Eve, Sat only", "", "Groete, "+c.sign)
		assert.Equal(t, []string{"Karl, Nell, Otto", "Eve, Nell"}, got, c.say)
	}
}

// In capitals a name is what is not, and the next number is a photograph below a scene, too.
func TestNamesInCapitals(t *testing.T) {
	got, _ := photographsOf(t, "FAMILY FORMALS - Nell & Otto", "", "1. BRIDE + GROOM + GROOM'S MOM (Laurel)", "2. B&G + FLOWER GIRL (Zuri, 5)", "", "GOLDEN HOUR", "3. B&G + ROOMMATES (Dani, Jo)")
	assert.Equal(t, []string{"Laurel, Nell, Otto", "Nell, Otto, Zuri", "Dani, Jo, Nell, Otto"}, got)
}

// Children write to each other of a parent's day: each is "me", and the bracket names both parents.
func TestChildrenWrite(t *testing.T) {
	got, _ := photographsOf(t, "21/11/2026, 18:42 - Nell: photos for dad's 60th on 5 Dec", "21/11/2026, 18:51 - Nell: Dad and Mum (Karl and Ida)", "21/11/2026, 18:52 - Nell: Dad with me and Otto",
		"21/11/2026, 18:53 - Otto: me and Kate with Eve", "21/11/2026, 18:54 - Nell: And me, Max and Uma", "21/11/2026, 18:55 - Otto: plus dad with Uma")
	assert.Equal(t, []string{"Ida, Karl", "Karl, Nell, Otto", "Eve, Kate, Otto", "Max, Nell, Uma", "Karl, Uma"}, got)
}

// Whoever joins in is added to the photograph before.
func TestJoinsIn(t *testing.T) {
	got, _ := photographsOf(t, "Dear Pia,", "", "Here are the groups for Nell and Otto's wedding on 12 June 2027.", "", "Firstly, Nell and Otto with Ida and Karl.", "After that Karl's wife Eve and their two little ones, Max (5) and Uma (2), join in as well, please.",
		"Then Nell with her bridesmaids, who are Cleo, Ada and Edda.")
	assert.Equal(t, []string{"Ida, Karl, Nell, Otto", "Eve, Ida, Karl, Max, Nell, Otto, Uma", "Ada, Cleo, Edda, Nell"}, got)
}

// A letter says who several are with "which is", "they are" and "are called"; "the two of them" are the couple, and "I'd" is nobody.
func TestSaidInLetters(t *testing.T) {
	got, _ := photographsOf(t, "Dear Pia,", "", "Lovely to talk. Nell and Otto are up to their eyes so I have been told to do the list for the wedding on 12 June 2027.", "",
		"Now our side. That is me and my husband Karl, Eve with her husband Max, and our son Leo. One of all of us with the happy pair, please, then one of the two of them with only Karl and me. I'd also love one of the three generations, which is me, my elder daughter Eve and Eve's little girl Ada, who is six.", "",
		"Otto's people are flying in. His parents are called Vera and Emil. I think one of the couple with his parents.", "", "Then Nell with her bridesmaids, they are Eve, Cleo and Uma.", "", "If there's any time left over one of the Berg cousins with Nell would be fun.", "", "Kind regards", "Ida (mother of the bride)")
	assert.Equal(t, []string{"Eve, Ida, Karl, Leo, Max, Nell, Otto", "Ida, Karl, Nell, Otto", "Ada, Eve, Ida", "Emil, Nell, Otto, Vera", "Cleo, Eve, Nell, Uma"}, got[:5])
	assert.Contains(t, got[5], "Nell")
}

// Letters count lines as numbers do, with a dash or a colon behind them too; I is left out by some.
func TestLettersCount(t *testing.T) {
	for _, mark := range []string{" - ", " – ", ": ", "- ", ". ", ") "} {
		var list []string
		for _, l := range []string{"A|Bride & Groom + arch: Sgt Moss, Cpl Birch", "B|Otto, Ida", "C|B plus Karl (9)", "D|Nell, Max", "E|Nell and Otto", "F|Eve", "G|Uma", "H|Nell, Cleo", "J|B and D together"} {
			list = append(list, strings.Replace(l, "|", mark, 1))
		}
		got, _ := photographsOf(t, append([]string{"Nell Gray and Otto Ek, 12 June 2027", ""}, list...)...)
		assert.Equal(t, []string{"Cpl Birch, Nell Gray, Otto Ek, Sgt Moss", "Ida, Otto Ek", "Ida, Karl, Otto Ek", "Max, Nell Gray", "Nell Gray, Otto Ek", "Eve", "Uma", "Cleo, Nell Gray", "Ida, Max, Nell Gray, Otto Ek"}, got, mark)
	}
}

// People in a heading above lettered photographs are no list of guests.
func TestPeopleHeadedAreNoGuests(t *testing.T) {
	got, _ := photographsOf(t, "Nell Gray and Otto Ek", "", "Service people before anyone else (their bus leaves 1530)", "A - Bride & Groom + arch: Sgt Moss", "B - Bride & Groom + Ed", "C - Groom, Ida")
	assert.Equal(t, []string{"Nell Gray, Otto Ek, Sgt Moss", "Ed, Nell Gray, Otto Ek", "Ida, Otto Ek"}, got)
}

// A given name that is a word for kin elsewhere, or a form of address, is one of the couple's; their initials are the two.
func TestNamesLikeKinMarry(t *testing.T) {
	for _, name := range []string{"Thea", "Lola", "Zia", "Anna"} {
		for _, head := range []string{"Us: %s & Ruben", "**Us:** %s & Ruben", "**Couple**: %s and Ruben", "%s & Ruben"} {
			got, _ := photographsOf(t, "# Family photos", "", strings.Replace(head, "%s", name, 1), "", "### "+name+"'s family", "* [ ] "+name[:1]+"&R w/ Mum (Gwen)", "* [ ] "+name+" w/ Cerys", "* [x] ~~"+name+" w/ Uncle Emrys~~ not coming now")
			both := []string{"Gwen", "Ruben", name}
			slices.Sort(both)
			assert.Len(t, got, 2, head)
			assert.Equal(t, strings.Join(both, ", "), got[0], head)
		}
	}
}

// "Da" of a title is no father: "Fotos da família / Ann & Bob". A mayor has a name, and so has a wife who is called as elders are.
func TestSmallWordsOfTitles(t *testing.T) {
	for _, head := range []string{"Lista de fotos da família / Nell & Otto / 20 de setembro", "Fotos da família - Nell & Otto", "Lista da família / Nell & Otto"} {
		got, _ := photographsOf(t, head, "", "1) Noivos + pais da noiva (Ida e Karl)", "2) Noiva + Eve")
		assert.Equal(t, []string{"Ida, Karl, Nell, Otto", "Eve, Nell"}, got, head)
	}
	got, _ := photographsOf(t, "Nell & Otto", "", "1) Newlyweds + Mayor Lito Reyes", "2) Newlyweds + Kuya Marlon & wife Ate Gigi")
	assert.Equal(t, []string{"Mayor Lito Reyes, Nell, Otto", "Ate Gigi, Kuya Marlon, Nell, Otto"}, got)
}

// Below words for several, a dash says who they are as a colon does.
func TestDashBelow(t *testing.T) {
	for _, two := range [][2]string{{"Ninongs", "Ninangs"}, {"uncles", "aunts"}, {"Groomsmen", "Bridesmaids"}} {
		got, _ := photographsOf(t, "Bride: Nell / Groom: Otto", "", "1) Newlyweds + "+two[0]+" & "+two[1], "     "+two[0]+" - Ed, Max, Karl", "     "+two[1]+" - Ida, Eve, Uma", "2) Newlyweds + "+two[0]+" only", "3) Newlyweds + "+two[1]+" only")
		assert.Equal(t, []string{"Ed, Eve, Ida, Karl, Max, Nell, Otto, Uma", "Ed, Karl, Max, Nell, Otto", "Eve, Ida, Nell, Otto, Uma"}, got, two[0])
	}
}
