package prose

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
)

// Lists of people who write such lists every week: roles by letters, forms of address, what is not to be called.
var shorthands = map[string]struct {
	lines string
	want  []string
}{
	"letters before names, who is with them": {`Lind / Moe wedding
B = Ada, G = Otto
MOB Ida, FOB Karl, MOG Vera (div.), FOG Emil + ptnr Rosa

1. B&G + MOB + FOB
2. B&G + FOG + Rosa
3. B&G + gparents: Nanny Pam, Granny Joan (G, 88 - seat)
4. B + gran
5. G + gran
6. FG + PB (Mia, Leo)
7. G + BM Max, ushers Kit & Ben
8. Full BP`, []string{"Ada, Ida, Karl, Otto", "Ada, Emil, Otto, Rosa", "Ada, Granny Joan, Nanny Pam, Otto", "Ada, Nanny Pam", "Granny Joan, Otto", "Leo, Mia", "Ben, Kit, Max, Otto", "Ada, Ben, Kit, Leo, Max, Mia, Otto"}},
	"forms of address": {`CALL SHEET - photographs
Miss Ada Lind-Frost & Mr Otto Moe

CALL 1 (steps)
Bride, Groom, Mr & Mrs Frost
Mr Karl Frost, Miss Ida Frost (bride's brother & sister)
Bride and her sister

CALL 2 - optional, only if the rain holds off long enough
Groom, Mrs Moe (Groom's mother, widow)
Groom and his mother
DO NOT call: Mr Emil Moe. He is not invited.`, []string{"Ada Lind-Frost, Mr Frost, Mrs Frost, Otto Moe", "Miss Ida Frost, Mr Karl Frost", "Ada Lind-Frost, Miss Ida Frost", "Mrs Moe, Otto Moe", "Mrs Moe, Otto Moe"}},
	"ushers beside groomsmen": {`Wedding of Ada & Otto
1. Otto with groomsmen Max, Kit
2. Otto with ushers Ben, Joe
3. Bridal party without the couple
4. Everyone. Please don't include Emil`, []string{"Kit, Max, Otto", "Ben, Joe, Otto", "Kit, Max", "Ada, Ben, Joe, Kit, Max, Otto"}},
	"letters of a key, in two columns": {`call w/ Ada 3/9 -- formals

KEY
B Ada / G Otto
MOB Ida  FOB Karl
MOG Vera  SF-G Emil (her husb)
FOG Paul - deceased
BMs = Mia, Zoe
GMs = Kit, Ben
GMOB = Odile, 91, w/c

1 B + MOB
2 G + MOG + SF-G
3 B/G + all 4 parents
4 B + GMOB (3 gens)
5 B/G + BMs + GMs
-- G + siblings: skip per B
6 EVERYBODY`, []string{"Ada, Ida", "Emil, Otto, Vera", "Ada, Emil, Ida, Karl, Otto, Vera", "Ada, Odile", "Ada, Ben, Kit, Mia, Otto, Zoe", "Ada, Ben, Emil, Ida, Karl, Kit, Mia, Odile, Otto, Vera, Zoe"}},
	"a day by its times": {`run sheet - Ada x Otto - 21 March

10:30 hair + makeup in the suite
13:15 her dad sees her for the first time
13:45 guests seated
14:50 FAMILY GROUPS on the lawn
- A&O + her parents Ida & Karl
- A&O + Ouma Vera, straight after Ida if you can
15:20 BRIDAL PARTY
- A + maid of honour Mia + bridesmaid Zoe
- A w each of them, quick ones
16:45 guests to hall, check the lights
21:00 WHOLE CROWD on the stoep`, []string{"Ada, Ida, Karl, Otto", "Ada, Otto, Ouma Vera", "Ada, Mia, Zoe", "Ada each", "Ada, Ida, Karl, Mia, Otto, Ouma Vera, Zoe"}},
	"families by letters": {`list for Lola Ida's 80th, Aug 9

families:
A - Tita Ana & Tito Ver, kids Mia, Leo
B - Tito Dan & Tita Zoe
C - Kuya Max, solo

• Lola solo with cake
• Lola + her 3 children (Ana, Dan, Max)
• Lola w/ family A
• Lola w/ fam B
• Lola and her sister Lola Vi
• Lola + her 2 apos (Mia Leo)
• ALL family`, []string{"Lola Ida", "Kuya Max, Lola Ida, Tita Ana, Tito Dan", "Leo, Lola Ida, Mia, Tita Ana, Tito Ver", "Lola Ida, Tita Zoe, Tito Dan", "Lola Ida, Lola Vi",
		"Leo, Lola Ida, Mia", "Kuya Max, Leo, Lola Ida, Lola Vi, Mia, Tita Ana, Tita Zoe, Tito Dan, Tito Ver"}},
	"an anniversary, with a who's who below": {`Mam and Dad's 50th

1. Ida and Karl by the roses
2. Ida and Karl with the children, Nora Max Zoe and Ben (Paul isn't able to come)
3. grandchildren on their own
4. Nora and her two
5. the golf crowd - no, leave it
6. Ida and Karl with Rosa

WHO'S WHO
Nora - Mia 21, Leo 19
Max + Vera - Kit 12, Una 4
Zoe + Tom`, []string{"Ida, Karl", "Ben, Ida, Karl, Max, Nora, Zoe", "Kit, Leo, Mia, Una", "Leo, Mia, Nora", "Ida, Karl, Rosa"}},
	"a sister collects in a chat": {`14/02/2026, 21:05 - Kim: Ok. 1. Couple with Ada's parents (Ida and Karl)
14/02/2026, 21:06 - Kim: 2. Ada with her siblings - me, Max, Zoe
14/02/2026, 21:07 - Otto: 3. Me and my brothers Ben, Leo
14/02/2026, 21:07 - Otto: 4. My grandmother Mama Vera (94) with Ada and me
14/02/2026, 21:08 - Ada: 5. us with Pastor Tom and his wife Pastor Mrs Mia
14/02/2026, 21:08 - Ada: 6. my bridesmaids Zoe Bethan and Una`, []string{"Ada, Ida, Karl, Otto", "Ada, Kim, Max, Zoe", "Ben, Leo, Otto", "Ada, Mama Vera, Otto", "Ada, Otto, Pastor Mrs Mia, Pastor Tom", "Bethan, Una, Zoe"}},
	"names told in later messages of a chat": {`14/02/2026, 21:05 - Max: me n Wenna w my dad n Rosa (his gf)
14/02/2026, 21:05 - Max: dads called Karl btw
14/02/2026, 21:06 - Max: me + my bros Ben and Leo
14/02/2026, 21:07 - Morwenna: my side:
14/02/2026, 21:07 - Morwenna: us + mam and dad
14/02/2026, 21:08 - Morwenna: thats Ida and Paul for the photographer
14/02/2026, 21:09 - Max: all the parents + Rosa + us?`, []string{"Karl, Max, Morwenna, Rosa", "Ben, Leo, Max", "Ida, Max, Morwenna, Paul", "Ida, Karl, Max, Morwenna, Paul, Rosa"}},
}

func TestShorthand(t *testing.T) {
	for name, c := range shorthands {
		got, read := photographsOf(t, strings.Split(c.lines, "\n")...)
		for k, g := range read.Event.Groupings {
			if g.EachOf != "" {
				got[k] += " each"
			}
		}
		assert.Equal(t, c.want, got, name)
		for _, p := range read.Event.People {
			assert.NotContains(t, p.Name, "Emil Moe")
			if p.Name == "Otto" {
				assert.Empty(t, p.Needs, name)
			}
		}
		for _, g := range read.Event.Groupings {
			if strings.HasPrefix(g.Title, "Groom") && name == "forms of address" {
				assert.Equal(t, event.Nice, g.Priority, g.Title)
			}
		}
	}
}

// Two brides and two grooms have letters, too.
func TestLettersOfTwoBrides(t *testing.T) {
	for _, both := range []string{"B&B", "B+B", "B & B", "G&G", "G/G"} {
		got, _ := photographsOf(t, "Ada & Mia wedding", "", "- "+both+" with Ida", "- "+both)
		assert.Equal(t, []string{"Ada, Ida, Mia", "Ada, Mia"}, got, both)
		got, _ = photographsOf(t, "Ada & Mia, groups", both+" = Ada + Mia", "", "- "+both+" with Ida", "- "+both)
		assert.Equal(t, []string{"Ada, Ida, Mia", "Ada, Mia"}, got, both)
	}
}
