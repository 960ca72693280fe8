package web

import (
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/readback"
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
	More         int // people who are not named
	Must, IfTime bool
}

type toldQuestion struct {
	Text  string
	Lines []int
}

// toldOf shows a reading in the language of the page; relations stay in that of the list.
func toldOf(c *wording.Catalogue, r intake.Reading) toldView {
	if len(r.Lines) == 0 {
		return toldView{}
	}
	a := readback.Of(r)
	v := toldView{Learned: rendered(c, a.Learned)}
	for _, l := range a.Lines {
		line := toldLine{Number: l.Number, Text: l.Text, People: l.People, Told: rendered(c, l.Told), Aside: l.Aside, Above: l.Above}
		for _, p := range l.Photographs {
			x := toldPhotograph{Photograph: p, Must: p.Priority == event.Must, IfTime: p.Priority == event.Nice}
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
