package prose

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A form whose questions have numbers has its answers in the lines below; photographs that it offers are wanted, or not, as the answer
// behind each says, which may name who is in it.
func TestNumberedForm(t *testing.T) {
	got, _ := photographsOf(t, "GROUP PHOTOGRAPHS", "Please send this back.", "", "1. Your names", "Nell Berg (bride) and Otto Lind (groom)", "", "2. Bride's parents. Are they together?", "Ida and Karl. Divorced. Karl is now married to Vera", "",
		"3. Groom's parents. Are they together?", "Pia and Emil", "", "4. Brothers and sisters, with partners and children", "Bride: Max, his wife Uma, their son Leo (4)", "Groom: Eve", "", "5. Who is in your bridal party?", "Bridesmaids: Eve, Ada. Best man: Kurt", "",
		"6. Which of these would you like?", "a) Couple with bride's parents? Yes but 2 photos, first Ida on her own, then Karl and Vera", "b) Couple with bride's siblings? Only Max and Leo", "c) Couple with groom's parents? yes (just Pia)", "d) Couple with groom's parents? yes, Eve too",
		"e) Bride with bridesmaids? yes please", "f) Friends from work? no thanks", "", "7. Any other photographs?", "- Nell with her brother", "", "8. Anything else we should know?", "Ida gets tired")
	assert.Equal(t, []string{"Ida, Nell Berg, Otto Lind", "Karl, Nell Berg, Otto Lind, Vera", "Leo, Max, Nell Berg, Otto Lind", "Nell Berg, Otto Lind, Pia", "Emil, Eve, Nell Berg, Otto Lind, Pia", "Ada, Eve, Nell Berg", "Max, Nell Berg"}, got)
}

// A line that asks and answers itself wants what the answer says, in any language.
func TestReplies(t *testing.T) {
	for line, want := range map[string][]string{
		"Everybody? No, thanks":                nil,
		"Couple with her parents? Yes please!": {"Ida, Karl, Nell, Otto"},
		"Couple with her parents? Just Ida":    {"Ida, Nell, Otto"},
		"Nell mit ihren Eltern? Ja, gerne":     {"Ida, Karl, Nell"},
		"Nell mit ihren Eltern? Nein":          nil,
		"Nell avec ses parents ? Oui":          {"Ida, Karl, Nell"},
		"Nell con sus padres? Sí, y Eve":       {"Eve, Ida, Karl, Nell"},
	} {
		got, _ := photographsOf(t, "Nell & Otto", "", "1. Nell with her parents Ida and Karl", "2. Otto with Eve", "3. "+line)
		assert.Equal(t, append([]string{"Ida, Karl, Nell", "Eve, Otto"}, want...), got, line)
	}
}

// What the photographer asks in a chat is no photo where the answer says itself who is in it, and is one where it only says yes.
func TestRepliesInChat(t *testing.T) {
	for answer, want := range map[string][]string{"yes pls, all the guests": {"Emil, Ida, Nell, Otto"}, "yes pls": {"Emil, Ida, Nell, Otto"}, "no thanks": nil} {
		got, _ := photographsOf(t, "14/03/2026, 19:52 - Nell: me and Otto are in all of them", "14/03/2026, 19:53 - Nell: with my mum Ida", "14/03/2026, 19:53 - Nell: Ottos dad Emil", "14/03/2026, 19:54 - Foto Pia: And one big one of everybody?", "14/03/2026, 19:55 - Nell: "+answer)
		assert.Equal(t, append([]string{"Ida, Nell, Otto", "Emil, Nell, Otto"}, want...), got, answer)
	}
}

// Nobody is lost behind "but add", and "him" in a change is who the line names; what may have to be changed is told and not done.
func TestChangesSaid(t *testing.T) {
	chat := []string{"14/03/2026, 19:52 - Nell: us with Max", "14/03/2026, 19:53 - Nell: same again but add Max's wife Uma and baby Leo (7 months)"}
	for said, want := range map[string]string{"Max cant stay, do that one without him": "Leo, Nell, Otto, Uma", "if Max has to work do that one without him": "Leo, Max, Nell, Otto, Uma"} {
		got, _ := photographsOf(t, append(append([]string{}, chat...), "14/03/2026, 19:55 - Otto: "+said)...)
		assert.Equal(t, []string{"Max, Nell, Otto", want}, got, said)
	}
}

// "Bridesmaids and groomsmen all together" are the whole party, with the best man; "all the bridesmaids and groomsmen" are those.
func TestAllAttendants(t *testing.T) {
	list := []string{"Nell & Otto", "", "1. Nell + maid of honour Ada, bridesmaids Eve, Uma", "2. Otto + best man Kurt, groomsmen Max, Emil"}
	for line, want := range map[string]string{"bridesmaids and groomsmen all together": "Ada, Emil, Eve, Kurt, Max, Nell, Otto, Uma", "couple with all the bridesmaids and groomsmen": "Emil, Eve, Max, Nell, Otto, Uma"} {
		got, _ := photographsOf(t, append(append([]string{}, list...), "3. "+line)...)
		assert.Equal(t, want, got[2], line)
	}
}

// A name and whose partner that is, a bracket with kin for each, and witnesses for each of the couple; a heading in capitals names whose.
func TestKinBehindNames(t *testing.T) {
	got, _ := photographsOf(t, "Mariage d'Inès et Otto", "", "** FAMILLE D'INÈS **", "Les mariés avec Ida, Karl, Eve et Max (sœur et frère)", "Inès et sa sœur", "Les mariés avec Ida et Kurt son compagnon", "Kurt et sa compagne", "", "** AMIS **",
		"Les mariés et les témoins : Eve et Uma pour Inès, Leo et Ada pour Otto", "Inès avec ses deux témoins")
	assert.Equal(t, []string{"Eve, Ida, Inès, Karl, Max, Otto", "Eve, Inès", "Ida, Inès, Kurt, Otto", "Ida, Kurt", "Ada, Eve, Inès, Leo, Otto, Uma", "Eve, Inès, Uma"}, got)
	for _, line := range []string{"Nell and Otto with Ida and Kurt her boyfriend", "Nell und Otto mit Ida und Kurt ihrem Freund", "Nell y Otto con Ida y Kurt su novio"} {
		got, _ := photographsOf(t, "Nell & Otto", "", "1. "+line, "2. Nell + Eve")
		assert.Equal(t, "Ida, Kurt, Nell, Otto", got[0], line)
	}
}

// In columns "same" is the photograph above it; below them nobody's side is said any more.
func TestSameOfColumn(t *testing.T) {
	got, _ := photographsOf(t, "Nell & Otto, group photos", "", "NELL'S SIDE                        OTTO'S SIDE", "N+O with her parents, Ida & Karl   N+O with his parents, Vera & Emil", "N+O, Ida, Karl, Max                N+O, Vera, Emil, Pia",
		"same + Max's wife Uma              same + Pia's husband Kurt", "Nell with her mum                  Otto with his mum", "Nell + bridesmaids Eve, Ada        Otto + groomsmen Max, Kurt", "", "BOTH", "N+O with all the parents", "everyone in the two lists")
	assert.Contains(t, got, "Ida, Karl, Max, Nell, Otto, Uma")
	assert.Contains(t, got, "Emil, Kurt, Nell, Otto, Pia, Vera")
	assert.Equal(t, []string{"Emil, Ida, Karl, Nell, Otto, Vera", "Ada, Emil, Eve, Ida, Karl, Kurt, Max, Nell, Otto, Pia, Uma, Vera"}, got[len(got)-2:])
}

// A plan of the day has a heading with a time over the photographs indented below it; what happens at other times and names nobody
// whom the list knows is told and makes no guests.
func TestDaySheet(t *testing.T) {
	got, res := photographsOf(t, "DAY SHEET", "Nell Berg + Otto Lind / Fri 22 May / Thornlea Barn", "", "10.30  Hair + make up, cottage upstairs", "13.15  Mum (Ida) does up Nell's dress", "13.30  Bride with bridesmaids on the stairs: Eve, Uma", "14.00  Guests seated", "15.00  Drinks + canapes on lawn",
		"15.10  GROUP PHOTOS under the oak. Uma to round people up", "       everyone, from the window", "       couple with the Berg family: Ida, Karl, Granny Vi, little Leo (2)", "       couple with Ida and Karl", "       full bridal party: bridesmaids, best man Kurt, groomsmen Max and Emil",
		"       nice to have - Nell's colleagues", "16.45  Starters, then speeches (Karl, Otto, Kurt)", "19.40  Five-a-side boys w/ Otto: Emil, Max, Pete")
	all := "Emil, Eve, Granny Vi, Ida, Karl, Kurt, Leo, Max, Nell Berg, Nell Berg's colleagues, Otto Lind, Pete, Uma"
	assert.Equal(t, []string{"Eve, Nell Berg, Uma", strings.ReplaceAll(all, "Nell Berg's", "Nell's"), "Granny Vi, Ida, Karl, Leo, Nell Berg, Otto Lind", "Ida, Karl, Nell Berg, Otto Lind", "Emil, Eve, Kurt, Max, Nell Berg, Otto Lind, Uma", "Nell's colleagues", "Emil, Max, Otto Lind, Pete"}, got)
	assert.NotEmpty(t, res.Problems)
}

// Letters alone stand before lines among those with letters and numbers.
func TestLettersAmongNumbers(t *testing.T) {
	got, _ := photographsOf(t, "Nell & Otto", "", "A1  Nell, Otto, Ida", "A2  A1 plus Karl", "", "B1  Nell, Otto, Vera", "", "AB  A1 and B1 in one", "Z   everybody, on the bridge")
	assert.Equal(t, []string{"Ida, Nell, Otto", "Ida, Karl, Nell, Otto", "Nell, Otto, Vera", "Ida, Nell, Otto, Vera", "Ida, Karl, Nell, Otto, Vera"}, got)
}
