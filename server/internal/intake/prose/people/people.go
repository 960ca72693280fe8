// Package people knows who is in a list: guests by all that they are called, the couple, what each is to others, and who
// is meant by kin of somebody. It is told by others what the words of the list say.
package people

import (
	"cmp"
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/effort"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/words"
	"kinorder.example/server/internal/intake/roster"
	"kinorder.example/server/internal/wording"
)

// Roll is the people whom a list names, and what it says of all of them.
type Roll struct {
	place.Notes
	Effort *effort.Meter
	Base   event.Event // that the list is for, or empty
	Build  *roster.Roster
	Line   *lines.Line // the one that is read

	Guests    []Guest
	ByName    map[string][]int
	ByWord    map[string][]int
	Known     map[string]bool // words of names
	Index     names.Index
	Times     map[string]int   // how often each word stands in the list
	Groups    map[string][]int // people of labels, by how they are looked up
	Answers   map[string][]int // who words stand for, as lines tell that answer a question, by how labels are looked up
	Homes     map[int][]int    // all who are the family of a guest, as a line names them
	Apart     []Pair           // who is kept apart
	Leaned    map[string]bool  // labels of groups that another line names
	Questions map[string]bool  // words of which it is asked whom they stand for
	Formal    bool             // there is a section of guests, or an event that the list is for
	Declared  bool             // there is a list of guests

	Couple   [2]int         // guests, or -1
	Brides   map[byte]int   // which of the couple is 'w' and 'm', 1 or 2
	Initials map[string]int // of the couple
	Unsure   bool           // nothing says who of the couple is "he" and who "she"
	Assumed  bool           // nothing says who is the bride: it is taken to be who is named first
	Honour   int            // whom the day is about when there is no couple, or -1
	Spouse   int            // the wife or husband of whom the day is about, as the list calls the other parent, or -1
	Author   int            // who of the couple writes, when that is known
}

// New is a roll without people for a list that may add to an event; reading spends m.
func New(m *effort.Meter, base event.Event) Roll {
	return Roll{
		Effort: m, Base: base, Build: roster.New(base, m), Line: &lines.Line{}, Index: names.Index{Effort: m},
		ByName: make(map[string][]int), ByWord: make(map[string][]int), Known: make(map[string]bool), Times: make(map[string]int), Groups: make(map[string][]int), Homes: make(map[int][]int), Answers: make(map[string][]int), Questions: make(map[string]bool), Leaned: make(map[string]bool),
		Declared: len(base.People) > 0, Couple: [2]int{-1, -1}, Brides: make(map[byte]int), Initials: make(map[string]int), Honour: -1, Spouse: -1,
	}
}

// Guest is one person of the roster, or a labelled entry for people whose names the list does not give.
type Guest struct {
	event.Person
	Given     string // the name without kin or rank
	Label     string // of an entry without a name, as labels are compared
	Rank      string
	words     []string
	Half      int  // 1 or 2 for the couple
	SideOf    int  // 1, 2, or 0
	Sex       byte // 'w', 'm' or 0
	Relations []Relation
	Roles     []Held
	Unnamed   bool
	Many      bool // an entry for several
	Count     int  // how many these are, 0 when it is not said
	Age       int  // in years, -1 when it is not said
	Line      int  // where first named
	Base      bool
	Never     bool // struck out
	Owner     int  // of an entry for the unnamed
	Kin       words.Word
	Asked     bool
	House     int // those who come together have the same, 0 for none
}

// Held is a role somebody has.
type Held struct {
	Arg, Text string
	Side      int
	One       string // of words for several, the word for one of them
}

// Covers reports whether kin is among what words of kin stand for: step-parents are no parents, step- and half
// brothers are brothers.
func Covers(want, is words.Word) bool {
	if want.Arg != is.Arg || want.Inlaw != is.Inlaw || want.Former != is.Former {
		return false
	}
	if want.Sex != 0 && is.Sex != 0 && want.Sex != is.Sex {
		return false
	}
	if want.Step && !is.Step || want.Half && !is.Half {
		return false
	}
	return !is.Step || want.Step || is.Arg == "sibling"
}

// Find returns who is called by a name: by all of it, else by a part of it.
func (r *Roll) Find(name string) []int {
	ws := names.Words(name)
	if len(ws) == 0 {
		return nil
	}
	key := strings.Join(ws, " ")
	if ids := r.ByName[key]; len(ids) > 0 {
		if !r.Effort.Spend(len(ids)) {
			return nil
		}
		return ids
	}
	var out []int
	if !r.Effort.Spend(20 * len(ws)) {
		return nil
	}
	if words.IsHan(key) && len([]rune(key)) > 1 {
		for i := range r.Guests {
			if r.Effort.Spend(5) && len(r.Guests[i].words) > 0 && strings.Contains(strings.Join(r.Guests[i].words, " "), key) {
				out = append(out, i)
			}
		}
		return out
	}
	for _, i := range r.ByWord[ws[0]] {
		if !r.Effort.Spend(10) {
			return nil
		}
		g := &r.Guests[i]
		if fits(ws, g.words) {
			out = append(out, i)
		}
	}
	return out
}

// fits reports whether all words of a name stand in another; a single letter stands for a word it begins.
func fits(ws, of []string) bool {
	if len(ws) > len(of) {
		return false
	}
	for _, w := range ws {
		if !slices.ContainsFunc(of, func(o string) bool { return o == w || len(w) == 1 && strings.HasPrefix(o, w) && len(ws) > 1 }) {
			return false
		}
	}
	return true
}

// Call makes a guest known by a name.
func (r *Roll) Call(i int, name string) {
	ws := names.Words(name)
	if len(ws) == 0 {
		return
	}
	key := strings.Join(ws, " ")
	if !slices.Contains(r.ByName[key], i) {
		r.ByName[key] = append(r.ByName[key], i)
	}
	r.CallLast(i, name)
	r.Index.Add(i, name)
}

// CallLast makes a guest known by a name that others have for their last.
func (r *Roll) CallLast(i int, name string) {
	ws := names.Words(name)
	for _, w := range ws {
		if !slices.Contains(r.Guests[i].words, w) {
			r.Guests[i].words = append(r.Guests[i].words, w)
		}
		if n := r.ByWord[w]; len(n) == 0 || n[len(n)-1] != i {
			r.ByWord[w] = append(r.ByWord[w], i)
		}
		if !(len(ws) > 1 && len(w) == 1) {
			r.Known[w] = true
		}
	}
}

// Enter takes up somebody new who is called by a name.
func (r *Roll) Enter(name string) int {
	i := r.Add(name, "")
	r.Call(i, name)
	return i
}

// Add takes up somebody new, whom no name finds yet.
func (r *Roll) Add(name, rank string) int {
	i := len(r.Guests)
	g := Guest{Given: name, Rank: rank, Age: -1, Line: r.Line.Number, Owner: -2}
	g.Name = Ranked(rank, name)
	g.Sex = SexOf(name)
	for _, w := range words.Find(names.Plain(rank)) {
		g.Sex = cmp.Or(g.Sex, w.Sex) // "Ninang Mayet"
	}
	r.Guests = append(r.Guests, g)
	return i
}

// SexOf is the sex of whom a given name is for; of two with a hyphen the second tells where the first is for both: "Jean-Marc".
func SexOf(name string) byte {
	if runes := []rune(name); words.IsHan(name) && len(runes) > 1 { // 林浩然: by the characters of the given name, the last first
		for k := len(runes) - 1; k >= min(1, len(runes)-2); k-- {
			for sex, list := range map[byte]string{'w': "hers", 'm': "his"} {
				if words.Listed(list, string(runes[k])) {
					return sex
				}
			}
		}
		return 0
	}
	first, _, _ := strings.Cut(name, " ")
	whole := names.Plain(first)
	one, two, hyphen := strings.Cut(whole, " ")
	if sex, ok := words.Given(whole); ok {
		return sex
	}
	if sex, ok := words.Given(two); hyphen && ok && one == "jean" {
		return sex
	}
	sex, _ := words.Given(one)
	return sex
}

// Ranked is a name with what stands before it, as the script of the name writes them.
func Ranked(rank, name string) string {
	if words.IsHan(rank) {
		return rank + name
	}
	return strings.TrimSpace(rank + " " + name)
}

// Longer finds the one whom the list called by the first word of a longer name before: "Tess", then "Tess Moe".
func (r *Roll) Longer(name string) int {
	ws := names.Words(name)
	if len(ws) < 2 {
		return -1
	}
	ids := r.ByName[ws[0]]
	if len(ids) != 1 || names.Plain(r.Guests[ids[0]].Given) != ws[0] || r.Guests[ids[0]].Base {
		return -1
	}
	for _, w := range ws[1:] {
		if len(r.ByWord[w]) > 0 && len([]rune(w)) > 1 {
			continue
		}
		if len([]rune(w)) == 1 {
			return -1 // "Noah B" beside "Noah S"
		}
	}
	if words.Listed("junior", ws[len(ws)-1]) {
		return -1
	}
	i := ids[0]
	g := &r.Guests[i]
	g.Name = strings.Replace(g.Name, g.Given, name, 1)
	g.Given = name
	r.Call(i, name)
	return i
}

// Tell adds a problem at a line and column, once: lines are read twice.
func (r *Roll) Tell(line, column int, severity event.Severity, code, written string, m wording.Message, candidates ...string) {
	if severity == event.Error && column > 0 {
		r.Use(line, place.Asked)
	}
	if !slices.ContainsFunc(r.Problems, func(p place.Problem) bool { return p.Line == line && p.Column == column && p.Code == code }) {
		r.Report(line, column, severity, code, written, m, candidates...)
	}
}

// At reports a problem about bytes of the current line.
func (r *Roll) At(s int, severity event.Severity, code, written string, m wording.Message, candidates ...string) {
	r.Tell(r.Line.Number, r.Line.Column(s), severity, code, written, m, candidates...)
}

// AgeIn gives somebody an age in years, and the age band that goes with it.
func (r *Roll) AgeIn(g *Guest, years int) {
	g.Age = years
	switch band := event.AgeBandAt(years); {
	case band != event.Adult:
		g.AgeBand = band
	case g.AgeBand == event.Child || g.AgeBand == event.Infant:
		g.AgeBand = event.Adult
	}
}

// HasEntry reports whether one of these stands for several whom the list does not name.
func (r *Roll) HasEntry(ids []int) bool {
	return slices.ContainsFunc(ids, func(i int) bool { return r.Guests[i].Unnamed && r.Guests[i].Many })
}

// Names lists the names of guests.
func (r *Roll) Names(ids []int) []string {
	out := make([]string, len(ids))
	for k, i := range ids {
		out[k] = r.Guests[i].Name
	}
	return out
}

// And are the names of people, the last after "and".
func (r *Roll) And(ids []int) wording.Arg { return wording.And(r.Names(ids)...) }

// SeenOnce reports whether a word stands once in the list only.
func (r *Roll) SeenOnce(name string) bool { return r.Times[names.Plain(name)] < 2 }

// AreApart reports whether the list keeps two people apart.
func (r *Roll) AreApart(i, j int) bool {
	return slices.ContainsFunc(r.Apart, func(a Pair) bool { return a.Of(i, j) })
}

// Pair are two people who are kept apart: in the frame not side by side, or in no photograph together.
type Pair struct {
	One, Other int
	Frame      bool
}

// Of reports whether the pair is these two.
func (p Pair) Of(i, j int) bool { return p.One == i && p.Other == j || p.One == j && p.Other == i }
