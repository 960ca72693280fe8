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
}

func TestShorthand(t *testing.T) {
	for name, c := range shorthands {
		got, read := photographsOf(t, strings.Split(c.lines, "\n")...)
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
