package solver

import (
	"fmt"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/solver/internal/resident"
)

// TestManyPlans solves as many random family events as KINORDER_PLANS says, of 5 to 45 groupings in all
// emphases and with the memory that a server gives, and holds the process to 1.2 GiB. Of a hundred one
// may take many states, so that tables are filled. KINORDER_SEED is where to begin.
func TestManyPlans(t *testing.T) {
	count, sizes := setting(t, "KINORDER_PLANS", 30), 41
	if testing.Short() {
		count, sizes = 10, 16
	}
	first, proven := setting(t, "KINORDER_SEED", 0), 0
	const limit = 256 << 20
	for k := range count {
		seed := uint64(first + k)
		rng := rand.New(rand.NewPCG(seed, 20))
		n := 5 + rng.IntN(sizes)
		spec := familySpec
		if rng.IntN(2) == 0 {
			spec = plannedSpec
		}
		s := spec(seed, n, Emphasis(rng.IntN(3)))
		lopside(rng, &s)
		o := Options{MemoryLimit: limit, NodeLimit: 2000, Workers: 1 + int(seed%2)}
		if k%100 == 99 {
			o.NodeLimit = 1_000_000
		}
		r := mustSolve(t, mustProblem(t, s), o)
		require.Equal(t, Found, r.Status, "seed %d", seed)
		require.LessOrEqual(t, r.Stats.PeakBytes, int64(limit), "seed %d", seed)
		if r.Proven {
			proven++
		}
		if k%1000 == 999 {
			fmt.Printf("%d plans, %d proven, at most %d MiB\n", k+1, proven, resident.Peak()>>20)
		}
	}
	if os.Getenv("KINORDER_PLANS") != "" { // The race detector and other tests take memory of their own.
		assert.Less(t, resident.Peak(), int64(1229<<20), "bytes of the process")
	}
}

// lopside changes weights in ways that no family does: one person, or one kind, outweighs all others.
func lopside(rng *rand.Rand, s *Spec) {
	heavy, kind := rng.IntN(len(s.People)), rng.IntN(8)
	for q := range s.People {
		w := &s.People[q]
		switch kind {
		case 0:
			w.ReleaseWeight, w.IdleWeight = 0, 0
		case 1:
			w.ReleaseWeight = min(w.ReleaseWeight/2, 1)
		case 2:
			w.ReleaseWeight *= 1000
		case 3:
			w.IdleWeight *= 1000
		}
		if q == heavy && kind < 3 {
			w.ReleaseWeight = []int64{1, 100, MaxWeight}[rng.IntN(3)]
		}
	}
}
