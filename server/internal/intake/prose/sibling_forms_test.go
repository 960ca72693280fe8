package prose

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Letters and bullets that stand over numbers, each after a blank line, are headings, and a line of both over each of them alone is none.
func TestHeadsOfBlocks(t *testing.T) {
	for _, c := range []struct{ want, lines []string }{
		{[]string{"Ida, Nell, Otto", "Karl, Nell, Otto", "Nell, Otto, Vera"},
			[]string{"Nell & Otto", "", "A) Family Nell -> Pia calls", "1. Couple + Ida", "2. Couple + Karl", "", "B) Family Otto -> his brother Max calls", "1. Couple + Vera"}},
		{[]string{"Ida, Nell, Otto", "Karl, Nell, Otto", "Nell, Otto, Vera"},
			[]string{"Nell & Otto", "", ">> Bride's family", "1. Couple + Ida", "2. Couple + Karl", "", ">> Groom's family", "3. Couple + Vera"}},
		{[]string{"Nell, Otto", "Nell", "Otto", "Nell, Vera", "Otto, Vera", "Karl, Nell", "Karl, Otto"},
			[]string{"Family photos: Nell & Otto (Walima)", "", "Bride & Groom", "Bride Solo", "Groom Solo", "", "Her family", "- Bride with Vera", "- Groom with Vera", "- Bride with Karl", "- Groom with Karl"}},
	} {
		got, _ := photographsOf(t, c.lines...)
		assert.Equal(t, c.want, got, c.lines)
	}
}

// One with each, behind a colon, is a photograph each, and a rule of the line is kept.
func TestOneWithEach(t *testing.T) {
	for _, line := range []string{"1. Couple + Otto's parents (keep apart!): a) with Vera and her husband Jan b) with Walt", "1. Couple + Otto's parents (keep apart!): one with Vera and her husband Jan, one with Walt"} {
		got, res := photographsOf(t, "Nell & Otto", "", line, "2. Couple with Ida")
		assert.Equal(t, []string{"Jan, Nell, Otto, Vera", "Nell, Otto, Walt", "Ida, Nell, Otto"}, got, line)
		assert.Equal(t, [][]string{{"Vera", "Walt"}}, apartOf(res), line)
	}
}

// A name near another's is no slip where other kin is said of it; a thing with a capital and a bracket for whose child it is is a child; what
// tells of a time is nobody; several roles before a dash share the names behind it.
func TestWhoIsNobodyElse(t *testing.T) {
	for _, c := range []struct{ want, lines []string }{
		{[]string{"Grandpa Norm, Otto", "Noam, Yael", "Grandpa Norm, Nell"}, []string{"Nell & Otto", "", "- Otto with Grandpa Norm", "- cousins Yael & Noam", "- Nell with Grandpa Norm"}},
		{[]string{"Ida, Nell", "Nell, Otto, Teddy"}, []string{"Nell & Otto", "", "Nell w/ Ida", "Nell & Otto w/ Teddy (our son, 20 months, asleep by 6!)"}},
		{[]string{"Ida, Nell", "Max, Otto"}, []string{"Nell / Otto photo groups", "", "Pre-ceremony - one upstairs one downstairs, they mustn't see each other yet", "Nell and Ida", "Otto and Max"}},
		{[]string{"Ida, Nell", "Ava, Elle, Zion"}, []string{"Nell & Otto", "", "1. Nell and Ida", "2. Flower girls and bearers - Ava 4, Elle 3, Zion 6"}},
	} {
		got, res := photographsOf(t, c.lines...)
		assert.Equal(t, c.want, got, c.lines)
		for _, p := range res.Event.People {
			assert.NotContains(t, []string{"Pre-ceremony", "Walima", "Flower girls"}, p.Name)
		}
	}
}

// Those of a photo that is taken back because they can't come are in none, and who is swapped in a role is in the photos that ask for it.
func TestTakenBackInChats(t *testing.T) {
	got, _ := photographsOf(t, "14/03/2026, 19:02 - Nell: 1) us with my mum (Ida)", "14/03/2026, 19:05 - Nell: 2) me with my bridesmaids - Ann, Bea, Cleo", "14/03/2026, 19:06 - Nell: 3) us with Uncle Bob and Auntie Vi",
		"14/03/2026, 20:31 - Otto: can we lose no. 3, they cant make it any more", "14/03/2026, 20:40 - Nell: btw Bea isnt a bridesmaid now, swap her for Fay", "14/03/2026, 20:50 - Nell: last one, absolutely everyone on the steps!")
	assert.Equal(t, []string{"Ida, Nell, Otto", "Ann, Cleo, Fay, Nell", "Ann, Bea, Cleo, Fay, Ida, Nell, Otto"}, got)
}
