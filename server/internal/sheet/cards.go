package sheet

import (
	"cmp"
	"html/template"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"kinorder.example/server/internal/diagram"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/sheet/fold"
	"kinorder.example/server/internal/sheet/script"
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
	Gather  string       // the word before the leaders
	Groups  []callGroup  // of a card of many, in place of the leaders: those that somebody gathers
	Others  []string     // the groups that nobody gathers
	Columns [][]cardName // names, in the size of type of the class
	Size    string
	Picture template.HTML
	Caution string // the rule of safety in short, where there is something to mind
}

// cardName is a name with its number in the picture, if that has numbers, and how it is said.
type cardName struct{ Number, Name, Say string }

// cardType are the sizes of type for names, in points, each a class: the largest in which they fill the card.
var cardType = []float64{24, 21, 18, 16, 14, 12, 11, 10, 9}

// The room of a card in points: how high it is by paper, and how wide on the narrower. Below it, that of characters of a size of type of one point, by trial on paper; pictures leave half of the room to the names.
const (
	cardHighA4     = 366.0
	cardHighLetter = 342.0
	cardWide       = 246.0

	cardChar, cardGap = 0.575, 9.0
	mostPicture       = 0.55
)

func (b *builder) cardsPage(shell pageShell, paper Paper) *cardsPage {
	page, high := &cardsPage{pageShell: shell, Height: "quarterA4"}, cardHighA4
	if paper == Letter {
		page.Height, high = "quarterLetter", cardHighLetter
	} else {
		page.Size = "A4"
	}
	for i := range b.sheet.Blocks {
		s := &b.sheet.Blocks[i]
		for k := range s.Entries {
			page.Cards = append(page.Cards, b.cards(s, &s.Entries[k], b.number(event.SheetPlace{Block: i, Entry: k}), high)...)
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
	leaders := b.leadersOf(entry.StepIn) // as the call sheet has them
	whole.Leaders = b.saidOf(leaders)
	whole.Gather = gathering(b.cat, len(leaders))
	room := high - 46 - 17*float64(fold.Rows(whole.Title, 28)) - 13*float64(fold.Rows(whole.Place, 44))
	if whole.Caution = b.caution(entry, people); whole.Caution != "" {
		room -= 11 * float64(fold.Rows(whole.Caution, 48))
	}
	if b.pictured(&whole, entry, room-b.leading(&whole)) {
		return []card{whole}
	}
	names := b.cardNames(people, leaders)
	if groups := b.callGroups(entry.StepIn); len(groups) > 1 {
		whole.Leaders = nil
		for _, g := range groups {
			if g.Leader == "" {
				whole.Others = append(whole.Others, g.Title)
			} else {
				whole.Groups = append(whole.Groups, g)
			}
		}
		names = b.cardNames(people, nil)
		compare := script.Alphabet(b.cat)
		slices.SortStableFunc(names, func(x, y cardName) int { return compare(x.Name, y.Name) })
	}
	whole.Gather = gathering(b.cat, max(len(whole.Leaders), len(whole.Groups)))
	leading := b.leading(&whole)
	if whole.fill(names, room-leading) {
		return []card{whole}
	}
	one := whole // who is in no group that somebody gathers is among the names: one card is better than two
	if one.Others = nil; len(whole.Groups) > 0 && one.fill(names, room-b.leading(&one)) {
		return []card{one}
	}
	return b.parts(whole, names, room, leading)
}

// caution is what of the rule of safety applies to a photograph: to chairs, steps and wheelchairs of its plan, and without
// one to a photograph of many.
func (b *builder) caution(entry *event.SheetEntry, people []string) string {
	many := entry.Standing == nil && len(people) > fewest
	chairs, steps, wheels := many, many, slices.ContainsFunc(people, func(id string) bool {
		p := b.people[id]
		return p != nil && slices.Contains(p.Needs, event.Wheelchair)
	})
	if entry.Standing != nil {
		for _, row := range entry.Standing.Rows {
			for _, p := range row.Places {
				chairs = chairs || p.Posture == event.OnChair
				steps = steps || p.Posture == event.OnStep || p.Posture == event.OnSecondStep
			}
		}
	}
	var out []string
	for _, rule := range []struct {
		applies bool
		text    wording.Key
	}{{chairs, "sheet.safetyChairs"}, {steps, "sheet.safetySteps"}, {wheels, "sheet.safetyWheelchairs"}} {
		if rule.applies {
			out = append(out, b.cat.Say(rule.text))
		}
	}
	return strings.Join(out, " ")
}

// cardNames are the names on a card: those who gather in front, then everybody else as the event lists them.
func (b *builder) cardNames(people, leaders []string) []cardName {
	var names []cardName
	others := slices.DeleteFunc(inOrder(b, people), func(id string) bool { return slices.Contains(leaders, id) })
	for _, id := range slices.Concat(leaders, others) {
		names = append(names, b.cardName("", id, len(people)))
	}
	return names
}

// cardName is a name on a card of so many people. Among many only what readers may not know the script of is spelt out, and
// among very many nothing: they are called by groups.
func (b *builder) cardName(number, id string, people int) cardName {
	n := cardName{Number: number, Name: b.name(id)}
	if people <= fewest || people <= 2*fewest && script.Unread(b.cat, n.Name) {
		n.Say = b.saying(id)
	}
	return n
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
		high += 12.5 * float64(fold.Rows(g.Leader+" "+g.Title, 50))
	}
	if len(c.Others) > 0 {
		high += 12.5 * float64(fold.Rows(b.cat.List(append([]string{b.cat.Say("sheet.noLeader")}, c.Others...)), 44))
	}
	if len(c.Leaders) > 0 {
		high += 15 * float64(fold.Rows(b.cat.List(append([]string{c.Gather}, c.Leaders...)), 36))
	}
	return high
}

// parts spreads names over as few cards as it takes, about as many on each; the leaders are on the first.
func (b *builder) parts(whole card, names []cardName, room, leading float64) []card {
	out := spread(whole, names, room, leading, 1)
	if even := spread(whole, names, room, leading, len(out)); len(even) == len(out) {
		out = even
	}
	for i := range out {
		out[i].Part = b.cat.Say("sheet.part", i+1, len(out))
	}
	return out
}

// spread puts names on cards, on each a share of those that are left for so many cards, if that fits.
func spread(whole card, names []cardName, room, leading float64, cards int) []card {
	var out []card
	for room -= leading; len(names) > 0; cards = max(cards-1, 1) {
		c, n := whole, min((len(names)+cards-1)/cards, 100) // no card holds a hundred
		for !c.fill(names[:n], room) && n > 1 {
			n--
		}
		if c.Columns == nil { // a name beyond all measure
			c.Columns, c.Size = [][]cardName{names[:n]}, "t9"
		}
		if names = names[n:]; len(out) == 0 {
			room += leading
		} else {
			c.Leaders, c.Groups, c.Others = nil, nil, nil
		}
		out = append(out, c)
	}
	return out
}

// fill sets names in the largest type in which they fit into a height, and reports whether there is one. No name is
// parted where there is more than one column.
func (c *card) fill(names []cardName, high float64) bool {
	for _, size := range cardType {
		line := 1.3
		if size <= 10 {
			line = 1.2 // as in the style sheet
		}
		for columns := 1; columns <= 3; columns++ {
			rows := (len(names) + columns - 1) / columns
			set, wide, tall := slices.Collect(slices.Chunk(names, max(rows, 1))), -cardGap, 0.0
			for _, column := range set {
				widest, sum := 0.0, line*size*float64(len(column))
				for _, n := range column {
					widest = max(widest, n.across(size))
					if n.Say != "" {
						sum += 1.1 * max(9, 0.6*size)
					}
				}
				wide, tall = wide+cardGap+cardChar*widest, max(tall, sum)
			}
			if columns == 1 && size == cardType[len(cardType)-1] && wide > cardWide { // names that no line holds
				tall, wide = 0, 0
				for _, n := range names {
					tall += line * size * float64(fold.Rows(n.Name, int(cardWide/cardChar/size)-3)+fold.Rows(n.Say, 60)-1)
				}
			}
			if wide <= cardWide && tall <= high {
				c.Columns, c.Size = set, "t"+strconv.Itoa(int(size))
				return true
			}
		}
	}
	return false
}

// across is how wide a name is in a size of type, with its number, or how it is said below it.
func (n cardName) across(size float64) float64 {
	wide := max(size*float64(fold.Width(n.Name)), max(9, 0.6*size)*float64(fold.Width(n.Say)))
	if n.Number != "" {
		wide += 3 * size
	}
	return wide
}

// pictured puts on a card who stands where, as large as it can be, and lists names by the numbers of the picture; it
// reports whether there is room for both.
func (b *builder) pictured(c *card, entry *event.SheetEntry, room float64) bool {
	v := b.stand(entry)
	if v == nil {
		return false
	}
	widths := diagram.CardWidths(*v.plan)
	for i, wide := range widths {
		picture, rows := b.picture(v.plan, wide, true)
		high := pictureHeight(picture)
		if high > mostPicture*room && i < len(widths)-1 {
			continue
		}
		var placed []cardName
		for _, row := range rows {
			for _, p := range row.People {
				placed = append(placed, b.cardName(p.Number, p.id, v.people()))
			}
		}
		if c.fill(placed, room-high) {
			c.Picture = picture
			if !slices.Contains([]string{"t9", "t10", "t11"}, c.Size) {
				break // a smaller picture is for names that are hard to read
			}
		}
	}
	return c.Picture != ""
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
	place := map[string]int{} // strangers have 0
	for i := range b.event.People {
		place[b.event.People[i].ID] = i - len(b.event.People)
	}
	compare := func(x, y string) int { return cmp.Or(place[x]-place[y], cmp.Compare(x, y)) }
	return slices.Compact(slices.SortedFunc(slices.Values(ids), compare))
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
