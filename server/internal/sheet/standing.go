package sheet

import (
	"fmt"
	"html/template"
	"slices"

	"kinorder.example/server/internal/diagram"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
)

// standView is who stands where in one entry.
type standView struct {
	builder *builder
	plan    *event.Standing
	Room    string   // how wide and deep it is
	Notes   []string // sentences: what cannot be, what to do about it, what to mind
	Caution string   // where steps or chairs are used or proposed
	Moves   []string // of those who stay, who changes place, unless they are many
	Wide    bool     // more than half a page is needed, for the people or their names
}

// mostMoves is how many names are worth a line; when more change place, all are placed anew.
const mostMoves = 8

// standRow is a row in words, with the numbers of its figures.
type standRow struct {
	Caption string
	People  []standPerson
}

// standPerson is a name with the number of its figure.
type standPerson struct {
	id           string
	Number, Name string
	Holding      string // the word before those who are held by the person before them
}

// stand puts the standing plan of an entry into words; nil when there is none, or one of other people.
func (b *builder) stand(entry *event.SheetEntry) *standView {
	s := entry.Standing
	if s == nil || !samePeople(s, slices.Concat(entry.StepIn, entry.Stay)) {
		return nil
	}
	c := b.cat
	v := &standView{builder: b, plan: s}
	v.Wide = diagram.Wide(*s) || !diagram.Labelled(*s, b.names(s), diagram.Options{Width: diagram.HalfWidth})
	if moves := b.short(s.Moves); len(moves) <= mostMoves {
		v.Moves = moves
	}
	v.Room = c.Say("standing.mWideAndMDeep", c.Tenths(float64((s.WidthCM+9)/10)/10), c.Tenths(float64((s.DepthCM+9)/10)/10))
	say := func(k wording.Key, args ...any) { v.Notes = append(v.Notes, c.Say(k, args...)) }
	if s.Has(event.TooWide) || s.Has(event.TooDeep) {
		say("standing.doesNotFitThePlace", v.Room)
	}
	if s.Has(event.FaceHidden) {
		say("standing.faceMayBeHidden")
	}
	if remedy := s.RemedyText(); !remedy.Empty() {
		v.Notes = append(v.Notes, c.Render(remedy))
	}
	if s.Has(event.WheelchairAlone) {
		say("standing.wheelchairIsAtTheEndOf")
	}
	if s.Has(event.HeightsGuessed) {
		say("standing.someHeightsAreGuessedByAge")
	}
	if s.Has(event.MindSteps) || s.Has(event.MindChairs) || s.Remedy >= event.RemedyChairs && s.Remedy <= event.RemedyTwoSteps {
		v.Caution = b.climbing()
	}
	return v
}

// standPicture is a picture, with the list that its numbers ask for.
type standPicture struct {
	Picture template.HTML
	Listed  []standRow
}

// Drawn draws the picture; nil when the plan cannot be drawn.
func (v *standView) Drawn() *standPicture {
	width := diagram.HalfWidth
	if v.Wide {
		width = diagram.PageWidth
	}
	picture, rows := v.builder.picture(v.plan, width, false)
	if picture == "" {
		return nil
	}
	return &standPicture{picture, rows}
}

// climbing is the usual caution about steps, chairs and ladders: common practice.
func (b *builder) climbing() string {
	return b.cat.Say("standing.stepsChairsAndLaddersStandFirm")
}

// samePeople reports whether a plan is of just these people.
func samePeople(s *event.Standing, ids []string) bool {
	var placed []string
	for _, row := range s.Rows {
		for _, p := range row.Places {
			placed = append(placed, p.Person)
		}
	}
	sorted := func(list []string) []string { return slices.Compact(slices.Sorted(slices.Values(list))) }
	return len(placed) > 0 && slices.Equal(sorted(placed), sorted(ids))
}

// pictureWords are the words of a diagram in the language of the sheet.
func (b *builder) pictureWords() diagram.Words {
	c := b.cat
	return diagram.Words{
		Title: c.Say("standing.whereEverybodyStandsAsTheCamera"), OnlyRow: c.Say("standing.oneRow"), FrontRow: c.Say("standing.frontRow"), BackRow: c.Say("standing.backRow"),
		MiddleRow: func(n int) string { return c.Say("standing.row", c.Number(n)) },
		Postures: map[event.Posture]string{
			event.Upright: c.Say("standing.standing"), event.OnGround: c.Say("standing.onTheGround"), event.Kneeling: c.Say("standing.kneeling"),
			event.OnChair: c.Say("standing.onChairs"), event.InWheelchair: c.Say("standing.inAWheelchair"), event.OnStep: c.Say("standing.onTheStep"),
			event.OnSecondStep: c.Say("standing.onTheSecondStep"),
		},
		Separator: c.Say(wording.KeyListSeparator), Colon: c.Say(wording.KeyColon), Camera: c.Say("standing.camera"), Holding: c.Say("standing.holding"),
		Number: c.Number, RightToLeft: c.RightLeft(),
	}
}

// names lists how people are called, by id.
func (b *builder) names(s *event.Standing) map[string]string {
	out := map[string]string{}
	for _, row := range s.Rows {
		for _, p := range row.Places {
			out[p.Person] = b.name(p.Person)
		}
	}
	return out
}

// picture draws a plan with names, or with numbers when these are asked for or names do not fit; the
// rows then say whose they are. Nothing is drawn of a plan that cannot be.
func (b *builder) picture(s *event.Standing, width float64, numbers bool) (template.HTML, []standRow) {
	names, words := b.names(s), b.pictureWords()
	o := diagram.Options{Width: width, NumbersOnly: numbers}
	o.NumbersOnly = !diagram.Labelled(*s, names, o)
	svg, err := diagram.SVG(*s, names, words, o)
	if err != nil {
		return "", nil
	}
	if !o.NumbersOnly {
		return template.HTML(svg), nil // escaped by package diagram
	}
	var rows []standRow
	for _, row := range diagram.Rows(*s, words) {
		r := standRow{Caption: row.Caption + words.Colon}
		for _, p := range row.People {
			person := standPerson{id: p.ID, Number: words.Number(p.Number), Name: names[p.ID]}
			if p.Holding {
				person.Holding = words.Holding
			}
			r.People = append(r.People, person)
		}
		rows = append(rows, r)
	}
	return template.HTML(svg), rows
}

// standingPage is the booklet of pictures: one for each grouping.
type standingPage struct {
	pageShell
	Caution string
	Pages   []standingBlock
}

// standingBlock is one block on its own pages.
type standingBlock struct {
	Page, Title, Place, Hours, Date string
	Rows                            []standingRow
}

// standingRow is one wide picture, or two that take half a page each.
type standingRow struct{ Entries []standingEntry }

// standingEntry is a grouping with its picture.
type standingEntry struct {
	*standView
	Number       int
	Start, Title string
}

// Has reports whether there is a plan.
func (e standingEntry) Has() bool { return e.standView != nil }

// people counts who is in the picture.
func (v *standView) people() int {
	n := 0
	for _, row := range v.plan.Rows {
		n += len(row.Places)
	}
	return n
}

// Size says how much of the page the picture takes: "half", "wide", or "wide long" when its list may go on
// on the next page.
func (e standingEntry) Size() string {
	switch {
	case !e.Has() || !e.Wide:
		return "half"
	case e.people() > longFrom/2:
		return "wide long"
	default:
		return "wide"
	}
}

func (b *builder) standingPage(shell pageShell) *standingPage {
	page := &standingPage{pageShell: shell}
	number := 0
	for i := range b.sheet.Blocks {
		s := &b.sheet.Blocks[i]
		view := b.block(i)
		block := standingBlock{
			Page: fmt.Sprintf("block%d", i+1), Title: view.Title, Place: view.Place, Hours: view.Hours, Date: view.Date,
		}
		page.addHead(block.Page, view.Title)
		for k := range s.Entries {
			number++
			v := &view.Entries[k]
			e := standingEntry{standView: v.Stand, Number: number, Start: v.Start, Title: v.Title}
			if v.Stand != nil && v.Stand.Caution != "" {
				page.Caution, page.Heads[i].Foot = v.Stand.Caution, v.Stand.Caution
			}
			block.add(e)
		}
		page.Pages = append(page.Pages, block)
	}
	return page
}

// add puts an entry beside the one before where both take half a page.
func (p *standingBlock) add(e standingEntry) {
	if n := len(p.Rows); n > 0 && e.Size() == "half" {
		if last := &p.Rows[n-1]; len(last.Entries) == 1 && last.Entries[0].Size() == "half" {
			last.Entries = append(last.Entries, e)
			return
		}
	}
	p.Rows = append(p.Rows, standingRow{[]standingEntry{e}})
}
