//go:build unix

package intake

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/hostile"
	"kinorder.example/server/internal/intake/effort"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/needs"
)

// Steps bound the processor time, also of lines that are made of many short sentences or of nothing but small words: they
// took 50 and 13 seconds.
func TestHostileLinesEndSoon(t *testing.T) {
	needs.Time(t)
	for _, s := range hostile.Lists() {
		if s.Name != "colons" && s.Name != "a line of one-letter words" {
			continue
		}
		before := hostile.Spent()
		_, err := readWithin(effort.New(t.Context(), effort.Most), []byte(s.Make(place.MaxContent-4096)), Options{Format: List})
		require.NoError(t, err)
		assert.Less(t, hostile.Spent()-before, 12*time.Second, s.Name)
	}
}

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
