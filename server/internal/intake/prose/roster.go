package prose

import (
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

// roll is the people whom a list names, and what it says of all of them.
type roll struct {
	place.Notes
	m     *effort.Meter
	base  event.Event // that the list is for, or empty
	build *roster.Roster
	cur   *lines.Line // the one that is read

	guests   []guest
	byName   map[string][]int
	byWord   map[string][]int
	known    map[string]bool // words of names
	index    names.Index
	times    map[string]int   // how often each word stands in the list
	groups   map[string][]int // people of labels, by how they are looked up
	apart    [][]int          // who is kept apart
	formal   bool             // there is a section of guests, or an event that the list is for
	declared bool             // there is a list of guests

	couple   [2]int         // guests, or -1
	brides   map[byte]int   // which of the couple is 'w' and 'm', 1 or 2
	initials map[string]int // of the couple
	unsure   bool           // nothing says who of the couple is "he" and who "she"
	assumed  bool           // nothing says who is the bride: it is taken to be who is named first
	honour   int            // whom the day is about when there is no couple, or -1
	author   int            // who of the couple writes, when that is known
}

func newRoll(m *effort.Meter, base event.Event) roll {
	return roll{
		m: m, base: base, build: roster.New(base, m), cur: &lines.Line{}, index: names.Index{Effort: m},
		byName: make(map[string][]int), byWord: make(map[string][]int), known: make(map[string]bool), times: make(map[string]int), groups: make(map[string][]int),
		declared: len(base.People) > 0, couple: [2]int{-1, -1}, brides: make(map[byte]int), initials: make(map[string]int), honour: -1,
	}
}

// guest is one person of the roster, or a labelled entry for people whose names the list does not give.
type guest struct {
	event.Person
	given   string // the name without kin or rank
	rank    string
	words   []string
	half    int  // 1 or 2 for the couple
	side    int  // 1, 2, or 0
	sex     byte // 'w', 'm' or 0
	rels    []relation
	roles   []held
	unnamed bool
	many    bool // an entry for several
	age     int  // in years, -1 when it is not said
	line    int  // where first named
	base    bool
	dead    bool
	never   bool // struck out
	owner   int  // of an entry for the unnamed
	kin     words.Word
	asked   bool
	house   int // those who come together have the same, 0 for none
}

// held is a role somebody has.
type held struct {
	arg, text string
	side      int
	one       string // of words for several, the word for one of them
}

// covers reports whether kin is among what words of kin stand for: step-parents are no parents, step- and half
// brothers are brothers.
func covers(want, is words.Word) bool {
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

// find returns who is called by a name: by all of it, else by a part of it.
func (r *reader) find(name string, rank string) []int {
	ws := names.Words(name)
	if len(ws) == 0 {
		return nil
	}
	key := strings.Join(ws, " ")
	if ids := r.byName[key]; len(ids) > 0 {
		if !r.m.Spend(len(ids)) {
			return nil
		}
		return ids
	}
	var out []int
	if !r.m.Spend(20 * len(ws)) {
		return nil
	}
	if words.IsHan(key) && len([]rune(key)) > 1 {
		for i := range r.guests {
			if r.m.Spend(5) && len(r.guests[i].words) > 0 && strings.Contains(strings.Join(r.guests[i].words, " "), key) {
				out = append(out, i)
			}
		}
		return out
	}
	for _, i := range r.byWord[ws[0]] {
		if !r.m.Spend(10) {
			return nil
		}
		g := &r.guests[i]
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

// call makes a guest known by a name.
func (r *reader) call(i int, name string) {
	ws := names.Words(name)
	if len(ws) == 0 {
		return
	}
	key := strings.Join(ws, " ")
	if !slices.Contains(r.byName[key], i) {
		r.byName[key] = append(r.byName[key], i)
	}
	for _, w := range ws {
		if !slices.Contains(r.guests[i].words, w) {
			r.guests[i].words = append(r.guests[i].words, w)
		}
		if n := r.byWord[w]; len(n) == 0 || n[len(n)-1] != i {
			r.byWord[w] = append(r.byWord[w], i)
		}
		if !(len(ws) > 1 && len(w) == 1) {
			r.known[w] = true
		}
	}
	r.index.Add(i, name)
}

// enter takes up somebody new who is called by a name.
func (r *reader) enter(name string) int {
	i := r.add(name, "")
	r.call(i, name)
	return i
}

// add takes up somebody new, whom no name finds yet.
func (r *reader) add(name, rank string) int {
	i := len(r.guests)
	shown := strings.TrimSpace(rank + " " + name)
	g := guest{given: name, rank: rank, age: -1, line: r.cur.Number, owner: -2}
	g.Name = shown
	first, _, _ := strings.Cut(names.Plain(name), " ")
	g.sex, _ = words.Given(first)
	r.guests = append(r.guests, g)
	return i
}

// enterAs takes up whom a term names.
func (r *reader) enterAs(t *term) int {
	i := r.add(t.name, t.rank)
	if t.kind == person {
		r.call(i, t.name)
	}
	return i
}

// who returns the person that a term names, who is entered when nobody is known by that name.
func (r *reader) who(t *term) int {
	ids := slices.DeleteFunc(slices.Clone(r.find(t.name, t.rank)), func(i int) bool {
		return t.rank != "" && r.guests[i].rank != "" && names.Plain(t.rank) != names.Plain(r.guests[i].rank) && names.Plain(t.name) == names.Plain(r.guests[i].given)
	})
	ids = r.addressed(ids, t)
	if i, ok := r.namesake(t, ids); ok {
		return i
	}
	if len(ids) > 1 {
		ids = r.narrow(ids, t)
	}
	if len(ids) == 1 {
		i := ids[0]
		g := &r.guests[i]
		if t.rank != "" && g.Name == g.given && g.half == 0 && !g.base && (!r.formal || r.cur.Part == lines.GuestLine) {
			g.Name, g.rank = t.rank+" "+g.given, t.rank
		}
		if len(names.Words(t.name)) > len(names.Words(g.given)) && !g.base && g.half == 0 {
			g.Name = strings.Replace(g.Name, g.given, t.name, 1)
			g.given = t.name
			r.call(i, t.name)
		}
		return i
	}
	if len(ids) > 1 {
		return -1 // asked about where the photograph is read
	}
	if i := r.longer(t.name); i >= 0 {
		return i
	}
	if i := r.slip(t); i >= 0 {
		return i
	}
	if len(r.guests) > event.MaxPeople {
		return 0
	}
	return r.enterAs(t)
}

// addressed keeps those whose form of address a term has; "FOG Big Hutch" is not the groom Hutch.
func (r *reader) addressed(ids []int, t *term) []int {
	if t.rank == "" {
		return ids
	}
	same := slices.DeleteFunc(slices.Clone(ids), func(i int) bool { return names.Plain(r.guests[i].rank) != names.Plain(t.rank) })
	if len(same) > 0 {
		return same
	}
	return slices.DeleteFunc(slices.Clone(ids), func(i int) bool {
		return r.guests[i].half > 0 && t.w.Class == "kin" && t.w.Arg != "partner"
	})
}

// slip finds the one whose name was written with a slip of the keyboard: of a list of guests, else of one who is
// named more often.
func (r *reader) slip(t *term) int {
	_, given := words.Given(names.Plain(t.name))
	if given && !r.declared || t.rank != "" && !r.declared || !r.seenOnce(t.name) || r.cur.Part == lines.GuestLine { // which says itself who is there
		return -1
	}
	m := r.index.FindAt(t.name, names.Near, func(i int) bool { return !r.guests[i].unnamed })
	i, ok := m.One()
	if !ok || m.How != names.Near || !r.declared && (r.seenOnce(r.guests[i].given) || r.guests[i].line == r.cur.Number) {
		return -1
	}
	r.at(t.s, event.Warning, place.CodeReadAs, t.name, wording.Say("list.readAs", place.Quoted(t.name), place.Quoted(r.guests[i].Name)), r.guests[i].Name)
	return i
}

// longer finds the one whom the list called by the first word of a longer name before: "Tess", then "Tess Moe".
func (r *reader) longer(name string) int {
	ws := names.Words(name)
	if len(ws) < 2 {
		return -1
	}
	ids := r.byName[ws[0]]
	if len(ids) != 1 || len(names.Words(r.guests[ids[0]].given)) != 1 || r.guests[ids[0]].base {
		return -1
	}
	for _, w := range ws[1:] {
		if len(r.byWord[w]) > 0 && len([]rune(w)) > 1 {
			continue
		}
		if len([]rune(w)) == 1 {
			return -1 // "Noah B" beside "Noah S"
		}
	}
	switch ws[len(ws)-1] {
	case "jr", "junior", "sr", "snr":
		return -1
	}
	i := ids[0]
	g := &r.guests[i]
	g.Name = strings.Replace(g.Name, g.given, name, 1)
	g.given = name
	r.call(i, name)
	return i
}

// narrow picks among people of one name: by kin and side, or who is called just so.
func (r *reader) narrow(ids []int, t *term) []int {
	if len(ids) > place.MostNamed {
		return ids // of so many none stands out
	}
	exact := slices.DeleteFunc(slices.Clone(ids), func(i int) bool { return names.Plain(r.guests[i].given) != names.Plain(t.name) })
	if len(exact) == 1 {
		return exact
	}
	if len(exact) > 1 {
		ids = exact
	}
	if t.w.Class == "kin" {
		fit := slices.DeleteFunc(slices.Clone(ids), func(i int) bool {
			return !slices.ContainsFunc(r.guests[i].rels, func(x relation) bool { return covers(t.w, x.w) })
		})
		if len(fit) > 0 {
			return fit
		}
	}
	for _, i := range ids {
		if r.guests[i].half > 0 {
			return []int{i}
		}
	}
	return ids
}
