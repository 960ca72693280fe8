package check

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/family"
	"kinorder.example/server/internal/kin"
	"kinorder.example/server/internal/wording"
)

// maxNamed is how many people one advice names before it only counts.
const maxNamed = 5

// maxSimilar is how many pairs of similar names are told, and maxSimilarTried how many are looked into.
const (
	maxSimilar      = 5
	maxSimilarTried = 100
)

// longestName is the length in letters up to which names are compared for typing errors.
const longestName = 60

// few writes people for a sentence, the first few by name.
func (c *checker) few(list []int) wording.Arg {
	if len(list) <= maxNamed+1 {
		return c.people(list)
	}
	var names []wording.Message
	for _, p := range list[:maxNamed] {
		names = append(names, c.person(p))
	}
	return wording.And(wording.Say("%s", wording.Comma(names...)), wording.Say("sheet.more", len(list)-maxNamed))
}

// scripts are the scripts told apart, each with those that are read along with it. All others count
// as one that nobody is expected to read.
var scripts = [][]*unicode.RangeTable{
	{unicode.Latin}, {unicode.Cyrillic}, {unicode.Greek}, {unicode.Arabic}, {unicode.Hebrew},
	{unicode.Han, unicode.Hiragana, unicode.Katakana, unicode.Bopomofo}, {unicode.Hangul},
	{unicode.Devanagari}, {unicode.Bengali}, {unicode.Gujarati}, {unicode.Gurmukhi}, {unicode.Tamil},
	{unicode.Telugu}, {unicode.Kannada}, {unicode.Malayalam}, {unicode.Sinhala}, {unicode.Thai},
	{unicode.Armenian}, {unicode.Georgian}, {unicode.Ethiopic},
}

// scriptsOf says by position in scripts which of them a name has letters of; the last position
// stands for all others. A name without any letter has none.
func scriptsOf(name string) (in [32]bool, any bool) {
	for _, r := range name {
		if !unicode.IsLetter(r) {
			continue
		}
		any = true
		at := slices.IndexFunc(scripts, func(tables []*unicode.RangeTable) bool { return unicode.In(r, tables...) })
		if at < 0 {
			at = len(scripts)
		}
		in[at] = true
	}
	return in, any
}

// sayAs warns about names without a single letter of the script that most names are written in, when
// nothing says how they are said: the reader of the sheet could not call them. Accents and letters
// such as Đ are left to the planner: a reader makes something of them. Where no script has more than
// half of the names, nobody knows what the reader can read, and nothing is told.
func (c *checker) sayAs() {
	var counts [32]int
	names := 0
	for _, p := range c.e.People {
		in, any := scriptsOf(p.Name)
		if !any {
			continue
		}
		names++
		for at := range scripts {
			if in[at] {
				counts[at]++
			}
		}
	}
	most := 0
	for at := range scripts {
		if counts[at] > counts[most] {
			most = at
		}
	}
	if 2*counts[most] <= names {
		return
	}
	var hard []int
	for i, p := range c.e.People {
		if in, any := scriptsOf(p.Name); any && !in[most] && !p.Absent && !event.Visible(p.SayAs) {
			hard = append(hard, i)
		}
	}
	if len(hard) == 0 {
		return
	}
	field := "people"
	if len(hard) == 1 {
		field = fmt.Sprintf("people[%d].sayAs", hard[0])
	}
	c.add(event.Warning, event.CodeNoSayAs, field, c.idsOf(hard), wording.Say(
		"advice.writtenInAnotherScriptThanMost", c.few(hard)))
}

// similarNames tells of names that differ in one letter or in accents only, which may be one person
// who was listed twice. It says nothing when something shows that they are two: they are listed
// side by side, or anything else that is known of them differs.
func (c *checker) similarNames() {
	byName := make(map[string][]int) // plain name -> people
	var names []string
	for i, p := range c.e.People {
		name := family.Plain(p.Name)
		if n := len([]rune(name)); p.Absent || n < 5 || n > longestName || strings.ContainsFunc(name, unicode.IsDigit) {
			continue
		}
		if len(byName[name]) == 0 {
			names = append(names, name)
		}
		byName[name] = append(byName[name], i)
	}
	told, tried := 0, 0
	tell := func(p, q int) {
		if tried++; told == maxSimilar || tried > maxSimilarTried || !c.maybeOne(p, q) {
			return
		}
		told++
		c.add(event.Info, event.CodeSimilarNames, fmt.Sprintf("people[%d].name", q), c.idsOf([]int{p, q}), wording.Say(
			"advice.writtenAlmostAlike",
			c.person(p), c.person(q)))
	}
	for _, name := range names {
		list := byName[name]
		for k := 1; k < len(list); k++ {
			first, next := c.e.People[list[0]], c.e.People[list[k]]
			// Names that are the same but for case are told by sameNames.
			if kin.Fold(first.Name) != kin.Fold(next.Name) {
				tell(list[0], list[k])
			}
		}
	}
	for _, pair := range typos(names) {
		p, q := byName[pair[0]][0], byName[pair[1]][0]
		tell(min(p, q), max(p, q))
	}
}

// typos lists the pairs of different words that a single slip may have made of each other. Two words
// one slip apart become the same when the right letter is taken out of one or of each.
func typos(words []string) [][2]string {
	const crowded = 8 // words alike up to one letter: a naming pattern, not slips
	shortened := make(map[string][]int)
	var out [][2]string
	seen := make(map[[2]int]bool)
	for i, word := range words {
		letters := []rune(word)
		forms := []string{word}
		for k := range letters {
			forms = append(forms, string(letters[:k])+string(letters[k+1:]))
		}
		slices.Sort(forms)
		for _, form := range slices.Compact(forms) {
			for _, j := range shortened[form] {
				if seen[[2]int{j, i}] {
					continue
				}
				seen[[2]int{j, i}] = true
				if slip([]rune(words[j]), letters) {
					out = append(out, [2]string{words[j], word})
				}
			}
			if len(shortened[form]) < crowded {
				shortened[form] = append(shortened[form], i)
			}
		}
	}
	return out
}

// slip reports whether two different words are one typing error apart, and not rather two names: the
// word that differs has four letters or more, and it does not differ in its first letter (Linh, Minh)
// or in a vowel at its end (Maria, Mario; Daniel, Daniela).
func slip(a, b []rune) bool {
	if !kin.OneApart(a, b) {
		return false
	}
	wordsA, wordsB := strings.Fields(string(a)), strings.Fields(string(b))
	if len(wordsA) != len(wordsB) {
		return true // a space too many or too few
	}
	for k := range wordsA {
		if wordsA[k] == wordsB[k] {
			continue
		}
		x, y := []rune(wordsA[k]), []rune(wordsB[k])
		if min(len(x), len(y)) < 4 || x[0] != y[0] {
			return false
		}
		if len(x) < len(y) {
			x, y = y, x
		}
		last := len(x) - 1
		if slices.Equal(x[:last], y[:last]) {
			return !isVowel(x[last]) || len(x) == len(y) && !isVowel(y[last])
		}
	}
	return true
}

func isVowel(r rune) bool { return strings.ContainsRune("aeiouy", r) }

// maybeOne reports whether nothing shows that two people are two.
func (c *checker) maybeOne(i, j int) bool {
	p, q := c.e.People[i], c.e.People[j]
	differ := func(a, b string) bool { return a != "" && b != "" && family.Plain(a) != family.Plain(b) }
	if differ(p.Side, q.Side) || differ(p.Relation, q.Relation) || p.AgeBand != q.AgeBand ||
		p.HeightCM != 0 && q.HeightCM != 0 && p.HeightCM != q.HeightCM {
		return false
	}
	both := func(list []string) bool { return slices.Contains(list, p.ID) && slices.Contains(list, q.ID) }
	return !slices.ContainsFunc(c.e.Circles, func(x event.Circle) bool { return both(x.Members) }) &&
		!slices.ContainsFunc(c.e.Groupings, func(g event.Grouping) bool { return both(g.Members) })
}
