package intake

import (
	"context"
	"fmt"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/hostile"
	"kinorder.example/server/internal/intake/effort"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/needs"
)

// hostileKinds are the shapes by what they are read as, with a size that is enough to tell how they grow.
var hostileKinds = []struct {
	name   string
	shapes []hostile.Shape
	format Format
	size   int
	most   int // bytes that are read of a kind
}{
	{"list", hostile.Lists(), List, 32 << 10, place.MaxContent - 4096},
	{"table", hostile.Tables(), CSV, 128 << 10, MaxContent - 4096},
	{"tree", hostile.Trees, YAML, 64 << 10, MaxContent - 4096},
	{"json", hostile.JSON, JSON, 64 << 10, MaxContent - 4096},
}

// Nothing that is within the limits grows faster than its size: what is done is counted by what is allocated,
// since nearly everything that reading does often allocates.
func TestHostileFilesGrowWithTheirSize(t *testing.T) {
	needs.Time(t)
	for _, kind := range hostileKinds {
		for _, s := range kind.shapes {
			t.Run(kind.name+"/"+s.Name, func(t *testing.T) {
				work := func(size int) int {
					content := []byte(s.Make(size))
					var before, after runtime.MemStats
					runtime.ReadMemStats(&before)
					_, err := ReadFile(t.Context(), content, Options{Format: kind.format})
					require.NoError(t, err)
					runtime.ReadMemStats(&after)
					return int(after.Mallocs - before.Mallocs)
				}
				few, many := work(kind.size/4), work(kind.size)
				assert.LessOrEqual(t, many, 8*few+50_000, "allocations for four times as much")
				assert.LessOrEqual(t, many, 70*kind.size, "allocations")
			})
		}
	}
}

// Steps bound what reading does, also with lines of nothing but small words or marks: their phrases counted hardly any,
// and a full list took up to 50 seconds and 4 GB, bit by bit. What is done is counted by the bytes that it allocates.
func TestStepsBoundWhatIsDone(t *testing.T) {
	needs.Time(t)
	for _, s := range hostile.Lists() {
		if !slices.Contains([]string{"a line of one-letter words", "colons", "commas", "guests with dashes", "open brackets of people"}, s.Name) {
			continue
		}
		content := []byte(s.Make(place.MaxContent - 4096))
		m := effort.New(t.Context(), effort.Most)
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		_, err := readWithin(m, content, Options{Format: List})
		require.NoError(t, err)
		runtime.ReadMemStats(&after)
		assert.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(1100<<20), s.Name)
		assert.Less(t, m.Spent(), effort.Most*51/50, s.Name)
	}
}

// Whatever is random and within the limits is read or refused with the line that takes longest, after as many
// steps as are allowed.
func TestHostileFilesEnd(t *testing.T) {
	needs.Time(t)
	steps := 4_000_000 // of as much less than the most that is read
	for seed := range uint64(60) {
		m := effort.New(t.Context(), steps)
		content := hostile.Random(seed, place.MaxContent*steps/effort.Most*2)
		got, err := readWithin(m, []byte(content), Options{Format: List})
		require.NoError(t, err)
		assert.Less(t, m.Spent(), steps+effort.Most/50, seed)
		if m.Err() == nil {
			continue
		}
		require.Len(t, got.Problems, 1, seed)
		assert.Equal(t, place.CodeTooLong, got.Problems[0].Code)
		assert.Positive(t, got.Problems[0].Line)
		assert.Empty(t, got.Event.People)
		accounted(t, content, got)
		translated(t, got.Problems)
	}
}

// A list of as many people and photographs as an event can have is read, in whatever form it comes.
func TestHonestFilesAreRead(t *testing.T) {
	needs.Time(t)
	list := hostile.Typed(1990, 500, 12)
	guests, photographs, _ := strings.Cut(strings.TrimPrefix(list, "Guests:\n"), "\nPhotos:\n")
	var table strings.Builder
	fmt.Fprintf(&table, "[People],\nName,Relation\n%s\n[Photographs],\nTitle,People\n", strings.ReplaceAll(guests, "\n", ",\n"))
	for line := range strings.Lines(photographs) {
		fmt.Fprintf(&table, "t,%q\n", strings.ReplaceAll(strings.TrimSpace(line), ", ", "; "))
	}
	for name, c := range map[string]struct {
		content string
		format  Format
	}{"list": {list, List}, "table": {table.String(), CSV}} {
		t.Run(name, func(t *testing.T) {
			m := effort.New(t.Context(), effort.Most)
			got, err := readWithin(m, []byte(c.content), Options{Format: c.format})
			require.NoError(t, err)
			require.NoError(t, m.Err())
			assert.Less(t, m.Spent(), effort.Most*9/10)
			assert.Len(t, got.Event.People, 1990)
			assert.Len(t, got.Event.Groupings, 500)
		})
	}
	m := effort.New(t.Context(), effort.Most)
	_, err := readWithin(m, []byte(hostile.Slips()), Options{Format: List})
	require.NoError(t, err)
	assert.Less(t, m.Spent(), effort.Most/3, "a list with many slips")
}

// leaving is a caller who goes after having been looked after some times.
type leaving struct {
	context.Context
	looks int
}

func (l *leaving) Err() error {
	if l.looks--; l.looks < 0 {
		return context.Canceled
	}
	return nil
}

func (l *leaving) Value(any) any { return nil }

// Reading ends soon after its caller has gone, and gives nothing.
func TestReadingStopsWithItsCaller(t *testing.T) {
	for _, content := range []string{hostile.Slips(), hostile.Typed(500, 400, 9)} {
		m := effort.New(&leaving{t.Context(), 2}, effort.Most)
		got, err := readWithin(m, []byte(content), Options{Format: List})
		require.ErrorIs(t, err, context.Canceled)
		assert.Empty(t, got)
		assert.Less(t, m.Spent(), effort.Most/20)
	}
	gone, leave := context.WithCancel(t.Context())
	leave()
	for _, format := range []Format{List, CSV, YAML, JSON} {
		_, err := ReadFile(gone, []byte("{}"), Options{Format: format})
		require.ErrorIs(t, err, context.Canceled)
	}
}
