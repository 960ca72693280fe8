package run

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"time"

	"kinorder.example/server/internal/check"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
)

// Limits of marks.
const (
	// MaxAtOnce is how many marks one call may bring.
	MaxAtOnce = 500
	// maxNote is the most characters of a note.
	maxNote = 2000
	// maxPlace is the most characters of a place, as in an event.
	maxPlace = 200
	// maxSkew is how far the time of a mark may be from the server's, after the clocks are compared, and the times it
	// speaks of from that or from the date of the event.
	maxSkew = 7 * 24 * time.Hour
)

// CheckMarks says what is wrong with marks for a run of an event: every fault with its place below the
// word of the mark's kind, as "marks[2].late.person". The state is that of the marks there are already; marks may refer to groupings
// that earlier ones of the same list add. Texts name ids, never people.
func CheckMarks(e event.Event, s State, now time.Time, marks []Mark) []event.Advice {
	c := checker{event: e, now: now, people: map[string]bool{}, groupings: map[string]bool{}, members: map[string][]string{}, with: s.With(), blocks: map[string]bool{"": true}}
	c.event.People = slices.Concat(e.People, s.Newcomers(e))
	for _, p := range c.event.People {
		c.people[p.ID] = true
	}
	for _, b := range e.Blocks {
		c.blocks[b.ID] = true
	}
	c.event.Groupings = slices.Concat(e.Groupings, s.AddedTo(e))
	c.expand()
	if len(marks) == 0 {
		c.fault("marks", event.CodeMissing, "is empty: send at least one mark")
	}
	if len(marks) > MaxAtOnce {
		c.fault("marks", event.CodeTooMany, "holds %d marks, and %d is the most: send the rest in another call", len(marks), MaxAtOnce)
		return c.faults
	}
	for i, m := range marks {
		c.at = fmt.Sprintf("marks[%d].", i)
		c.mark(m)
	}
	return c.faults
}

type checker struct {
	event                     event.Event
	now                       time.Time
	people, groupings, blocks map[string]bool
	members, with             map[string][]string // by photograph: all, and those besides the list
	at                        string
	faults                    []event.Advice
}

// expand learns which photographs there are.
func (c *checker) expand() {
	taken, emptied := event.Expand(c.event)
	for _, p := range slices.Concat(taken, emptied) {
		c.groupings[p.ID], c.members[p.ID] = true, slices.Concat(p.Members, c.with[p.ID])
	}
}

func (c *checker) fault(field, code, format string, args ...any) {
	c.faults = append(c.faults, event.Advice{Code: code, Severity: event.Error, Field: c.at + field, Message: wording.Said(fmt.Sprintf(format, args...))})
}

func (c *checker) mark(m Mark) {
	if !validID(m.ID) {
		c.fault("id", event.CodeBadID, "is not a UUID of version 7 in lower case: the device makes one for each mark and keeps it when it sends again")
	}
	switch {
	case m.At.IsZero():
		c.fault("happen_time", event.CodeMissing, "is missing: say when it happened, by the clock of the device")
	case m.At.Before(c.now.Add(-maxSkew)) || m.At.After(c.now.Add(maxSkew)):
		c.fault("happen_time", event.CodeBadTime, "is more than 7 days from now: set the clock of the device")
	}
	kind := words[m.Kind]
	switch m.Kind {
	case Started, Taken, PutBack, Skipped, LeaveOut, Changed:
		c.known(kind+".grouping", c.groupings, m.Grouping)
		if !c.blocks[m.Block] {
			c.fault(kind+".block", event.CodeUnknownID, "is not a block of the event")
		}
	case Absent, Arrived, Gone:
		c.known(kind, c.people, m.Person)
		if m.Kind == Arrived && len(m.Groupings) == 0 && c.isAbsent(m.Person) {
			c.fault(kind, event.CodeNoEffect, "is absent in the event and in no photograph of it: send joined, with those they belong in")
		}
	case Late, Leaving:
		c.known(kind+".person", c.people, m.Person)
		if m.Until.IsZero() {
			c.fault(kind+".until_time", event.CodeMissing, "is missing: say when the person comes or has to leave")
		}
		c.near(kind+".until_time", m.Until)
	case Reset:
		if m.Block == "" || !c.blocks[m.Block] {
			c.fault(kind+".block", event.CodeUnknownID, "is not a block of the event")
		}
		if !m.Opens.IsZero() && !m.Closes.IsZero() && !m.Closes.After(m.Opens) {
			c.fault(kind+".close_time", event.CodeBadTime, "is not after the time at which the block opens")
		}
		c.near(kind+".open_time", m.Opens)
		c.near(kind+".close_time", m.Closes)
		if n := len([]rune(m.Place)); n > maxPlace {
			c.fault(kind+".place", event.CodeBadText, "has %d characters: shorten it to at most %d", n, maxPlace)
		}
	case Joined:
		c.joined(m)
	case Without:
		c.without(m)
	case Added:
		c.added(m)
	case Noted:
		if n := len([]rune(m.Note)); strings.TrimSpace(m.Note) == "" || n > maxNote {
			c.fault(kind, event.CodeBadText, "has %d characters: write something, at most %d", n, maxNote)
		}
	case Undone:
		if !validID(m.Undoes) || m.Undoes == m.ID {
			c.fault(kind, event.CodeBadID, "is not the id of another mark")
		}
	default:
		c.fault("kind", event.CodeUnknownValue, "is missing: say what the mark is about")
	}
}

// without refuses a photograph of nobody.
func (c *checker) without(m Mark) {
	c.known("without.grouping", c.groupings, m.Grouping)
	for i, id := range m.People {
		c.known(fmt.Sprintf("without.people[%d]", i), c.people, id)
	}
	in := c.members[m.Grouping]
	if len(in) > 0 && !slices.ContainsFunc(in, func(id string) bool { return !slices.Contains(m.People, id) }) {
		c.fault("without.people", event.CodeNoEffect, "names everybody in the photograph, so that nobody would be left: send left_out or put_back instead")
	}
}

func (c *checker) isAbsent(person string) bool {
	return slices.ContainsFunc(c.event.People, func(p event.Person) bool { return p.ID == person && p.Absent })
}

// Invited returns, for each person whom the event calls absent, the photographs they belong in, without those that a
// rule keeps them out of.
func Invited(e event.Event) map[string][]string {
	out, absent := map[string][]string{}, map[string]bool{}
	c := checker{event: e, groupings: map[string]bool{}, members: map[string][]string{}}
	c.event.People = slices.Clone(e.People)
	for i, p := range e.People {
		absent[p.ID], c.event.People[i].Absent = p.Absent, false
	}
	if !slices.ContainsFunc(e.People, func(p event.Person) bool { return p.Absent }) {
		return out
	}
	index, rivals := event.NewIndex(&c.event), map[string]map[string][]string{}
	taken, _ := event.Expand(c.event)
	for _, p := range taken {
		c.members[p.ID] = slices.DeleteFunc(slices.Clone(p.Members), func(id string) bool { return absent[id] })
		for _, id := range p.Members {
			if !absent[id] {
				continue
			}
			if rivals[id] == nil {
				rivals[id] = c.rivals(index, id)
			}
			if !c.keptOut(p.ID, rivals[id]) {
				out[id] = append(out[id], p.ID)
			}
		}
	}
	return out
}

// near refuses times too far from the mark and from the day. People who rehearse weeks ahead may
// use times of either day.
func (c *checker) near(field string, t time.Time) {
	far := func(from time.Time) bool { return t.Before(from.Add(-maxSkew)) || t.After(from.Add(maxSkew)) }
	day, err := c.event.Clock()
	if !t.IsZero() && far(c.now) && (err != nil || far(day.Date)) {
		c.fault(field, event.CodeBadTime, "is more than 7 days from now and from the date of the event: say a time of the day")
	}
}

func (c *checker) known(field string, ids map[string]bool, id string) {
	switch {
	case id == "":
		c.fault(field, event.CodeMissing, "is missing: name it by its id")
	case !ids[id]:
		c.fault(field, event.CodeUnknownID, "is not in the event that the run was made from")
	}
}

// joined checks a newcomer by the rules of events, as if they were the last on the list of people.
func (c *checker) joined(m Mark) {
	rivals := c.rivals(event.NewIndex(&c.event), m.Person)
	for i, id := range m.Groupings {
		field := fmt.Sprintf("joined.groupings[%d]", i)
		c.known(field, c.groupings, id)
		if c.keptOut(id, rivals) {
			c.fault(field, event.CodeApartInOneFrame, "holds somebody whom a rule keeps out of photographs with this person: add a photograph without them")
		}
	}
	if c.people[m.Person] {
		return
	}
	if slices.ContainsFunc(c.event.Circles, func(x event.Circle) bool { return x.ID == m.Person }) {
		c.fault("joined.person", event.CodeDuplicateID, "is the id of a circle: choose another")
		return
	}
	with := c.event
	with.People = append(slices.Clone(c.event.People), event.Person{ID: m.Person, Name: m.Name})
	place := fmt.Sprintf("people[%d].", len(with.People)-1)
	sound := true
	for _, a := range check.Anonymous(with, event.Faults(check.Event(with))) {
		field, ours := strings.CutPrefix(a.Field, place)
		if !ours {
			continue
		}
		if sound = false; field == "id" {
			field = "person"
		}
		c.fault("joined."+field, a.Code, "%s", a.Text())
	}
	if sound {
		c.event, c.people[m.Person] = with, true
	}
}

// keptOut reports whether a photograph has somebody whom a rule keeps apart from the person who has these rivals.
func (c *checker) keptOut(grouping string, rivals map[string][]string) bool {
	if len(rivals) == 0 {
		return false
	}
	confirmed := c.confirms(grouping)
	return slices.ContainsFunc(c.members[grouping], func(other string) bool {
		return slices.ContainsFunc(rivals[other], func(rule string) bool { return !slices.Contains(confirmed, rule) })
	})
}

// rivals returns the people whom rules keep out of photographs with somebody, and the rules that do.
func (c *checker) rivals(index *event.Index, person string) map[string][]string {
	out := map[string][]string{}
	at, known := index.People[person]
	for _, rule := range c.event.Rules {
		if !known || rule.Apart == nil {
			continue
		}
		if scope := rule.Apart.Scope; scope != event.Frame && (scope != event.InBlock || rule.Apart.Until != "") {
			continue // they may stand in one photograph, if not now
		}
		for i, own := range rule.Apart.People {
			if !slices.Contains(index.Of(own), at) {
				continue
			}
			for j, id := range rule.Apart.People {
				for _, q := range index.Of(id) {
					if other := c.event.People[q].ID; i != j && q != at && !slices.Contains(out[other], rule.ID) {
						out[other] = append(out[other], rule.ID)
					}
				}
			}
		}
	}
	return out
}

// confirms are the rules that a grouping breaks on purpose.
func (c *checker) confirms(grouping string) []string {
	k := slices.IndexFunc(c.event.Groupings, func(g event.Grouping) bool { return g.ID == grouping })
	if k < 0 {
		return nil
	}
	return c.event.Groupings[k].Confirms
}

// added checks a new grouping by the rules of events, as the last one of the list.
func (c *checker) added(m Mark) {
	if m.Grouped == nil || m.Grouped.ID == "" {
		c.fault("added.id", event.CodeMissing, "is missing: the device gives a new grouping an id of its own")
		return
	}
	if c.groupings[m.Grouped.ID] {
		if !slices.ContainsFunc(c.event.Groupings, func(g event.Grouping) bool { return g.ID == m.Grouped.ID && sameGrouping(g, *m.Grouped) }) {
			c.fault("added.id", event.CodeDuplicateID, "is the id of another grouping: choose another")
		}
		return // sent again
	}
	with := c.event
	with.Groupings = append(slices.Clone(c.event.Groupings), *m.Grouped)
	place := fmt.Sprintf("groupings[%d]", len(with.Groupings)-1)
	sound := true
	for _, a := range check.Anonymous(with, event.Faults(check.Event(with))) {
		if rest, ours := strings.CutPrefix(a.Field, place); ours {
			sound = false
			c.fault("added"+rest, a.Code, "%s", a.Text())
		}
	}
	if sound {
		c.event = with
		c.expand()
	}
}

// reused finds marks that reuse the id of a different mark; only the first mark with an id is kept. A mark that is sent
// again may correct its time, and may add its block.
func reused(kept, marks []Mark) []event.Advice {
	said := map[string]Mark{}
	for _, m := range slices.Backward(marks) {
		said[m.ID] = m
	}
	for _, m := range kept { // many
		if _, again := said[m.ID]; again {
			said[m.ID] = m
		}
	}
	var c checker
	for i, m := range marks {
		if !sameMark(said[m.ID], m) {
			c.at = fmt.Sprintf("marks[%d].", i)
			c.fault("id", event.CodeDuplicateID, "is the id of another mark: the device makes one for each mark")
		}
	}
	return c.faults
}

func sameMark(a, b Mark) bool {
	added := a.Grouped == b.Grouped || a.Grouped != nil && b.Grouped != nil && a.Grouped.ID == b.Grouped.ID && sameGrouping(*a.Grouped, *b.Grouped)
	reset := a.Kind != Reset || a.Block == b.Block && a.Closed == b.Closed && a.Place == b.Place && a.Opens.Equal(b.Opens) && a.Closes.Equal(b.Closes)
	changed := a.Kind != Changed || a.Block == b.Block && reflect.DeepEqual(a.Priority, b.Priority)
	return added && reset && changed && a.Kind == b.Kind && a.Grouping == b.Grouping && a.Person == b.Person && a.Name == b.Name && (a.Kind == Absent || a.Until.Equal(b.Until)) &&
		a.Note == b.Note && a.Undoes == b.Undoes && slices.Equal(a.Groupings, b.Groupings) && slices.Equal(a.People, b.People)
}

func sameGrouping(a, b event.Grouping) bool {
	return a.Title == b.Title && slices.Equal(a.Members, b.Members) && slices.Equal(a.Without, b.Without) && a.EachOf == b.EachOf
}

// added is the part of the state that says which groupings and people were added.
func added(marks []Mark) State {
	relevant := slices.DeleteFunc(slices.Clone(marks), func(m Mark) bool { return !slices.Contains([]Kind{Added, Joined, Arrived, Undone}, m.Kind) })
	return Fold(relevant)
}
