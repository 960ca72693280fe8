package sheet

import (
	"kinorder.example/server/internal/wording"
	"slices"
	"strings"
)

// finderPage lists the faces to find by side and circle.
type finderPage struct {
	pageShell
	NoClock bool
	Columns [4]string // heads of the table
	Sides   []finderSide
}

// finderSide is the people of one side.
type finderSide struct {
	Label   string // empty when the event has no sides
	Circles []finderCircle
}

// finderCircle is people who are likely to stand together.
type finderCircle struct {
	Title string // empty for people of no circle
	Faces []face
}

// face is one person to find.
type face struct {
	Name, Say string
	Leader    bool // gathers the others of the circle
	Notes     []string
	Calls     []string // number and time of each
	Free      string
}

func (b *builder) finderPage(shell pageShell) *finderPage {
	c := b.cat
	page := &finderPage{pageShell: shell, Columns: [4]string{
		c.Say(wording.KeyColumnName), "", c.Say(wording.KeyColumnCalled), c.Say(wording.KeyColumnFree),
	}}
	stints := b.stints()
	for i := range b.sheet.Blocks {
		page.NoClock = page.NoClock || b.sheet.Blocks[i].Start.IsZero() && len(b.sheet.Blocks[i].Entries) > 0
	}
	parties := b.parties(stints, PerCircle)
	// People by themselves stand after the circles, under one head.
	slices.SortStableFunc(parties, func(x, y party) int { return strings.Compare(alone(x), alone(y)) })
	for i := range b.event.Sides {
		side := &b.event.Sides[i]
		label := clean(side.Label)
		if label == "" {
			label = clean(side.ID)
		}
		if circles := b.circlesOf(parties, stints, side.ID); len(circles) > 0 {
			page.Sides = append(page.Sides, finderSide{Label: label, Circles: circles})
		}
	}
	rest := b.circlesOf(parties, stints, "")
	if len(rest) == 0 {
		return page
	}
	other := finderSide{Circles: rest}
	if len(page.Sides) > 0 {
		other.Label = c.Say(wording.KeyOthers)
	}
	page.Sides = append(page.Sides, other)
	return page
}

// alone sorts parties of one person behind the others.
func alone(p party) string {
	if p.title == "" {
		return "1"
	}
	return "0"
}

// circlesOf lists the people of one side, or of none, party by party.
func (b *builder) circlesOf(parties []party, stints map[string][]stint, side string) []finderCircle {
	known := map[string]bool{}
	for i := range b.event.Sides {
		known[b.event.Sides[i].ID] = true
	}
	var out []finderCircle
	for _, p := range parties {
		var faces []face
		for _, id := range p.people {
			of := ""
			if person := b.people[id]; person != nil && known[person.Side] {
				of = person.Side
			}
			if of == side {
				faces = append(faces, b.face(id, p.title != "" && id == p.leader, stints[id]))
			}
		}
		if len(faces) == 0 {
			continue
		}
		if n := len(out); p.title == "" && n > 0 && (out[n-1].Title == "" || out[n-1].Title == b.cat.Say(wording.KeyOthers)) {
			out[n-1].Faces = append(out[n-1].Faces, faces...)
			continue
		}
		title := p.title
		if title == "" && len(out) > 0 {
			title = b.cat.Say(wording.KeyOthers)
		}
		out = append(out, finderCircle{Title: title, Faces: faces})
	}
	return out
}

// face says how to find a person and when they are called.
func (b *builder) face(id string, leader bool, stints []stint) face {
	view := b.call(id)
	f := face{Name: view.Name, Say: view.Say, Leader: leader, Notes: view.Notes}
	for _, s := range stints {
		for _, call := range s.calls {
			text := b.cat.Number(call.number) + "\u00a0\u00a0" + call.start
			if call.near {
				text += "\u00a0(" + b.cat.Say(wording.KeyNear) + ")"
			}
			f.Calls = append(f.Calls, text)
		}
	}
	f.Free = b.freeBy(id)
	return f
}
