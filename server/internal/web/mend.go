package web

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"kinorder.example/server/internal/wording"
)

// mend puts what was changed beside the lines of a list into the list. Each changed line came with
// what it was: when the list itself was changed meanwhile, the line is looked for, and if it is not
// there just once the change is told back instead of being lost.
func mend(text string, p posted) (string, []wording.Message) {
	lines := strings.Split(text, "\n")
	var notices []wording.Message
	for _, n := range mended(p) {
		was := p.get("was." + n)
		now := strings.ReplaceAll(p.get("line."+n), "\n", " ")
		now = answered(now, n, p)
		if now == was {
			continue
		}
		number, _ := strconv.Atoi(n)
		at := number - 1
		if at >= len(lines) || lines[at] != was {
			at = only(lines, was)
		}
		if at < 0 {
			notices = append(notices, wording.Say("Line %d was changed in the list too, so your change beside it was not taken over: %s", number, now))
			continue
		}
		lines[at] = now
	}
	return strings.Join(lines, "\n"), notices
}

// mended lists the numbers of the lines that came back, in their order.
func mended(p posted) []string {
	var out []string
	for name := range p.values {
		n, ok := strings.CutPrefix(name, "was.")
		if number, err := strconv.Atoi(n); ok && err == nil && number > 0 {
			out = append(out, n)
		}
	}
	slices.SortFunc(out, func(a, b string) int {
		x, _ := strconv.Atoi(a)
		y, _ := strconv.Atoi(b)
		return x - y
	})
	return out
}

// answered puts the answers to the questions of a line in the place of the words asked about.
func answered(line, n string, p posted) string {
	for k := 0; p.has(fmt.Sprintf("asked.%s.%d", n, k)); k++ {
		asked, answer := p.get(fmt.Sprintf("asked.%s.%d", n, k)), p.get(fmt.Sprintf("answer.%s.%d", n, k))
		if answer != "" && asked != "" {
			line = strings.Replace(line, asked, answer, 1)
		}
	}
	return line
}

// only returns the index of the only line that is as it was, or -1.
func only(lines []string, was string) int {
	at := slices.Index(lines, was)
	if at < 0 || slices.Contains(lines[at+1:], was) {
		return -1
	}
	return at
}
