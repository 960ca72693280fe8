package family_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
)

// A family frames parents with their children, alone or around whom the day is about; pairs, brothers and sisters, and people
// who are no kin make no family.
func TestFramed(t *testing.T) {
	e := event.Event{
		Title: "Osk's eightieth", Honour: []string{"osk"},
		People: []event.Person{
			{ID: "osk", Name: "Osk", AgeBand: event.Elder}, {ID: "tove", Name: "Tove", Relation: "Osk's wife"},
			{ID: "ane", Name: "Ane", Relation: "Osk's daughter"}, {ID: "bo", Name: "Bo", Relation: "Osk's son"},
			{ID: "dag", Name: "Dag", Relation: "Ane's husband"}, {ID: "fia", Name: "Fia", Relation: "Osk's granddaughter"},
			{ID: "geir", Name: "Geir", Relation: "Bo's son", AgeBand: event.Child}, {ID: "kaare", Name: "Kaare", Relation: "Osk's brother"},
			{ID: "lars", Name: "Lars"}, {ID: "mona", Name: "Mona"}, {ID: "nils", Name: "Nils", AgeBand: event.Child},
		},
		Circles: []event.Circle{{ID: "lunds", Title: "The Lunds", Members: []string{"lars", "mona", "nils"}}},
	}
	tree, index := treeOf(e), event.NewIndex(&e)
	for _, c := range []struct {
		want bool
		ids  []string
	}{
		{true, []string{"osk", "tove", "ane", "bo"}},
		{true, []string{"ane", "dag", "fia"}},
		{true, []string{"osk", "ane", "dag", "fia"}},
		{true, []string{"bo", "geir"}},
		{true, []string{"osk", "tove", "ane", "bo", "dag", "fia", "geir"}},
		{true, []string{"lars", "mona", "nils"}},
		{true, []string{"osk", "lars", "mona", "nils"}},
		{false, []string{"osk", "ane"}},
		{true, []string{"osk", "tove", "bo", "geir"}},
		{false, []string{"osk", "tove"}},
		{false, []string{"ane", "bo"}},
		{false, []string{"osk", "fia", "geir"}},
		{false, []string{"ane", "dag", "fia", "lars"}},
		{false, []string{"osk", "tove", "ane", "bo", "kaare"}},
		{false, []string{"lars", "mona"}},
	} {
		assert.Equal(t, c.want, tree.Framed(index.PeopleOf(c.ids...)), "%v", c.ids)
	}
}

// A stepfather is the mother's partner and a stepmother the father's, unless there are two of them.
func TestPartnersOfParents(t *testing.T) {
	e := event.Event{
		Sides: []event.Side{{ID: "a"}, {ID: "b"}},
		People: []event.Person{
			{ID: "ann", Name: "Ann", Relation: "bride", Side: "a"}, {ID: "bo", Name: "Bo", Relation: "groom", Side: "b"},
			{ID: "peg", Name: "Peg", Relation: "mom", Side: "a"}, {ID: "russ", Name: "Russ", Relation: "step dad", Side: "a"},
			{ID: "curt", Name: "Curt", Relation: "dad", Side: "a"}, {ID: "yola", Name: "Yola", Relation: "step mom", Side: "a"},
			{ID: "dee", Name: "Dee", Relation: "mother", Side: "b"}, {ID: "one", Name: "One", Relation: "stepfather", Side: "b"}, {ID: "two", Name: "Two", Relation: "stepfather", Side: "b"},
		},
	}
	var pairs [][]string
	for _, pair := range treeOf(e).Partners() {
		pairs = append(pairs, ids(e, pair[:]))
	}
	assert.ElementsMatch(t, [][]string{{"peg", "russ"}, {"curt", "yola"}}, pairs)
}
