package typed

import (
	"slices"
	"strings"
	"unicode"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/kin"
	"kinorder.example/server/internal/wording"
)

// pronouns say that the relative of somebody before is meant: "Bride with her mother".
var pronouns = list("his; her; their; seu; sua; seus; suas; su; sus; son; sa; ses; leur; leurs; sein; seine; seinen; ihr; ihre; ihren")

func firstWord(s string) string {
	s = strings.TrimLeftFunc(s, unicode.IsSpace)
	if end := strings.IndexFunc(s, unicode.IsSpace); end >= 0 {
		return s[:end]
	}
	return s
}

// pronoun resolves "her mother", "his wife", "their kids": of the person before, or of all of them.
func (r *reader) pronoun(s span, rel kin.Relation, cx *context) found {
	_, rest, _ := strings.Cut(s.text, " ")
	before := cx.before.people
	if len(before) > 1 && rel.Kind != kin.Offspring && !rel.Plural {
		before = before[len(before)-1:]
	}
	if len(before) == 1 {
		rel.Owner = r.Event.People[before[0]].Name
		if rel.Kind == kin.Partner || rel.Kind == kin.Offspring || rel.Kind == kin.Family {
			if len(r.Of(rel, before[0])) > 0 {
				return r.dependants(s, rel, &context{before: found{people: before}, excluded: cx.excluded})
			}
		}
		return r.kinOf(span{possessive(rel.Owner) + " " + strings.TrimSpace(rest), s.col}, rel, rel.Owner)
	}
	return r.dependants(s, rel, &context{before: found{people: before}, excluded: cx.excluded})
}

// possessive writes a name as an owner.
func possessive(name string) string { return name + "'s" }

// dependants resolves "with partners", "and kids": of the people before them on the line.
func (r *reader) dependants(s span, rel kin.Relation, cx *context) found {
	of := cx.before.people
	if !r.allOfCouple(of) {
		of = slices.DeleteFunc(slices.Clone(of), func(p int) bool { return slices.Contains(r.Couple(), p) })
	}
	if cx.excluded {
		return r.within(s, rel, cx)
	}
	if len(of) == 0 {
		if rel.Kind == kin.Partner && rel.Plural {
			return r.relatives(s, rel, s.text, r.allPartners(), func() []int { return nil })
		}
		return r.kinAnywhere(s, rel)
	}
	var people []int
	var alone []string
	for _, i := range of {
		if rel.Kind == kin.Partner && slices.Contains(r.Couple(), i) {
			continue
		}
		theirs := r.Of(rel, i)
		if rel.Kind == kin.Family {
			theirs = r.Household(i)
		}
		if len(theirs) == 0 {
			alone = append(alone, r.Event.People[i].Name)
		}
		for _, p := range theirs {
			if !slices.Contains(people, p) && !slices.Contains(of, p) {
				people = append(people, p)
			} else if !slices.Contains(people, p) {
				alone = slices.DeleteFunc(alone, func(n string) bool { return n == r.Event.People[i].Name })
			}
		}
	}
	if len(people) == 0 {
		if !r.hasGuests() || plusOnes.MatchString(s.text) {
			if plusOnes.MatchString(s.text) {
				return r.companions(s, of)
			}
			return r.standIn(s, possessive(strings.Join(r.Names(of), " & "))+" "+bareKin(s.text))
		}
		return r.ask(s, place.CodeNotKnown, wording.Say("list.notKnownWhoBelongsTo", place.Quoted(s.text), r.few(of), r.Event.People[of[0]].Name, kin.Singular(bareKin(s.text))), r.Names(r.dependantGuesses(rel, of)))
	}
	r.report(r.at(s), event.Info, place.CodeTakenAs, s.text, wording.Say("list.takenAs", place.Quoted(s.text), r.few(people)))
	return found{ids: r.IDs(people), people: people}
}

// companions are the guests whom people bring and whom nobody has named.
func (r *reader) companions(s span, of []int) found {
	var f found
	if r.dry {
		return found{set: true}
	}
	for _, o := range of {
		name := clipName(possessive(r.Event.People[o].Name) + " guest")
		if i, ok := r.Find(name, nil).One(); ok && r.Event.People[i].Name == name {
			f.add(r.person(i))
			continue
		}
		i := r.newNamesake(name, r.at(s))
		r.Event.People[i].Side = r.Event.People[o].Side
		r.report(r.at(s), event.Warning, place.CodeStandsFor, s.text, wording.Say("list.whoIsWriteTheNameWhen", place.Quoted(name)))
		f.add(r.person(i))
	}
	return f
}

// dependantGuesses are those who may belong to some people: children of their side, or partners of
// somebody of it.
func (r *reader) dependantGuesses(rel kin.Relation, of []int) []int {
	var out []int
	for _, i := range r.Anywhere(rel, r.Event.People[of[0]].Side) {
		if !slices.Contains(of, i) && len(out) < 5 {
			out = append(out, i)
		}
	}
	return out
}

// allPartners returns everybody of whom it is said that they are somebody's partner.
func (r *reader) allPartners() []int {
	var out []int
	for i := range r.Event.People {
		if rel := r.Relation(i); rel.Kind == kin.Partner && !rel.Former {
			out = append(out, i)
		}
	}
	return out
}

// within resolves what is left out of the people before: "cousins without partners", "family, no
// kids".
func (r *reader) within(s span, rel kin.Relation, cx *context) found {
	var people []int
	for _, i := range cx.before.people {
		if rel.Kind == kin.Partner && (r.Relation(i).Kind == kin.Partner) || rel.Kind != kin.Partner && slices.Contains(r.Anywhere(rel, ""), i) {
			people = append(people, i)
		}
	}
	if len(people) == 0 {
		r.report(r.at(s), event.Info, place.CodeTakenAs, s.text, wording.Say("list.nobodyOfThemIsInThis", place.Quoted(s.text)))
		return found{}
	}
	return found{ids: r.IDs(people), people: people}
}
