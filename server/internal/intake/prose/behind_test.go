package prose

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// What stands behind a wish tells of somebody, and puts nobody into it.
func TestBehindTheWish(t *testing.T) {
	for _, c := range []struct {
		line, want string
	}{
		{"Nell and Otto with Vera. Max will push her chair", "Nell, Otto, Vera"},
		{"Nell and Otto with Vera - Max will push her chair", "Nell, Otto, Vera"},
		{"Nell and Otto with Vera, Max will push her chair", "Nell, Otto, Vera"},
		{"Uni friends, Max knows who they are", "Uni friends"},
		{"Uni friends - about 14 of them, Max will round them up", "Uni friends"},
		{"Nell with golf lot x 12", "Golf lot, Nell"},
		{"Nell + Otto and the boys all together", "Boys, Nell, Otto"},
		{"Nell, Ida and Vera - girls pic", "Ida, Nell, Vera"},
		{"Nell + bridesmaids (Ida MOH, Vera)", "Ida, Nell, Vera"},
		{"Nell with Ida (7 months pregnant)", "Ida, Nell"},
	} {
		got, _ := photographsOf(t, "Nell & Otto's wedding", "", "1. Nell and Otto with Max", "2. Nell with Ida and Vera", "3. "+c.line)
		assert.Equal(t, c.want, got[2], c.line)
	}
}

// Letters with numbers are those of photographs, and a letter above them stands over them.
func TestLettersWithNumbers(t *testing.T) {
	got, _ := photographsOf(t, "Nell Marsh & Otto Lind", "", "A. FAMILY OF THE GROOM", "A1 Otto's mum Vera with the couple", "A2 A1 + Otto's brother Max", "", "B. OTHERS", "B1 Choir", "B2 A2 and B1 together")
	assert.Equal(t, []string{"Nell Marsh, Otto Lind, Vera", "Max, Nell Marsh, Otto Lind, Vera", "Choir", "Choir, Max, Nell Marsh, Otto Lind, Vera"}, got)
}

// Whoever writes says at first what they are, or below it who they are.
func TestWhoPresentsThemselves(t *testing.T) {
	for _, first := range []string{"Best man here (Karl), the list of Nell and Otto:", "Karl here, Otto's brother and best man. The list of Nell and Otto:"} {
		got, _ := photographsOf(t, first, "", "1) N+O with Vera", "2) N+O with Max", "3) N+O with Ida", "4) Groom, me and the ushers (Jan, Per)")
		assert.Equal(t, "Jan, Karl, Otto, Per", got[3], first)
	}
	got, _ := photographsOf(t, "Mum's 70th", "", "Here is the list (Mum = Vera)", "- Mum with us kids (me, Nell and Max)", "- me and Mum", "", "Thanks, Pia x")
	assert.Equal(t, []string{"Max, Nell, Pia, Vera", "Pia, Vera"}, got)
}

// Rows of two lists side by side, letters alone, headings of one, and what stands before an equals sign.
func TestFormsOfEnglishLists(t *testing.T) {
	for _, c := range []struct {
		want  []string
		lines []string
	}{
		{[]string{"Ida, Karl, Nell", "Otto, Vera", "Max, Nell, Otto", "Nell, Otto, Pia"}, []string{"Nell + Otto", "", "NELL                OTTO", "Ida, Karl           Vera", "N+O + Max           N+O + Pia", "the girls           the lads", "choir               golf lot"}},
		{[]string{"Max, Nell, Otto", "Ida, Max, Nell, Otto", "Nell, Pia", "Nell, Otto, Pia"}, []string{"Nell & Otto", "", "A  Nell + Otto with Max", "B  A + Ida", "C  Nell + Pia", "D  C + Otto"}},
		{[]string{"Ida, Nell", "Max, Otto", "Nell, Otto, Pia"}, []string{"Wedding of Nell and Otto", "", "BRIDE", "- with her mum (Ida)", "", "GROOM", "- with his dad (Max)", "", "BOTH", "- with Pia"}},
		{[]string{"Nell, Otto, Vera", "Karl, Nell, Otto", "Karl, Nell, Otto, Vera"}, []string{"Nell & Otto", "", "- Nell, Otto and his mum", "- Nell, Otto and his dad", "- Nell, Otto and his parents", "", "Vera + Karl = Otto's parents"}},
		{[]string{"Karl Lind, Nell, Otto, Vera Lind"}, []string{"Nell & Otto", "", "- Nell and Otto, Mr & Mrs Lind (Vera, Karl)"}},
		{[]string{"Karl, Nell, Otto, Vera", "Nell, Otto, Vera"}, []string{"Nell & Otto", "", "- Otto's mum & dad - Vera and Karl - with us", "- Nell and Otto with Otto's mum"}},
		{[]string{"Ida, Karl, Nell, Otto"}, []string{"Nell & Otto", "", "- Nell and Otto with Ida and his uncle Karl *** Vera and Karl are NOT in the same frame"}},
	} {
		got, _ := photographsOf(t, c.lines...)
		assert.Subset(t, got, c.want, c.lines)
	}
}

// A letter says in sentences what it wants, and what not.
func TestLetterOfSeveralWishes(t *testing.T) {
	got, _ := photographsOf(t,
		"Hello!", "",
		"For the groups we would like: the two of us with my parents, Ida and Karl; then with my brother Max and his wife Bea; then just me with Mum. Then Otto and me with Vera, and the same with Pia. One with Jan, then one with Per as well.", "",
		"Then bridesmaids please: Bea, Pia and my best friend Lena. Otto with his best man Jan. Please don't worry about a picture of everyone.", "",
		"Many thanks", "Nell")
	assert.Equal(t, []string{
		"Ida, Karl, Nell, Otto", "Bea, Max, Nell, Otto", "Ida, Nell", "Nell, Otto, Vera", "Nell, Otto, Pia, Vera", "Jan, Nell, Otto", "Jan, Nell, Otto, Per",
		"Bea, Lena, Pia", "Jan, Otto",
	}, got)
	got, _ = photographsOf(t,
		"Dear Mr Lind,", "",
		"I am sending the list for my daughter Nell's reception. First one photo of Nell and Otto with my husband and me. One of Nell and Otto with his mother Vera.", "",
		"Regards,", "Ida")
	assert.Equal(t, "Nell, Otto, Vera", got[len(got)-1])
}
