package web

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/readback"
	"kinorder.example/server/internal/web/fields"
	"kinorder.example/server/internal/wording"
)

// toldView is what was understood of a list, line by line, with its questions.
type toldView struct {
	Lines     []toldLine
	Learned   []string
	Questions []toldQuestion
}

type toldLine struct {
	Number      int
	Text        string
	Photographs []toldPhotograph
	People      []readback.Person
	Told        []string
	Aside       bool
	Above       int
}

type toldPhotograph struct {
	readback.Photograph
	More   int // people who are not named
	Chosen priorityView
}

// priorityView is the button that says how much a photo is wanted, and makes it Next.
type priorityView struct {
	ID, Word, Next string
	Focus          bool
}

// priorityWords say how much a photo is wanted.
var priorityWords = map[string]wording.Key{"should": "page.wanted", "must": "page.must", "nice": "page.ifTime"}

func priorityOf(e *event.Event, k int, o listOptions) priorityView {
	now := fields.PriorityName(e.Groupings[k].Priority)
	next := fields.PriorityNames[(slices.Index(fields.PriorityNames, now)+1)%len(fields.PriorityNames)]
	v := priorityView{ID: event.GroupingID(e, k), Word: o.words.Say(priorityWords[now]), Next: next}
	_, of, _ := strings.Cut(o.at, ":")
	v.Focus = o.act == "priority" && of == v.ID
	return v
}

type toldQuestion struct {
	Text  string
	Lines []int
}

// toldOf shows a reading in the language of the page; relations stay in that of the list.
func toldOf(c *wording.Catalogue, r *reading, o listOptions) toldView {
	if len(r.lines) == 0 {
		return toldView{}
	}
	said := r.said
	said.Event.People, said.Event.Groupings = r.event.People, r.event.Groupings // as they were put right
	a := readback.Of(said)
	v := toldView{Learned: rendered(c, a.Learned)}
	if k := slices.Index(v.Learned, a.Words.LongDate(r.event.Date)); k >= 0 {
		v.Learned[k] = c.LongDate(r.event.Date)
	}
	for _, l := range a.Lines {
		line := toldLine{Number: l.Number, Text: l.Text, People: l.People, Told: rendered(c, l.Told), Aside: l.Aside, Above: l.Above}
		for _, p := range l.Photographs {
			x := toldPhotograph{Photograph: p, Chosen: priorityOf(&r.event, p.Grouping, o)}
			if !p.Everybody {
				x.More = p.Count - len(p.People)
			}
			line.Photographs = append(line.Photographs, x)
		}
		v.Lines = append(v.Lines, line)
	}
	for _, q := range a.Questions {
		v.Questions = append(v.Questions, toldQuestion{c.Render(q.Message), q.Lines})
	}
	return v
}
