//go:build unix

package intake

import (
	"testing"

	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/hostile"
	"kinorder.example/server/internal/intake/effort"
)

// BenchmarkHostile says how much processor time the largest file of each shape takes.
func BenchmarkHostile(b *testing.B) {
	for _, kind := range hostileKinds {
		for _, s := range kind.shapes {
			b.Run(kind.name+"/"+s.Name, func(b *testing.B) {
				content := []byte(s.Make(kind.most))
				hostile.Bench(b, func() {
					m := effort.New(b.Context(), effort.Most)
					_, err := readWithin(m, content, Options{Format: kind.format})
					require.NoError(b, err)
					b.ReportMetric(float64(m.Spent())/1e6, "Msteps")
				})
			})
		}
	}
}
