package main

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"google.golang.org/protobuf/types/known/timestamppb"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

// mark turns a word and what follows it into a mark, and says what it will have done.
func (s *runSession) mark(word, rest string) (*kinorderv1.Mark, string, error) {
	switch word {
	case "start", "taken", "back", "later":
		return s.groupingMark(word, rest)
	case "absent", "arrived", "gone":
		person, err := s.person(rest)
		if err != nil {
			return nil, "", err
		}
		m := &kinorderv1.Mark{}
		switch word {
		case "absent":
			m.Kind = &kinorderv1.Mark_Absent{Absent: person.GetId()}
		case "arrived":
			m.Kind = &kinorderv1.Mark_Arrived{Arrived: person.GetId()}
		case "gone":
			m.Kind = &kinorderv1.Mark_Gone{Gone: person.GetId()}
		}
		return m, word + "  " + printable(person.GetName()), nil
	case "late":
		return s.lateMark(rest)
	case "without":
		return s.withoutMark(rest)
	case "add":
		return s.addMark(rest)
	case "note":
		return &kinorderv1.Mark{Kind: &kinorderv1.Mark_Note{Note: rest}}, "noted", nil
	case "undo":
		if s.now.Undoable == "" {
			return nil, "", errors.New("there is nothing to undo")
		}
		return &kinorderv1.Mark{Kind: &kinorderv1.Mark_Undone{Undone: s.now.Undoable}}, "undone", nil
	}
	return nil, "", fmt.Errorf("there is no word %q; the words are:\n%s", word, runWords)
}

func (s *runSession) groupingMark(word, rest string) (*kinorderv1.Mark, string, error) {
	g, err := s.meant(word, rest)
	if err != nil {
		return nil, "", err
	}
	mark := &kinorderv1.GroupingMark{Grouping: g.id}
	m := &kinorderv1.Mark{}
	switch word {
	case "start":
		m.Kind = &kinorderv1.Mark_Started{Started: mark}
	case "taken":
		m.Kind = &kinorderv1.Mark_Taken{Taken: mark}
	case "back":
		m.Kind = &kinorderv1.Mark_PutBack{PutBack: mark}
	case "later":
		m.Kind = &kinorderv1.Mark_Skipped{Skipped: mark}
	}
	return m, word + "  " + printable(g.title), nil
}

// named is a grouping or a person that a word may mean.
type named struct{ id, title string }

// meant is the grouping that is named, or that a word means without a name.
func (s *runSession) meant(word, rest string) (named, error) {
	all := s.groupings()
	if rest != "" {
		return find("grouping", rest, all)
	}
	title := func(id string) named {
		if i := slices.IndexFunc(all, func(n named) bool { return n.id == id }); i >= 0 {
			return all[i]
		}
		return named{id, id}
	}
	current := s.current()
	switch {
	case word == "back":
		return named{}, errors.New("say which grouping is open again")
	case word != "start" && len(current) == 1:
		return title(current[0]), nil
	case word != "start" && len(current) > 1:
		return named{}, errors.New("several are being taken: say which")
	case word == "taken":
		return named{}, errors.New("nothing is being taken: say which grouping it was")
	}
	if next := s.now.Outlook.GetNext(); len(next) > 0 {
		return title(next[0].GetGrouping()), nil
	}
	return named{}, errors.New("nothing is next: say which grouping")
}

// groupings are all that are owed, as the newest plan has them, and those that are done.
func (s *runSession) groupings() []named {
	var out []named
	for _, o := range s.now.Outlook.GetOwed() {
		out = append(out, named{o.GetGrouping(), o.GetTitle()})
	}
	for _, id := range slices.Sorted(maps.Keys(s.now.Groupings)) {
		if !slices.ContainsFunc(out, func(n named) bool { return n.id == id }) {
			out = append(out, named{id, s.title(id)})
		}
	}
	return out
}

// title is what a grouping of the list is called, its id when it has no title of its own.
func (s *runSession) title(id string) string {
	for _, g := range slices.Concat(s.event.GetGroupings(), s.now.Added) {
		if g.GetId() == id && g.GetTitle() != "" {
			return g.GetTitle()
		}
	}
	return id
}

func (s *runSession) current() []string {
	var out []string
	for _, id := range slices.Sorted(maps.Keys(s.now.Groupings)) {
		if s.now.Groupings[id].GetState() == kinorderv1.GroupingState_STATE_CURRENT {
			out = append(out, id)
		}
	}
	return out
}

// find looks for an id, then for the beginning of what something is called.
func find(what, text string, all []named) (named, error) {
	for _, n := range all {
		if n.id == text {
			return n, nil
		}
	}
	var fits []named
	for _, n := range all {
		if strings.HasPrefix(strings.ToLower(n.title), strings.ToLower(text)) {
			fits = append(fits, n)
		}
	}
	switch len(fits) {
	case 0:
		return named{}, fmt.Errorf("there is no %s %q", what, text)
	case 1:
		return fits[0], nil
	}
	var ids []string
	for _, n := range fits {
		ids = append(ids, n.id)
	}
	return named{}, fmt.Errorf("%q may be any of these: write one of the ids %s", text, strings.Join(ids, ", "))
}

func (s *runSession) person(text string) (*kinorderv1.Person, error) {
	if text == "" {
		return nil, errors.New("say who")
	}
	var all []named
	for _, p := range s.event.GetPeople() {
		all = append(all, named{p.GetId(), p.GetName()})
	}
	n, err := find("person", text, all)
	if err != nil {
		return nil, err
	}
	i := slices.IndexFunc(s.event.GetPeople(), func(p *kinorderv1.Person) bool { return p.GetId() == n.id })
	return s.event.GetPeople()[i], nil
}

func (s *runSession) lateMark(rest string) (*kinorderv1.Mark, string, error) {
	who, at := rest, ""
	if i := strings.LastIndexByte(rest, ' '); i >= 0 {
		who, at = strings.TrimSpace(rest[:i]), rest[i+1:]
	}
	person, err := s.person(who)
	if err != nil {
		return nil, "", err
	}
	until, err := s.clock(at)
	if err != nil {
		return nil, "", err
	}
	m := &kinorderv1.Mark{Kind: &kinorderv1.Mark_Late{Late: &kinorderv1.LateMark{Person: person.GetId(), UntilTime: timestamppb.New(until)}}}
	return m, fmt.Sprintf("late  %s, comes at %s", printable(person.GetName()), at), nil
}

// clock reads a time of the event's day, or of today when it has no date.
func (s *runSession) clock(text string) (time.Time, error) {
	loc := s.location()
	date := s.event.GetDate()
	if date == "" {
		date = time.Now().In(loc).Format(time.DateOnly)
	}
	at, err := time.ParseInLocation(time.DateOnly+" 15:04", date+" "+text, loc)
	if err != nil {
		return time.Time{}, fmt.Errorf("say when, for example 16:40; %q is no time", text)
	}
	return at, nil
}

func (s *runSession) location() *time.Location {
	if loc, err := time.LoadLocation(s.event.GetTimeZone()); err == nil {
		return loc
	}
	return time.UTC
}

func (s *runSession) withoutMark(rest string) (*kinorderv1.Mark, string, error) {
	words := strings.Fields(rest)
	if len(words) == 0 {
		return nil, "", errors.New("say which grouping, and whom it may be taken without")
	}
	g, err := find("grouping", words[0], s.groupings())
	if err != nil {
		return nil, "", err
	}
	without := &kinorderv1.WithoutMark{Grouping: g.id}
	var who []string
	for _, word := range words[1:] {
		person, err := s.person(word)
		if err != nil {
			return nil, "", err
		}
		without.People = append(without.People, person.GetId())
		who = append(who, printable(person.GetName()))
	}
	said := fmt.Sprintf("without  %s, %s", printable(g.title), strings.Join(who, ", "))
	if len(who) == 0 {
		said = fmt.Sprintf("without  %s waits for everybody", printable(g.title))
	}
	return &kinorderv1.Mark{Kind: &kinorderv1.Mark_Without{Without: without}}, said, nil
}

func (s *runSession) addMark(rest string) (*kinorderv1.Mark, string, error) {
	title, list, ok := strings.Cut(rest, ":")
	if !ok || strings.TrimSpace(title) == "" {
		return nil, "", errors.New("say what it is called and who is in it, for example: add Old friends: maren, ola")
	}
	g := &kinorderv1.Grouping{Id: "day-" + client.NewID(), Title: strings.TrimSpace(title)}
	for _, word := range strings.Split(list, ",") {
		id := strings.TrimSpace(word)
		if !slices.ContainsFunc(s.event.GetCircles(), func(c *kinorderv1.Circle) bool { return c.GetId() == id }) {
			person, err := s.person(id)
			if err != nil {
				return nil, "", err
			}
			id = person.GetId()
		}
		g.Members = append(g.Members, id)
	}
	return &kinorderv1.Mark{Kind: &kinorderv1.Mark_Added{Added: g}}, "added  " + printable(g.GetTitle()), nil
}
