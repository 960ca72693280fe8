// Package readback tells whoever wrote a list what was understood of it: who is in each photograph, what was learned
// beside the photographs, what was set aside, and what has to be asked, once each. It reads nothing and changes nothing.
package readback

import (
	"fmt"
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/wording"
)

// mostPeople is how many people of a photograph are named.
const mostPeople = 60

// Account is what was understood of a list or table.
type Account struct {
	Lines     []Line
	Learned   []wording.Message // of people and the day, beside the photographs
	Questions []Question
	// Words is the language of the list: relations are in it, and questions are asked in it.
	Words *wording.Catalogue
}

// Line is a line of the list with something on it.
type Line struct {
	Number      int
	Text        string
	Photographs []Photograph
	People      []Person          // whom it tells of, when it asks for no photograph
	Told        []wording.Message // what was taken from it, or why it is set aside
	Aside       bool              // nothing of it is used
	Above       int               // the line whose photographs it says more of, or 0
}

// Photograph is one that a line asks for.
type Photograph struct {
	Grouping  int // of the event
	Title     string
	People    []Person // at most 60
	Each      []Person // one photograph with each of them
	Count     int      // of people, those of Each not counted
	Everybody bool     // then only who is left out is named
	Without   []Person
	Priority  event.Priority
}

// Person is somebody as they are told.
type Person struct {
	ID, Name string
	Relation string // to the couple where known, in the language of the list
	Unnamed  bool   // an entry that stands for people whom the list does not name
	Absent   bool   // not coming
}

// Of sums up a reading for the person who wrote the list.
func Of(r intake.Reading) Account {
	t := &teller{r: r, index: event.NewIndex(&r.Event), people: make(map[string]Person), told: make(map[int][]wording.Message)}
	var ok bool
	if t.words, ok = wording.For(r.Language); !ok {
		t.words, _ = wording.For("en")
	}
	t.everyone()
	for _, p := range r.Problems {
		if p.Line > 0 && (p.Code == place.CodeTakenAs || p.Code == place.CodeNotUsed) {
			t.told[p.Line] = append(t.told[p.Line], p.Message)
		}
	}
	a := Account{Words: t.words, Questions: t.questions(), Learned: t.learned()}
	first := make(map[int]int) // lines by the photographs that they were the first to ask for
	for _, l := range r.Lines {
		if l.Use != intake.Ruler {
			a.Lines = append(a.Lines, t.line(l, first))
		}
	}
	return a
}

type teller struct {
	r       intake.Reading
	index   *event.Index
	words   *wording.Catalogue
	people  map[string]Person
	couple  []string
	told    map[int][]wording.Message // by line
	members [][]string                // of photographs, once they are asked for
}

// everyone describes the people of the event.
func (t *teller) everyone() {
	unnamed := make(map[string]bool)
	for _, p := range t.r.Problems {
		unnamed[p.Written] = unnamed[p.Written] || p.Code == place.CodeStandsFor && p.Written != ""
	}
	if slices.ContainsFunc(t.r.Event.Circles, func(c event.Circle) bool { return c.ID == "couple" }) {
		t.couple = t.ids("couple")
	}
	name := make(map[string]string)
	for _, p := range t.r.Event.People {
		name[p.ID] = p.Name
	}
	for _, p := range t.r.Event.People {
		t.people[p.ID] = Person{ID: p.ID, Name: p.Name, Relation: t.relation(p, name[p.Side]), Unnamed: unnamed[p.Name], Absent: p.Absent}
	}
}

// relation is what somebody is to the couple: of the one of them whose side they are on, when that has the id of a person.
func (t *teller) relation(p event.Person, owner string) string {
	if p.Relation == "" || owner == "" || slices.Contains(t.couple, p.ID) || strings.ContainsAny(p.Relation, "'’") {
		return p.Relation
	}
	given, _, _ := strings.Cut(owner, " ")
	return t.words.Say("list.kinOf", given, p.Relation)
}

func (t *teller) line(l intake.Line, first map[int]int) Line {
	out := Line{Number: l.Number, Text: l.Text, Aside: l.Use == intake.Reported, Told: t.told[l.Number]}
	for _, f := range l.Fields {
		var k int
		switch {
		case field(f, "groupings[%d]", &k) && first[k] > 0:
			out.Above = first[k]
		case field(f, "groupings[%d]", &k) && k < len(t.r.Event.Groupings):
			first[k] = l.Number
			out.Photographs = append(out.Photographs, t.photograph(k))
		case field(f, "people[%d]", &k) && k < len(t.r.Event.People):
			out.People = append(out.People, t.people[t.r.Event.People[k].ID])
		}
	}
	couple := !slices.ContainsFunc(out.People, func(p Person) bool { return !slices.Contains(t.couple, p.ID) })
	if len(out.Photographs) > 0 || out.Above > 0 || couple {
		out.People = nil // they are told with the photographs, or above all
	}
	return out
}

func field(f, form string, k *int) bool {
	n, err := fmt.Sscanf(f, form, k)
	return n == 1 && err == nil
}

func (t *teller) photograph(k int) Photograph {
	g := t.r.Event.Groupings[k]
	p := Photograph{Grouping: k, Title: g.Title, Priority: g.Priority, Everybody: everybody(g)}
	without := t.ids(g.Without...)
	left := func(ids []string) []string {
		return slices.DeleteFunc(ids, func(id string) bool { return slices.Contains(without, id) })
	}
	members := left(t.ids(g.Members...))
	p.Count = len(members) + g.Guests
	if p.Everybody {
		for _, id := range members {
			if t.people[id].Absent {
				p.Count--
			}
		}
		p.Without = t.named(without)
	} else {
		p.People = t.named(members)
	}
	if g.EachOf != "" {
		p.Each = t.named(left(t.ids(g.EachOf)))
	}
	return p
}

func everybody(g event.Grouping) bool { return len(g.Members) == 1 && g.Members[0] == "everybody" }

// ids are those of people and of all who are in circles.
func (t *teller) ids(of ...string) []string {
	var out []string
	for _, k := range t.index.PeopleOf(of...) {
		out = append(out, t.r.Event.People[k].ID)
	}
	return out
}

func (t *teller) named(ids []string) []Person {
	var out []Person
	for _, id := range ids[:min(len(ids), mostPeople)] {
		out = append(out, t.people[id])
	}
	return out
}
