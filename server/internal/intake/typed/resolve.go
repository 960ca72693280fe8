package typed

import (
	"slices"
	"strconv"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/kin"
	"kinorder.example/server/internal/wording"
)

// found is what an entry of a line stands for.
type found struct {
	ids    []string // of people and circles, as the grouping lists them
	people []int
	title  string // of what is a set: "Rosa's parents"
	set    bool
	bad    bool // it was asked about or reported
}

func (f *found) add(other found) {
	f.ids = append(f.ids, fresh(f.ids, other.ids)...)
	f.people = append(f.people, others(f.people, other.people)...)
	f.bad = f.bad || other.bad
}

// maxJoined is how many entries a name or title that holds joiners may have.
const maxJoined = 4

// context is what the entries before say for those after.
type context struct {
	owner    string // whose relatives, as the entry before says: "Rosa" of "Rosa's parents and siblings"
	before   found  // everybody so far
	excluded bool   // the entries are left out
	only     bool   // it is the only entry of the line
}

// entries resolves the entries of a text: those who are in it, and those who are left out.
func (r *reader) entries(s span, before found) (in, out found) {
	ps := parts(s)
	cx := context{before: before, only: len(ps) == 1}
	for k := 0; k < len(ps); {
		p := ps[k]
		if p.joint == without {
			cx.excluded, cx.owner = true, ""
		} else if p.joint == hard && strings.Contains(joinedBy(s, ps, k), "+") {
			cx.excluded = false
		}
		f, used := r.entry(s, ps[k:], &cx)
		k += used
		if cx.excluded {
			out.add(f)
		} else {
			in.add(f)
			cx.before.add(f)
		}
	}
	return in, out
}

// joinedBy returns what stands before entry k.
func joinedBy(s span, ps []part, k int) string {
	if k == 0 {
		return s.text[:ps[0].start]
	}
	return s.text[ps[k-1].end:ps[k].start]
}

// entry resolves the first of some entries and says how many it took: a name or title that is known
// may hold joiners, "Mr & Mrs Vance" are two, and "Amara's and Théo's parents" share a word.
func (r *reader) entry(s span, ps []part, cx *context) (found, int) {
	for n := min(len(ps), maxJoined); n > 1; n-- {
		if slices.ContainsFunc(ps[1:n], func(p part) bool { return p.joint == without }) {
			continue
		}
		whole := s.cut(ps[0].start, ps[n-1].end)
		if f, ok := r.joined(whole, ps[:n], cx); ok {
			return f, n
		}
	}
	if len(ps) > 1 {
		if f, ok := r.couplesOfName(ps[0], ps[1]); ok {
			return f, 2
		}
		if rest, ok := sharedOwner(ps); ok {
			f := r.one(span{ps[0].text + " " + rest, ps[0].col}, cx)
			return f, 1
		}
	}
	return r.one(ps[0].span, cx), 1
}

// joined resolves several entries as one, only when they are known as that.
func (r *reader) joined(whole span, ps []part, cx *context) (found, bool) {
	if !r.Effort.Spend(joinedEffort + 10*weight(whole.text)) {
		return found{}, false
	}
	allSoft := !slices.ContainsFunc(ps[1:], func(p part) bool { return p.joint != soft })
	text := strings.Join(strings.Fields(whole.text), " ")
	if allSoft {
		if coupleWords.has(text) {
			return r.couple(whole), true
		}
		if id, ok := r.CircleNamed(text); ok {
			return r.circle(id, text), true
		}
		if rel, ok := kin.Read(text); ok && rel.Kind != kin.NoKin && !ownerIsList(rel.Owner) {
			return r.kin(whole, rel, cx), true
		}
	}
	m := r.FindAt(text, names.Same, nil)
	if i, ok := m.One(); ok && (allSoft && m.How >= names.Exact || len(ps) == 2 && ps[1].joint == hard && strings.Contains(whole.text, ",") && m.How >= names.Same) {
		return r.person(i), true
	}
	return found{}, false
}

// ownerIsList reports whether the owner of a relation is more than one: "Amara and Théo's parents".
func ownerIsList(owner string) bool { return len(parts(span{owner, 1})) > 1 }

// sharedOwner finds the word of kin that a bare possessive waits for: "Amara's and Théo's parents".
func sharedOwner(ps []part) (string, bool) {
	text := strings.TrimRight(ps[0].text, " ")
	if !strings.HasSuffix(text, "'s") && !strings.HasSuffix(text, "’s") && !strings.HasSuffix(text, "s'") && !strings.HasSuffix(text, "s’") || ps[1].joint != soft {
		return "", false
	}
	rel, ok := kin.Read(ps[1].text)
	if !ok || rel.Owner == "" {
		return "", false
	}
	at := strings.LastIndexAny(ps[1].text, "'’")
	rest := strings.TrimLeft(ps[1].text[at:], "'’s")
	return strings.TrimSpace(rest), strings.TrimSpace(rest) != ""
}

// couplesOfName resolves "Mr" and "Mrs Vance".
func (r *reader) couplesOfName(a, b part) (found, bool) {
	ws := strings.Fields(b.text)
	if b.joint != soft || len(ws) < 2 || !names.IsTitle(strings.TrimSpace(a.text)) || !names.IsTitle(ws[0]) {
		return found{}, false
	}
	name := strings.Join(ws[1:], " ")
	whole := span{a.text + " & " + b.text, a.col}
	if m := r.Find(whole.text, nil); m.How >= names.Same && len(m.People) == 1 && r.Event.People[m.People[0]].Name == whole.text {
		return r.person(m.People[0]), true
	}
	people := r.namedAll(name)
	switch {
	case len(people) == 2:
		return r.set(whole.text, people), true
	case len(people) == 0 && r.dry:
		r.gathered = append(r.gathered, gathered{a.text + " " + name, r.at(a.span), r.current, true}, gathered{b.text, r.at(b.span), r.current, true})
		return found{set: true}, true
	case len(people) == 0:
		one := r.newNamesake(a.text+" "+name, r.at(a.span))
		two := r.newNamesake(b.text, r.at(b.span))
		return r.set(whole.text, []int{one, two}), true
	}
	return r.ask(whole, place.CodeWhichOne, wording.Say("list.twoPeopleAndPeopleHaveIn", place.Quoted(whole.text), len(people), place.Quoted(name)), r.Names(people)), true
}

// namedAll returns the people who have all words in their names.
func (r *reader) namedAll(name string) []int {
	m := r.Find(name, nil)
	if m.How < names.Part {
		return nil
	}
	return m.People
}

// one resolves one entry.
func (r *reader) one(s span, cx *context) found {
	s = s.trim(" .:!?*\"“”„«»")
	text := strings.Join(strings.Fields(s.text), " ")
	if text == "" {
		return found{}
	}
	if f, ok := r.known(span{text, s.col}, cx); ok || !r.Effort.Spend(entryEffort+30*weight(text)) {
		return f
	}
	for _, bare := range withoutFillers(text) {
		if f, ok := r.known(span{bare, s.col}, cx); ok {
			return f
		}
	}
	if m := countBefore.FindStringSubmatch(fold(text)); m != nil {
		if f, ok := r.counted(s, text, m, cx); ok {
			return f
		}
	}
	bare := text
	if b := withoutFillers(text); len(b) > 0 {
		if m := countBefore.FindStringSubmatch(fold(b[len(b)-1])); m != nil {
			if f, ok := r.counted(s, b[len(b)-1], m, cx); ok {
				return f
			}
		}
		if m := r.FindAt(text, names.Part, nil); m.How < names.Part {
			bare = b[len(b)-1]
		}
	}
	if f, ok := r.trailed(span{bare, s.col}, cx); ok {
		return f
	}
	return r.name(span{bare, s.col}, text, cx)
}

// trailed resolves an entry behind which stands "etc", or how people are to stand.
func (r *reader) trailed(s span, cx *context) (found, bool) {
	ws := words(s.text)
	if len(ws) < 2 {
		return found{}, false
	}
	last := ws[len(ws)-1]
	rest, tail := s.cut(0, last.start), s.cut(last.start, last.end)
	switch {
	case moreWords.has(tail.text):
		f := r.one(rest, cx)
		f.add(r.ask(tail, place.CodeNotKnown, wording.Say("list.whoElseIsMeantByWrite", place.Quoted(tail.text)), nil))
		return f, true
	case idleTails.has(tail.text):
		return r.one(rest, cx), true
	case eachTails.has(tail.text):
		r.report(r.at(tail), event.Warning, place.CodeNotUsed, tail.text, wording.Say("list.notUsed", place.Quoted(tail.text)))
		return r.one(rest, cx), true
	}
	return found{}, false
}

// mostWords is more words than any entry that can be understood has.
const mostWords = 24

// withoutFillers takes the words that add nothing from the front, one after the other.
func withoutFillers(text string) []string {
	var out []string
	ws := strings.Fields(text)
	if len(ws) > mostWords {
		return nil
	}
	for len(ws) > 1 {
		n := 0
		for k := min(4, len(ws)-1); k > 0; k-- {
			if fillers[fold(strings.Join(ws[:k], " "))] {
				n = k
				break
			}
		}
		if n == 0 && articles[ws[0]] {
			n = 1
		}
		if n == 0 {
			break
		}
		ws = ws[n:]
		out = append(out, strings.Join(ws, " "))
	}
	return out
}

// known resolves words that are known as a whole: the couple, everybody, a circle, a relation, a
// person of just that name.
func (r *reader) known(s span, cx *context) (found, bool) {
	if m := r.FindAt(s.text, names.Exact, nil); m.How == names.Exact && len(m.People) == 1 {
		return r.person(m.People[0]), true
	}
	for _, title := range []string{r.sideTitle(s.text), s.text} {
		if id, ok := r.CircleNamed(title); ok {
			if rel, ok := kin.Read(title); ok && rel.Owner != "" && !cx.excluded {
				cx.owner = rel.Owner
			}
			return r.circle(id, title), true
		}
	}
	k := keyOf(s.text)
	switch {
	case sameWords.holds(k):
		if r.last == nil {
			return r.ask(s, place.CodeNotKnown, wording.Say("list.noPhotographBeforeThisOne", place.Quoted(s.text)), nil), true
		}
		return found{ids: r.lastIDs, people: r.last}, true
	case moreWords.holds(k):
		return r.ask(s, place.CodeNotKnown, wording.Say("list.whoElseIsMeantByWrite", place.Quoted(s.text)), nil), true
	case plusOnes.MatchString(s.text):
		return r.dependants(s, kin.Relation{Kind: kin.Partner}, cx), true
	case coupleWords.holds(k):
		return r.couple(s), true
	case bothFamilies.holds(k):
		return r.families(s), true
	case everyoneWords.holds(k):
		if r.side != "" && !cx.excluded {
			return r.side1(s), true
		}
		return r.everybody(s), true
	}
	if rel, ok := kin.Read(s.text); ok {
		return r.kin(s, rel, cx), true
	}
	if owner, ok := sideOwner(s.text); ok {
		if i, ok := r.OwnerNamed(owner); ok {
			if _, sided := r.SideOf(i); sided {
				return r.kin(s, kin.Relation{Kind: kin.Family, Plural: true, Owner: owner}, cx), true
			}
		}
	}
	return found{}, false
}

// counted resolves "2 cousins" and "both parents", and says when the number differs.
func (r *reader) counted(s span, text string, m []string, cx *context) (found, bool) {
	rest := text[len(text)-len(m[2]):]
	n, err := strconv.Atoi(m[1])
	if err == nil && n > 1 && n <= 50 {
		r.number = n
	}
	f, ok := r.known(span{rest, s.col}, cx)
	r.number = 0
	if !ok {
		return found{}, false
	}
	if err == nil && !f.bad && n != len(f.people) {
		r.report(r.at(s), event.Warning, place.CodeCountDiffers, text, wording.Say("list.areKnown", place.Quoted(text), len(f.people), r.few(f.people)))
	}
	return f, true
}

func (r *reader) person(i int) found { return found{ids: []string{r.ID(i)}, people: []int{i}} }

func (r *reader) circle(id, title string) found {
	return found{ids: []string{id}, people: r.PeopleOf(id), title: title, set: true}
}

// set makes people known under a title, as a circle when there are several.
func (r *reader) set(title string, people []int) found {
	if len(people) == 0 {
		return found{}
	}
	if r.dry {
		return found{ids: []string{title}, people: people, title: title, set: true}
	}
	if len(people) == len(r.Couple()) && len(people) == 2 && slices.Contains(people, r.Couple()[0]) && slices.Contains(people, r.Couple()[1]) {
		return found{ids: []string{r.coupleCircle()}, people: people, title: title, set: true}
	}
	return found{ids: []string{r.Gather(clipName(capital(title)), people)}, people: people, title: title, set: true}
}
