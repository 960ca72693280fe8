package lines

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
)

var (
	hanForm      = regexp.MustCompile(`^[一二三四五六七八九十]{1,3}[、.．]\s*`)
	bareForm     = regexp.MustCompile(`^((\d{1,3})[a-d]?)\s+`)
	lettersForm  = regexp.MustCompile(`^([A-Z]{1,3})(?:\s{2,}|\s?[.):]\s+)`)
	aloneForm    = regexp.MustCompile(`^([A-Za-z])(?:\s?([-–—:])\s+|\s+)`)
	letteredForm = regexp.MustCompile(`^([A-Z])([1-9]\d?)(?:\s?[.):]|\s-)?\s+`)
)

// countHan takes Chinese numbers off lines: those of photographs, or of headings when most lines have none.
func countHan(lines []Line) {
	var at []int
	all := 0
	for i := range lines {
		if lines[i].Blank || lines[i].Ruler {
			continue
		}
		all++
		if hanForm.MatchString(lines[i].Text) {
			at = append(at, i)
		}
	}
	if len(at) < 2 {
		return
	}
	for n, i := range at {
		l := &lines[i]
		l.cut(len(hanForm.FindString(l.Text)))
		if 2*len(at) < all {
			l.Heads = 2
		} else {
			l.Mark, l.Label, l.Bullet = '#', strconv.Itoa(n+1), "#"
		}
	}
}

// countBare takes numbers without a mark behind them off lines that count on: "1 Mum", "2 Mum and Dad".
func countBare(lines []Line) {
	next, run := 1, []int(nil)
	for i := range lines {
		l := &lines[i]
		m := bareForm.FindStringSubmatch(l.Text)
		if l.Mark == 't' && next > 3 && strings.HasPrefix(strings.TrimSpace(l.Raw), strconv.Itoa(next)+" ") { // "13 H only" is no time
			l.Text, l.off, l.Mark, l.Clock = l.Raw, 0, 0, ""
			l.cut(0)
			m = bareForm.FindStringSubmatch(l.Text)
		}
		if l.Mark == '#' && l.Label == strconv.Itoa(next) { // "8." among bare ones
			next++
		}
		if m == nil || l.Mark != 0 {
			continue
		}
		switch n, _ := strconv.Atoi(m[2]); {
		case n == next && m[1] == m[2]:
			run = append(run, i)
			next++
		case n == next-1 && m[1] != m[2] && len(run) > 0: // "8b"
			run = append(run, i)
		}
	}
	if len(run) < 3 {
		return
	}
	for _, i := range run {
		l, m := &lines[i], bareForm.FindStringSubmatch(lines[i].Text)
		l.cut(len(m[0]))
		l.Mark, l.Label, l.Bullet = '#', m[1], "#"
		l.equal()
	}
}

// countAlone takes letters off lines that count on by them: "A  Ann + Bob", "B  A + Cleo" of four lines and more, "A - Ann + Bob" of
// three. Some leave out I and O, which look like numbers.
func countAlone(lines []Line) {
	next, run, marked := byte('A'), []int(nil), 0
	for i := range lines {
		m := aloneForm.FindStringSubmatch(lines[i].Text)
		if m == nil || lines[i].Mark != 0 || len(m[0]) == len(lines[i].Text) {
			continue
		}
		at := strings.ToUpper(m[1])[0]
		if at != next && (at != next+1 || next != 'I' && next != 'O') {
			continue
		}
		run, next = append(run, i), at+1
		if m[2] != "" {
			marked++
		}
	}
	if len(run) < 4 && (len(run) < 3 || marked < len(run)) {
		return
	}
	for _, i := range run {
		l, m := &lines[i], aloneForm.FindStringSubmatch(lines[i].Text)
		l.cut(len(m[0]))
		l.Mark, l.Label, l.Bullet = 'A', strings.ToUpper(m[1]), "A"
	}
}

// countLettered takes a letter with a number off lines that count on by it: "A1 Ann + Bob", "A2 A1 + Cleo".
func countLettered(lines []Line) {
	countAlone(lines)
	run, last := []int(nil), ""
	for i := range lines {
		m := letteredForm.FindStringSubmatch(lines[i].Text)
		if m == nil || lines[i].Mark != 0 {
			continue
		}
		if n, _ := strconv.Atoi(m[2]); n == 1 || m[1]+strconv.Itoa(n-1) == last {
			run, last = append(run, i), m[1]+m[2]
		}
	}
	if len(run) < 3 {
		return
	}
	for i := range lines { // "A. FAMILY" above them
		if l := &lines[i]; l.Mark == 'A' && slices.ContainsFunc(run, func(k int) bool { return strings.HasPrefix(lines[k].Text, l.Label) }) {
			l.Mark, l.Heads = 0, 2
		}
	}
	for i := range lines { // "AB  A1 and B1", "Z   everybody" among them
		l := &lines[i]
		if m := lettersForm.FindStringSubmatch(l.Text); m != nil && l.Mark == 0 && !stands(m[1]) && i > run[0] {
			l.cut(len(m[0]))
			l.Mark, l.Label, l.Bullet = 'A', m[1], "A"
		}
	}
	for _, i := range run {
		l, m := &lines[i], letteredForm.FindStringSubmatch(lines[i].Text)
		l.cut(len(m[0]))
		l.Mark, l.Label, l.Bullet = 'A', m[1]+m[2], "A"
	}
}
