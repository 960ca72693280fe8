package sheet

import (
	"html/template"
	"regexp"
	"slices"
	"strconv"

	"kinorder.example/server/internal/diagram"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
)

// cardsPage is cards to cut apart, four to a page, one for each grouping, for the people who gather it. A card
// holds names, the time and the place, and nothing else about people. The last holds the rule of safety.
type cardsPage struct {
	pageShell
	Height string // class that gives a card a quarter of the page
	Cards  []card
}

// card is one grouping, or a part of one that is too large.
type card struct {
	Number  int
	Start   string
	Title   string
	Place   string
	Part    string // which part it is, or empty
	Leaders []string
	Gather  string      // the word before the leaders
	Groups  []callGroup // of a card of many, in place of the leaders: those that somebody gathers
	Others  []string    // the groups that nobody gathers
	Names   []cardName
	Size    string // class that says how the names are set
	Picture template.HTML
}

// cardName is a name with its number in the picture, if that has numbers.
type cardName struct{ Number, Name string }

// cardSize is how names are set: the number of columns, the height of lines in points, and the width of a line in
// characters. Found by trial on A4 and Letter.
type cardSize struct {
	name            string
	columns, across int
	line            float64
}

var cardSizes = []cardSize{{"huge", 1, 25, 22}, {"large", 1, 34, 17}, {"medium", 2, 18, 14.5}, {"dense", 2, 22, 12}, {"close", 3, 14, 11.5}}

// The room of a card in points: how high it is by paper, and how wide on the narrower.
const (
	cardHighA4     = 366.0
	cardHighLetter = 342.0
	cardWide       = 246.0
)

func (b *builder) cardsPage(shell pageShell, paper Paper) *cardsPage {
	page, high := &cardsPage{pageShell: shell, Height: "quarterA4"}, cardHighA4
	if paper == Letter {
		page.Height, high = "quarterLetter", cardHighLetter
	} else {
		page.Size = "A4"
	}
	number := 0
	for i := range b.sheet.Blocks {
		s := &b.sheet.Blocks[i]
		for k := range s.Entries {
			number++
			page.Cards = append(page.Cards, b.cards(s, &s.Entries[k], number, high)...)
		}
	}
	return page
}

// cards makes the card of an entry, so high, or several when its names do not fit on one.
func (b *builder) cards(s *event.SheetBlock, entry *event.SheetEntry, number int, high float64) []card {
	people := slices.Concat(entry.StepIn, entry.Stay)
	whole := card{
		Number: number, Start: b.at(s, entry.Offset), Title: b.title(entry.Grouping, entry.Title), Place: b.placeOf(s),
	}
	leaders := b.leadersOf(people)
	for _, id := range leaders {
		whole.Leaders = append(whole.Leaders, b.name(id))
	}
	whole.Gather = gathering(b.cat, len(leaders))
	room := high - 36 - 17*float64(rowsOf(whole.Title, 28)) - 13*float64(rowsOf(whole.Place, 44))
	if picture, placed := b.cardPicture(entry); picture != "" {
		if size := fitting(placed, room-b.leading(&whole)-pictureHeight(picture)); size != nil {
			whole.Picture, whole.Names, whole.Size = picture, placed, size.name
			return []card{whole}
		}
	}
	names := b.cardNames(people, leaders)
	if groups := b.callGroups(people); len(groups) > 1 {
		whole.Leaders = nil
		for _, g := range groups {
			if g.Leader == "" {
				whole.Others = append(whole.Others, g.Title)
			} else {
				whole.Groups = append(whole.Groups, g)
			}
		}
		names = b.cardNames(people, nil)
		compare := alphabet(b.cat)
		slices.SortStableFunc(names, func(x, y cardName) int { return compare(x.Name, y.Name) })
	}
	whole.Gather = gathering(b.cat, max(len(whole.Leaders), len(whole.Groups)))
	leading := b.leading(&whole)
	if size := fitting(names, room-leading); size != nil {
		whole.Names, whole.Size = names, size.name
		return []card{whole}
	}
	return b.parts(whole, names, room, leading)
}

// cardNames are the names on a card: those who gather in front, then everybody else as the event lists them.
func (b *builder) cardNames(people, leaders []string) []cardName {
	var names []cardName
	others := slices.DeleteFunc(inOrder(b, people), func(id string) bool { return slices.Contains(leaders, id) })
	for _, id := range slices.Concat(leaders, others) {
		names = append(names, cardName{Name: b.name(id)})
	}
	return names
}

// gathering is the word before so many who gather the others.
func gathering(c *wording.Catalogue, people int) string {
	if people > 1 {
		return c.Say("sheet.leaders")
	}
	return c.Say("sheet.leader")
}

// leading is how high the lines are that say who gathers.
func (b *builder) leading(c *card) float64 {
	high := 0.0
	if len(c.Groups) > 0 {
		high = 15
	}
	for _, g := range c.Groups {
		high += 12.5 * float64(rowsOf(g.Leader+" "+g.Title, 48))
	}
	if len(c.Others) > 0 {
		high += 12.5 * float64(rowsOf(b.cat.List(append([]string{b.cat.Say("sheet.noLeader")}, c.Others...)), 44))
	}
	if len(c.Leaders) > 0 {
		high += 15 * float64(rowsOf(b.cat.List(append([]string{c.Gather}, c.Leaders...)), 36))
	}
	return high
}

// parts spreads names over several cards, the leaders on the first.
func (b *builder) parts(whole card, names []cardName, room, leading float64) []card {
	var out []card
	size := cardSizes[3]
	room -= leading
	for first := 0; first < len(names); {
		n := 1
		for first+n < len(names) && linesOf(names[first:first+n+1], size)*size.line <= room {
			n++
		}
		c := whole
		c.Names, c.Size = names[first:first+n], size.name
		if first > 0 {
			c.Leaders, c.Groups, c.Others = nil, nil, nil
		} else {
			room += leading
		}
		out = append(out, c)
		first += n
	}
	for i := range out {
		out[i].Part = b.cat.Say("sheet.part", i+1, len(out))
	}
	return out
}

// fitting is the largest size in which names fit into a height; nil when there is none.
func fitting(names []cardName, high float64) *cardSize {
	for i := range cardSizes {
		if size := &cardSizes[i]; linesOf(names, *size)*size.line <= high {
			return size
		}
	}
	return nil
}

// linesOf says how many lines names take.
func linesOf(names []cardName, size cardSize) float64 {
	n := 0
	for _, name := range names {
		n += rowsOf(name.Number+name.Name, size.across)
	}
	if size.columns > 1 { // columns are not always even
		n += size.columns - 1
	}
	return float64((n + size.columns - 1) / size.columns)
}

// cardPicture draws who stands where in an entry, and lists names by the numbers of the picture; nothing when a card is
// too narrow for them.
func (b *builder) cardPicture(entry *event.SheetEntry) (template.HTML, []cardName) {
	v := b.stand(entry)
	if v == nil || !diagram.Legible(*v.plan, diagram.HalfWidth) {
		return "", nil
	}
	picture, rows := b.picture(v.plan, diagram.HalfWidth, true)
	var placed []cardName
	for _, row := range rows {
		for _, p := range row.People {
			placed = append(placed, cardName{p.Number, p.Name})
		}
	}
	return picture, placed
}

// viewBox finds the sides of a drawing.
var viewBox = regexp.MustCompile(`viewBox="0 0 ([0-9.]+) ([0-9.]+)"`)

// pictureHeight is how high a picture is on a card.
func pictureHeight(picture template.HTML) float64 {
	m := viewBox.FindStringSubmatch(string(picture))
	if m == nil {
		return cardHighA4
	}
	wide, _ := strconv.ParseFloat(m[1], 64) // digits only
	high, _ := strconv.ParseFloat(m[2], 64)
	return high/wide*cardWide + 6
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
