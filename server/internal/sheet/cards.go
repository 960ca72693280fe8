package sheet

import (
	"html/template"
	"slices"

	"kinorder.example/server/internal/diagram"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
)

// cardsPage is rows of cards to cut apart, one card for each grouping: for whoever gathers it. A card
// holds names, the time and the place, and nothing else about people.
type cardsPage struct {
	pageShell
	RowHeight string // class that gives a row of cards a third of the page
	Rows      []cardRow
}

// cardRow is one or two cards side by side.
type cardRow struct{ Cards []card }

// card is one grouping, or a part of one that is too large.
type card struct {
	Number  int
	Start   string
	Title   string
	Place   string
	Part    string // which part it is, or empty
	Leaders []string
	Names   []string // the others
	Size    string   // "small", "beside", "wide" or "page"
	// Picture says who stands where; Placed are the names by the numbers in it, instead of Names.
	Picture template.HTML
	Placed  []standPerson
	Caution string
}

// cardSize is a size of card: how many lines of names fit, and how wide a line is, in columns of the
// terminal, which go with the widths on paper well enough. By trial on A4 and Letter.
type cardSize struct {
	name           string
	lines, columns int // of all columns of names together; of one line
}

var cardSizes = []cardSize{{"small", 10, 30}, {"wide", 24, 21}, {"page", 118, 21}}

// pictureSizes are those of cards with a picture beside or below the names.
var pictureSizes = []cardSize{{"beside", 10, 30}, {"wide", 24, 21}, {"page", 75, 21}}

func (b *builder) cardsPage(shell pageShell, paper Paper) *cardsPage {
	page := &cardsPage{pageShell: shell, RowHeight: "thirdA4"}
	if paper == Letter {
		page.RowHeight = "thirdLetter"
	} else {
		page.Size = "A4"
	}
	number := 0
	for i := range b.sheet.Blocks {
		s := &b.sheet.Blocks[i]
		for k := range s.Entries {
			number++
			for _, c := range b.cards(s, &s.Entries[k], number) {
				page.add(c)
			}
		}
	}
	return page
}

// add puts a card into the last row, or into a new one when there is no room.
func (p *cardsPage) add(c card) {
	if n := len(p.Rows); c.Size == "small" && n > 0 {
		last := &p.Rows[n-1]
		if len(last.Cards) == 1 && last.Cards[0].Size == "small" {
			last.Cards = append(last.Cards, c)
			return
		}
	}
	p.Rows = append(p.Rows, cardRow{Cards: []card{c}})
}

// cards makes the card of an entry, or several when its names do not fit on one.
func (b *builder) cards(s *event.SheetBlock, entry *event.SheetEntry, number int) []card {
	people := slices.Concat(entry.StepIn, entry.Stay)
	leaders := b.leadersOf(people)
	ids := slices.Concat(leaders, slices.DeleteFunc(inOrder(b, people), func(id string) bool { return slices.Contains(leaders, id) }))
	whole := card{
		Number: number, Start: b.at(s, entry.Offset), Title: b.title(entry.Grouping, entry.Title), Place: b.placeOf(s),
	}
	head := (width(whole.Title)+29)/30 + (width(whole.Place)+39)/40 - 2 // lines beyond one each
	sizes := cardSizes
	if b.stand(entry) != nil {
		sizes = pictureSizes
	}
	var size cardSize
	for _, size = range sizes {
		if b.lines(ids, size)+max(head, 0)+len(leaders)/2 <= size.lines {
			break
		}
	}
	var out []card
	for first := 0; first < len(ids) || first == 0; {
		c := whole
		c.Size = size.name
		used, n := 0, 0
		for first+n < len(ids) {
			need := b.lines(ids[first+n:first+n+1], size)
			if n > 0 && used+need > size.lines {
				break
			}
			used += need
			n++
		}
		for i, id := range ids[first : first+n] {
			if first+i < len(leaders) {
				c.Leaders = append(c.Leaders, b.name(id))
			} else {
				c.Names = append(c.Names, b.name(id))
			}
		}
		first += n
		out = append(out, c)
		if n == 0 {
			break
		}
	}
	b.illustrate(&out[0], entry)
	if len(out) > 1 {
		for i := range out {
			out[i].Part = b.cat.Say(wording.KeyPart, i+1, len(out))
		}
	}
	return out
}

// illustrate puts the picture of an entry on its first card. Names that all are on that card are listed
// by the numbers of the picture.
func (b *builder) illustrate(c *card, entry *event.SheetEntry) {
	v := b.stand(entry)
	if v == nil {
		return
	}
	canvas := diagram.PageWidth
	if c.Size == "beside" {
		canvas = diagram.HalfWidth
	}
	picture, rows := b.picture(v.plan, canvas, true)
	c.Picture, c.Caution = picture, v.Caution
	for _, row := range rows {
		c.Placed = append(c.Placed, row.People...)
	}
	if len(c.Placed) != len(c.Names)+len(c.Leaders) { // the others are on the next card
		c.Picture, c.Placed = "", nil
	}
}

// lines says how many lines names take on a card.
func (b *builder) lines(ids []string, size cardSize) int {
	n := 0
	for _, id := range ids {
		n += max((width(b.name(id))+size.columns-1)/size.columns, 1)
	}
	return n
}

// inOrder sorts people as the event lists them, strangers last, each once.
func inOrder(b *builder, ids []string) []string {
	in := make(map[string]bool, len(ids))
	for _, id := range ids {
		in[id] = true
	}
	var out []string
	for i := range b.event.People {
		if id := b.event.People[i].ID; in[id] {
			out = append(out, id)
			delete(in, id)
		}
	}
	for _, id := range ids {
		if in[id] {
			out = append(out, id)
			delete(in, id)
		}
	}
	return out
}

// leadersOf lists who gathers the people of a grouping: the leaders of the circles that are in it
// whole, but not of a circle inside another that has a leader here.
func (b *builder) leadersOf(ids []string) []string {
	in := make(map[string]bool, len(ids))
	for _, id := range ids {
		in[id] = true
	}
	var out []string
	covered := map[string]bool{}
	for _, g := range b.groups { // the largest first
		if g.leader == "" || !in[g.leader] || len(g.people) > len(in) || !within(g.people, in) || within(g.people, covered) {
			continue
		}
		for id := range g.people {
			covered[id] = true
		}
		if !slices.Contains(out, g.leader) {
			out = append(out, g.leader)
		}
	}
	return out
}
