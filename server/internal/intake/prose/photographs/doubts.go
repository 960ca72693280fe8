package photographs

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/facts"
	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/statements"
	"kinorder.example/server/internal/intake/prose/words"
	"kinorder.example/server/internal/wording"
)

// doubted asks whether a word is a person that nothing says to be one: it stands once in the list, is no name that is often
// given, and no kin, role or form of address stands with it; and the list has no capitals, or other words beside it mean
// nothing, or it begins what somebody says in a chat.
func (r *Reader) doubted(t *speech.Term, first bool) {
	if r.Doubtful(t) && len(t.Guests) == 1 && (t.Name == strings.ToLower(t.Name) || t.Beside || first && r.Line.By != "") {
		r.askPerson(t)
	}
	if r.crowded(t) {
		g := &r.Guests[t.Guests[0]]
		g.Asked = true
		r.At(t.Start, event.Warning, place.CodeAddedPerson, g.Name, wording.Say("list.isItOnePerson", place.Quoted(g.Name)))
	}
}

// crowded reports whether a name has three words or more where those of nearly all others have one: "Ann Bea Lex" may be three people.
func (r *Reader) crowded(t *speech.Term) bool {
	if t.Kind != speech.Person || len(t.Guests) != 1 || r.Declared {
		return false
	}
	g := &r.Guests[t.Guests[0]]
	if g.Base || g.Half > 0 || g.Asked || g.Rank != "" || !words.Cased(g.Given) || len(strings.Fields(g.Given)) < 3 || !r.Effort.Spend(len(r.Guests)) {
		return false
	}
	long := 0
	for i := range r.Guests {
		if strings.Contains(r.Guests[i].Given, " ") && r.Guests[i].Half == 0 {
			long++
		}
	}
	return 4*long < len(r.Guests)
}

// vanished asks about words for people that name nobody who is known, where a line has others: they would be missed by nobody.
func (r *Reader) vanished(p *Photograph, t *speech.Term) {
	if t.Minus || t.Shared || p.bad || p.All || len(t.Names) > 0 || t.Sep == " " || slices.ContainsFunc(t.Attrs, func(a speech.Attribute) bool { return a.Class == "absent" }) {
		return
	}
	others := len(less(p.Set, r.Principals()))
	if t.Kind == speech.Kin || t.Kind == speech.Role || t.Kind == speech.Letter || t.Kind == speech.Pronoun && others == 0 && !(t.Word.Arg == "2" && len(p.Set) == 2) {
		r.askMore(t)
	}
}

// askMore asks who else words stand for.
func (r *Reader) askMore(t *speech.Term) {
	r.Questions[people.LabelKey(t.Text)] = true
	r.At(t.Start, event.Warning, place.CodeStandsFor, "", wording.Say("list.whoElseIsMeantByWrite", place.Quoted(t.Text)))
}

// byAnswer is who words of a line stand for by an answer.
func (r *Reader) byAnswer(t *speech.Term, c facts.Scope) []int {
	if len(r.Answers) == 0 {
		return nil
	}
	return r.answered(t, r.Owners(t, &c))
}

// answered is who words stand for by a line that answers the question who that is.
func (r *Reader) answered(t *speech.Term, owners []int) []int {
	if len(t.Names) > 0 || t.Kind != speech.Kin && t.Kind != speech.Role && t.Kind != speech.Label && t.Kind != speech.Us {
		return nil
	}
	if ids := r.Answers[people.LabelKey(r.EntryName(t, facts.OwnerOf(owners)))]; len(ids) > 0 {
		return ids
	}
	return r.Answers[people.LabelKey(t.Text)]
}

// unnamed is the labelled entry for people whom the list does not name, with a question who they are.
func (r *Reader) unnamed(p *Photograph, t *speech.Term, owners []int) []int {
	var out []int
	if ids := r.answered(t, owners); len(ids) > 0 {
		return ids
	}
	of := [][]int{owners}
	if len(owners) == 2 && t.Kind == speech.Kin && t.Word.Arg == "parent" && t.Word.Plural {
		of = [][]int{owners[:1], owners[1:]}
	}
	if two := r.MotherAndFather(t); len(two) == 2 && len(owners) == 1 {
		return append(r.unnamed(p, two[0], owners), r.unnamed(p, two[1], owners)...)
	}
	for _, o := range of {
		i := r.Entry(t, o)
		g := &r.Guests[i]
		out = append(out, i)
		if g.Many {
			g.Count = max(g.Count, saidCount(p.Statement, t))
		}
		if g.Asked {
			continue
		}
		g.Asked = true
		r.Questions[people.LabelKey(g.Name)] = true
		if !g.Many {
			r.Describe(i, t.Attrs)
		}
		ask := wording.Say("list.whoIsWriteTheNameWhen", place.Quoted(g.Name))
		switch {
		case g.Count > 0:
			ask = wording.Say("list.whoAreTheyNameThem", place.Quoted(g.Name), g.Name)
		case g.Many:
			ask = wording.Say("list.whoAreTheyCountAsOne", place.Quoted(g.Name), g.Name)
		}
		r.At(t.Start, event.Warning, place.CodeStandsFor, g.Name, ask)
	}
	return out
}

func (r *Reader) askPerson(t *speech.Term) {
	for _, i := range t.Guests {
		r.Guests[i].Asked = true
	}
	r.At(t.Start, event.Warning, place.CodeAddedPerson, t.Name, wording.Say("list.isItAPerson", place.Quoted(t.Name)))
}

// exclaimed takes out of a line a word with a sentence to itself that nothing says to be a person, where others are named, and
// asks about it: "Right. 7. us with Nan".
func (r *Reader) exclaimed(terms []*speech.Term) []*speech.Term {
	if len(terms) > 1 && terms[1].Sep == "." && len(terms[0].Attrs) == 0 && r.Doubtful(terms[0]) {
		r.askPerson(terms[0])
		return terms[1:]
	}
	return terms
}

// counted asks where a term says how many it stands for, and as many are not known. Both mothers are two, both sets of parents
// four, or two a side where somebody has a second husband or wife.
func (r *Reader) counted(p *Photograph, t *speech.Term, c *facts.Scope, ids []int) {
	n := t.Count
	if t.Word.Plural && t.Number > 1 && n == 0 && (t.Kind == speech.Kin && t.Word.Arg != "family" || t.Kind == speech.Role) && !t.Minus && !r.HasEntry(ids) { // "the three girls"
		n = t.Number
	}
	if t.Kind == speech.Kin && n == 0 && len(t.Names) == 0 && !t.Minus && len(ids) > 1 && !r.HasEntry(ids) {
		switch {
		case t.Word.Arg == "parent" && t.Word.Plural && len(r.Owners(t, c)) == 2:
			n = r.parentsOfBoth(p.Statement, t, ids)
		}
	}
	if len(ids) == 1 && t.Word.Plural && n == 0 && !r.Declared && !p.Statement.Line.Row && t.Word.Arg != "partner" && len(t.Names) == 0 && !t.Minus && !r.Guests[ids[0]].Unnamed && (t.Kind == speech.Role || t.Kind == speech.Kin && t.Word.Arg != "family" && t.Word.Arg != "grandparent") && words.Cased(t.Text) { // "with the bridesmaids", of whom one is named
		r.askMore(t)
	}
	if n == len(p.Set) && n == t.Count {
		return // "Ann with her parents (just the 3)"
	}
	if n > 0 && len(ids) > 0 && n != len(ids) && t.Kind != speech.Person && !(len(ids) == 1 && r.Guests[ids[0]].Unnamed) && !p.All {
		r.At(t.Start, event.Warning, place.CodeCountDiffers, "", wording.Say("list.lineSaysPeopleAndAreKnown", n, len(ids)))
	}
}

// parentsOfBoth is how many words for parents of both of the couple stand for, or 0 where those who are known may be all.
func (r *Reader) parentsOfBoth(s *statements.Statement, t *speech.Term, ids []int) int {
	var sides [3]int
	for _, i := range ids {
		step := slices.ContainsFunc(r.Guests[i].Relations, func(x people.Relation) bool { return x.Word.Arg == "parent" && x.Word.Step })
		if !step {
			sides[r.Guests[i].SideOf]++
		}
	}
	each := 2
	if t.Word.Sex != 0 {
		each = 1
	}
	all := t.All || t.Every || t.Sets || t.Word.Sex != 0 || slices.ContainsFunc(s.Phrases, func(q speech.Phrase) bool {
		return q.End <= t.Start && q.End >= t.Start-1 && q.Has("fill") && !words.Listed("article", q.Key) // "both sets of"
	})
	if sides[1] == each && sides[2] == each || !all && sides[1] <= each && sides[2] <= each {
		return 0
	}
	return 2 * each
}

// OfOthers reports whether an entry without names stands for people whom the list names elsewhere, so that it adds nobody to all: "the
// girls", the family of a guest.
func (r *Reader) OfOthers(i int) bool {
	g := &r.Guests[i]
	if !g.Unnamed || !g.Many {
		return false
	}
	ws := strings.Fields(g.Label)
	return g.Kin.Arg == "family" && g.Owner >= 0 && r.Guests[g.Owner].Half == 0 || g.Kin.Class != "kin" && len(ws) > 0 && len(ws) < 3 && words.Listed("some", ws[len(ws)-1])
}

// guesses tells of each photograph of everybody whom it counts though the list doesn't say who they are: words that may be no person,
// and kin or roles without names, whom it may name elsewhere. A club is sure to be others.
func (r *Reader) guesses() {
	var asked []int
	for i := range r.Guests {
		if g := &r.Guests[i]; g.Asked && !r.OfOthers(i) && g.Half == 0 && !g.Never && (!g.Unnamed || g.Kin.Class != "") && slices.ContainsFunc(r.Photographs, func(p *Photograph) bool { return !p.Dropped && slices.Contains(p.Set, i) }) {
			asked = append(asked, i)
		}
	}
	if 2*len(asked) > len(r.Guests) { // a list of roles alone
		return
	}
	for _, p := range r.Photographs {
		if in := less(asked, p.Without); p.All && !p.Dropped && len(in) > 0 {
			r.Tell(p.Statement.Line.Number, 1, event.Warning, place.CodeStandsFor, "", wording.Say("list.countedInEverybody", r.And(in[:min(place.MostNamed, len(in))])))
		}
	}
}

// account has photographs made of a line and asks whom to leave out where it says so and nobody is.
func (r *Reader) account(s *statements.Statement, read func(*statements.Statement)) {
	n := len(r.Photographs)
	read(s)
	made := r.Photographs[n:]
	if slices.ContainsFunc(made, func(p *Photograph) bool { return p.bad || p.All }) {
		return
	}
	r.Line = s.Line
	minus := len(made) == 0 || r.apartAt(s.Phrases) >= 0 || slices.ContainsFunc(s.Terms(), func(t *speech.Term) bool { return leavesOut(t) })
	for k := 0; k+1 < len(s.Phrases) && !minus; k++ {
		if p, next := &s.Phrases[k], &s.Phrases[k+1]; p.Has("minus") && !p.Has("not") && p.Kind == 'w' && next.Kind == 'w' {
			r.At(p.Start, event.Warning, place.CodeStandsFor, p.Text, wording.Say("list.whoIsLeftOut", place.Quoted(p.Text+" "+next.Text)))
		}
	}
}

// leavesOut reports whether a term or one in its brackets takes somebody away.
func leavesOut(t *speech.Term) bool { return t.Minus || slices.ContainsFunc(t.Names, leavesOut) }

// unplaced asks about those whom a line names as somebody to photograph and who are in none of its photographs.
func (r *Reader) unplaced() {
	made := make(map[*lines.Line][]*Photograph)
	for _, p := range r.Photographs {
		if p.Statement != nil && !p.Dropped {
			made[p.Statement.Line] = append(made[p.Statement.Line], p)
		}
	}
	for _, s := range r.Statements {
		r.Line = s.Line
		in, whole := []int(nil), len(made[s.Line]) == 0 || r.apartAt(s.Phrases) >= 0
		for _, p := range made[s.Line] {
			whole = whole || p.bad || p.All
			in = slices.Concat(in, p.Set, p.Each, p.Without)
		}
		var visit func(terms []*speech.Term)
		visit = func(terms []*speech.Term) {
			for _, t := range terms {
				if t.Kind == speech.Person && !t.Minus && len(t.Guests) == 1 && !slices.Contains(in, t.Guests[0]) && !r.Guests[t.Guests[0]].Never && !r.Guests[t.Guests[0]].Absent {
					r.At(t.Start, event.Warning, place.CodeStandsFor, t.Text, wording.Say("list.namedButInNone", place.Quoted(t.Text)))
				}
				visit(t.Names)
			}
		}
		if !whole {
			visit(s.Terms())
		}
	}
}
