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
		{[]string{"Ida, Karl, Nell, Otto", "Max, Nell, Otto", "Nell, Otto, Vera, Walt"}, // one alone, or whose, over the couple with kin of nobody said
			[]string{"Nell & Otto", "", "Bride", "Couple + parents (Ida, Karl)", "Couple + brother (Max)", "", "Family (groom)", "Couple + parents (Vera, Walt)"}},
		{[]string{"Ida, Nell, Otto", "Nell, Otto, Vera"},
			[]string{"Nell & Otto", "", "Nell's people", "Couple, mum Ida", "", "Otto's group", "Couple, mum Vera"}},
		{[]string{"Ida, Karl, Nell, Otto", "Max, Nell, Otto", "Nell, Otto, Vera, Walt"},
			[]string{"Mariage Nell et Otto", "", "LISTE 1 = famille de Nell, c'est Pia qui appelle", "Les mariés avec les parents (Ida, Karl)", "Les mariés avec le frère (Max)", "", "LISTE 2 = famille d'Otto", "Les mariés avec les parents (Vera, Walt)"}},
		{[]string{"Grace, Mark, Rita", "Grace, Max", "Mark, Vera"}, // letters of the bride and the groom
			[]string{"Grace & Mark", "", "B + G + Rita", "B + her brother Max", "G + his gran (Vera)"}},
		{[]string{"Ida, Nell", "Otto, Vera"}, // who marries
			[]string{"Photo groups", "Bride - Nell", "Groom - Otto", "", "* Bride + Ida", "* Groom + Vera"}},
		{[]string{"Ida, Nell", "Nell, Otto, Vera"},
			[]string{"Wedding party & family list: Nell / Otto", "", "Bride + Ida", "Couple + Vera"}},
		{[]string{"Ida, Nell", "Nell, Otto, Vera"},
			[]string{"Nell ♥ Otto", "", "Bride + Ida", "Couple + Vera"}},
		{[]string{"Ida, Nell", "Ida, Karl, Nell"}, // a parent named before
			[]string{"Nell & Otto", "", "Nell with her mum (Ida)", "Nell with mum and dad (Karl)"}},
		{[]string{"Nele, Nell, Otto, Renate, Uwe", "Nell, Renate, Uwe"}, // whose sister
			[]string{"Gruppenbilder / Nell & Otto", "", "1) BP mit Eltern u. Schwester Nell ohne Partner: Renate, Uwe, Nele", "2) Braut mit Eltern"}},
		{[]string{"Halina, Otto, Zbyszek", "Halina, Otto", "Otto, Zbyszek"}, // which of two is the mother
			[]string{"Nell & Otto", "", "- Groom with parents: Halina & Zbyszek", "- Groom with mum", "- Groom with dad"}},
		{[]string{"Elsa, Finn, Grandma Inger, Kay, Noa", "Ann, Bo, Kay, Noa", "Elsa, Finn, Jan, Pia", "Ann, Grandma Inger, Jan"}, // families of a reunion
			[]string{"Lind-Moe reunion, groups we want", "", "#1 Grandma Inger with all the grandchildren", "#2 each family:", "   * Moes: Ann, Bo, Kay 11, baby Noa (7 mos)", "   * Jan's: Jan, Pia, Elsa (6), Finn (4)", "#3 Grandma and her own kids (Ann, Jan)"}},
		{[]string{"Ida, Nell", "Nell, Otto, Pia", "Max, Pia"}, // witnesses among boxes
			[]string{"Nell & Otto", "", "[ ] Bride & her mom (Ida)", "[ ] Couple + Pia", "[ ] Witnesses = Pia, Max"}},
		{[]string{"Mia, Rita", "Karl, Mia"}, // a title that has a word for everybody
			[]string{"Mia's Bat Mitzvah photos, everyone at the synagogue by 8:30am", "", "- Mia with Mom (Rita)", "- Mia with Dad (Karl)"}},
	} {
		got, _ := photographsOf(t, c.lines...)
		assert.Equal(t, c.want, got, c.lines)
	}
}

// A message says who still has a role, and who all of a side are.
func TestRolesTakenBack(t *testing.T) {
	got, _ := photographsOf(t, "14/03/2026, 19:02 - Nell: 1) us with my mum (Ida)", "14/03/2026, 19:03 - Nell: 2) us with my sister Pia", "14/03/2026, 19:05 - Nell: 3) the bridesmaids - Ann, Bea, Cleo", "14/03/2026, 19:06 - Otto: 4) my brother Max with us",
		"14/03/2026, 19:07 - Nell: 5) all my side, so mum, Pia and my niece Tia (4)", "14/03/2026, 20:31 - Otto: change to no. 2, Pia's not coming any more. just us + Max", "14/03/2026, 20:50 - Nell: ah Cleo's not doing bridesmaid anymore so its only Ann + Bea")
	assert.Equal(t, []string{"Ida, Nell, Otto", "Max, Nell, Otto", "Ann, Bea", "Max, Nell, Otto", "Ida, Nell, Pia, Tia"}, got)
}
