package family_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/family"
)

func treeOf(e event.Event) *family.Tree {
	r := event.NewIndex(&e)
	return family.Of(&e, r, event.NewExpansion(&e, r))
}

// ids returns the ids of people.
func ids(e event.Event, people []int) []string {
	out := []string{}
	for _, p := range people {
		out = append(out, e.People[p].ID)
	}
	return out
}

// Whom the day is about: what the event says goes before relations, and those before counting.
func TestHonoured(t *testing.T) {
	people := []event.Person{{ID: "ann", Name: "Ann", Relation: "bride"}, {ID: "bo", Name: "Bo", Relation: "groom"}, {ID: "gran", Name: "Gran"}}
	e := event.Event{People: people}
	assert.Equal(t, []string{"ann", "bo"}, ids(e, treeOf(e).Honoured()))
	e.Honour = []string{"gran"}
	assert.Equal(t, []string{"gran"}, ids(e, treeOf(e).Honoured()))
	e = event.Event{People: people[1:]}
	assert.Empty(t, treeOf(e).Honoured(), "a groom alone is no couple, and nobody is in many photographs")
	for _, id := range []string{"a", "b", "c", "d"} {
		e.Groupings = append(e.Groupings, event.Grouping{ID: id, Members: []string{"gran", "bo"}[:1+len(e.Groupings)%2]})
	}
	assert.Equal(t, []string{"gran"}, ids(e, treeOf(e).Honoured()), "most taken")
}

func TestBandsBySaidAges(t *testing.T) {
	e := event.Event{People: []event.Person{
		{ID: "a", Relation: "great-aunt, 82"}, {ID: "b", Relation: "nephew, 5 months"}, {ID: "c", Relation: "cousin (7)"}, {ID: "d", Relation: "Oma"},
		{ID: "e", Relation: "aunt"}, {ID: "f", Relation: "grandmother, 82", AgeBand: event.Child}, {ID: "g", Relation: "wife's grandmother's friend"},
	}}
	tree := treeOf(e)
	var bands []event.AgeBand
	var seniors []string
	for i, p := range e.People {
		bands = append(bands, tree.Band(i))
		if tree.Senior(i) {
			seniors = append(seniors, p.ID)
		}
	}
	assert.Equal(t, []event.AgeBand{event.Elder, event.Infant, event.Child, event.Adult, event.Adult, event.Child, event.Adult}, bands)
	assert.Equal(t, []string{"a", "d", "f"}, seniors)
}

func TestParted(t *testing.T) {
	two := []event.Person{{ID: "ann", Name: "Ann", Relation: "bride", Side: "a"}, {ID: "bo", Name: "Bo", Relation: "groom", Side: "b"}}
	for name, c := range map[string]struct {
		more    []event.Person
		circles []event.Circle
		want    [][2]string
	}{
		"together":             {more: []event.Person{{ID: "m", Relation: "mother", Side: "a"}, {ID: "f", Relation: "father", Side: "a"}}},
		"another partner":      {more: []event.Person{{ID: "m", Relation: "mother", Side: "a"}, {ID: "f", Relation: "father", Side: "a"}, {ID: "w", Relation: "father's wife", Side: "a"}}, want: [][2]string{{"m", "f"}}},
		"a partner by name":    {more: []event.Person{{ID: "m", Name: "Mia", Relation: "mother", Side: "a"}, {ID: "f", Relation: "father", Side: "a"}, {ID: "h", Relation: "Mia's husband", Side: "a"}}, want: [][2]string{{"m", "f"}}},
		"by the words":         {more: []event.Person{{ID: "m", Relation: "mother", Side: "a"}, {ID: "f", Relation: "father (divorced)", Side: "a"}}, want: [][2]string{{"m", "f"}}},
		"other side":           {more: []event.Person{{ID: "m", Relation: "mother", Side: "a"}, {ID: "f", Relation: "father (divorced)", Side: "b"}}},
		"ex-wife":              {more: []event.Person{{ID: "u", Relation: "uncle", Side: "a"}, {ID: "x", Relation: "uncle's ex-wife", Side: "a"}}, want: [][2]string{{"u", "x"}}},
		"ex-husband by name":   {more: []event.Person{{ID: "x", Relation: "Ann's ex-husband"}}, want: [][2]string{{"ann", "x"}}},
		"divorced from a name": {more: []event.Person{{ID: "u", Name: "Carl Ott", Side: "b"}, {ID: "x", Relation: "cousin, divorced from Carl"}}, want: [][2]string{{"u", "x"}}},
		"two pairs": {
			more:    []event.Person{{ID: "m", Relation: "mother", Side: "a"}, {ID: "f", Relation: "father", Side: "a"}, {ID: "y"}, {ID: "z"}},
			circles: []event.Circle{{ID: "1", Members: []string{"m", "y"}}, {ID: "2", Members: []string{"f", "z"}}}, want: [][2]string{{"m", "f"}},
		},
	} {
		t.Run(name, func(t *testing.T) {
			e := event.Event{Sides: []event.Side{{ID: "a"}, {ID: "b"}}, People: append(two[:2:2], c.more...), Circles: c.circles}
			var got [][2]string
			for _, pair := range treeOf(e).Parted() {
				got = append(got, [2]string{e.People[pair[0]].ID, e.People[pair[1]].ID})
			}
			assert.Equal(t, c.want, got)
		})
	}
}

func TestKindred(t *testing.T) {
	e := event.Event{
		Sides: []event.Side{{ID: "a"}, {ID: "b"}},
		People: []event.Person{
			{ID: "ann", Name: "Ann", Relation: "bride", Side: "a"}, {ID: "bo", Name: "Bo", Relation: "groom", Side: "b"},
			{ID: "sis", Name: "Sia Ott", Relation: "sister", Side: "a"}, {ID: "bro", Name: "Ben", Relation: "brother", Side: "b"}, {ID: "aunt", Relation: "aunt", Side: "a"},
		},
	}
	for relation, want := range map[string][]family.Kindred{
		"sister's son":            {0, 0, family.OwnParent, 0, 0},
		"nephew":                  {0, 0, family.NearKin, 0, 0},
		"Sia's baby":              {0, 0, family.OwnParent, 0, 0},
		"son":                     {family.OwnParent, family.OwnParent, 0, 0, 0},
		"son of the bride":        {family.OwnParent, 0, 0, 0, 0},
		"daughter of Bo":          {0, family.OwnParent, 0, 0, 0},
		"daughter of the couple":  {family.OwnParent, family.OwnParent, 0, 0, 0},
		"baby":                    {0, 0, 0, 0, 0},
		"friend's baby, 5 months": {0, 0, 0, 0, 0},
		"cousin":                  {0, 0, 0, 0, 0},
	} {
		c := e
		c.People = append(e.People[:5:5], event.Person{ID: "x", Relation: relation, Side: "a", AgeBand: event.Infant})
		if want[1] == family.OwnParent {
			c.People[5].Side = ""
		}
		tree := treeOf(c)
		var got []family.Kindred
		for grown := range 5 {
			got = append(got, tree.Kindred(5, grown))
		}
		assert.Equal(t, want, got, "%q", relation)
	}
}

// Whoever has parted would rather not stand beside the other's new partner either.
func TestUneasy(t *testing.T) {
	e := event.Event{Sides: []event.Side{{ID: "a"}, {ID: "b"}}, People: []event.Person{
		{ID: "ann", Name: "Ann", Relation: "bride", Side: "a"}, {ID: "bo", Name: "Bo", Relation: "groom", Side: "b"},
		{ID: "m", Name: "Mia", Relation: "mother", Side: "a"}, {ID: "f", Name: "Finn", Relation: "father", Side: "a"},
		{ID: "w", Relation: "father's wife", Side: "a"}, {ID: "h", Relation: "Mia's husband", Side: "a"}, {ID: "u", Relation: "uncle", Side: "a"},
	}}
	assert.Equal(t, [][2]int{{2, 3}, {2, 4}, {3, 5}}, treeOf(e).Uneasy())
}

// Short words that lists use say whose partner somebody is, too.
func TestPartnersInShortWords(t *testing.T) {
	for _, word := range []string{"gf", "bf", "missus", "husb", "girlfriend"} {
		e := event.Event{People: []event.Person{{ID: "h", Name: "Hamish", Relation: "brother"}, {ID: "b", Name: "Bec", Relation: "Hamish's " + word}}}
		assert.Equal(t, [][2]int{{0, 1}}, treeOf(e).Partners(), word)
	}
}
