package sheet

import (
	"cmp"
	"html/template"
	"slices"
	"strings"

	"kinorder.example/server/internal/diagram"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/sheet/remarks"
	"kinorder.example/server/internal/wording"
)

// standView is who stands where in one entry.
type standView struct {
	builder *builder
	plan    *event.Standing
	Facts   []string // how many have a name and how many haven't, where somebody hasn't; how wide and deep it is
	Notes   []string // sentences: what cannot be, what to do about it, what to mind
	Moves   []string // of those who stay, who changes place, unless they are many
	Guessed string   // a sentence, where heights are guessed: said once a page
	width   float64  // of the picture
}

// mostMoves is the most names listed as changing place; if more do, everybody is placed again.
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
	v.width = diagram.Least(*s, b.names(s), b.pictureWords())
	if moves := b.short(s.Moves); len(moves) <= mostMoves {
		v.Moves = moves
	}
	if n := b.guests[entry.Grouping]; n > 0 {
		v.Facts = append(v.Facts, c.Say("sheet.namedAndGuests", len(b.names(s))-1, n))
	}
	wide := c.Tenths(float64((s.WidthCM+9)/10) / 10)
	room := c.Say("standing.mWideAndMDeep", wide, c.Tenths(float64((s.DepthCM+9)/10)/10))
	if size := c.Say("standing.mWide", wide); v.people() > 3 { // of few it says nothing
		if len(s.Rows) > 1 {
			size = room
		}
		v.Facts = append(v.Facts, c.Facts(append([]string{size}, b.atHand(entry)...)...))
	}
	say := func(k wording.Key, args ...any) { v.Notes = append(v.Notes, c.Say(k, args...)) }
	if s.Has(event.TooWide) || s.Has(event.TooDeep) {
		say("standing.doesNotFitThePlace", room)
	}
	if s.Has(event.FaceHidden) {
		say("standing.faceMayBeHidden")
	}
	if remedy := s.RemedyText(); !remedy.Empty() {
		v.Notes = append(v.Notes, c.Render(remedy))
	}
	if s.MoreAdults > 0 {
		say("standing.needsMoreAdults", s.MoreAdults)
	}
	if s.Has(event.WheelchairAlone) {
		say("standing.wheelchairIsAtTheEndOf")
	}
	if s.Has(event.HeightsGuessed) {
		v.Guessed = c.Say("standing.someHeightsAreGuessedByAge")
	}
	return v
}

// Wide says that the picture is as wide as a page.
func (v *standView) Wide() bool { return v.width == diagram.PageWidth }

// standPicture is a picture, with the list that its numbers ask for.
type standPicture struct {
	Picture template.HTML
	Listed  []standRow
}

// Drawn draws the picture; nil when the plan cannot be drawn.
func (v *standView) Drawn() *standPicture {
	picture, rows := v.builder.picture(v.plan, v.width, false)
	if picture == "" {
		return nil
	}
	return &standPicture{picture, rows}
}

// samePeople reports whether a plan is of just these people.
func samePeople(s *event.Standing, ids []string) bool {
	var placed []string
	for _, row := range s.Rows {
		for _, p := range row.Places {
			if p.Person != "" { // a guest known by number only
				placed = append(placed, p.Person)
			}
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
		Separator: c.Say("sheet.factSeparator"), Colon: c.Say("sheet.colon"), Holding: c.Say("standing.holding"),
		Guests: func(n int) string { return c.Say("standing.otherGuests", n) },
		Number: c.Number, RightToLeft: c.RightLeft(),
	}
}

// names lists how people are called, by id.
func (b *builder) names(s *event.Standing) map[string]string {
	out := map[string]string{}
	for _, row := range s.Rows {
		for _, p := range row.Places {
			out[p.Person] = ""
			if p.Person != "" {
				out[p.Person] = b.name(p.Person)
			}
		}
	}
	return out
}

// picture draws a plan with names, or with numbers where they are asked for or names do not fit; then the rows list
// whose numbers they are. A plan that cannot be drawn has no picture.
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
		r := standRow{Caption: strings.TrimPrefix(row.Caption+words.Colon, words.Colon)} // no colon alone
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
	Guessed, Chairs string
	Pages           []standingBlock
}

// standingBlock is one block with its pictures.
type standingBlock struct {
	*blockView
	Rows []standingRow
}

// standingRow is one wide picture, or two or three side by side.
type standingRow struct {
	Entries []standingEntry
	sixths  int // of the width that are taken
}

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

// Size says how much of the width the picture takes: "third", "half", "wide", or "wide long" when its list may go on
// on the next page.
func (e standingEntry) Size() string {
	switch {
	case e.sixths() == 2:
		return "third"
	case e.sixths() == 3:
		return "half"
	case e.people() >= longFrom:
		return "wide long"
	default:
		return "wide"
	}
}

// sixths is the share of the width.
func (e standingEntry) sixths() int {
	switch {
	case !e.Has() || e.width == diagram.ThirdWidth:
		return 2
	case e.width == diagram.HalfWidth:
		return 3
	default:
		return 6
	}
}

func (b *builder) standingPage(shell pageShell) *standingPage {
	page := &standingPage{pageShell: shell}
	if n := remarks.MostChairs(b.sheet, b.people); n > 0 {
		page.Chairs = b.cat.Say("sheet.chairsToBring", n)
	}
	for i := range b.sheet.Blocks {
		view := b.block(i)
		block := standingBlock{blockView: &view}
		for k := range view.Entries {
			v := &view.Entries[k]
			block.add(standingEntry{standView: v.Stand, Number: v.Number, Start: v.Start, Title: v.Title})
			if v.Stand != nil {
				page.Guessed = cmp.Or(page.Guessed, v.Stand.Guessed)
			}
		}
		page.Pages = append(page.Pages, block)
	}
	return page
}

// add puts an entry beside those before where there is room.
func (p *standingBlock) add(e standingEntry) {
	n := len(p.Rows)
	if n == 0 || p.Rows[n-1].sixths+e.sixths() > 6 {
		p.Rows = append(p.Rows, standingRow{})
		n++
	}
	row := &p.Rows[n-1]
	row.Entries, row.sixths = append(row.Entries, e), row.sixths+e.sixths()
}
