package intake

import (
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	index "kinorder.example/server/internal/intake/names"
)

// told are the forms in which lists say who is who, once for each of the couple: H bride or groom, N their name, m d b s g who their
// mother, father, brother, sister and grandmother are.
var told = []string{
	"{H}: Mum {m}, Dad {d}, brother {b}, sister {s}, Grandma {g}",
	"{H}: Mum {m}, Dad {d}, brother {b} (partner Jo), sis {s}, Grandma ({g})",
	"{H} - Mum {m}, Dad {d}, brother {b}, sister {s}, Grandma {g}",
	"{N}: Mum {m}, Dad {d}, brother {b}, sis {s}, Gran {g}",
	"{H}: Mum {m} + Dad {d}, brother {b} + sister {s}, Grandma {g}",
	"{N} - mum {m}, dad {d}, brother {b}, sister {s}, nan {g}",
	"{H}'s side: mum {m}, dad {d}, brother {b}, sister {s}, grandma {g}",
	"{N}'s family: Mom - {m}, Dad - {d}, Brother - {b}, Sister - {s}, Grandma - {g}",
	"{H}'s family: {m} (mom), {d} (dad), {b} (brother), {s} (sister), {g} (grandma)",
	"{N}: {m} (mum), {d} (dad), {b} (brother), {s} (sister), {g} (gran)",
	"{H}: {m} - mum; {d} - dad; {b} - brother; {s} - sister; {g} - gran",
	"({N}'s fam: {m} = mum, {d} = dad, {b} = brother, {s} = sister, {g} = gran)",
	"{N}'s fam = mum {m}, dad {d}, bro {b}, sis {s}, nan {g}",
	"{H}'s mum: {m}\n{H}'s dad: {d}\n{H}'s brother: {b}\n{H}'s sister: {s}\n{H}'s grandma: {g}",
	"{N}'s mum - {m}\n{N}'s dad - {d}\n{N}'s brother - {b}\n{N}'s sister - {s}\n{N}'s grandma - {g}",
	"{H}'s mum = {m}\n{H}'s dad = {d}\n{H}'s brother = {b}\n{H}'s sister = {s}\n{H}'s grandma = {g}",
	"{m} - mother of the {H}\n{d} - father of the {H}\n{b} - brother of the {H}\n{s} - sister of the {H}\n{g} - grandmother of the {H}",
	"{m}: {N}'s mum\n{d}: {N}'s dad\n{b}: {N}'s brother\n{s}: {N}'s sister\n{g}: {N}'s gran",
	"{m} ({H}'s mum)\n{d} ({H}'s dad)\n{b} ({H}'s brother)\n{s} ({H}'s sister)\n{g} ({H}'s gran)",
	"Mum ({H}): {m}\nDad ({H}): {d}\nBrother ({H}): {b}\nSister ({H}): {s}\nGrandma ({H}): {g}",
	"{H}'s parents – {m} & {d}\n{H}'s siblings – {b} & {s}\n{H}'s grandma – {g}",
	"Parents of the {H}: {m} & {d}\nSiblings of the {H}: {b}, {s}\nGrandmother of the {H}: {g}",
	"{N}'s parents: {m}, {d}. Brother: {b}. Sister: {s}. Gran {g} ({m}'s mother)",
	"{N}'s parents - {m}, {d}; brother - {b}; sister - {s}; Gran ({m}'s mom, {g})",
	"{H}: parents {m} & {d}, siblings {b} & {s}, grandma {g}",
	"{N}: parents ({m}, {d}), siblings ({b}, {s}), grandma ({g})",
	"{H}'s side\nMum: {m}\nDad: {d}\nBrother: {b}\nSister: {s}\nGrandma: {g}\n",
	"{N}'s family:\n- Mum {m}\n- Dad {d}\n- Brother {b}\n- Sister {s}\n- Grandma {g}\n",
	"{N}\nMum - {m}\nDad - {d}\nBrother - {b}\nSister - {s}\nGrandma - {g}\n",
	"{H}'s mum is {m}, dad is {d}, brother is {b}, sister is {s}, gran is {g}",
	"{N}'s mum is {m} and dad is {d}. {N}'s brother is {b}, sister is {s}. Gran is {g}.",
	"{H} ({N}): mum {m}, dad {d}, brother {b}, sister {s}, gran {g}",
	"{H}'s side ({N}): Mum {m}, Dad {d}, Brother {b}, Sister {s}, Gran {g}",
	"{N}'s side:\nParents {m} and {d}\nSiblings {b} and {s}\nGrandma {g}\n",
	"{N}'s parents are {m} and {d}, siblings are {b} and {s}, grandma is {g}",
	"Mother of the {H}: {m}\nFather of the {H}: {d}\nBrother of the {H}: {b}\nSister of the {H}: {s}\nGrandmother of the {H}: {g}",
	"{N}'s mum {m}, dad {d}, brother {b}, sister {s} and grandma {g}",
	"{N}'s folks: {m} & {d}; sibs: {b}, {s}; gran: {g}",
	"{H} parents: {m} & {d}\n{H} siblings: {b}, {s}\n{H} grandma: {g}",
	"{H}s parents: {m} + {d}\n{H}s siblings: {b} + {s}\n{H}s grandma: {g}",
	"{m} & {d} - {N}'s parents\n{b} & {s} - {N}'s siblings\n{g} - {N}'s grandma",
	"{m} & {d} ({N}'s parents), {b} & {s} ({N}'s siblings), {g} ({N}'s gran)",
	"{m} and {d} are {N}'s parents, {b} and {s} are {N}'s siblings, {g} is {N}'s gran",
	"{N}'s parents = {m} + {d}\n{N}'s siblings = {b} + {s}\n{N}'s nan = {g}",
	"{H}'s immediate family: {m} & {d} (parents), {b} & {s} (siblings), {g} (grandma)",
	"{H}'s Mum & Dad: {m} & {d}\n{H}'s brother & sister: {b} & {s}\n{H}'s nan: {g}",
	"{H}: {m} & {d} (parents), {b} & {s} (siblings), {g} (gran)",
	"On the {H}'s side: mum {m}, dad {d}, brother {b}, sister {s}, gran {g}",
	"{N}: mum = {m}, dad = {d}, brother = {b}, sister = {s}, gran = {g}",
	"{N}'s lot: mum {m}, dad {d}, brother {b}, sister {s}, gran {g}",
	"{H}\n{m} - mum\n{d} - dad\n{b} - brother\n{s} - sister\n{g} - gran\n",
	"{N}'s family\n{m} (mum)\n{d} (dad)\n{b} (brother)\n{s} (sister)\n{g} (gran)\n",
	"{m} ({N}'s mum), {d} ({N}'s dad), {b} ({N}'s brother), {s} ({N}'s sister), {g} ({N}'s gran)",
	"{H}'s mum {m}, dad {d}, brother {b}, sister {s}, gran {g}. ",
	"{N} - parents {m} and {d}, siblings {b} and {s}, gran {g}; ",
	"{H}'s parents: {m}, {d}; siblings: {b}, {s}; gran: {g} / ",
	"- {N}'s parents: {m} & {d}\n- {N}'s siblings: {b} & {s}\n- {N}'s grandma: {g}",
	"{N}'s side -\n  Mum: {m}\n  Dad: {d}\n  Siblings: {b}, {s}\n  Gran: {g}",
	"{H}: {N}\n{H}'s parents: {m} & {d}\n{H}'s siblings: {b} & {s}\n{H}'s gran: {g}",
	"{H} = {N} (mum {m}, dad {d}, brother {b}, sister {s}, gran {g})",
	"{H} - {N}; parents - {m} & {d}; siblings - {b} & {s}; gran - {g}",
	"Mum/dad of {H}: {m}/{d}\nBro/sis of {H}: {b}/{s}\nGran of {H}: {g}",
	"{N}'s Mum: {m}   Dad: {d}   Brother: {b}   Sister: {s}   Gran: {g}",
}

// kinOf are two made-up couples and their kin, as told has them; of the second, names are words.
var kinOf = [][2][]string{
	{{"{H}", "Bride", "{N}", "Maddie", "{m}", "Leanne", "{d}", "Warwick", "{b}", "Kye", "{s}", "Georgia", "{g}", "Joyce"},
		{"{H}", "Groom", "{N}", "Toby", "{m}", "Sandra", "{d}", "Colin", "{b}", "Lewis", "{s}", "Amelia", "{g}", "Merle"}},
	{{"{H}", "Bride", "{N}", "Grace", "{m}", "Hope", "{d}", "Rich", "{b}", "Chase", "{s}", "April", "{g}", "Rose"},
		{"{H}", "Groom", "{N}", "Will", "{m}", "Joy", "{d}", "Bill", "{b}", "Mark", "{s}", "Paris", "{g}", "Faith"}},
}

// TestToldInManyForms reads lists whose photographs name only kin, with who is who in each form, under several headings, above and below.
func TestToldInManyForms(t *testing.T) {
	titles := []string{"X + Y: group photos\nSaturday 14 November, ceremony 4pm", "X & Y", "Family Formals Checklist / X + Y / Saturday, Sept 26", "FORMAL PHOTOS\nX & Y", "Bride: X\nGroom: Y"}
	heads := []string{"Who's who", "WHO IS WHO:", "Key people", "Names", "", "Family", "Cast list", "Important people", "People to know: ", "Who's who - "}
	photos := [][]string{
		{"B&G + {H}'s parents", "B&G + {H}'s parents & siblings", "B&G + {H}'s siblings", "B&G + {H}'s grandma"},
		{"{H} + Mum", "{H} + Dad", "{H} + parents + siblings", "{H} + Grandma"},
		{"Couple with {N}'s parents", "Couple with {N}'s parents, siblings", "Couple with {N}'s siblings", "Couple with {N}'s grandma"},
	}
	marks := []string{"- ", "", "[ ] "}
	good, n := 0, 0
	for f, form := range told {
		for h, head := range heads {
			who, wish, mark := kinOf[(f+h)%2], (f+h)%3, marks[(f+2*h)%3]
			var definitions, list strings.Builder
			var want [][]string
			for _, kin := range who {
				r := strings.NewReplacer(kin...)
				definitions.WriteString(strings.Replace(r.Replace(form)+"\n", " \n", " ", 1))
				list.WriteString("\n" + r.Replace("{H}'s family") + "\n")
				for i, line := range photos[wish] {
					list.WriteString(mark + r.Replace(line) + "\n")
					in := strings.Fields(r.Replace([]string{"{m} {d}", "{m} {d} {b} {s}", "{b} {s}", "{g}"}[i]))
					if wish == 1 {
						in = strings.Fields(r.Replace([]string{"{N} {m}", "{N} {d}", "{N} {m} {d} {b} {s}", "{N} {g}"}[i]))
					} else {
						in = append(in, who[0][3], who[1][3])
					}
					want = append(want, in)
				}

			}
			said := strings.TrimSpace(strings.Replace(head+"\n", " \n", " ", 1) + strings.TrimRight(definitions.String(), ";/ "))
			content := strings.NewReplacer("X", who[0][3], "Y", who[1][3]).Replace(titles[(f+h)%5]) + "\n\n"
			if h%2 == 0 {
				content += said + "\n" + list.String()
			} else {
				content += strings.TrimSpace(list.String()) + "\n\n" + said + "\n"
			}
			got, err := ReadFile(t.Context(), []byte(content), Options{})
			require.NoError(t, err)
			if n++; sameFrames(want, framesOf(got.Event)) {
				good++
			} else if testing.Verbose() {
				t.Logf("form %d, head %q:\n%s\n%v", f, head, content, framesOf(got.Event))
			}
		}
	}
	t.Logf("%d of %d lists read right", good, n)
	assert.GreaterOrEqual(t, good, 603)
}

// framesOf lists who is in each photograph, by given names, in the order of the alphabet.
func framesOf(e event.Event) [][]string {
	byID := event.NewIndex(&e)
	var out [][]string
	for _, g := range e.Groupings {
		people := func(ids []string) (in []string) {
			for _, id := range ids {
				in = append(in, byID.Members(id)...)
			}
			return in
		}
		without, members := people(g.Without), people(g.Members)
		each := []string{""}
		if g.EachOf != "" {
			each = people([]string{g.EachOf})
		}
		for _, one := range each {
			var in []string
			for _, id := range append(slices.Clone(members), one) {
				if k := slices.IndexFunc(e.People, func(p event.Person) bool { return p.ID == id }); k >= 0 && !slices.Contains(without, id) {
					in = append(in, e.People[k].Name)
				}
			}
			out = append(out, in)
		}
	}
	return out
}

// sameFrames reports whether two sets of photographs are of the same people, by the last word of what each is called.
func sameFrames(a, b [][]string) bool {
	plain := func(fs [][]string) []string {
		var out []string
		for _, f := range fs {
			var in []string
			for _, name := range f {
				ws := strings.Fields(index.Plain(name))
				in = append(in, ws[len(ws)-1])
			}
			slices.Sort(in)
			out = append(out, strings.Join(slices.Compact(in), " "))
		}
		slices.Sort(out)
		return out
	}
	return slices.Equal(plain(a), plain(b))
}

// harmless are changes to a list that leave what it means.
var harmless = []struct{ from, to string }{
	{`(?m)^(\s*)[-*•]\s+`, "$1* "}, {`(?m)^(\s*)[-*•_]+\s*`, "$1[ ] "}, {`(?m)^(\s*)[-*•_]+\s*`, "$1☐ "},
	{`(?i)\bwith `, "w/ "}, {`\bw/ ?`, "with "}, {` & `, " and "}, {` \+ `, " & "}, {`\bB ?[&+] ?G\b`, "Bride & Groom"}, {`\bB ?[&+] ?G\b`, "Couple"},
	{"'", "’"}, {"\n", "\r\n"}, {`(?m)$`, "  "}, {`\n\n`, "\n\n\n"}, {`\z`, "\n\nThanks so much!\n"},
}

// titles are titles that a list with a couple may have.
var titles = []string{
	"X & Y", "X + Y - Family Formals", "Family Formals Checklist / X + Y / Saturday, Sept 26", "FORMAL FAMILY PHOTOS\nX & Y", "Shot List: X & Y", "X & Y's shot list",
	"X and Y's Wedding - Group Photos", "X and Y: family photos", "Checklist – X+Y", "Our group shots\nX & Y\nSaturday, Sept 26", "Wedding of X & Y",
}

// TestHarmlessChanges changes the lists of testdata/reading in ways that leave what they mean, and counts how many are read as before.
func TestHarmlessChanges(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(demos, "reading", "*.txt"))
	require.NoError(t, err)
	good, n := 0, 0
	same := func(name, how, content, changed string) {
		if changed == content {
			return
		}
		a, err := ReadFile(t.Context(), []byte(content), Options{})
		require.NoError(t, err)
		b, err := ReadFile(t.Context(), []byte(changed), Options{})
		require.NoError(t, err)
		if n++; sameFrames(framesOf(a.Event), framesOf(b.Event)) {
			good++
		} else if testing.Verbose() {
			t.Logf("%s: %s", filepath.Base(name), how)
		}
	}
	for _, name := range files {
		file, err := os.ReadFile(name)
		require.NoError(t, err)
		content := string(file)
		for _, c := range harmless {
			same(name, c.from+" → "+c.to, content, regexp.MustCompile(c.from).ReplaceAllString(content, c.to))
		}
		expected, err := os.ReadFile(strings.TrimSuffix(name, ".txt") + ".json")
		require.NoError(t, err)
		var want struct {
			wanted
			Language string
			Couple   []string
		}
		require.NoError(t, json.Unmarshal(expected, &want))
		lines := strings.Split(content, "\n")
		if len(want.Couple) < 2 || want.Language != "en" || strings.ContainsAny(lines[0], "=(\t|[") || want.Photographs[0].Line == 1 {
			continue
		}
		x, y := want.People[want.Couple[0]].Names[0], want.People[want.Couple[1]].Names[0]
		if !strings.Contains(lines[0], x) || !strings.Contains(lines[0], y) {
			continue
		}
		for _, title := range titles {
			changed := strings.NewReplacer("X", x, "Y", y).Replace(title) + "\n\n" + strings.TrimLeft(strings.Join(lines[1:], "\n"), "\n")
			same(name, title, content, changed)
		}
	}
	t.Logf("%d of %d changed lists read as before", good, n)
	assert.GreaterOrEqual(t, good, 315)
}
