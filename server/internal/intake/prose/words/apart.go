package words

import (
	"cmp"
	"regexp"
	"slices"
	"strings"
)

// Languages ranks the languages that a list shows by how many of its words are theirs alone.
func Languages(tokens []Token) map[string]int {
	score := make(map[string]float64)
	total := 0.0
	for _, t := range tokens {
		if t.Kind != 'w' {
			continue
		}
		if t.Capital && len(t.Text) < 4 && Cased(t.Text) {
			continue
		}
		seen := make(map[string]bool)
		for _, w := range Find(t.Key) {
			seen[w.Lang] = true
		}
		for l := range seen {
			score[l] += 1 / float64(len(seen))
		}
		if len(seen) > 0 {
			total++
		}
	}
	ranked := make([]string, 0, len(score))
	for l := range score {
		ranked = append(ranked, l)
	}
	slices.SortFunc(ranked, func(a, b string) int { return cmp.Or(cmp.Compare(score[b], score[a]), cmp.Compare(a, b)) })
	rank := map[string]int{"en": 50, "other": 60, "ar": 70, "zh": 71}
	for i, l := range ranked {
		if l != "other" && (score[l] >= 0.12*total && score[l] >= 0.2*score[ranked[0]] || i == 0) {
			rank[l] = i + 1
		}
	}
	return rank
}

// Closings are the tokens that close brackets, by those that open them.
func Closings(tokens []Token) map[int]int {
	var ends map[int]int
	var open []int
	for k := range tokens {
		switch tokens[k].Key {
		case "(":
			open = append(open, k)
		case ")":
			if last := len(open) - 1; last >= 0 {
				if ends == nil {
					ends = make(map[int]int)
				}
				ends[open[last]], open = k, open[:last]
			}
		}
	}
	return ends
}

// UnderAge is how many tokens name a team by how old its players are at most, and that age: "U9s", "under 11s".
func UnderAge(tokens []Token) (int, string) {
	if m := under.FindStringSubmatch(tokens[0].Key); m != nil {
		return 1, m[1]
	}
	if len(tokens) > 1 && tokens[0].Key == "under" {
		if m := under.FindStringSubmatch("u" + tokens[1].Key); m != nil && strings.HasSuffix(tokens[1].Key, "s") {
			return 2, m[1]
		}
	}
	return 0, ""
}

var under = regexp.MustCompile(`^u-?(\d{1,2})s?$`)

// Umlauted takes German kin that has an umlaut where the word for one has none for several: "Brüder" is looked up like "Bruder".
func Umlauted(ws []Word) []Word {
	out := slices.Clone(ws)
	for k, w := range out {
		if w.Class == "kin" && w.Lang == "de" && !strings.ContainsAny(w.Text, "äöü") {
			out[k].Plural = true
		}
	}
	return out
}
