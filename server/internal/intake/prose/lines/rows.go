package lines

import (
	"regexp"
	"slices"
	"strings"
	"unicode"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/words"
)

// rowForm is a row of a form with its answer behind dots or a line to write on: "Couple with Ann's parents ........ YES".
var rowForm = regexp.MustCompile(`^(.*?\S)(\s*(?:\.{2,}|_{3,})\s*)(.*)$`)

// answerRows takes the dots of such rows, where three have many of them and an answer, for a question mark. What stands in others is
// none of theirs, and a row without an answer is not wanted.
func answerRows(lines []Line) {
	answered := 0
	for i := range lines {
		if m := rowForm.FindStringSubmatch(lines[i].Text); m != nil && len(strings.TrimSpace(m[2])) > 4 && m[3] != "" {
			answered++
		}
	}
	if answered < 3 {
		return
	}
	for i := range lines {
		l := &lines[i]
		m := rowForm.FindStringSubmatchIndex(l.Text)
		if m == nil || lines[i].Struck || len(strings.Fields(l.Text[m[6]:])) > 2 && m[5]-m[4] < 5 {
			continue
		}
		l.Struck = m[6] == len(l.Text)
		l.Text = l.Text[:m[4]] + "?" + strings.Repeat(" ", m[5]-m[4]-1) + l.Text[m[6]:]
		l.Row = true
	}
}

// parts takes the count off headings of the parts of a form, "PART ONE - YOUR FAMILIES", of which there are several.
func parts(lines []Line) {
	var found []int
	for i := range lines {
		if lines[i].Mark == 0 && !lines[i].Blank && partEnd(lines[i].Text) > 0 {
			found = append(found, i)
		}
	}
	for _, i := range found[:len(found)*min(1, len(found)/2)] {
		l := &lines[i]
		if l.Heads = 2; partEnd(l.Text) < len(l.Text) {
			l.cut(partEnd(l.Text))
		}
	}
}

// partEnd is how many bytes of a line count a part, or 0: "Part 2:", "SECTION B -".
func partEnd(text string) int {
	ws := strings.Fields(text)
	if len(ws) < 2 || !words.Listed("part", names.Plain(ws[0])) {
		return 0
	}
	count := strings.TrimFunc(ws[1], unicode.IsPunct)
	key := names.Plain(count)
	number := strings.Trim(key, "ivx0123456789") == "" || len(key) == 1 && count != key || words.Listed("first of", key) ||
		slices.ContainsFunc(words.Find(key), func(w words.Word) bool { return w.Class == "num" })
	if key == "" || !number {
		return 0
	}
	rest := text[strings.Index(text, ws[1])+len(ws[1]):]
	tail := strings.TrimLeftFunc(rest, func(r rune) bool { return unicode.IsSpace(r) || strings.ContainsRune("-–—:.", r) })
	if tail != "" && count == ws[1] && strings.TrimSpace(rest[:len(rest)-len(tail)]) == "" {
		return 0 // "part two of the day"
	}
	return len(text) - len(tail)
}

// dashBelow is a dash behind a word at the front of a line.
var dashBelow = regexp.MustCompile(`^(\p{L}+)(\s+[-–—]\s+)[\p{L}]`)

// colonsBelow makes a colon of the dash behind a word for several kin or roles in lines that stand below one with a
// number, letter or box: "   Uncles - Max, Karl".
func colonsBelow(lines []Line) {
	over := -1 // the last line with a number, letter or box
	for i := range lines {
		l := &lines[i]
		if l.Blank || l.Mark != 0 {
			if over = i; l.Mark == 0 || l.Mark == '-' {
				over = -1
			}
		}
		m := dashBelow.FindStringSubmatchIndex(l.Text)
		if m == nil || l.Mark != 0 || over < 0 || lines[over].Indent >= l.Indent {
			continue
		}
		if slices.ContainsFunc(words.Find(names.Plain(l.Text[m[2]:m[3]])), func(w words.Word) bool { return (w.Class == "kin" || w.Class == "role") && w.Plural }) {
			l.Text = l.Text[:m[4]] + ":" + strings.Repeat(" ", m[5]-m[4]-1) + l.Text[m[5]:]
		}
	}
}
