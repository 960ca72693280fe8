package placing_test

import (
	"context"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/needs"
	"kinorder.example/server/internal/placing"
)

// order is the groupings of a block one after the other.
type order struct {
	block       string
	photographs []string
}

// harbourOrder is the order of the demo that is proven best.
var harbourOrder = []order{
	{"loft", []string{"a-each.beatriz", "a-att", "a-each.chioma", "a-each.meiling"}},
	{"customs", []string{"rosa-theo", "t-each.pavel", "t-att", "t-each.tomi", "t-each.zoe"}},
	{"quay", []string{
		"everybody", "t-all", "t-sisters", "t-grand", "a-father-household", "a-all", "a-grand", "amina-amara", "a-sisters",
		"attendants", "t-uncles", "friends-all", "a-uncles", "t-folks-children", "t-folks", "a-mother-children", "a-mother",
	}},
}

// depths are how far the next row stands behind one of a kind, as package standing documents.
var depths = map[event.RowKind]int{event.GroundRow: 85, event.KneelingRow: 75, event.ChairRow: 95, event.PlainRow: 70, event.StepRow: 60, event.SecondStepRow: 60}

// The demo, grouping after grouping: every rule holds as it does for each by itself, and fewer people who
// stay change place.
func TestDayKeepsPeopleWhereTheyAre(t *testing.T) {
	needs.Time(t)
	for _, c := range []struct {
		file   string
		orders []order
		most   int // percent of the moves that arranging each by itself takes
	}{
		{"harbour-wedding.yaml", harbourOrder, 95},
		{"cases/eight-siblings.yaml", nil, 60},
		{"cases/grandparents.yaml", nil, 75},
	} {
		t.Run(c.file, func(t *testing.T) {
			e := read(t, c.file)
			if c.orders == nil {
				c.orders = asRequested(e)
			}
			s := sheetOf(e, c.orders)
			alone := apiece(t, e, s)
			require.NoError(t, placing.Day(t.Context(), e, &s))
			keepsRules(t, e, s)
			keepsRules(t, e, alone)
			moves, stay := movesOf(s)
			by, _ := movesOf(alone)
			t.Logf("%d of %d who stay change place; %d with each arranged by itself", moves, stay, by)
			assert.LessOrEqual(t, 100*moves, c.most*by)
			said := 0
			for _, b := range s.Blocks {
				for _, entry := range b.Entries {
					said += len(entry.Standing.Moves)
				}
			}
			assert.Equal(t, moves, said, "what the sheet says of moves")
		})
	}
}

// crowd is an event with one photograph of n adults at a place.
func crowd(n int, space event.Space) (event.Event, event.CallSheet) {
	e := event.Event{Blocks: []event.Block{{ID: "b", Space: space}}}
	var all []string
	for i := range n {
		id := "p" + string(rune('a'+i/26)) + string(rune('a'+i%26))
		e.People = append(e.People, event.Person{ID: id, Name: id, HeightCM: 155 + (i*7)%33})
		all = append(all, id)
	}
	e.Groupings = []event.Grouping{{ID: "all", Title: "All", Members: all}}
	return e, event.CallSheet{Blocks: []event.SheetBlock{{Block: "b", Entries: []event.SheetEntry{{Grouping: "all", Title: "All", StepIn: all}}}}}
}

// People are planned for the space of their block; where they do not fit the sheet says what would help.
func TestDaySaysWhatWouldFit(t *testing.T) {
	needs.Time(t)
	for _, c := range []struct {
		name   string
		people int
		space  event.Space
		remedy event.StandingRemedy
		fits   bool
	}{
		{"a lawn", 14, event.Space{}, event.NoRemedy, true},
		{"narrow but deep", 14, event.Space{WidthCM: 450, DepthCM: 300}, event.NoRemedy, true},
		{"a corridor", 30, event.Space{WidthCM: 150, DepthCM: 150}, event.RemedySplit, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			e, s := crowd(c.people, c.space)
			require.NoError(t, placing.Day(t.Context(), e, &s))
			got := s.Blocks[0].Entries[0].Standing
			assert.Equal(t, c.fits, !got.Has(event.TooWide) && !got.Has(event.TooDeep))
			if c.space.WidthCM > 0 && c.fits {
				assert.LessOrEqual(t, got.WidthCM, c.space.WidthCM)
				assert.LessOrEqual(t, got.DepthCM, c.space.DepthCM)
			}
			if !got.Has(event.FaceHidden) || !c.fits {
				assert.Equal(t, c.remedy, got.Remedy)
			}
			codes := []string{}
			for _, a := range s.Advice {
				codes = append(codes, a.Code)
			}
			assert.Equal(t, !c.fits, slices.Contains(codes, event.CodeNoRoom))
			before := len(s.Advice)
			require.NoError(t, placing.Day(t.Context(), e, &s))
			assert.Len(t, s.Advice, before, "arranging again does not repeat the advice")
		})
	}
}

// A remedy is one that was tried: with it everybody fits and is seen.
func TestRemediesWork(t *testing.T) {
	needs.Time(t)
	found := map[event.StandingRemedy]bool{}
	for _, people := range []int{9, 16, 20} {
		for width := 300; width <= 500; width += 100 {
			for depth := 120; depth <= 240; depth += 60 {
				space := event.Space{WidthCM: width, DepthCM: depth}
				e, s := crowd(people, space)
				require.NoError(t, placing.Day(t.Context(), e, &s))
				got := s.Blocks[0].Entries[0].Standing
				found[got.Remedy] = true
				switch got.Remedy {
				case event.RemedyKneel:
					space.Kneeling = true
				case event.RemedyChairs:
					space.Chairs = people / 2
					assert.Positive(t, got.RemedyChairs)
				case event.RemedyStep:
					space.Steps, space.StepCM = 1, 17
				case event.RemedyTwoSteps:
					space.Steps, space.StepCM = 2, 17
				default:
					continue
				}
				e, s = crowd(people, space)
				require.NoError(t, placing.Day(t.Context(), e, &s))
				got = s.Blocks[0].Entries[0].Standing
				assert.False(t, got.Has(event.TooWide) || got.Has(event.TooDeep), "%d people, %+v", people, space)
			}
		}
	}
	assert.True(t, found[event.RemedyKneel] && found[event.RemedySplit], "%v", found)
}

// When there is no time left, what is not arranged is left without.
func TestDayEndsWithItsContext(t *testing.T) {
	e, s := crowd(12, event.Space{})
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	require.NoError(t, placing.Day(ctx, e, &s))
	assert.Nil(t, s.Blocks[0].Entries[0].Standing)
}

// looked is a context that ends when it has been looked at so often.
type looked struct {
	context.Context
	left int
}

func (l *looked) Err() error {
	if l.left--; l.left < 0 {
		return context.DeadlineExceeded
	}
	return nil
}

// The same of one photograph: whenever its time ends there is a plan, and the search is over soon.
func TestArrangeEndsWithItsContext(t *testing.T) {
	e, _ := crowd(40, event.Space{})
	whole := &looked{t.Context(), math.MaxInt}
	_, err := placing.Arrange(whole, e, "all", nil)
	require.NoError(t, err)
	all := math.MaxInt - whole.left
	for _, n := range []int{0, 1, all / 2} {
		ctx := &looked{t.Context(), n}
		plan, err := placing.Arrange(ctx, e, "all", nil)
		require.NoError(t, err)
		assert.Len(t, plan.Places, 40)
		assert.Less(t, n-ctx.left, n+all/4, "looks")
	}
}

// The time may end within a photograph. What was planned before is what it would have been anyhow, and
// what was cut short is left without.
func TestDayKeepsWhatItHas(t *testing.T) {
	e, s := crowd(12, event.Space{})
	entry := s.Blocks[0].Entries[0]
	s.Blocks[0].Entries = append(s.Blocks[0].Entries, entry, entry, entry)
	planned := func(ctx context.Context) []*event.Standing {
		c := s
		c.Blocks = slices.Clone(s.Blocks)
		c.Blocks[0].Entries = slices.Clone(s.Blocks[0].Entries)
		require.NoError(t, placing.Day(ctx, e, &c))
		var out []*event.Standing
		for _, entry := range c.Blocks[0].Entries {
			out = append(out, entry.Standing)
		}
		return out
	}
	whole := &looked{t.Context(), math.MaxInt}
	want := planned(whole)
	all := math.MaxInt - whole.left
	require.Greater(t, all, 4*50, "looks within a photograph")
	for n := range 4 { // in the middle of each, as they take about as long each
		got := planned(&looked{t.Context(), all * (2*n + 1) / 8})
		assert.Equal(t, want[:n], got[:n])
		for _, none := range got[n:] {
			assert.Nil(t, none)
		}
	}
}

// A demo of 26 photographs, the largest of 40 people.
func BenchmarkDay(b *testing.B) {
	raw, err := os.ReadFile(filepath.Join("..", "..", "..", "testdata", "harbour-wedding.yaml"))
	require.NoError(b, err)
	e, _, err := intake.Read(raw, intake.Auto)
	require.NoError(b, err)
	s := sheetOf(e, harbourOrder)
	for b.Loop() {
		require.NoError(b, placing.Day(b.Context(), e, &s))
	}
}
