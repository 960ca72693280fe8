package family_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
)

func compareEvent() event.Event {
	return event.Event{
		People: []event.Person{
			{ID: "ann", Name: "Ann", Relation: "bride"}, {ID: "bo", Name: "Bo", Relation: "groom"},
			{ID: "am", Name: "Eve", Relation: "Ann's mother"}, {ID: "bp", Name: "Bo's parents", Relation: "Bo's parents"},
			{ID: "s1", Name: "Kay", Relation: "Ann's sister"}, {ID: "h1", Name: "Tim", Relation: "Kay's husband"},
			{ID: "s2", Name: "Lee", Relation: "Ann's brother"}, {ID: "fr", Name: "Max", Relation: "friend"},
			{ID: "child", Name: "Mia", Relation: "child"}, {ID: "fm", Name: "Ute", Relation: "Max's mother"},
			{ID: "gg", Name: "Ida", Relation: "great-grandmother"}, {ID: "named", Name: "Ole"},
		},
		Circles: []event.Circle{{ID: "gp", Title: "Bo's grandparents", Members: []string{"named"}}},
	}
}

// Near are parents, grandparents, brothers, sisters and children of the couple, also where a name stands for several or a
// circle says so; kin of others are not.
func TestNear(t *testing.T) {
	e := compareEvent()
	tree := treeOf(e)
	var near []int
	for p := range e.People {
		if tree.Near(p) {
			near = append(near, p)
		}
	}
	assert.Equal(t, []string{"am", "bp", "s1", "s2", "gg", "named"}, ids(e, near))
}

// Compared are the parents of both sides, and the photographs of a sister with her husband and of her brother.
func TestCompare(t *testing.T) {
	const ann, bo, eve, parents, kay, tim, lee, friend = 0, 1, 2, 3, 4, 5, 6, 7
	lists := treeOf(compareEvent()).Compare([][]int{
		{ann, bo, eve}, {ann, bo, parents}, {ann, bo, kay, tim}, {ann, bo, lee}, {ann, bo, friend}, {ann, kay}, {bo, parents},
	})
	assert.ElementsMatch(t, [][]int{{0, 1}, {2, 3}}, lists)
}

// Of parents alone, a mother is held against the other mother, in whatever order a list has them.
func TestCompareMothers(t *testing.T) {
	e := event.Event{People: []event.Person{
		{ID: "ann", Name: "Ann", Relation: "bride"}, {ID: "bo", Name: "Bo", Relation: "groom"},
		{ID: "am", Name: "Eve", Relation: "Ann's mother"}, {ID: "af", Name: "Jon", Relation: "Ann's father"},
		{ID: "bm", Name: "Ute", Relation: "Bo's mother"}, {ID: "bf", Name: "Kai", Relation: "Bo's father"},
	}}
	lists := treeOf(e).Compare([][]int{{0, 2}, {0, 3}, {1, 5}, {1, 4}})
	assert.ElementsMatch(t, [][]int{{0, 3}, {1, 2}}, lists)
}
