package day

import (
	"cmp"
	"fmt"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/solver"
	"kinorder.example/solver/internal/resident"
)

// TestManyDays plans as many random days as KINORDER_DAYS says, of families and of people without any
// pattern, in all emphases and with the memory that a server gives, and holds the process to 1.2 GiB. Of a
// hundred one may take long.
func TestManyDays(t *testing.T) {
	count, err := strconv.Atoi(cmp.Or(os.Getenv("KINORDER_DAYS"), "5"))
	require.NoError(t, err)
	const limit = 256 << 20
	proven := 0
	for k := range count {
		seed := uint64(k)
		rng := rand.New(rand.NewPCG(seed, 23))
		spec := family(seed)
		if rng.IntN(2) == 0 {
			spec = randomSpec(rng, 5+rng.IntN(30), 1+rng.IntN(4))
		}
		spec.Emphasis = solver.Emphasis(rng.IntN(3))
		p, err := New(spec)
		require.NoError(t, err, "seed %d", seed)
		o := Options{MemoryLimit: limit, Iterations: 100, NodeLimit: 2000, Seed: seed, Workers: 1 + k%2}
		if k%100 == 99 {
			o.Iterations, o.NodeLimit = 2000, 1_000_000
		}
		r, err := Solve(t.Context(), p, o)
		require.NoError(t, err, "seed %d", seed)
		require.LessOrEqual(t, r.PeakBytes, int64(limit), "seed %d", seed)
		if r.Status == Found {
			require.NoError(t, Verify(p, r.Plan, r.Cost, r.Lost), "seed %d", seed)
			require.LessOrEqual(t, r.Bound, r.Total, "seed %d", seed)
		}
		if r.Proven {
			proven++
		}
		if k%100 == 99 {
			fmt.Printf("%d days, %d proven, at most %d MiB\n", k+1, proven, resident.Peak()>>20)
		}
	}
	if os.Getenv("KINORDER_DAYS") != "" { // The race detector and other tests take memory of their own.
		assert.Less(t, resident.Peak(), int64(1229<<20), "bytes of the process")
	}
}
