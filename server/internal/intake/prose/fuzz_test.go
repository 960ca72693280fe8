package prose

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
)

// Nothing panics, and what became of every line is said.
func FuzzRead(f *testing.F) {
	f.Add("Ida & Per\n\n1. B&G + her parents (Mara, Odd)\n2. same w/o Odd\n- Nan (wheelchair)\n  + Groom")
	f.Add("新郎：陈宇轩\n新娘：林若曦\n1. 双方家长（陈爸爸、陈妈妈）\n2. 全体")
	f.Add("[09:14, 02/06/2026] Izzy: 1. us + my mum\n[09:15, 02/06/2026] Jamie: scrap no. 1")
	f.Add("Bride's name: Nell\nGroom's name: Otto\nParents of the bride: Ida (bride), Karl for Otto\nAny needs?\nnone\nGroups:\n- P1 + both")
	f.Add("Hi,\nmy gran Vera can't stand: one of her with us, and Otto, brother of the groom, is here. Then everyone from my side, A + B, C. One with all of them.\nNell & Otto")
	f.Add(":X1!0!0!0!0!0!00X 0!0!0!0!0!0Y X1") // a long line that begins with a colon
	f.Add("0()")                               // an empty bracket
	f.Add("新郎\n0)\x89\n0)0")                   // a line without words below a heading
	f.Add("NELL      OTTO\nA  Ann    Bob\nB  A + Cleo    Dan\nC1 B, Tom will push her. D\nMr & Mrs Lind (Ann, Bob)\nAnn + Bob = her parents")
	f.Fuzz(func(t *testing.T, content string) {
		if len(content) > 4096 {
			return
		}
		got := Read(nil, content, event.Event{}, time.Time{})
		for _, p := range got.Problems {
			require.NotEmpty(t, p.Message.String())
		}
		for _, l := range got.Lines {
			require.Positive(t, l.Number)
		}
	})
}
