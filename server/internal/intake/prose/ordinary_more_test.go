package prose

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
)

// Lines between rules are headings, and below one for who is who each sentence tells of whom its paragraph begins with.
func TestWhoIsWhoBelowRules(t *testing.T) {
	for _, ruled := range []string{"== %s ==", "--- %s ---", "=== %s", "*** %s ***", ":: %s ::"} {
		head := func(text string) string { return strings.ReplaceAll(ruled, "%s", text) }
		got, res := photographsOf(t, "Nell & Otto", head("Nell's side"), "N & O with N's mum", "N with her brother and sister in law", "N & O with her brother, sister in law and their little ones", head("Otto's side"),
			"O with both his parents (just the 3)", head("Who's who"), "Nell: mum Ida. Dad Karl, stepmum Eve (Mum and Dad are fine in one photo but NOT side by side). Brother Max, wife Uma, kids Leo 6 and Mia 2.", "Otto: mum Rita, dad Bert. Nan is Ada, 91.")
		assert.Equal(t, []string{"Ida, Nell, Otto", "Max, Nell, Uma", "Leo, Max, Mia, Nell, Otto, Uma", "Bert, Otto, Rita"}, got, ruled)
		assert.Len(t, res.Event.People, 12, ruled)
		assert.Equal(t, [][]string{{"Ida", "Karl"}}, apartOf(res), ruled)
	}
}

// A word for a grandparent is a name where one stands behind other kin or is no older than a child.
func TestNamedLikeKin(t *testing.T) {
	got, res := photographsOf(t, "Nell & Otto", "", "1. Nell with her brother Max and his wife Poppy", "2. Bridesmaids Ida, Eve, Poppy", "3. Nell with bridesmaids", "4. Otto with Mimi (6)")
	assert.Equal(t, []string{"Max, Nell, Poppy", "Eve, Ida, Poppy", "Eve, Ida, Nell, Poppy", "Mimi, Otto"}, got)
	assert.NotEqual(t, event.Elder, res.Event.People[3].AgeBand)
}

// A line with a mark that names one of the couple and one more heads nothing, also above deeper lines of the same kind.
func TestWishesAboveWishes(t *testing.T) {
	got, _ := photographsOf(t, "NELL + OTTO", "", "* Nell + her mum Ida", "  - Nell + her dad Karl", "* Otto + his mum Rita", "  - Otto + his dad Bert")
	assert.Equal(t, []string{"Ida, Nell", "Karl, Nell", "Otto, Rita", "Bert, Otto"}, got)
}

// A bracket says in the language of the list what a strange word before it means.
func TestGlosses(t *testing.T) {
	got, res := photographsOf(t, "Nell & Otto", "", "1. Nell with her sister Ola + Ola's chłopak (boyfriend) Kuba", "2. Świadkowie (witnesses) Ola & Rob with us", "3. Nell with Auntie Bea, her chrzestna (godmother)",
		"4. Otto with his kmotr (godfather) Jan", "5. Otto with Auntie Ida, his godmother", "6. Otto with Ida (godmother)")
	assert.Equal(t, []string{"Kuba, Nell, Ola", "Nell, Ola, Otto, Rob", "Auntie Bea, Nell", "Jan, Otto", "Auntie Ida, Otto", "Auntie Ida, Otto"}, got)
	assert.Len(t, res.Event.People, 8)
}

// The number of a photograph stands before what is other in it, in many ways; a group before a dash has the names behind it.
func TestAgainWith(t *testing.T) {
	got, res := photographsOf(t, "Nell & Otto", "", "1. Nell + Ida + Granny Ada (Nell's, can't stand long)", "2. no. 1 again but with Otto", "3. 1 again without Ida", "4. 2 again", "5. Uni girls w/ Nell - Eve, Uma, Cleo", "6. all of Nell's side with us")
	assert.Equal(t, []string{"Granny Ada, Ida, Nell", "Granny Ada, Ida, Nell, Otto", "Granny Ada, Nell", "Granny Ada, Ida, Nell, Otto", "Cleo, Eve, Nell, Uma", "Granny Ada, Nell, Otto"}, got)
	assert.Len(t, res.Event.People, 7)
}

// The couple alone are the first photo below a title that names both, and the title of what a rule or heading follows.
func TestCoupleBelowTitle(t *testing.T) {
	got, _ := photographsOf(t, "Nell & Otto group pics, 14 Feb", "", "Nell + Otto", "Nell + Otto + Ida", "Nell + Ida + Karl")
	assert.Equal(t, []string{"Nell, Otto", "Ida, Nell, Otto", "Ida, Karl, Nell"}, got)
}

// Whoever writes on a birthday is one of the children, "the 3 of us" are these, and whom somebody holds is in the photo.
func TestWriterOfBirthday(t *testing.T) {
	got, res := photographsOf(t, "Mum's 70th, Saturday 30 May", "Lunch is at 1.45. Mum is Ida, I'm Nell", "", "-Mum on her own with the cake", "-Mum and Dad (Karl, 74)", "-Mum with her three kids: me, Max and Eve", "-Mum, Dad and the 3 of us",
		"-just Mum holding Leo", "-my lot: me, Otto, Leo", "-The whole party outside by the wall", "-me and Max with Mum & Dad in the middle")
	assert.Equal(t, []string{"Ida", "Ida, Karl", "Eve, Ida, Max, Nell", "Eve, Ida, Karl, Max, Nell", "Ida, Leo", "Leo, Nell, Otto", "Eve, Ida, Karl, Leo, Max, Nell, Otto", "Ida, Karl, Max, Nell"}, got)
	assert.Len(t, res.Event.People, 7)
}

// A mother of one of the couple who says so in a bracket is one of the parents, and hers is their child's side.
func TestWriterInBracket(t *testing.T) {
	got, _ := photographsOf(t, "Photos we want please!! Abigail & Otto, 22nd August", "(it's Ida, Abi's mum. ring me if you get stuck)", "", "- Abi & Otto with me and Karl (Abi's dad)", "- Abi & Otto with Otto's parents, Rita and Bert", "- both sets of parents with the couple", "- our side all together")
	assert.Equal(t, []string{"Abigail, Ida, Karl, Otto", "Abigail, Bert, Otto, Rita", "Abigail, Bert, Ida, Karl, Otto, Rita", "Abigail, Ida, Karl"}, got)
}

// What German lists begin with is no photo and its names are nobody's, and a bracket may say where people are from.
func TestGermanLetterHead(t *testing.T) {
	got, res := photographsOf(t, "Liebe Frau Winkler, hier wie besprochen unsere Liste für die Gruppenfotos :)", "Nell Berg & Otto Stein, 4. Juli", "", "*NELLS FAMILIE* (14:45 Uhr am Brunnen)", "Nell mit Mama Ida und Papa Karl", "wir beide mit Ida", "", "*FREUNDE* (nach der Torte)", "Nell mit Jule, Kathi (vom Rudern)",
		"Otto mit Max", "Otto und Oma Ada, Oma von Otto", "alle Gäste")
	assert.Equal(t, []string{"Ida, Karl, Nell Berg", "Ida, Nell Berg, Otto Stein", "Jule, Kathi, Nell Berg", "Max, Otto Stein", "Oma Ada, Otto Stein"}, got[:5])
	assert.Len(t, res.Event.People, 8)
}

// Letters before names below the title say who is who; "mum & dad (Ida, Karl)" are in that order, and lads of a club no groomsmen.
func TestShortHeads(t *testing.T) {
	got, res := photographsOf(t, "NELL & OTTO - groups - 3.20pm", "", "B Nell / G Otto", "MOB Ida. FOB Karl", "MOG Rita, FOG Bert", "", "BG + MOB + FOB", "B + MOB", "G + FOG", "BG + rugby lads - if time")
	assert.Equal(t, []string{"Ida, Karl, Nell, Otto", "Ida, Nell", "Bert, Otto"}, got[:3])
	assert.Len(t, res.Event.People, 7)
	got, _ = photographsOf(t, "# group photos", "Nell (me) & Otto, 2 May", "", "- us + my mum & dad (Pervin, Roshan)", "- us + Otto's mum Rita", "- me + mum", "- me + dad")
	assert.Equal(t, []string{"Nell, Otto, Pervin, Roshan", "Nell, Otto, Rita", "Nell, Pervin", "Nell, Roshan"}, got)
}

// A word for the groom with "of" and a name behind it is that person's friend and makes no couple; a family with a dash before its
// people is all of them; a family with its side in brackets heads what is below; brackets of a line that is no photo tell of roles;
// and what is delivered in a plan of the day is no photo.
func TestWordsBesideFamilies(t *testing.T) {
	for list, want := range map[string][]string{
		"Cumple de la abuela Pura\n\n- Familia de Paco: Paco, Edurne y el novio de Edurne, Sergio\n- Familia de Loli - Loli, Xavi":   {"Edurne Paco Sergio", "Loli Xavi"},
		"Nell + Otto\n\nThe Moes (Nell's side)\nUs with Mum and Dad (Ruth & Karl)\n\nThe Rays (Otto's side)\nUs with Otto's mum Ida": {"Karl Nell Otto Ruth", "Ida Nell Otto"},
		"Laura K & Tom\n\n1. Laura K + Tom with Ida\n2. idem + Karl":                                                                 {"Ida Laura K Tom", "Ida Karl Laura K Tom"},
		"Nell & Otto\n\nPREP\ndress, shoes\nNell's bridesmaids having make up done (Bea, Cleo)\n\nGROUPS\nNell + bridesmaids":        {"Bea Cleo Nell"},
		"Nell & Otto\n\n09:00 Florist + marquee team\n14:00 Canapes\n15:00 GROUPS\n- Nell + Otto with Ida":                           {"Ida Nell Otto"},
	} {
		got, _ := framed(list)
		assert.Equal(t, want, got, list)
	}
}

// Lines below "each family:" are households, whatever stands before their colon; the grandchildren of a reunion are its cousins.
func TestHouseholdsOfAReunion(t *testing.T) {
	got, asked := framed("Lind-Moe reunion, groups we want\n\n#1 Grandma Inga with all the grandchildren\n#2 each family:\n   * Moes: Kirsten, Andor, Emma 11, Hugo 9\n   * Lasse Jr's: Lasse Jr, Petra, Elsa (6), Max (5)\n" +
		"   * Dole family - Anke, Bren, Olivia (16)\n#3 Grandma and her own kids (Kirsten, Lasse Jr, Anke)\n#4 girl cousins, then boy cousins")
	assert.Equal(t, []string{"Elsa Emma Grandma Inga Hugo Max Olivia", "Andor Emma Hugo Kirsten", "Elsa Lasse Jr Max Petra", "Anke Bren Olivia", "Anke Grandma Inga Kirsten Lasse Jr", "Elsa Emma Hugo Max Olivia"}, got)
	assert.Empty(t, asked)
}

// One name behind "mum and dad" is the father's where the mother is known; a given name behind "Grammy and Grandpa" is his; her dad's
// parents are grandparents; what padrinos give is no scene; who comes late is alive; "grooms men" are groomsmen, beside whom ushers are none of the party; a box with "none" asks for nothing.
func TestOneOfTwo(t *testing.T) {
	for list, want := range map[string][]string{
		"- Nell with her mum (Ruth)\n- Nell with mum and dad (Karl)":                                                     {"Nell Ruth", "Karl Nell Ruth"},
		"- Nell with her grandparents (Grammy and Grandpa Joe)\n- Otto with his grandparents (Grandma and Grandpa Lind)": {"Grammy Grandpa Joe Nell", "Grandma Lind Grandpa Lind Otto"},
		"- Nell with her dad's parents (Ida, Karl)\n- Nell with grandparents":                                            {"Ida Karl Nell", "Ida Karl Nell"},
		"( ) Otto & grooms men (Max, Kit)\n( ) Otto & ushers (Ross)\n( none ) Otto & stepparents\n( ) N&O with bridal party": {
			"Kit Max Otto", "Otto Ross", "Kit Max Nell Otto"},
		"- Officers (Hon. Sec. Ann Poole, Bob Moe, Cleo Ray)\n- Couple":                                    {"Bob Moe Cleo Ray Hon Ann Poole", "Nell Otto"},
		"Gruppenbilder\n1) BP mit Eltern u. Schwester Otto: Renate, Uwe, Nele\n2) Bräutigam mit Schwester": {"Nele Nell Otto Renate Uwe", "Nele Otto"},
		"- Padrinos de anillo / ramo / pastel: Gris; Tía Paty; Tío Lalo\n- Nell con sus padrinos":          {"Gris Tía Paty Tío Lalo", "Gris Nell Tía Paty Tío Lalo"},
		"Bridesmaids: Ann, Bea\n\nGroup photos\nNell with the bridesmaids, bouquets up\nNell with Ann":     {"Ann Bea Nell", "Ann Nell"},
		"- Otto with mum and dad (Halina and Zbyszek)\n- Otto with mum\n- Otto with dad":                   {"Halina Otto Zbyszek", "Halina Otto", "Otto Zbyszek"},
		"- Nell with Uncle Gil (his train gets in late), Uncle Bob (late)\n- Nell with Ann":                {"Nell Uncle Gil", "Ann Nell"},
		"- U10 Mixed with coach Ann: Leo, Mia, Max\n- Committee: Bob Moe (Secretary), Cleo Ray (Welfare)":  {"Ann Leo Max Mia", "Bob Moe Cleo Ray"},
		"- Nell with الأطفال (ليان ٦ سنوات، جاد ٤ سنوات)":                                                  {"Nell جاد ليان"},
	} {
		got, _ := framed("Couple: Nell & Otto\n\n" + list)
		assert.Equal(t, want, got, list)
	}
}
