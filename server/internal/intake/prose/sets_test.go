package prose

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
)

// Lists that want people set by set, line by line and side by side, with who is in each photograph.
var sets = map[string]struct {
	lines string
	want  []string
}{
	"each set of siblings, below": {`Wedding of Ana & Tom
Ana/Tom each set of siblings (with and without partners)
    Ana's: Max, step-sis Lea + husb. Jo
    Tom's: Ben + wife Ida
Ana and Tom with each set of parents
Ana with Mum and Step Dad (Rita, Gil)
Ana with Dad and Step Mum (Paul, Vera)
Tom with parents (Joan, Bill)`, []string{"Ana, Lea, Max, Tom", "Ana, Ben, Tom", "Ana, Jo, Lea, Max, Tom", "Ana, Ben, Ida, Tom",
		"Ana, Gil, Rita, Tom", "Ana, Paul, Tom, Vera", "Ana, Bill, Joan, Tom", "Ana, Gil, Rita", "Ana, Paul, Vera", "Bill, Joan, Tom"}},
	"grandparents of one name": {`Zoe's Bat Mitzvah portraits
- Zoe + Mom + Dad (Rita, Gil)
- Zoe w/ each set of grandparents: Bubbe & Zayde Roth (Ida/Karl); Grandma Joan
- Roth side: + Uncle Max, cousins Ben & Lea
- Entire family`, []string{"Gil, Rita, Zoe", "Ida, Karl, Zoe", "Grandma Joan, Zoe", "Ben, Ida, Karl, Lea, Uncle Max", "Ben, Gil, Grandma Joan, Ida, Karl, Lea, Rita, Uncle Max, Zoe"}},
	"whose line": {`Wedding of Ana & Tom
Ana's parents - Rita, Gil; Abuela Rosa (mom's mom); Grandma & Grandpa Pardo (Ida, Karl)

- Bride with maternal grandparents
- Bride with paternal grandparents
- 3 Generation photo (Bride/Mother/Grandmother)
- Ana, Rita and Abuela Rosa - three generations`, []string{"Abuela Rosa, Ana", "Ana, Ida, Karl", "Abuela Rosa, Ana, Rita", "Abuela Rosa, Ana, Rita"}},
	"both sides": {`Bride's family: Mom - Rita, Brother - Max (S/O Lea), Granny Ida
Groom's family: Mom - Joan, Sister - Kim (S/O Ben)

1. Ana & Tom with both sides' parents, siblings & grandparents`, []string{"Ana, Granny Ida, Joan, Kim, Max, Rita, Tom"}},
	"the dead in a line of others": {`Wedding of Ana & Tom
Ana/Tom with Grandparents
    Gran Vi (Ana's). Deceased: Grandad Ted, so don't ask!!
    Granny & Grandpa Frost (Ida, Karl)`, []string{"Ana, Gran Vi, Ida, Karl, Tom"}},
	"a title with a place": {`Group photos (ca. 20 min, 2:30pm, Steps) - Ana & Tom

1. Everyone
2. Ana + Rita`, []string{"Ana, Rita, Tom", "Ana, Rita"}},
	"how photographs follow each other": {`Wedding of Ana & Tom

Bride's side:
• Bride, Grandma Joan
    • Mom (Rita)
(so first a photo of Bride with grandparents, then add Mom and Dad, then add Groom)
• Bride, Max`, []string{"Ana, Grandma Joan", "Ana, Grandma Joan, Rita", "Ana, Max"}},
	"labels within a line": {`Wedding of Ana & Tom

1. Couple + Rita
2. Couple + Tom's parents (divorced!): 2a. with Joan 2b. with Bill and his wife Vera`, []string{"Ana, Rita, Tom", "Ana, Joan, Tom", "Ana, Bill, Tom, Vera"}},
	"a club": {`Fern Lane JFC photo day

1. Committee (Chair Ann Poole, Sec. Bob Frost)
2. U9s with coach Dan - Leo, Mia, Kit
3. Player of the year with Chair - Mia + Ann
4. Whole club`, []string{"Chair Ann Poole, Sec Bob Frost", "Dan, Kit, Leo, Mia", "Chair Ann Poole, Mia", "Chair Ann Poole, Dan, Kit, Leo, Mia, Sec Bob Frost"}},
	"a club with a head coach": {`Northgate Swim Club - team photo Sunday

1. Coaches (Head coach Pam Ryder, Lee, Toni B)
2. U12 boys - Oscar, Theo
3. Swimmer of the season with Head coach - Theo + Pam
4. Entire club by the pool`, []string{"Lee, Pam Ryder, Toni B", "Oscar, Theo", "Pam Ryder, Theo", "Lee, Oscar, Pam Ryder, Theo, Toni B"}},
	"names as families say them": {`Photos of Nora and Finn

Nora, Ma, Pa
Nora, Finn, Ma, Pa, Clem
Nora, Clem`, []string{"Ma, Nora, Pa", "Clem, Finn, Ma, Nora, Pa", "Clem, Nora"}},
	"colons behind a dash": {`Wedding of Ana & Tom

Ana's family: Mum: Rita, Dad: Gil, brother: Max
Tom's family - Mum: Joan, Dad: Karl, sisters: Beth and Joy

1. Couple with Ana's parents
2. Couple with Tom's parents
3. Couple with Tom's sisters`, []string{"Ana, Gil, Rita, Tom", "Ana, Joan, Karl, Tom", "Ana, Beth, Joy, Tom"}},
	"two of one rank": {`Wedding of Ana & Tom
1. Couple w/ CO and wife (Lt Col & Mrs Trent)`, []string{"Ana, Lt Col Trent, Mrs Trent, Tom"}},
	"two photographs in a line": {`Wedding of Ana & Tom
1. Couple + Ana's parents (Rita, Gil)
2. Couple + Tom's parents (Joan, Karl)
3. Bride + Mum / Groom + Mum`, []string{"Ana, Gil, Rita, Tom", "Ana, Joan, Karl, Tom", "Ana, Rita", "Joan, Tom"}},
	"whose mum, where one of two writes": {`Hi Kim,

My mum is Rita and my dad is Gil, and Tom's mum is Joan. Then one of just me and Tom with Mum and Gil.

Thanks!
Ana & Tom xx`, []string{"Ana, Gil, Rita, Tom"}},
	"a family among sponsors": {`XV de Ximena
1. Padrinos de corona: Nancy; Fam. Robles; Memo
2. Ximena con todos los padrinos`, []string{"Fam. Robles, Memo, Nancy", "Fam. Robles, Memo, Nancy, Ximena"}},
	"a table of the couple": {`| N° | Photo | Personnes |
|----|-------|-----------|
| 1 | Famille de Lise | Lise, Malik, Odile, Tom |
| 2 | Famille de Malik | Lise, Malik, Zohra |
| 3 | Parents | Lise, Malik, Odile |
| 4 | Témoins | mariés + Tom, Karine |`, []string{"Lise, Malik, Odile, Tom", "Lise, Malik, Zohra", "Lise, Malik, Odile", "Karine, Lise, Malik, Tom"}},
	"children of both": {`Frost family reunion
1. Gma Ida with her kids (Max, Lea)
2. Gpa Karl with his kids`, []string{"Gma Ida, Lea, Max", "Gpa Karl, Lea, Max"}},
	"everyone from my side": {`Hi Kim,

Could we start with everyone from my side - that's my mum Rita, my brother Max and my nan Ida who will be in her wheelchair. Then one of me with Max.

Love, Ana & Tom`, []string{"Ana, Ida, Max, Rita", "Ana, Max"}},
}

func TestSets(t *testing.T) {
	for name, c := range sets {
		got, _ := photographsOf(t, strings.Split(c.lines, "\n")...)
		assert.Equal(t, c.want, got, name)
	}
}

// What brackets and words say of how old somebody is.
func TestAgesByWords(t *testing.T) {
	_, got := photographsOf(t, "Wedding of Ana & Tom", "1. Couple + Mia (4), Leo (2) and Zoe (baby)", "2. Couple + cousin Amy, Amy's husband Rob, their kids Finn and Isla", "3. Couple + Max, his wife Pru, their baby Otto",
		"4. Couple + flower girls (Mia and Eva, 3 years)", "5. Couple + twins Alf and Mab (both 3)", "6. Couple + their friend Kit, Lolo Ben")
	bands := make(map[string]event.AgeBand)
	for _, p := range got.Event.People {
		bands[p.Name] = p.AgeBand
	}
	assert.Equal(t, map[string]event.AgeBand{"Ana": event.Adult, "Tom": event.Adult, "Mia": event.Child, "Leo": event.Child, "Zoe": event.Infant, "Amy": event.Adult, "Rob": event.Adult, "Finn": event.Child,
		"Isla": event.Child, "Max": event.Adult, "Pru": event.Adult, "Otto": event.Infant, "Eva": event.Child, "Alf": event.Child, "Mab": event.Child, "Kit": event.Adult, "Lolo Ben": event.Elder}, bands)
}

// Two are kept apart who stand in two photographs as a pair does, or whose names a bracket parts from theirs.
func TestApartAcrossLines(t *testing.T) {
	for _, c := range []string{"Frost family reunion\n1. Gma Ida + all grandkids\n2. Gpa Karl + ALL grandkids (divorced, separate pls)\n3. The Frosts: Max, Pru, Leo (9), Mia (6)",
		"Wedding of Ana & Tom\n1. Couple + Rita\n2. Couple + Tom's parents (divorced): 2a. with Ida 2b. with Karl and his wife Vera"} {
		_, got := photographsOf(t, strings.Split(c, "\n")...)
		if assert.Len(t, got.Event.Rules, 1, c) {
			pair := slices.Sorted(slices.Values(got.Event.Rules[0].Apart.People))
			assert.Contains(t, pair[0]+pair[1], "ida", c)
			assert.Contains(t, pair[0]+pair[1], "karl", c)
		}
	}
}

// Times before the lines of a timetable are those of its photographs; who plays for a team of children is one.
func TestTimetable(t *testing.T) {
	_, got := photographsOf(t, "Fern Lane JFC photo day 12 Sept 2026", "", "11.00 Chair Ann Poole + Bob", "11.20 Under 9s: Leo, Mia", "12.50 U11 girls, coach Ann: Eva, Kit (U8)", "1.10 Leo + Eva", "1.12 U16s: Jo")
	var times []string
	for _, g := range got.Event.Groupings {
		times = append(times, g.NotBefore+"-"+g.NotAfter)
	}
	assert.Equal(t, []string{"11:00-11:20", "11:20-12:50", "12:50-13:10", "13:10-", "13:12-"}, times)
	assert.Equal(t, "11:00", got.Event.Blocks[0].Opens)
	bands := make(map[string]event.AgeBand)
	for _, p := range got.Event.People {
		assert.Empty(t, p.Needs, p.Name)
		bands[p.Name] = p.AgeBand
	}
	assert.Equal(t, map[string]event.AgeBand{"Chair Ann Poole": event.Adult, "Bob": event.Adult, "Leo": event.Child, "Mia": event.Child, "Eva": event.Child, "Kit": event.Child, "Jo": event.Adult}, bands)
}
