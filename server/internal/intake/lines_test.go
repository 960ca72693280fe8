package intake

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
)

// TestLines reads short lists, one way of writing each: who is in the photographs, in the order of the lines.
func TestLines(t *testing.T) {
	for name, c := range map[string]struct {
		list string
		want []string
	}{
		"couple in brackets":         {"Just four, please! Ellie (bride) & Sam (groom)\n1. Ellie + Sam + Sam's dad Ken", []string{"Ellie Sam Ken"}},
		"couple after roles":         {"Fotos com família e padrinhos - Casamento Larissa e Thiago\n\n1. Noivos + irmão da noiva, Diego", []string{"Larissa Thiago Diego"}},
		"author of the list":         {"Hey Jo\n- me + Caleb + Mom (Debra)\n- me + Caleb + Dad (Steve)\n\nxo Paige", []string{"Paige Caleb Debra", "Paige Caleb Steve"}},
		"two names in most lines":    {"- Ike & Noa with Ann\n- Ike & Noa with Ben\n- Ike & Noa with Ann, Ben", []string{"Ike Noa Ann", "Ike Noa Ben", "Ike Noa Ann Ben"}},
		"numbers without a point":    {"Ike & Noa's wedding\n1 Noa + dad Ben\n2 Ike + Ann\n3 Noa + Ben", []string{"Noa Ben", "Ike Ann", "Noa Ben"}},
		"elision":                    {"Mariage d'Inès & Théo\n\n- Nous + les parents d'Inès (Nadia, Karim)", []string{"Inès Théo Nadia Karim"}},
		"no apostrophe":              {"grp pics - amy (bride) n craig (groom)\n\n- us + craigs nan irene", []string{"amy craig irene"}},
		"letters explained":          {"Delaney & Hutch wedding\n\nD&H w/ GPs of G\nH + FOG\n\nMOG Patrice, FOG Big Hutch\nGPs of G = Pop & Gigi", []string{"Delaney Hutch Pop Gigi", "Hutch Big Hutch"}},
		"several meanings in a line": {"Delaney & Hutch wedding\n\nD&H w/ FG + RB\n\nFG = Harper 4, RB = Knox 3", []string{"Delaney Hutch Harper Knox"}},
		"couple in all":              {"Ana & Bo's wedding\n1. Ana's mum Cy\n2. Bo's dad Ed\nThe couple is always there.", []string{"Ana Bo Cy", "Ana Bo Ed"}},
		"steps out":                  {"Ana & Bo's wedding\n1. Ana & Bo with Cy, Di\n2. Di steps out\n3. minus Cy", []string{"Ana Bo Cy Di", "Ana Bo Cy", "Ana Bo"}},
		"said of the photograph":     {"Ana & Bo's wedding\n1. Ana with Cy, goofy one", []string{"Ana Cy"}},
		"wedding party":              {"Ana & Bo's wedding\n1. Ana + bridesmaid Cy\n2. Bo + best man Ed\n3. whole wedding party", []string{"Ana Cy", "Bo Ed", "Ana Bo Cy Ed"}},
		"named at first":             {"Ana & Bo's wedding\nWe two stay put the whole time.\n\n1. The whole lot: Cy, Di, Ed\n2. Ed out", []string{"Ana Bo Cy Di Ed", "Ana Bo Cy Di"}},
		"footnote":                   {"Wedding Ana & Bo\n\nAna with Cy\nBo with Di\nthe couple with Cy, Di\n*uncle Ed arrives at 7pm", []string{"Ana Cy", "Bo Di", "Ana Bo Cy Di"}},
		"headings in Chinese":        {"新郎：郑浩\n新娘：赵雨晴\n\n一、女方家人\n新人+舅舅王强\n新人+姑姑王丽\n\n二、男方家人\n新人+叔叔郑刚\n新人+继父（宋平）", []string{"赵雨晴 郑浩 舅舅王强", "赵雨晴 郑浩 姑姑王丽", "赵雨晴 郑浩 叔叔郑刚", "赵雨晴 郑浩 宋平"}},
	} {
		t.Run(name, func(t *testing.T) {
			got, err := ReadFile(t.Context(), []byte(c.list), Options{})
			require.NoError(t, err)
			name := make(map[string]string)
			for _, p := range got.Event.People {
				name[p.ID] = p.Name
			}
			var have []string
			for _, g := range got.Event.Groupings {
				var in []string
				for _, m := range g.Members {
					for _, id := range event.NewIndex(&got.Event).Members(m) {
						in = append(in, name[id])
					}
				}
				have = append(have, strings.Join(in, " "))
			}
			assert.Equal(t, c.want, have)
		})
	}
}
