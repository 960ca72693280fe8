package sheet

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/sheet/fill"
	"kinorder.example/server/internal/sheet/fold"
	"kinorder.example/server/internal/sheet/script"
	"kinorder.example/server/internal/wording"
)

// finderPage lists the faces to find by side and circle, in the order of call, and everybody from A to Z at the end.
type finderPage struct {
	pageShell
	NoClock bool
	Slots   []finderSlot
	Columns [2]string // heads of the tables
	Sides   []finderSide
	ByName  []indexLine
}

// finderSlot is a block with the numbers of its entries.
type finderSlot struct{ Numbers, Title, Hours, Place string }

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
	Index     string // the name with how it is said, where its script may not be known
	sorted    string // by what it stands in the index: there by how it is said, as it is heard
	Leader    bool   // gathers the others of the circle
	Notes     []string
	Calls     []faceCall
	Free      string
	first     int // place of the first call, after all others when there is none
	numbers   []int
}

// faceCall is one call: the number of the entry, when it begins, and where when that is another place than before.
type faceCall struct {
	Number, Start, Place string
	Near                 bool // at hand without walking in
}

// indexLine is somebody with the numbers of their calls, and by what they are sorted.
type indexLine struct{ By, Said, Numbers string }

func (b *builder) finderPage(shell pageShell, o Options) *finderPage {
	c := b.cat
	page := &finderPage{pageShell: shell, Columns: [2]string{
		c.Say("sheet.columnName"), c.Say("sheet.columnGrouping") + " · " + c.Say("sheet.columnStart"),
	}}
	for i := range b.sheet.Blocks {
		view, n := b.block(i), len(b.sheet.Blocks[i].Entries)
		if n == 0 {
			continue
		}
		page.NoClock = page.NoClock || view.NoClock
		page.Slots = append(page.Slots, finderSlot{b.spans(b.numbers[b.first[i]:][:n]), view.Title, view.Hours, view.Place})
	}
	stints := b.stints()
	parties := b.parties(stints, PerCircle, b.grown)
	for i := range b.event.Sides {
		side := &b.event.Sides[i]
		label := cmp.Or(fold.Clean(side.Label), fold.Clean(side.ID))
		page.add(label, b.circlesOf(parties, stints, side.ID, o))
	}
	label := ""
	if len(page.Sides) > 0 {
		label = c.Say("sheet.bothSides")
	}
	page.add(label, b.circlesOf(parties, stints, "", o))
	page.index(c)
	page.Style += filling("main", func(f, lower float64) float64 { return page.pages(o.Paper, f, lower) })
	return page
}

// pages says how many pages the people take, in two columns, and the index below them, which is not parted. Heights are by
// trial on paper.
func (p *finderPage) pages(paper Paper, factor, lower float64) float64 {
	wide, high := paperRoom(paper)
	column, sum := (wide/factor-14)/2, 0.0
	for _, side := range p.Sides {
		sum += 19
		for _, circle := range side.Circles {
			sum += 13
			for _, f := range circle.Faces {
				about, calls := 6*fold.Width(f.Name)+5*fold.Width(f.Say+strings.Join(f.Notes, ", ")), 0
				beside := column - 5.8*float64(fold.Width(f.Free)+1)
				for _, c := range f.Calls {
					calls += 18 + 5*fold.Width(c.Number+c.Start+c.Place)
				}
				sum += 2 + 11*math.Ceil(float64(about)/beside) + 10*math.Ceil(float64(calls)/column)
				if f.Leader {
					sum += 10
				}
			}
		}
	}
	pages := fill.Pages{High: high / factor / lower, At: 50}
	pages.Put(sum/2, true)
	pages.Put(24+10.8*float64(len(p.ByName)+2)/3, false)
	pages.Put(50, false)
	return pages.Count()
}

// spans lists numbers, those that follow each other as from and to.
func (b *builder) spans(numbers []int) string {
	var parts []string
	sorted := slices.Sorted(slices.Values(numbers))
	for len(sorted) > 0 {
		n := 1
		for n < len(sorted) && sorted[n] == sorted[0]+n {
			n++
		}
		part := b.cat.Number(sorted[0])
		if n > 1 {
			part += "–" + b.cat.Number(sorted[n-1])
		}
		parts, sorted = append(parts, part), sorted[n:]
	}
	return b.cat.List(parts)
}

// add puts a side on the page when it has people.
func (p *finderPage) add(label string, circles []finderCircle) {
	if len(circles) > 0 {
		p.Sides = append(p.Sides, finderSide{Label: label, Circles: circles})
	}
}

// index lists everybody from A to Z, as names are sorted in the language of the sheet.
func (p *finderPage) index(c *wording.Catalogue) {
	for _, side := range p.Sides {
		for _, circle := range side.Circles {
			for _, f := range circle.Faces {
				numbers := make([]string, len(f.numbers))
				for i, n := range f.numbers {
					numbers[i] = c.Number(n)
				}
				p.ByName = append(p.ByName, indexLine{f.sorted, f.Index, c.List(numbers)})
			}
		}
	}
	compare := script.Alphabet(c)
	slices.SortStableFunc(p.ByName, func(x, y indexLine) int { return compare(x.By, y.By) })
}

// whose names the helper that a sheet is for, empty when it is for all.
func (b *builder) whose(o Options) string {
	if o.Person != "" {
		return b.name(o.Person)
	}
	for i := range b.event.Sides {
		if s := &b.event.Sides[i]; o.Side != "" && s.ID == o.Side {
			return cmp.Or(fold.Clean(s.Label), fold.Clean(s.ID))
		}
	}
	return ""
}

// helperFaults lists what is wrong with the options that choose a helper.
func helperFaults(e *event.Event, o Options) []event.Advice {
	var out []event.Advice
	if o.Side+o.Person != "" && o.Kind != Finder {
		out = append(out, event.Tell(event.Error, "NOT_DRAWN", "side", nil, wording.Say("sheet.onlyTheFindersSheet")))
	}
	if o.Side != "" && !slices.ContainsFunc(e.Sides, func(s event.Side) bool { return s.ID == o.Side }) {
		out = append(out, event.Tell(event.Error, "UNKNOWN_ID", "side", nil, wording.Say("sheet.noSuchSide")))
	}
	if o.Person != "" && !slices.ContainsFunc(e.Circles, func(c event.Circle) bool { return c.Leader == o.Person }) {
		out = append(out, event.Tell(event.Error, "UNKNOWN_ID", "person", nil, wording.Say("sheet.gathersNobody")))
	}
	return out
}

// wantedBy reports whether a helper of these options looks for somebody.
func (b *builder) wantedBy(o Options, id, side string) bool {
	if o.Side != "" && o.Side != side {
		return false
	}
	return o.Person == "" || slices.ContainsFunc(b.groups, func(g group) bool { return g.leader == o.Person && g.people[id] })
}

// circlesOf lists the people of one side, or of none, party by party in the order of call; people who come alone are
// last.
func (b *builder) circlesOf(parties []party, stints map[string][]stint, side string, o Options) []finderCircle {
	known := map[string]bool{}
	for i := range b.event.Sides {
		known[b.event.Sides[i].ID] = true
	}
	var out []finderCircle
	var alone []face
	for _, p := range parties {
		var faces []face
		for _, id := range p.people {
			of := b.sideOf(id, known)
			if o.Side == "" && p.title != "" && (b.honoured(id) || b.attends(id)) && slices.ContainsFunc(p.people, func(other string) bool { return b.sideOf(other, known) != of }) {
				of = "" // the couple, or attendants of both, come together; family stays on its side
			}
			if of == side && b.wantedBy(o, id, of) {
				faces = append(faces, b.face(id, p.title != "" && id == p.leader, stints[id]))
			}
		}
		if len(faces) < 2 || p.title == "" {
			alone = append(alone, faces...)
			continue
		}
		byCall(faces)
		out = append(out, finderCircle{Title: p.title, Faces: faces})
	}
	slices.SortStableFunc(out, func(x, y finderCircle) int { return earliest(x.Faces) - earliest(y.Faces) })
	if len(alone) > 0 {
		title := ""
		if len(out) > 0 {
			title = b.cat.Say("sheet.others")
		}
		byCall(alone)
		out = append(out, finderCircle{Title: title, Faces: alone})
	}
	return out
}

// sideOf is the side of a person, if that is one of those that are known.
func (b *builder) sideOf(id string, known map[string]bool) string {
	if p := b.people[id]; p != nil && known[p.Side] {
		return p.Side
	}
	return ""
}

// beforeComma is the first part of the name of a place.
func beforeComma(place string) string {
	if i := strings.IndexAny(place, ",،，;("); i > 0 {
		return strings.TrimSpace(place[:i])
	}
	return place
}

// usualPlace is where most entries are taken.
func (b *builder) usualPlace() string {
	entries := map[string]int{}
	usual := ""
	for i := range b.sheet.Blocks {
		place := b.placeOf(&b.sheet.Blocks[i])
		if entries[place] += len(b.sheet.Blocks[i].Entries); entries[place] > entries[usual] {
			usual = place
		}
	}
	return usual
}

// byCall sorts faces by their first call, with the leader in front.
func byCall(faces []face) {
	slices.SortStableFunc(faces, func(x, y face) int { return cmp.Or(before(x.Leader, y.Leader), x.first-y.first) })
}

// earliest is the first call of some faces.
func earliest(faces []face) int {
	return slices.MinFunc(faces, func(x, y face) int { return x.first - y.first }).first
}

// face says how to find a person and when they are called.
func (b *builder) face(id string, leader bool, stints []stint) face {
	view := b.call(id)
	f := face{Name: view.Name, Say: view.Say, Index: b.said(id), Leader: leader, Notes: view.Notes, first: len(b.frames)}
	if f.sorted = f.Name; f.Index != f.Name {
		f.sorted = fold.Clean(b.people[id].SayAs)
	}
	place := b.usualPlace()
	for _, s := range stints {
		for i, call := range s.calls {
			next := faceCall{Number: b.cat.Number(b.numbers[call.at]), Start: call.start, Near: call.near}
			if at := b.placeOf(s.block); i == 0 && at != place {
				next.Place, place = beforeComma(at), at // the whole of it is at the head
			}
			f.Calls, f.numbers, f.first = append(f.Calls, next), append(f.numbers, b.numbers[call.at]), min(f.first, call.at)
		}
	}
	if by := b.freeBy(id); by != "" {
		f.Free = b.cat.Say("sheet.freeAt", by)
	}
	return f
}
