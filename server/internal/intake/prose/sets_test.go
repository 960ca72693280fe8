package prose

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
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
}

func TestSets(t *testing.T) {
	for name, c := range sets {
		got, _ := photographsOf(t, strings.Split(c.lines, "\n")...)
		assert.Equal(t, c.want, got, name)
	}
}
