package planning

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/check"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/needs"
	"kinorder.example/solver/day"
)

// proven plans an event, and says whether what it found is the best there is.
func proven(t *testing.T, e event.Event) (day.Result, bool) {
	t.Helper()
	s, err := newSearch(e, Options{Work: 100})
	require.NoError(t, err)
	r, err := s.find(t.Context())
	require.NoError(t, err)
	return r, r.Proven
}

// A longer block never loses worth, one that may run over further never drops more, and the order in which people are told
// changes nothing, whatever the event.
func TestMoreRoomNeverLosesMore(t *testing.T) {
	needs.Time(t)
	longer, further, told := 0, 0, 0
	for seed := range uint64(400) {
		rng := rand.New(rand.NewPCG(seed, 15))
		e := anyEvent(rng)
		if len(event.Faults(check.Event(e))) > 0 {
			continue
		}
		was, sure := proven(t, e)
		if !sure {
			continue
		}
		try := func(change func(*event.Event)) (day.Result, bool) {
			other := e
			other.Blocks, other.People = slices.Clone(e.Blocks), slices.Clone(e.People)
			change(&other)
			return proven(t, other)
		}
		b := rng.IntN(len(e.Blocks))
		if now, sure := try(func(e *event.Event) {
			closes, err := time.Parse("15:04", e.Blocks[b].Closes)
			require.NoError(t, err)
			e.Blocks[b].Closes = closes.Add(time.Duration(1+rng.IntN(12)) * time.Minute).Format("15:04")
		}); sure {
			assert.False(t, was.Lost.Less(now.Lost), "seed %d: longer", seed)
			longer++
		}
		before := day.Result{}
		for over := range 6 {
			now, sure := try(func(e *event.Event) { e.Blocks[b].Closing, e.Blocks[b].Overrun = event.SoftClosing, &over })
			if !sure {
				break
			}
			assert.False(t, over > 0 && before.Lost.Less(now.Lost), "seed %d: %d minutes over", seed, over)
			before = now
			further++
		}
		if now, sure := try(func(e *event.Event) {
			rng.Shuffle(len(e.People), func(i, j int) { e.People[i], e.People[j] = e.People[j], e.People[i] })
		}); sure {
			assert.Equal(t, was.Lost, now.Lost, "seed %d: told in another order", seed)
			assert.Equal(t, was.Total, now.Total, "seed %d: told in another order", seed)
			told++
		}
	}
	assert.Greater(t, longer, 100)
	assert.Greater(t, further, 600)
	assert.Greater(t, told, 100)
}
