package fields

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"kinorder.example/server/internal/wording"
)

// Mend puts what was changed beside the lines of a list into the list. Each changed line came with
// what it was: when the list itself was changed meanwhile, the line is looked for, and if it is not
// there just once the change is told back instead of being lost.
func Mend(text string, p Posted) (string, []wording.Message) {
	numbers := mended(p)
	if len(numbers) == 0 {
		return text, nil
	}
	lines := strings.Split(text, "\n")
	var notices []wording.Message
	only := onlyOnes(lines, numbers, p)
	for _, n := range numbers {
		was := p.Get("was." + n)
		// What is typed below a line is a line of its own.
		now := answered(strings.Trim(p.Get("line."+n), "\n"), n, p)
		if now == was {
			continue
		}
		number, _ := strconv.Atoi(n)
		at := number - 1
		if at >= len(lines) || lines[at] != was {
			at = only[was]
		}
		if at < 0 {
			notices = append(notices, wording.Say("page.lineWasChangedInTheList", number, now))
			continue
		}
		lines[at] = now
		only[was] = -1
	}
	return strings.Join(lines, "\n"), notices
}

// mended lists the numbers of the lines that came back, in their order.
func mended(p Posted) []string {
	var out []string
	for name := range p.Values {
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

// longestLine is longer than any line that a list may have, in bytes.
const longestLine = 16 << 10

// answered puts the answers to the questions of a line in the place of the words asked about.
func answered(line, n string, p Posted) string {
	for k := 0; p.Has(fmt.Sprintf("asked.%s.%d", n, k)) && len(line) <= longestLine; k++ {
		asked, answer := p.Get(fmt.Sprintf("asked.%s.%d", n, k)), p.Get(fmt.Sprintf("answer.%s.%d", n, k))
		if answer != "" && asked != "" {
			line = strings.Replace(line, asked, answer, 1)
		}
	}
	return line
}

// onlyOnes finds the lines as they were: the index of the only one that is so, or -1.
func onlyOnes(lines, numbers []string, p Posted) map[string]int {
	at := make(map[string]int, len(numbers))
	for _, n := range numbers {
		at[p.Get("was."+n)] = -1
	}
	seen := make(map[string]bool, len(numbers))
	for i, l := range lines {
		if _, wanted := at[l]; !wanted {
			continue
		}
		if at[l] = i; seen[l] {
			at[l] = -1
		}
		seen[l] = true
	}
	return at
}
