package placing_test

import (
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/placing"
)

// sheetOf says who walks in and who stays in given orders.
func sheetOf(e event.Event, orders []order) event.CallSheet {
	photographs, _ := event.Expand(e)
	var s event.CallSheet
	for _, o := range orders {
		b := event.SheetBlock{Block: o.block}
		var frame []string
		for _, id := range o.photographs {
			at := slices.IndexFunc(photographs, func(p event.Photograph) bool { return p.ID == id })
			entry := event.SheetEntry{Grouping: id, Title: photographs[at].Title}
			for _, person := range photographs[at].Members {
				if slices.Contains(frame, person) {
					entry.Stay = append(entry.Stay, person)
				} else {
					entry.StepIn = append(entry.StepIn, person)
				}
			}
			frame = photographs[at].Members
			b.Entries = append(b.Entries, entry)
		}
		s.Blocks = append(s.Blocks, b)
	}
	return s
}

func read(t *testing.T, file string) event.Event {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join("..", "..", "..", "testdata", file))
	require.NoError(t, err)
	e, _, err := intake.Read(raw, intake.Auto)
	require.NoError(t, err)
	return e
}

// apiece is a sheet of the same order in which every entry is arranged by itself.
func apiece(t *testing.T, e event.Event, s event.CallSheet) event.CallSheet {
	t.Helper()
	out := s
	out.Blocks = slices.Clone(s.Blocks)
	for i, b := range out.Blocks {
		out.Blocks[i].Entries = slices.Clone(b.Entries)
		for k, entry := range b.Entries {
			one := event.CallSheet{Blocks: []event.SheetBlock{{Block: b.Block, Entries: []event.SheetEntry{entry}}}}
			require.NoError(t, placing.Day(t.Context(), e, &one))
			out.Blocks[i].Entries[k].Standing = one.Blocks[0].Entries[0].Standing
		}
	}
	return out
}

// spot is where somebody is, worked out from a sheet alone.
type spot struct {
	posture event.Posture
	x, back int
}

func spotsOf(s *event.Standing) map[string]spot {
	out := map[string]spot{}
	if s == nil {
		return out
	}
	front := 0 // where the first row for grown-ups is
	for at, r := 0, 0; r < len(s.Rows); r++ {
		if k := s.Rows[r].Kind; k != event.GroundRow && k != event.KneelingRow {
			front = at
			break
		}
		at += depths[s.Rows[r].Kind]
	}
	at := 0
	for _, row := range s.Rows {
		for _, p := range row.Places {
			out[p.Person] = spot{p.Posture, p.XCM, at - front}
		}
		at += depths[row.Kind]
	}
	return out
}

// movesOf counts who stays from one entry to the next and changes place.
func movesOf(s event.CallSheet) (moves, stay int) {
	for _, b := range s.Blocks {
		for k := 1; k < len(b.Entries); k++ {
			was, is := spotsOf(b.Entries[k-1].Standing), spotsOf(b.Entries[k].Standing)
			for id, now := range is {
				before, there := was[id]
				if !there {
					continue
				}
				stay++
				if before.posture != now.posture || max(before.x-now.x, now.x-before.x) > 40 || max(before.back-now.back, now.back-before.back) > 40 {
					moves++
				}
			}
		}
	}
	return moves, stay
}

// keepsRules checks a sheet against what an event says of people, without package standing.
func keepsRules(t *testing.T, e event.Event, s event.CallSheet) {
	t.Helper()
	people := map[string]event.Person{}
	for _, p := range e.People {
		people[p.ID] = p
	}
	for _, b := range s.Blocks {
		for _, entry := range b.Entries {
			require.NotNil(t, entry.Standing, entry.Grouping)
			var placed []string
			for r, row := range entry.Standing.Rows {
				edge := row.AsideCM - row.WidthCM/2
				for k, p := range row.Places {
					placed = append(placed, p.Person)
					who := people[p.Person]
					if p.HeldBy != "" {
						assert.Equal(t, event.Infant, who.AgeBand, entry.Grouping)
						continue
					}
					assert.Equal(t, edge+p.WidthCM/2, p.XCM, "%s: shoulder to shoulder", entry.Grouping)
					edge += p.WidthCM
					if slices.Contains(who.Needs, event.Wheelchair) {
						assert.Equal(t, event.InWheelchair, p.Posture, entry.Grouping)
						assert.Zero(t, row.BaseCM, entry.Grouping)
						if n := len(row.Places); n > 2 {
							assert.True(t, k > 0 && k < n-1, "%s: a wheelchair at the edge", entry.Grouping)
						}
					} else if slices.Contains(who.Needs, event.Seat) {
						assert.Equal(t, event.OnChair, p.Posture, entry.Grouping)
					}
					if slices.Contains(who.Needs, event.StepFree) {
						assert.Zero(t, row.BaseCM, entry.Grouping)
					}
					if who.AgeBand == event.Elder {
						assert.NotContains(t, []event.Posture{event.Kneeling, event.OnGround}, p.Posture, entry.Grouping)
					}
				}
				assert.NotEmpty(t, row.Places, "%s: row %d", entry.Grouping, r)
			}
			assert.ElementsMatch(t, slices.Concat(entry.StepIn, entry.Stay), placed, entry.Grouping)
			for _, rule := range e.Rules {
				if rule.Apart != nil && rule.Apart.Scope == event.Neighbours {
					for _, pair := range rule.Apart.PairsIn(event.NewIndex(&e)) {
						assert.False(t, beside(entry.Standing, e.People[pair.One].ID, e.People[pair.Other].ID), "%s: %v", entry.Grouping, pair)
					}
				}
			}
		}
	}
}

func beside(s *event.Standing, a, b string) bool {
	for _, row := range s.Rows {
		var order []string
		for _, p := range row.Places {
			if p.HeldBy == "" {
				order = append(order, p.Person)
			}
		}
		one, other := slices.Index(order, a), slices.Index(order, b)
		if one >= 0 && other >= 0 && max(one-other, other-one) == 1 {
			return true
		}
	}
	return false
}

// asRequested is everything in the first block in the order of the event.
func asRequested(e event.Event) []order {
	photographs, _ := event.Expand(e)
	o := order{}
	if len(e.Blocks) > 0 {
		o.block = e.Blocks[0].ID
	}
	for _, p := range photographs {
		o.photographs = append(o.photographs, p.ID)
	}
	return []order{o}
}
