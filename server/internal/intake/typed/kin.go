package typed

import (
	"fmt"
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/kin"
	"kinorder.example/server/internal/wording"
)

// kin resolves words of kin: "Rosa's parents", "siblings" after them, "all cousins", "and kids",
// "mother of the bride".
func (r *reader) kin(s span, rel kin.Relation, cx *context) found {
	if rel.Kind == kin.OfCouple {
		return r.ofCouple(s, rel)
	}
	bare := rel.Owner == "" && rel.Of == nil
	if bare && pronouns.has(firstWord(s.text)) && len(cx.before.people) > 0 {
		return r.pronoun(s, rel, cx)
	}
	switch {
	case bare && rel.Kind == kin.Family && len(cx.before.people) > 0 && !r.allOfCouple(cx.before.people) && !strings.Contains(fold(s.text), " "):
		return r.dependants(s, rel, cx)
	case bare && rel.Kind == kin.Partner:
		return r.dependants(s, rel, cx)
	case bare && rel.Kind == kin.Offspring && len(cx.before.people) > 0 && !cx.excluded && !r.allOfCouple(cx.before.people):
		return r.dependants(s, rel, cx)
	case bare && cx.excluded && (rel.Kind == kin.Offspring || rel.Kind == kin.Friend || rel.Kind == kin.Attendant):
		return r.within(s, rel, cx)
	}
	owner := rel.Owner
	if owner == "" {
		owner = cx.owner
	}
	cx.owner = owner
	if owner == "" {
		return r.kinAnywhere(s, rel)
	}
	return r.kinOf(s, rel, owner)
}

func (r *reader) allOfCouple(people []int) bool {
	for _, p := range people {
		if !slices.Contains(r.Couple(), p) {
			return false
		}
	}
	return true
}

// ofCouple resolves "bride", "groom" and words for both.
func (r *reader) ofCouple(s span, rel kin.Relation) found {
	people := r.CoupleMember(rel)
	switch {
	case rel.Plural && len(people) == 0 && len(r.Couple()) == 0 && !r.declared && r.bothRoles(s) != nil:
		var f found
		for _, role := range r.bothRoles(s) {
			one, _ := kin.Read(role.text)
			f.add(r.declareRole(role.span, one))
		}
		return f
	case rel.Plural && (len(people) != 2 || len(r.Couple()) == 2):
		return r.couple(s)
	case len(people) == 0:
		return r.newRole(s, rel)
	case rel.Plural, len(people) == 1:
		return r.set(s.text, people)
	}
	return r.ask(s, place.CodeWhichOne, wording.Say("list.whichIsMeant", place.Quoted(s.text), either(r.Names(people))), r.Names(people))
}

// bothRoles takes "bride & groom" apart.
func (r *reader) bothRoles(s span) []part {
	ps := parts(s)
	if len(ps) != 2 {
		return nil
	}
	for _, p := range ps {
		if rel, ok := kin.Read(p.text); !ok || rel.Kind != kin.OfCouple || rel.Plural {
			return nil
		}
	}
	return ps
}

// newRole makes one of the couple known who is called by a word only. When the couple is known by
// name, it has to be said who is meant.
func (r *reader) newRole(s span, rel kin.Relation) found {
	if couple := r.Couple(); len(couple) == 2 {
		names := r.Names(couple)
		return r.ask(s, place.CodeWhichOne, wording.Say("list.whoIsMeantBy", place.Quoted(s.text), either(names), names[0]), names)
	}
	return r.declareRole(s, rel)
}

// declareRole makes somebody known whom the list calls by what they are: "Mother of the bride".
func (r *reader) declareRole(s span, rel kin.Relation) found {
	text := strings.Join(strings.Fields(s.text), " ")
	if b := withoutFillers(text); len(b) > 0 {
		text = b[len(b)-1]
	}
	if r.dry {
		return found{}
	}
	p := event.Person{Name: clipName(capital(text)), Relation: clipName(strings.ToLower(text)), Side: r.side}
	if rel.Kind == kin.Grandparent || rel.Kind == kin.GreatGrandparent {
		p.AgeBand = event.Elder
	}
	owner := -1
	if rel.Owner != "" {
		if o, ok := r.OwnerNamed(rel.Owner); ok {
			owner = o
			if side, ok := r.SideOf(o); ok {
				p.Side = side
			}
		}
	}
	i := r.Add(p)
	if owner >= 0 {
		r.Link(i, owner)
	}
	r.homes[i] = r.at(s)
	r.named = append(r.named, i)
	r.Use(r.current.number, 0, fmt.Sprintf("people[%d]", i))
	if rel.Kind == kin.OfCouple {
		if couple := r.CoupleMember(kin.Relation{Kind: kin.OfCouple}); len(couple) == 2 && len(r.Couple()) == 0 {
			r.SetCouple(couple)
		}
	}
	return r.person(i)
}

// kinOf resolves the relatives of somebody.
func (r *reader) kinOf(s span, rel kin.Relation, owner string) found {
	title := s.text
	if rel.Owner == "" {
		title = owner + "'s " + s.text
	}
	if both := parts(span{owner, s.col}); len(both) > 1 {
		return r.kinOfSeveral(s, rel, both)
	}
	if coupleWords.has(owner) {
		return r.kinOfBoth(s, rel, title)
	}
	i, ok := r.OwnerNamed(owner)
	if !ok {
		return r.unknownOwner(s, rel, owner, title)
	}
	people := r.Of(rel, i)
	if rel.Kind == kin.Family && len(people) == 0 {
		people = r.familyOf(i)
	} else if rel.Kind == kin.Family {
		people = append([]int{}, people...)
		if !slices.Contains(r.Couple(), i) {
			people = append([]int{i}, people...)
		}
	}
	return r.relatives(s, rel, title, people, func() []int { return r.guesses(i) })
}

// familyOf returns the household of somebody who is not of the couple, themselves with it.
func (r *reader) familyOf(i int) []int {
	house := r.Household(i)
	if len(house) == 0 {
		return nil
	}
	return append([]int{i}, house...)
}

// guesses are those of a side of whom it is not known what they are.
func (r *reader) guesses(owner int) []int {
	side, ok := r.SideOf(owner)
	var out []int
	for i, p := range r.Event.People {
		if i != owner && !slices.Contains(r.Couple(), i) && r.Relation(i).Kind == kin.NoKin && (!ok || p.Side == side) && len(out) < 5 {
			out = append(out, i)
		}
	}
	return out
}

// relatives is what words of kin stand for, once it is known who that is.
func (r *reader) relatives(s span, rel kin.Relation, title string, people []int, guesses func() []int) found {
	if len(people) > 1 {
		people = r.sameWord(s.text, rel, people)
	}
	switch {
	case len(people) == 0 && !rel.Plural && !r.hasGuests():
		return r.declareRole(s, rel)
	case len(people) == 0 && r.hasGuests():
		candidates := r.Names(guesses())
		hint := wording.Message{}
		if len(candidates) > 0 {
			hint = wording.Say("list.theseItIsNotSaidWhat", candidates)
		}
		return r.ask(s, place.CodeNotKnown, wording.Sentences(wording.Say("list.nobodyIsKnownAs", place.Quoted(title)), hint), candidates)
	case len(people) == 0:
		return r.standIn(s, title)
	case !rel.Plural && len(people) > 1:
		return r.ask(s, place.CodeWhichOne, wording.Say("list.whichIsMeant", place.Quoted(s.text), either(r.labels(people))), r.Names(people))
	}
	if step := r.leftOutSteps(rel, people); len(step) > 0 {
		r.report(r.at(s), event.Info, place.CodeTakenAs, s.text, wording.Say("list.stepParentsAreNotCountedName", place.Quoted(s.text), r.few(step)))
	}
	return r.set(title, people)
}

// sameWord keeps those of whom the list says just this word: the best man is not any groomsman.
// Several relatives stay all of them: a mother is one of the parents.
func (r *reader) sameWord(words string, rel kin.Relation, people []int) []int {
	if rel.Plural && rel.Kind != kin.Attendant && rel.Kind != kin.Friend {
		return people
	}
	word := names.Plain(kin.Singular(bareKin(words)))
	same := slices.DeleteFunc(slices.Clone(people), func(i int) bool {
		return names.Plain(r.Event.People[i].Relation) != word
	})
	if len(same) == 0 {
		return people
	}
	return same
}

// hasGuests reports whether it is known who people are: then words that fit nobody are asked about.
func (r *reader) hasGuests() bool { return r.declared }

// leftOutSteps finds the step-parents on the sides of parents.
func (r *reader) leftOutSteps(rel kin.Relation, people []int) []int {
	if rel.Kind != kin.Parent || !rel.Plural || rel.Step {
		return nil
	}
	var out []int
	want := rel
	want.Step = true
	for _, i := range r.Anywhere(want, "") {
		for _, p := range people {
			if r.Event.People[p].Side == r.Event.People[i].Side && !slices.Contains(out, i) {
				out = append(out, i)
			}
		}
	}
	return out
}

// kinAnywhere resolves words of kin without an owner: those of the section's side, else of all.
func (r *reader) kinAnywhere(s span, rel kin.Relation) found {
	people := r.Anywhere(rel, r.side)
	title := r.sideTitle(s.text)
	if rel.Kind == kin.Family && len(people) == 0 && r.side == "" {
		return r.standIn(s, title)
	}
	return r.relatives(s, rel, title, people, func() []int {
		if o, ok := r.Owner(r.side); ok {
			return r.guesses(o)
		}
		return r.guesses(-1)
	})
}

// bareKin takes "all", "the" and the like from words of kin.
func bareKin(text string) string {
	if b := withoutFillers(text); len(b) > 0 {
		return b[len(b)-1]
	}
	return text
}

// kinOfBoth resolves "the couple's parents": of all sides.
func (r *reader) kinOfBoth(s span, rel kin.Relation, title string) found {
	return r.relatives(s, rel, title, r.Anywhere(rel, ""), func() []int { return nil })
}

// kinOfSeveral resolves "Amara and Théo's parents" when it comes as one: of each of them.
func (r *reader) kinOfSeveral(s span, rel kin.Relation, owners []part) found {
	var people []int
	for _, o := range owners {
		i, ok := r.OwnerNamed(o.text)
		if !ok {
			return r.unknownOwner(o.span, rel, o.text, s.text)
		}
		people = append(people, r.Of(rel, i)...)
	}
	return r.relatives(s, rel, s.text, people, func() []int { return nil })
}

// unknownOwner asks whose relatives are meant. In a list without guests the words stand for
// themselves: "bride's mother" is a person, "Rosa's parents" are some.
func (r *reader) unknownOwner(s span, rel kin.Relation, owner, title string) found {
	m := r.Find(owner, nil)
	if role, ok := kin.Read(owner); ok && role.Kind == kin.OfCouple {
		m = names.Match{}
		if len(r.Couple()) == 2 {
			return r.newRole(span{owner, s.col}, role)
		}
	}
	switch {
	case len(m.People) > 1:
		return r.ask(s, place.CodeWhichOne, wording.Say("list.whoseWhichIsMeant", place.Quoted(owner), either(r.labels(m.People))), r.Names(m.People))
	case len(m.People) == 1 && m.How == names.Near:
		i := m.People[0]
		r.report(r.at(s), event.Warning, place.CodeReadAs, owner, wording.Say("list.readAs", place.Quoted(owner), place.Quoted(r.Event.People[i].Name)), r.Event.People[i].Name)
		return r.relatives(s, rel, title, r.Of(rel, i), func() []int { return r.guesses(i) })
	}
	if !r.hasGuests() {
		if !rel.Plural {
			return r.declareRole(s, rel)
		}
		return r.standIn(s, title)
	}
	candidates := r.Names(r.Closest(owner, 3))
	hint := wording.Message{}
	if len(candidates) > 0 {
		hint = wording.Say("list.isIt", either(candidates))
	}
	return r.ask(s, place.CodeNotKnown, wording.Sentences(wording.Say("list.noInTheListOfGuests", place.Quoted(owner)), hint), candidates)
}
