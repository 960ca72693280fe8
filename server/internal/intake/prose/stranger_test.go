package prose

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// A child of the two whose golden wedding it is says who is who: brothers and sisters, whom they are with, children and children of
// these are the family of the two.
func TestGoldenWeddingByAChild(t *testing.T) {
	got, res := photographsOf(t, "Mum & Dad's Ruby Wedding, the barn", "Any problems ask me (Nell).", "", "Family, so you know who's who:", "Mum is Ida (71), Dad is Karl (74)",
		"I'm the youngest, married to Tom; our children are Zoe and Max", "My brother Otto, wife Pia; their children are Rita and Jon. Rita's husband is Leo", "Rita and Leo have Ben (3) and Ada (5 months)", "",
		"Photos:", "* Mum and Dad with their two children", "* As above with Tom and Pia", "* Mum and Dad with the four grandchildren", "* Mum with her sister Vera (70)", "* Mum and Dad with the neighbours (Joan and Bill)", "* Whole family, no neighbours or friends")
	assert.Equal(t, []string{"Ida, Karl, Nell, Otto", "Ida, Karl, Nell, Otto, Pia, Tom", "Ida, Jon, Karl, Max, Rita, Zoe", "Ida, Vera", "Bill, Ida, Joan, Karl",
		"Ada, Ben, Ida, Jon, Karl, Leo, Max, Nell, Otto, Pia, Rita, Tom, Vera, Zoe"}, got)
	for _, p := range res.Problems {
		assert.NotContains(t, p.Text(), "Who are", p.Line)
	}
}
