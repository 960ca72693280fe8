package typed

import (
	"regexp"
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/roster"
	"kinorder.example/server/internal/kin"
	"kinorder.example/server/internal/wording"
)

var (
	countBefore = regexp.MustCompile(`^(\d{1,3}|two|three|four|five|six|both|dois|duas|três|dos|tres|deux|trois|zwei|drei)\s+(?:x\s+)?(.+)$`)
	groupAfter  = regexp.MustCompile(`(?i)^(?:the\s+|família\s+|familia\s+|famille\s+|familie\s+)(.+?)(?:\s+(?:family|clan|household|crew|lot))?$`)
	groupEnd    = regexp.MustCompile(`(?i)^(.+?)\s+(?:family|clan|household|crew|lot|家)$`)
	plusOnes    = regexp.MustCompile(`(?i)^(?:1|\+\s*1|plus[- ]ones?|and guests?|guest|date)$`)
)

// coupleCircle returns the id of the circle of the couple, which is made when it is first needed.
func (r *reader) coupleCircle() string {
	people := r.Couple()
	title := strings.Join(r.Names(people), " & ")
	if r.coupleID != "" {
		return r.coupleID
	}
	for _, c := range r.Event.Circles {
		if p := r.PeopleOf(c.ID); len(p) == 2 && slices.Contains(p, people[0]) && slices.Contains(p, people[1]) {
			r.coupleID = c.ID
			return c.ID
		}
	}
	r.coupleID = r.AddCircleAs("couple", title, people)
	return r.coupleID
}

// couple resolves "the couple". When nobody is known as that, two people stand for it.
func (r *reader) couple(s span) found {
	people := r.Couple()
	if len(people) == 0 {
		people = r.CoupleMember(kin.Relation{Kind: kin.OfCouple})
	}
	if len(people) == 2 {
		if r.dry {
			return found{ids: []string{"couple"}, people: people, set: true}
		}
		r.SetCouple(people)
		return found{ids: []string{r.coupleCircle()}, people: people, set: true}
	}
	if r.declared && len(people) == 0 && r.base > 0 {
		return r.ask(s, place.CodeNotKnown, wording.Say("list.whoIsTheCoupleWriteA"), nil)
	}
	if r.dry {
		return found{set: true}
	}
	for len(people) < 2 {
		name := [...]string{"One of the couple", "The other of the couple"}[len(people)]
		people = append(people, r.Add(event.Person{Name: name}))
	}
	r.SetCouple(people)
	r.report(r.at(s), event.Warning, place.CodeStandsFor, s.text, wording.Say("list.whoIsTheCoupleTwoPeople"))
	return found{ids: []string{r.coupleCircle()}, people: people, set: true}
}

// everybody stands for all people, those of later lines too: it is filled in at the end.
func (r *reader) everybody(s span) found {
	return found{ids: []string{everybodyMark}, people: r.Everybody(), title: s.text, set: true}
}

// side1 stands for everybody of the side that the section is about, and the couple's own of it.
func (r *reader) side1(s span) found {
	people := r.onSide(r.side)
	if len(people) == 0 {
		return r.everybody(s)
	}
	return r.set(capital(s.text)+" of "+r.Label(r.side), people)
}

func (r *reader) onSide(side string) []int {
	var out []int
	for i, p := range r.Event.People {
		if p.Side == side {
			out = append(out, i)
		}
	}
	return out
}

// families stands for the families of both sides.
func (r *reader) families(s span) found {
	var people []int
	for _, side := range r.Event.Sides {
		people = append(people, r.Anywhere(kin.Relation{Kind: kin.Family}, side.ID)...)
	}
	if len(people) == 0 {
		return r.standIn(s, s.text)
	}
	return r.set(s.text, people)
}

// name resolves words that may be a name: somebody who is known by them, else a new person.
func (r *reader) name(s span, whole string, cx *context) found {
	keep := func(int) bool { return true }
	text := s.text
	if rel, rest, ok := roster.Titled(s.text); ok {
		// "Nana Ines": the word before the name says which Ines.
		if m := r.Find(rest, func(i int) bool { return rel.Covers(r.Relation(i)) }); len(m.People) == 1 && m.How >= names.Part {
			return r.person(m.People[0])
		}
		if m := r.FindAt(s.text, names.Part, nil); m.How < names.Part {
			if m := r.FindAt(rest, names.Part, nil); m.How >= names.Part && r.declared {
				text = rest
			}
		}
	}
	m := r.Find(text, keep)
	if len(m.People) > 1 {
		m = r.narrow(text, m)
	}
	switch {
	case m.How == names.None:
		return r.unknown(s, whole, cx)
	case len(m.People) > 1 && m.How == names.Near:
		return r.ask(s, place.CodeNotKnown, wording.Say("list.isNo", place.Quoted(s.text), either(r.Names(m.People))), r.Names(m.People))
	case len(m.People) > 1:
		if f, ok := r.group(s); ok {
			return f
		}
		return r.ask(s, place.CodeWhichOne, wording.Say("list.whichIsMeant", place.Quoted(s.text), either(r.labels(m.People))), r.candidates(m.People))
	case m.How == names.Near:
		if !r.declared && !r.isNamed(m.People[0]) {
			return r.unknown(s, whole, cx)
		}
		i := m.People[0]
		r.report(r.at(s), event.Warning, place.CodeReadAs, s.text, wording.Say("list.readAs", place.Quoted(s.text), place.Quoted(r.Event.People[i].Name)), r.Event.People[i].Name)
		return r.person(i)
	}
	return r.person(m.People[0])
}

// isNamed reports whether somebody was declared by being named, where nothing is certain.
func (r *reader) isNamed(i int) bool { return slices.Contains(r.named, i) }

// narrow chooses among people who may be meant by what the list says: the side of the section, and
// those who come.
func (r *reader) narrow(text string, m names.Match) names.Match {
	for _, keep := range []func(int) bool{
		func(i int) bool { return r.side != "" && r.Event.People[i].Side == r.side },
		func(i int) bool { return !r.Event.People[i].Absent },
	} {
		if n := r.Find(text, keep); n.How == m.How && len(n.People) == 1 {
			return n
		}
	}
	return m
}

// namesakes counts the people of each name.
func (r *reader) namesakes(people []int) map[string]int {
	r.Effort.Spend(20 * len(people))
	n := make(map[string]int, len(people))
	for _, i := range people {
		n[r.Event.People[i].Name]++
	}
	return n
}

// labels names people for a question, with what tells them apart.
func (r *reader) labels(people []int) []string {
	out, namesakes := make([]string, len(people)), r.namesakes(people)
	for k, i := range people {
		p := r.Event.People[i]
		out[k] = p.Name
		if namesakes[p.Name] > 1 {
			out[k] = p.Name + " (" + strings.Trim(p.Relation+", "+p.ID, ", ") + ")"
		}
	}
	return out
}

// candidates are words that can be written for people: their names, with the relation before those
// that are not the only ones of their name.
func (r *reader) candidates(people []int) []string {
	namesakes := r.namesakes(people)
	people = people[:min(place.MostNamed, len(people))]
	out := r.Names(people)
	for k, i := range people {
		p := r.Event.People[i]
		if namesakes[p.Name] < 2 {
			continue
		}
		if rel, ok := kin.Read(p.Relation); ok && rel.Owner == "" {
			out[k] = p.Relation + " " + p.Name
		}
	}
	return out
}

// ask reports an entry that cannot be used as it is.
func (r *reader) ask(s span, code string, m wording.Message, candidates []string) found {
	r.report(r.at(s), event.Error, code, s.text, m, candidates...)
	r.Use(r.current.number, place.Asked)
	return found{bad: true}
}
