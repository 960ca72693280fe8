package prose

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/intake/place"
)

// The line that a question asks for answers it, above the photos, below them and at the end, and is no photo of its own.
func TestAnswersAreUnderstood(t *testing.T) {
	photos := []string{"1. Couple with Fiona's family", "2. Nell's extended family", "3. Otto with the old gang from Leeds", "4. Fiona and Neil", "5. Couple with Otto's granny"}
	answers := []string{"Fiona's family: Fiona, Neil, Isla", "Nell's extended family: Uma, Ada, Pia", "Old gang from Leeds: Ed, Max", "Otto's granny: Ruth"}
	want := []string{"Fiona, Isla, Neil, Nell, Otto", "Ada, Nell, Pia, Uma", "Ed, Max, Otto", "Fiona, Neil", "Nell, Otto, Ruth"}
	for _, at := range []int{2, 7} {
		for _, blank := range []bool{true, false} {
			list := append([]string{"Nell & Otto", ""}, photos...)
			if list = slices.Insert(list, at, answers...); blank {
				list = slices.Insert(list, at, "")
			}
			if at == 2 {
				list = slices.Insert(list, slices.Index(list, photos[0]), "")
			}
			got, res := photographsOf(t, list...)
			assert.Equal(t, want, got, "at %d, blank %v", at, blank)
			assert.False(t, slices.ContainsFunc(res.Problems, func(p place.Problem) bool { return p.Code == place.CodeStandsFor }), "at %d, blank %v: %v", at, blank, res.Problems)
		}
	}
}

// A line with a number that names a group is its photo, also where another photo has the group.
func TestAnswersThatArePhotos(t *testing.T) {
	got, _ := photographsOf(t, "Nell & Otto", "", "1. Couple with Nell's extended family", "2. Nell's extended family: Uma, Ada", "3. Choir: Ed, Max", "4. Otto with the choir")
	assert.Equal(t, []string{"Ada, Nell, Otto, Uma", "Ada, Uma", "Ed, Max", "Ed, Max, Otto"}, got)
}
