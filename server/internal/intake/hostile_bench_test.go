//go:build unix

package intake

import (
	"testing"

	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/hostile"
	"kinorder.example/server/internal/intake/effort"
)

// BenchmarkHostile says how much processor time the largest file of each shape takes, and at the end the longest, which
// is to be two seconds at most.
func BenchmarkHostile(b *testing.B) {
	longest, of := 0.0, ""
	defer func() { b.Logf("longest: %.2f s of processor time, %s", longest, of) }()
	for _, kind := range hostileKinds {
		for _, s := range kind.shapes {
			b.Run(kind.name+"/"+s.Name, func(b *testing.B) {
				content := []byte(s.Make(kind.most))
				took := hostile.Bench(b, func() {
					m := effort.New(b.Context(), effort.Most)
					_, err := readWithin(m, content, Options{Format: kind.format})
					require.NoError(b, err)
					b.ReportMetric(float64(m.Spent())/1e6, "Msteps")
				})
				if took > longest {
					longest, of = took, kind.name+"/"+s.Name
				}
			})
		}
	}
}
