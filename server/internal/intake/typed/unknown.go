package typed

import (
	"fmt"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/kin"
	"kinorder.example/server/internal/wording"
)

// group resolves words for people with a common part in their names: "the Vances", "Duarte family".
func (r *reader) group(s span) (found, bool) {
	for _, pattern := range []interface{ FindStringSubmatch(string) []string }{groupEnd, groupAfter} {
		m := pattern.FindStringSubmatch(s.text)
		if m == nil {
			continue
		}
		for _, word := range []string{m[1], strings.TrimSuffix(m[1], "s"), strings.TrimSuffix(m[1], "es")} {
			if people := r.namedAll(word); len(people) > 1 {
				return r.set(s.text, people), true
			} else if len(people) == 1 {
				if house := r.familyOf(people[0]); len(house) > 1 {
					return r.set(s.text, house), true
				}
			}
		}
	}
	return found{}, false
}

// standIn lets one person stand for several whom nobody has named, and says so: the list can be
// planned, and its minutes say too little until the names are there.
func (r *reader) standIn(s span, title string) found {
	if r.dry {
		return found{set: true}
	}
	title = clipName(capital(strings.Join(strings.Fields(title), " ")))
	if _, ok := kin.Read(title); ok {
		title = capital(bareKin(title))
	}
	key := names.Plain(title)
	if r.number > 1 {
		return r.standInMany(s, title, r.number)
	}
	i, known := r.stands[key]
	if !known {
		i = r.Add(event.Person{Name: title, Side: r.side})
		r.homes[i] = r.at(s)
		r.stands[key] = i
		if rel, ok := kin.Read(title); ok {
			r.Know(i, rel)
		}
		r.Use(r.current.number, 0, fmt.Sprintf("people[%d]", i))
		r.report(r.at(s), event.Warning, place.CodeStandsFor, s.text, wording.Say("list.whoAreTheyCountAsOne", place.Quoted(title), title))
	}
	return r.person(i)
}

// standInMany is standIn when the words say how many there are.
func (r *reader) standInMany(s span, title string, n int) found {
	if id, known := r.CircleNamed(title); known {
		return r.circle(id, title)
	}
	var people []int
	for k := range n {
		i := r.Add(event.Person{Name: fmt.Sprintf("%s, %d of %d", title, k+1, n), Side: r.side})
		r.homes[i] = r.at(s)
		r.Use(r.current.number, place.Used, fmt.Sprintf("people[%d]", i))
		people = append(people, i)
	}
	r.report(r.at(s), event.Warning, place.CodeStandsFor, s.text, wording.Say("list.whoArePeopleWithoutNamesStand", place.Quoted(title), n, title))
	return r.set(title, people)
}

// unknown resolves words of which nobody is known: people who are close, a group, a new person, or
// words that are no name.
func (r *reader) unknown(s span, whole string, cx *context) found {
	if f, ok := r.group(s); ok {
		return f
	}
	isGroup := whole != s.text && (strings.HasPrefix(fold(whole), "the ") || strings.HasPrefix(fold(whole), "all ")) || groupEnd.MatchString(s.text)
	if !plausible(s.text) && !isGroup {
		return r.notUnderstood(s, cx)
	}
	if r.dry {
		if !isGroup {
			r.gathered = append(r.gathered, gathered{s.text, r.at(s), r.current, false})
		}
		return found{}
	}
	if r.declared {
		if close := r.Closest(s.text, 3); len(close) > 0 && !isGroup {
			candidates := r.Names(close)
			return r.ask(s, place.CodeNotKnown, wording.Say("list.noInTheListOfGuestsIs", place.Quoted(s.text), either(candidates)), candidates)
		}
	}
	if isGroup {
		return r.standIn(s, whole)
	}
	i := r.newPerson(s.text, r.at(s))
	return r.person(i)
}

// newPerson makes somebody known by being named.
func (r *reader) newPerson(name string, at mark) int {
	i := r.declareOne(span{name, at.column})
	r.homes[i] = at
	r.named = append(r.named, i)
	if r.declared {
		r.report(at, event.Warning, place.CodeAddedPerson, name, wording.Say("list.notInTheListOfGuests", place.Quoted(name)))
	}
	return i
}

// newNamesake is newPerson for one of two who are called by one name.
func (r *reader) newNamesake(name string, at mark) int {
	i := r.Add(event.Person{Name: clipName(name), Side: r.side})
	r.homes[i] = at
	r.named = append(r.named, i)
	r.Use(at.line, place.Used, fmt.Sprintf("people[%d]", i))
	if r.declared {
		r.report(at, event.Warning, place.CodeAddedPerson, name, wording.Say("list.notInTheListOfGuests", place.Quoted(name)))
	}
	return i
}

// isRemark reports whether words are a sentence rather than a name with a slip.
func isRemark(s string) bool {
	n := 0
	ws := strings.Fields(fold(s))
	for _, w := range ws {
		if spoken[strings.Trim(w, ".,!?")] {
			n++
		}
	}
	return len(ws) >= 3 && n >= 2
}

// notUnderstood reports words that are no name and nothing else that is known.
func (r *reader) notUnderstood(s span, cx *context) found {
	if len(cx.before.ids) > 0 && isRemark(s.text) {
		r.note(s) // "Inga's parents, they have to leave early"
		return found{}
	}
	candidates := r.Names(r.Closest(s.text, 3))
	candidates = append(candidates, r.CirclesLike(s.text)...)
	hint := wording.Message{}
	if len(candidates) > 0 {
		hint = wording.Say("list.isIt", either(candidates))
	}
	return r.ask(s, place.CodeNotKnown, wording.Sentences(wording.Say("list.notUnderstood", place.Quoted(s.text)), hint, wording.Say("list.writeNamesOrRelationsSuchAs")), candidates)
}
