package placing_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/check"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/needs"
	"kinorder.example/server/internal/placing"
)

// The standing faults that photographers found, a file each. The judge finds all of them in the plans that were made
// before; what it cannot know is said here.
func TestStandingFaults(t *testing.T) {
	needs.Time(t)
	for name, also := range map[string]func(*testing.T, map[string]*event.Standing){
		"everybody": nil,
		"guests-baby": func(t *testing.T, plans map[string]*event.Standing) {
			assert.Equal(t, "ilse", placeIn(t, plans["friends"], "baby").HeldBy)
			assert.Equal(t, "kit", placeIn(t, plans["stranger"], "baby").HeldBy)
			assert.Equal(t, "bo", placeIn(t, plans["own-child"], "own").HeldBy)
		},
		"grandparents": func(t *testing.T, plans map[string]*event.Standing) {
			for _, id := range []string{"gm", "gf"} {
				assert.Zero(t, rowIn(plans["family"], id), "in front")
			}
		},
		"eighty-two": func(t *testing.T, plans map[string]*event.Standing) {
			assert.Zero(t, rowIn(plans["aunts"], "tilda"), "in front")
		},
		"baby-alone": func(t *testing.T, plans map[string]*event.Standing) {
			assert.Equal(t, "k1", placeIn(t, plans["cousins"], "baby").HeldBy, "the taller child")
			assert.NotEmpty(t, placeIn(t, plans["with-couple"], "baby").HeldBy)
		},
		"grandchildren": nil,
		"divorced": func(t *testing.T, plans map[string]*event.Standing) {
			assert.False(t, beside(plans["ada-parents"], "am", "af"))
			assert.False(t, beside(plans["bo-family"], "u", "ux"))
		},
		"ages-in-words": func(t *testing.T, plans map[string]*event.Standing) {
			for _, id := range []string{"en", "pt", "de", "fr", "es", "ar", "zh"} {
				assert.Zero(t, rowIn(plans["elders"], id), id)
			}
		},
		"child-at-the-end": nil,
		"attendants":       nil,
		"crowd-by-number": func(t *testing.T, plans map[string]*event.Standing) {
			all, people := plans["all"], 0
			for _, row := range all.Rows {
				people += len(row.Places)
			}
			assert.Equal(t, 120, people)
			assert.Greater(t, all.WidthCM, 600)
			assert.True(t, all.Has(event.TooWide))
			assert.Equal(t, event.RemedyAbove, all.Remedy)
			assert.Zero(t, rowIn(all, "am"), "who has a name is in front")
			assert.Empty(t, plans["mum"].Moves, "four people who stay close together")
		},
		"parents-first": func(t *testing.T, plans map[string]*event.Standing) {
			at := func(id string) int { return placeIn(t, plans["parents"], id).XCM }
			assert.Negative(t, max(at("am"), at("af")), "Ananya's, by the words of the list")
			assert.Positive(t, min(at("bm"), at("bf")))
		},
		"arms": func(t *testing.T, plans map[string]*event.Standing) {
			family := plans["family"]
			assert.ElementsMatch(t, []string{"sue", "sam"}, []string{placeIn(t, family, "ida").HeldBy, placeIn(t, family, "leo").HeldBy})
			assert.Equal(t, "bob", placeIn(t, family, "cara").HeldBy)
			assert.Zero(t, family.MoreAdults)
			assert.Equal(t, 3, plans["granny"].MoreAdults)
		},
		"four-years-old": func(t *testing.T, plans map[string]*event.Standing) {
			assert.Zero(t, rowIn(plans["all"], "felix"), "in front")
		},
		"pairs": func(t *testing.T, plans map[string]*event.Standing) {
			for _, photo := range []string{"mums", "dads"} {
				assert.Len(t, plans[photo].Rows, 1, photo)
			}
			for id, s := range plans {
				assert.True(t, beside(s, "ilse", "jon"), id)
			}
			assert.Equal(t, event.OnChair, placeIn(t, plans["in-laws"], "jm").Posture, "beside her husband")
			assert.True(t, beside(plans["in-laws"], "jm", "jf"))
			assert.False(t, beside(plans["parents"], "mum", "dad"))
			assert.True(t, beside(plans["grandparents"], "gf", "gm"))
			for _, pair := range [][2]string{{"mum", "mums"}, {"dad", "dads"}, {"gf", "gm"}, {"sister", "sisters"}, {"aunt", "uncle"}} {
				assert.True(t, beside(plans["all"], pair[0], pair[1]), "%s and %s", pair[0], pair[1])
			}
			assert.False(t, beside(plans["all"], "mum", "dad"))
		},
		"partners": func(t *testing.T, plans map[string]*event.Standing) {
			assert.True(t, beside(plans["sister"], "sis", "sish"), "and not one on each side of the couple")
			for _, pair := range [][2]string{{"sis", "sish"}, {"bro", "brog"}} {
				assert.True(t, beside(plans["siblings"], pair[0], pair[1]), "%v", pair)
			}
			for id, s := range plans {
				assert.False(t, beside(s, "vm", "vs"), "%s: his mother beside his father's wife", id)
			}
			assert.Len(t, plans["three-generations"].Rows, 1)
			for _, kid := range []string{"k1", "k2"} {
				at := func(id string) int { return placeIn(t, plans["cousin-home"], id).XCM }
				assert.Less(t, min(abs(at(kid)-at("c")), abs(at(kid)-at("ch"))), 90, "beside a parent")
			}
		},
		"whose": func(t *testing.T, plans map[string]*event.Standing) {
			for _, photo := range []string{"home", "all"} {
				at := func(id string) int { return placeIn(t, plans[photo], id).XCM }
				assert.Contains(t, []string{"sophie", "james"}, placeIn(t, plans[photo], "bea").HeldBy, photo)
				assert.Less(t, min(abs(at("freddie")-at("sophie")), abs(at("freddie")-at("james"))), 120, photo)
			}
			for _, id := range []string{"b1", "b2", "b3"} {
				assert.Negative(t, placeIn(t, plans["party"], id).XCM, "%s on the bride's side", id)
			}
			for _, id := range []string{"g1", "g2", "g3"} {
				assert.Positive(t, placeIn(t, plans["party"], id).XCM, "%s on the groom's", id)
			}
		},
		"own-child": func(t *testing.T, plans map[string]*event.Standing) {
			at := func(plan, id string) int { return placeIn(t, plans[plan], id).XCM }
			assert.True(t, beside(plans["with-dad"], "dad", "hedda"))
			assert.Len(t, plans["household"].Rows, 1)
			assert.False(t, beside(plans["parted"], "dad", "mum"))
			assert.Negative(t, (at("parted", "dad")-at("parted", "hedda"))*(at("parted", "mum")-at("parted", "hedda")), "with her between")
			ends := plans["wheels"].Rows[0].Places
			assert.NotEqual(t, "gran", ends[0].Person)
			assert.NotEqual(t, "gran", ends[len(ends)-1].Person)
			last := plans["household"].Rows[0].Places
			assert.False(t, len(last) > 2 && (last[0].Person == "boy" || last[len(last)-1].Person == "boy"))
		},
		"honour": func(t *testing.T, plans map[string]*event.Standing) {
			for id, s := range plans {
				if id != "young" {
					assert.Zero(t, rowIn(s, "rosemary"), id)
				}
			}
		},
	} {
		t.Run(name, func(t *testing.T) {
			e := read(t, "cases/standing-"+name+".yaml")
			require.Empty(t, event.Faults(check.Event(e)))
			s := sheetOf(e, asRequested(e))
			require.NoError(t, placing.Day(t.Context(), e, &s))
			assert.Empty(t, newJudge(e).faults(s))
			plans := map[string]*event.Standing{}
			for _, entry := range s.Blocks[0].Entries {
				require.NotNil(t, entry.Standing)
				plans[entry.Grouping] = entry.Standing
			}
			if also != nil {
				also(t, plans)
			}
		})
	}
}

// A crowd on flat ground hides faces whatever the room: somebody has to get up high.
func TestCrowdOnFlatGroundIsTakenFromAbove(t *testing.T) {
	e := read(t, "cases/standing-crowd-by-number.yaml")
	e.Blocks[0].Space = event.Space{}
	s := sheetOf(e, asRequested(e))
	require.NoError(t, placing.Day(t.Context(), e, &s))
	all := s.Blocks[0].Entries[0].Standing
	require.True(t, all.Has(event.FaceHidden))
	require.False(t, all.Has(event.TooWide))
	assert.Equal(t, event.RemedyAbove, all.Remedy)
}

func placeIn(t *testing.T, s *event.Standing, id string) event.StandingPlace {
	t.Helper()
	for _, row := range s.Rows {
		if at := slices.IndexFunc(row.Places, func(p event.StandingPlace) bool { return p.Person == id }); at >= 0 {
			return row.Places[at]
		}
	}
	require.Fail(t, "not in the plan", id)
	return event.StandingPlace{}
}

// rowIn is the row of somebody, counted from the first that is not low.
func rowIn(s *event.Standing, id string) int {
	front := slices.IndexFunc(s.Rows, func(r event.StandingRow) bool { return r.Kind > event.KneelingRow })
	return slices.IndexFunc(s.Rows, func(r event.StandingRow) bool {
		return slices.ContainsFunc(r.Places, func(p event.StandingPlace) bool { return p.Person == id })
	}) - front
}

func abs(n int) int { return max(n, -n) }
