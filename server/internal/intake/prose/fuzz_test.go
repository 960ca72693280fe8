package prose

import (
	"testing"

	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
)

// Nothing panics, and what became of every line is said.
func FuzzRead(f *testing.F) {
	f.Add("Ida & Per\n\n1. B&G + her parents (Mara, Odd)\n2. same w/o Odd\n- Nan (wheelchair)\n  + Groom")
	f.Add("新郎：陈宇轩\n新娘：林若曦\n1. 双方家长（陈爸爸、陈妈妈）\n2. 全体")
	f.Add("[09:14, 02/06/2026] Izzy: 1. us + my mum\n[09:15, 02/06/2026] Jamie: scrap no. 1")
	f.Fuzz(func(t *testing.T, content string) {
		if len(content) > 4096 {
			return
		}
		got := Read(nil, content, event.Event{})
		for _, p := range got.Problems {
			require.NotEmpty(t, p.Message.String())
		}
		for _, l := range got.Lines {
			require.Positive(t, l.Number)
		}
	})
}
