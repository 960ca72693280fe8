package people

import (
	"fmt"
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/readback"
	"kinorder.example/server/internal/web/fields"
	"kinorder.example/server/internal/wording"
)

// ToldView is what was understood of a list, line by line, with its questions.
type ToldView struct {
	Lines     []toldLine
	Learned   []string
	Questions []ToldQuestion
}

type toldLine struct {
	Number      int
	Text        string
	Photographs []toldPhotograph
	People      []readback.Person
	Told        []string
	Aside       bool
	Above       int
	Gone        []goneView
}

// goneView is a photo that was taken off, with the focus where that was done just now.
type goneView struct {
	Cast
	Focus bool
}

type toldPhotograph struct {
	readback.Photograph
	More   int // people who are not named
	Chosen priorityView
	Open   *Casting // its fields, while they are shown
	Focus  bool
}

// priorityView is the button that says how much a photo is wanted, and makes it Next.
type priorityView struct {
	ID, Word, Next string
	Focus          bool
}

func priorityOf(c *wording.Catalogue, e *event.Event, k int, act, at string) priorityView {
	now := fields.PriorityName(e.Groupings[k].Priority)
	next := fields.PriorityNames[(slices.Index(fields.PriorityNames, now)+1)%len(fields.PriorityNames)]
	v := priorityView{ID: event.GroupingID(e, k), Word: c.Say(fields.PriorityWords[now]), Next: next}
	_, of, _ := strings.Cut(at, ":")
	v.Focus = act == "priority" && of == v.ID
	return v
}

// ToldQuestion is one of them, with the lines that it is about.
type ToldQuestion struct {
	Text  string
	Lines []int
}

// ToldOf shows a reading in the language of the page, with what was put right in the event by now, where its lines are in
// that, and the focus where act was pressed; relations stay in the language of the list. Of a file without lines it is the
// photos, one after the other.
func ToldOf(c *wording.Catalogue, said intake.Reading, now event.Event, lines []intake.Line, o Over, act, at string) ToldView {
	gone := map[int][]goneView{} // by line
	for _, x := range o.Casts {
		for _, l := range said.Lines {
			if k := x.find(&said.Event); x.Gone && k >= 0 && slices.Contains(l.Fields, fmt.Sprintf("groupings[%d]", k)) && gone[l.Number] == nil {
				x.Title = firstOf(x.Title, l.Text)
				gone[l.Number] = append(gone[l.Number], goneView{x, act == "photo-gone" && x.ID == at})
			}
		}
	}
	if said.Lines = lines; len(lines) == 0 {
		for k, g := range now.Groupings {
			said.Lines = append(said.Lines, intake.Line{Number: k + 1, Use: intake.Used, Text: g.Title, Fields: []string{fmt.Sprintf("groupings[%d]", k)}})
		}
	}
	said.Event.People, said.Event.Groupings, said.Event.Circles = now.People, now.Groupings, now.Circles
	a := readback.Of(said)
	v := ToldView{Learned: Rendered(c, a.Learned)}
	if k := slices.Index(v.Learned, a.Words.LongDate(now.Date)); k >= 0 {
		v.Learned[k] = c.LongDate(now.Date)
	}
	for _, l := range a.Lines {
		line := toldLine{Number: l.Number, Text: l.Text, People: l.People, Told: Rendered(c, l.Told), Aside: l.Aside, Above: l.Above, Gone: gone[l.Number]}
		for _, p := range l.Photographs {
			if p.Title == "" { // it named somebody who is not in it
				p.Title = l.Text
			}
			x := toldPhotograph{Photograph: p, Chosen: priorityOf(c, &now, p.Grouping, act, at)}
			if !p.Everybody {
				x.More = p.Count - len(p.People)
			}
			if id := x.Chosen.ID; act == "photo" && id == at {
				x.Open = CastingOf(&now, p.Grouping, slices.ContainsFunc(o.Casts, func(y Cast) bool { return y.ID == id }))
			}
			x.Focus = strings.HasPrefix(act, "photo") && x.Chosen.ID == at
			line.Photographs = append(line.Photographs, x)
		}
		v.Lines = append(v.Lines, line)
	}
	if len(lines) == 0 { // its problems stand above all, and what it says in the fields
		v.Learned, a.Questions = nil, nil
	}
	for _, q := range a.Questions {
		v.Questions = append(v.Questions, ToldQuestion{c.Render(q.Message), q.Lines})
	}
	return v
}
