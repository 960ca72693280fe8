package intake

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// saidCouple are ways in which lists say who marries: {A} and {B} are their names, {AA} and {BB} with surnames.
var saidCouple = []string{
	"{A} & {B}", "{A} and {B} - group photos", "Group photos for {A} + {B}", "{AA} & {BB}", "{AA} + {BB}\nFamily photos", "The wedding of {A} & {B}", "{A} & {B}'s wedding: formals", "Formals - {A} / {B} - Sat 12 June", "FAMILY PHOTOS ({A} & {B})",
	"{A} & {B} | 12.06.2027 | The Old Barn", "{A} ♥ {B}", "Photo list, {A} and {B}, 12th June, ceremony 2pm", "Family groups – {A} and {B} – St Mary's", "Couple: {A} & {B}", "Bride: {A}\nGroom: {B}", "Bride: {A} / Groom: {B}", "Bride - {A}, Groom - {B}",
	"Bride = {A}, groom = {B}", "{A} (bride) & {B} (groom)", "Bride {A}, groom {B}", "The bride is {A} and the groom is {B}", "Bride: {AA}\nGroom: {BB}\nDate: 12 June\nVenue: The Old Barn", "Names: {A} & {B}\nWedding date: 12 June 2027",
	"{AA} to {BB}, Saturday 12 June", "{A} + {B}, 12 June\nGroup shots (30 mins)", "Hi! These are the group photos for {A} and {B}'s wedding", "{A} marries {B} - list of groups", "Groups {A} & {B}", "*{A} & {B}*", "# {A} & {B} - family photos",
	"GROUP SHOTS\n{A} & {B}\n12 June 2027", "{A} & {B} – Family Formals – 3:30pm by the lake", "Wedding party & family list: {A} / {B}", "Family shot list: {AA} and {BB}, Sunday Oct 3", "{A}+{B} wedding - formals after the ceremony (20 min)",
	"Photo groups\nBride - {AA}\nGroom - {BB}", "Group photographs - {A}'s and {B}'s wedding", "{A} and {B} are getting married! Groups below", "The Kelly-Moss wedding ({A} + {B})", "Wedding: {AA} / {BB}, 12.6.27, Old Barn",
}

// TestCoupleInManyForms reads photographs that call the two in several ways, below each way of saying who they are.
func TestCoupleInManyForms(t *testing.T) {
	calls := [][3]string{{"B&G", "Bride", "Groom"}, {"Couple", "{A}", "{B}"}, {"{A} & {B}", "{A}", "{B}"}, {"Bride & Groom", "Bride", "Groom"}, {"B + G", "B", "G"}, {"{A} + {B}", "Bride", "Groom"}, {"{a}&{b}", "{a}", "{b}"}}
	two := [][2]string{{"Nadia Lind", "Owen Carr"}, {"Grace Hill", "Mark Yates"}, {"Siobhan Kelly", "Tariq Aziz"}}
	good, n := 0, 0
	for s, said := range saidCouple {
		for c, call := range calls {
			x := two[(s+c)%3]
			a, b := strings.Fields(x[0]), strings.Fields(x[1])
			fill := strings.NewReplacer("{AA}", x[0], "{BB}", x[1], "{A}", a[0], "{B}", b[0], "{a}", a[0][:1], "{b}", b[0][:1])
			in := strings.NewReplacer("{2}", call[0], "{w}", call[1], "{m}", call[2], "* ", []string{"- ", "", "[ ] "}[(s+c)%3])
			content := fill.Replace(said + "\n\n" + in.Replace("* {2} + Bride's parents (Ida, Karl)\n* {2} + Groom's mum (Rita)\n* {w} + her brother Max\n* {m} + his gran (Vera)\n* {2} + Max & Vera\n"))
			w, m := a[0], b[0]
			if strings.Contains(said, "{AA}") {
				w, m = a[1], b[1]
			}
			got, err := ReadFile(t.Context(), []byte(content), Options{})
			require.NoError(t, err)
			if n++; sameFrames([][]string{{w, m, "Ida", "Karl"}, {w, m, "Rita"}, {w, "Max"}, {m, "Vera"}, {w, m, "Max", "Vera"}}, framesOf(got.Event)) {
				good++
			} else if testing.Verbose() {
				t.Logf("%s\n%v", content, framesOf(got.Event))
			}
		}
	}
	t.Logf("%d of %d lists read right", good, n)
	assert.GreaterOrEqual(t, good, 270)
}

// saidSides are headings over the photographs of one of the two: {H} is bride or groom, {N} the name.
var saidSides = []string{
	"{H}'s side", "{N}'s side", "{H}'s family", "{N}'s family:", "{H}s family", "FAMILY OF THE {H}", "{N}'s lot", "** {H} **", "## {N}'s side", "--- {N}'s family ---", "{H}'s Family (2pm, front steps)", "{N}'s family first", "{H} and family",
	"{H} side:", "{N}", "{H}", "On {N}'s side", "{H} & {H}'s family", "Couple with {H}'s family", "{N}'s people", "The {H}'s family - 10 minutes", "Family ({H})", "Family - {N}", "{H}'s immediate family", "{N}'s relatives", "{H}'s group",
}

// TestSidesInManyForms reads photographs that name kin of nobody said below each heading for a side.
func TestSidesInManyForms(t *testing.T) {
	wishes := [][]string{
		{"Couple + parents ({m}, {d})", "Couple + parents + siblings ({b}, {s})", "Couple + gran ({g})", "Couple + siblings"},
		{"Couple with mum ({m})", "Couple with dad ({d})", "Couple with mum and dad", "Couple with gran {g}"},
		{"B&G, mum {m}, dad {d}", "B&G, parents, brother {b}", "B&G + gran {g}", "B&G + parents"},
	}
	in := [][]string{{"{m} {d}", "{m} {d} {b} {s}", "{g}", "{b} {s}"}, {"{m}", "{d}", "{m} {d}", "{g}"}, {"{m} {d}", "{m} {d} {b}", "{g}", "{m} {d}"}}
	good, n := 0, 0
	for s, side := range saidSides {
		for wish, lines := range wishes {
			for k, mark := range []string{"- ", "", "[ ] "} {
				who := kinOf[(s+wish+k)%2]
				content := []string{"{A} & {B} - family photos\n", "Bride: {A}\nGroom: {B}\n"}[(s+k)%2]
				var want [][]string
				for _, kin := range who {
					r := strings.NewReplacer(kin...)
					content += "\n" + r.Replace(side) + "\n"
					for i, line := range lines {
						content += mark + r.Replace(line) + "\n"
						want = append(want, append(strings.Fields(r.Replace(in[wish][i])), who[0][3], who[1][3]))
					}
				}
				content = strings.NewReplacer("{A}", who[0][3], "{B}", who[1][3]).Replace(content)
				got, err := ReadFile(t.Context(), []byte(content), Options{})
				require.NoError(t, err)
				if n++; sameFrames(want, framesOf(got.Event)) {
					good++
				} else if testing.Verbose() {
					t.Logf("%s\n%v", content, framesOf(got.Event))
				}
			}
		}
	}
	t.Logf("%d of %d lists read right", good, n)
	assert.GreaterOrEqual(t, good, 224)
}
