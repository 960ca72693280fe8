package prose

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
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

// Notes on a phone: letters that are explained stand beside each other and before words without any mark, with an s for whose; names have
// no capitals, "me" is who writes, a sister, and kin of whom nobody is named is hers.
func TestLettersOnAPhone(t *testing.T) {
	got, res := photographsOf(t, "nell wedding pics", "", "N = nelly, T = tomas, me = ida", "mum vera, dad karl. ts mum rosa, ts stepdad max", "",
		"N T mum dad", "N+mum", "N T mum dad me leo (bro, 15)", "N me leo", "N T + nan joan 84 needs 2 sit", "T rosa max", "N T + all 4 parents", "N + bridesmaids: me, zoe", "N T + ts work lot idk who exactly", "every1 outside b4 food (5pm)")
	assert.Equal(t, []string{"karl, nelly, tomas, vera", "nelly, vera", "ida, karl, leo, nelly, tomas, vera", "ida, leo, nelly", "joan, nelly, tomas", "max, rosa, tomas", "karl, max, nelly, rosa, tomas, vera", "ida, nelly, zoe", "Ts work lot, nelly, tomas"}, got[:9])
	assert.Len(t, res.Event.People, 11)
}

// A sister behind the name of a mother is no mother, where letters say whose they are without an apostrophe.
func TestSisterBehindMother(t *testing.T) {
	got, _ := photographsOf(t, "N = Nell, T = Tom", "N mum = Ida, dad = Karl, sister Zoe, brother Max", "T mum = Vera, dad = Leo", "", "1. N + Ns mum", "2. N + N siblings", "3. N T + both mums", "4. T + Ts parents")
	assert.Equal(t, []string{"Ida, Nell", "Max, Nell, Zoe", "Ida, Nell, Tom, Vera", "Leo, Tom, Vera"}, got)
}

// A form: partners by letters, parts with a number, rows of dots with what is wanted behind them, a date after the one by which it is
// to be sent back.
func TestFormWithDots(t *testing.T) {
	form := strings.Split(`GROUP PHOTOGRAPH FORM            please return by 1 April

Partner A: Nell Moe
Partner B: Otto Lind
Wedding date: Saturday 9th May

PART ONE - YOUR FAMILIES
A's parents: Ida and Karl
A's brothers/sisters and their partners: Zoe (husband Max)
A's nieces/nephews with ages: Ben 7, Ada 4 (Zoe & Max's two)
B's parents: Vera and Leo
B's brothers/sisters: Pia
B's grandparents: Granny Joan
Bridesmaids: Zoe, Lou

PART TWO - THE USUAL GROUPS (write YES, NO or IF TIME)
Couple with A's parents ............................ YES
Couple with both sets of parents ................... YES
A's brothers & sisters with partners and children, plus couple ... IF TIME
B's brothers & sisters, plus couple .. YES
Couple with B's grandparents ....................... NO
A with mother ...................................... YES
B with father ......................................
A with bridesmaids ................................. YES
Everybody .......................................... YES  (from the window?)

PART THREE - UP TO FOUR OF YOUR OWN
1. Otto and the hockey girls (Lou knows who they are)`, "\n")
	got, res := photographsOf(t, form...)
	assert.Equal(t, []string{"Ida, Karl, Nell Moe, Otto Lind", "Ida, Karl, Leo, Nell Moe, Otto Lind, Vera", "Ada, Ben, Max, Nell Moe, Otto Lind, Zoe", "Nell Moe, Otto Lind, Pia",
		"Ida, Nell Moe", "Lou, Nell Moe, Zoe"}, got[:6])
	assert.Len(t, got, 8)
	assert.Equal(t, event.Nice, res.Event.Groupings[2].Priority)
	for _, p := range res.Problems {
		assert.NotEqual(t, event.Error, p.Severity, p.Text())
		assert.NotContains(t, p.Text(), "1 April")
	}
}

// Two lists of two writers: headings and initials name the couple, who is called otherwise at the head of lines; "me" is who wrote the
// second; greetings are nobody.
func TestListsOfTwoWriters(t *testing.T) {
	got, res := photographsOf(t, "Hi Joan, here's both lists. First one is what Mum wrote for our side, second is from Ottie's sister Bea. Nell x", "", "NELL'S FAMILY", "Nell, Ottilo, Ida & Karl (Mum and Dad)", "Nell & Ida",
		"Nell, Ottilo & Nan (Vera)", "Nell, Ida & Nan - three generations", "All of the above together please", "Nan is 86 and a bit deaf!", "", "*****", "", "OTTIE'S SIDE (from Bea)", "",
		"1. O+N with Mum (Sue)", "2. O by himself with Mum", "3. O+N, all siblings (me, Max, Leo)", "4. O, me, Max, Leo. No Nell", "5. O+N with Max and his wife Pia", "6. O+N with Max & Pia's kids - Ada 8, Ben 5", "7. O+N and everyone on our side")
	assert.Equal(t, []string{"Ida, Karl, Nell, Ottilo", "Ida, Nell", "Nell, Ottilo, Vera", "Ida, Nell, Vera", "Ida, Karl, Nell, Ottilo, Vera",
		"Nell, Ottilo, Sue", "Ottilo, Sue", "Bea, Leo, Max, Nell, Ottilo", "Bea, Leo, Max, Ottilo", "Max, Nell, Ottilo, Pia", "Ada, Ben, Nell, Ottilo", "Ada, Bea, Ben, Leo, Max, Nell, Ottilo, Pia, Sue"}, got)
	assert.Len(t, res.Event.People, 12)
}

// A mother writes for the christening of her child: "myself", "we both", "us" and "our children" are hers and the father's, whom lines name
// beside her; godparents are named once, a great-grandmother is no grandmother, and "she" is the one of whom it may be said.
func TestChristeningByAMother(t *testing.T) {
	got, res := photographsOf(t, "BAPTISM OF MATTEO - 18th January", "", "Dear Mr. Moe, kindly find the list. Baby means Matteo. Regards, Nell (mother)", "", "(1) Baby with Otto and myself", "(2) Baby, Otto, myself and elder sister Ada (4 yrs)",
		"(3) Baby with godparents, Leo and Pia", "(4) Godparents, Baby and we both", "(5) Great-grandmother Nana Vera with Baby. She is 93 and in wheelchair", "(6) Four generations: Nana Vera, my mother, myself, Baby",
		"(7) Baby with Otto's parents (Mr. Karl and Mrs. Ida)", "(8) Baby with my parents (Dr. Emil and Mrs. Rosa)", "(9) All four grandparents with Baby and Ada", "(10) My side: Dr. Emil, Mrs. Rosa, Pia - along with us and our two children", "(11) Cake cutting: Otto, myself, Ada, Baby")
	assert.Equal(t, []string{"MATTEO, Nell, Otto", "Ada, MATTEO, Nell, Otto", "Leo, MATTEO, Pia", "Leo, MATTEO, Nell, Otto, Pia", "MATTEO, Nana Vera", "MATTEO, Mrs Rosa, Nana Vera, Nell",
		"MATTEO, Mr Karl, Mrs Ida", "Dr Emil, MATTEO, Mrs Rosa", "Ada, Dr Emil, MATTEO, Mr Karl, Mrs Ida, Mrs Rosa", "Ada, Dr Emil, MATTEO, Mrs Rosa, Nell, Otto, Pia", "Ada, MATTEO, Nell, Otto"}, got)
	assert.Len(t, res.Event.People, 11)
}

// Whoever typed a list and says "me" is known from its first line on; a bracket may add to the photographs to which it refers.
func TestMeFromTheFirstLineOn(t *testing.T) {
	got, _ := photographsOf(t, "GROUP SHOTS - Nell & Otto - Oct 11", "", "1) Nell + her mom (Ida)", "2) Nell & me + her mom + her brother (Max)", "3) Me + my parents (Vera, Karl)", "4) Nell & me + my parents",
		"5) Me + groomsmen (Max, Leo)", "6) Nell + bridesmaids (Pia, Zoe)", "7) Full wedding party (everybody in 5 and 6 + Ada)", "8) Me + my mom")
	assert.Equal(t, []string{"Ida, Nell", "Ida, Max, Nell, Otto", "Karl, Otto, Vera", "Karl, Nell, Otto, Vera", "Leo, Max, Otto", "Nell, Pia, Zoe", "Ada, Leo, Max, Nell, Otto, Pia, Zoe", "Otto, Vera"}, got)
}

// Parents whom a line names only to say that they are separated are known; all of us are also the couple; "just the girls" are those of
// the photograph above; a basket is nobody.
func TestJustTheGirls(t *testing.T) {
	got, _ := photographsOf(t, "Hi Joan,", "", "My mam is Ida and Dad is Karl. Otto's parents (Vera and Emil) are separated, all very civil.", "", "My side", "- Me, Otto and my sisters Zoe and Pia", "", "Otto's side", "- Otto and his mam", "- Otto with his brothers Max, Leo and Jon", "",
		"Bridal party", "- All of us together: Zoe, Pia and Ruth (my bridesmaids) and Max, Leo and Jon", "- Just the girls", "- Just the lads", "- Ada with her basket, by herself", "", "Thanks a million,", "Nell")
	assert.Equal(t, []string{"Nell, Otto, Pia, Zoe", "Otto, Vera", "Jon, Leo, Max, Otto", "Jon, Leo, Max, Nell, Otto, Pia, Ruth, Zoe", "Pia, Ruth, Zoe", "Jon, Leo, Max", "Ada"}, got)
}
