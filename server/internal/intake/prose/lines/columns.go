package lines

import (
	"regexp"
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/words"
)

var secondNumber = regexp.MustCompile(`^\d{1,3}(?:[.):/-]|\s)\s*`)

// barColumns divides lines at a bar where two lists stand side by side: the second has numbers of its own, or a line above says
// whose list each is, "BRIDE | GROOM".
func barColumns(out []Line) {
	var at []int
	numbers, sided := 0, false
	for i := range out {
		a, b, one := strings.Cut(out[i].Text, " | ")
		if out[i].Blank || out[i].Ruler || !one || out[i].Cells != nil || strings.Contains(b, "|") {
			continue
		}
		at = append(at, i)
		if secondNumber.MatchString(strings.TrimSpace(b)) {
			numbers++
		}
		sided = sided || ofHalf(a) && ofHalf(b)
	}
	if len(at) < 3 || 2*numbers < len(at) && !sided {
		return
	}
	for _, i := range at {
		l := &out[i]
		cut := strings.Index(l.Text, " | ")
		from := cut + len(" | ")
		second := l.Text[from:]
		lead := len(second) - len(strings.TrimLeft(second, " "))
		if m := secondNumber.FindString(second[lead:]); 2*numbers >= len(at) {
			lead += len(m)
		}
		l.Cells = []string{strings.TrimRight(l.Text[:cut], " "), second[lead:]}
		l.Spans = []int{0, from + lead}
		if ofHalf(l.Cells[0]) && ofHalf(l.Cells[1]) { // "BRIDE (Ann) | GROOM (Bob)" are headings
			for k, c := range l.Cells {
				head, _, _ := strings.Cut(c, "(")
				l.Cells[k] = strings.TrimRight(head, " ")
			}
		}
	}
}

var wideGap = regexp.MustCompile(`\S(\s{2,})\S`)

// gapColumns divides lines where spaces put a second list at the same place of most lines, as if there was a tab.
func gapColumns(out []Line) {
	at := make(map[int][]int) // lines by the column where the second begins
	best := 0
	for i := range out {
		if l := &out[i]; !l.Blank && !l.Ruler && !l.Row && l.Cells == nil {
			if n := strings.Count(l.Text, "  "); n > 0 && n < len(l.Text)/2 {
				gaps := wideGap.FindAllStringSubmatchIndex(l.Text, 3)
				if len(gaps) != 1 || strings.ContainsRune("+&,/-:=", rune(l.Text[gaps[0][2]-1])) {
					continue
				}
				c := l.Column(gaps[0][3])
				if at[c] = append(at[c], i); len(at[c]) > len(at[best]) {
					best = c
				}
			}
		}
	}
	if len(at[best]) < 4 || best < 12 {
		return
	}
	for _, i := range at[best] {
		l := &out[i]
		gap := wideGap.FindStringSubmatchIndex(l.Text)
		l.Cells, l.Spans = []string{l.Text[:gap[2]], l.Text[gap[3]:]}, []int{0, gap[3]}
	}
}

// ofHalf reports whether a cell begins with the bride or the groom.
func ofHalf(cell string) bool {
	first := strings.Fields(cell + " -")[0]
	return slices.ContainsFunc(words.Find(names.Plain(first)), func(w words.Word) bool { return w.Class == "half" })
}
