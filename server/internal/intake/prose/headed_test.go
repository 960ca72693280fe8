package prose

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// What holds for a whole list is said in many ways, and one that is not understood makes all its photographs wrong.
func TestWholeListForms(t *testing.T) {
	for _, c := range []struct{ want, lines []string }{
		{[]string{"Ida, Karl, Nell, Otto", "Max, Nell, Otto, Pia", "Mia, Nell, Otto", "Nell, Nonna Eva, Otto"}, // a heading on the line that it stands over
			[]string{"Shots for Nell & Otto", "", "PEOPLE TO KNOW: Nell's mum - Ida, dad - Karl; siblings - Max, Pia; Nonna Eva (Ida's mother)", "Otto's sister - Mia, cousin - Jan; granny - Vi", "", "FAMILY", "couple with Nell's parents", "couple with Nell's siblings", "couple with groom's siblings", "couple with bride's maternal grandparents"}},
		{[]string{"Ida, Karl, Nell", "Otto, Vera"}, // only whose, before the colon
			[]string{"Photos for Nell and Otto", "", "1) Bride w/ parents", "2) Groom w/ mum", "", "The families", "Nell's: mum Ida, dad Karl", "Otto's: mum Vera, dad Walt"}},
		{[]string{"Ida, Nell", "Karl, Nell", "Otto, Vera"}, // bullets of two kinds
			[]string{"Nell & Otto", "", "* BRIDE + HER FAMILY ONLY (at home)", "– Bride with Mum", "– Bride with Dad", "", "* GROOM + HIS FAMILY ONLY", "– Groom with Mum", "", "WHO THEY ARE", "Bride: Mum Ida, Dad Karl", "Groom: Mum Vera"}},
		{[]string{"Jan, Nell, Otto", "Ida, Karl, Nell, Otto", "Ida, Karl, Max, Nell, Otto"}, // "names only" heads no guests
			[]string{"Groups, Nell & Otto", "", "Friends first", " a) Bride & Groom with Jan", "Family. Names only, partners come only where I have written them", " b) Nell, Otto, Ida, Karl", " c) b + Max"}},
		{[]string{"Nell, Otto", "Ida, Nell", "Ida, Nell, Otto"}, // a title that says who is wanted
			[]string{"Nell & Otto: who we want together", "", "Nell, Otto", "Nell, Ida", "Nell, Otto, Ida"}},
		{[]string{"Nell, Vera", "Otto, Walt"}, // underlined words
			[]string{"## Group photos", "", "_Couple:_ Nell & Otto", "", "* [ ] N with Vera", "* [ ] _if there's time:_ O with Walt"}},
		{[]string{"Ida, Karl, Nell, Otto", "Otto, Vera"}, // kin for two in a bracket
			[]string{"Nell & Otto", "", "Who's who", "Bride: Ida & Karl (parents), Max (brother)", "Groom: Vera & Walt (parents)", "", "- Couple + bride's parents", "- Groom + mum"}},
		{[]string{"Ida, Nell", "Otto, Vera"}, // both on a line, or each with a bracket
			[]string{"Nell & Otto", "", "Who's who: Nell - mum Ida, dad Karl; Otto - mum Vera, dad Walt", "", "- Bride + mum", "- Groom + mum"}},
		{[]string{"Ida, Nell", "Otto, Vera"},
			[]string{"Bride = Nell (mum Ida, dad Karl)", "Groom = Otto (mum Vera, dad Walt)", "", "- Bride + mum", "- Groom + mum"}},
		{[]string{"Ida, Nell", "Otto, Vera"},
			[]string{"Nell & Otto", "", "Who's who", "Bride", "Ida - mum", "Karl - dad", "", "Groom", "Vera - mum", "Walt - dad", "", "Photos", "- Bride + mum", "- Groom + mum"}},
	} {
		got, _ := photographsOf(t, c.lines...)
		assert.Equal(t, c.want, got, c.lines)
	}
}
