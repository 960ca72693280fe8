package fields

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
)

// Day holds the fields about the day as they stand on the page.
type Day struct {
	Title, Date, Zone, Emphasis string
	Latitude, Longitude         string

	Blocks []Block
	Walks  []Walk
	Rules  []Rule
}

// Block is one block as it stands on the page.
type Block struct {
	ID, Title, Place, Opens, Closes, Photographer, Capacity string
	Facing, StandBack, Overrun                              string
	StepFree, Indoors, Firm                                 bool
	Room                                                    Room
}

// blockField is a field of a block on the page: a text, or a box to tick.
type blockField struct {
	name string
	text *string
	tick *bool
	path string // of what it stands for, below the block in an event; empty for what nothing can be wrong with
}

// fields lists the fields of a block in the order in which they are sent.
func (b *Block) fields() []blockField {
	return []blockField{
		{name: "id", text: &b.ID},
		{name: "title", text: &b.Title, path: "title"},
		{name: "place", text: &b.Place, path: "place"},
		{name: "opens", text: &b.Opens, path: "opens"},
		{name: "closes", text: &b.Closes, path: "closes"},
		{name: "photographer", text: &b.Photographer, path: "photographer"},
		{name: "capacity", text: &b.Capacity, path: "capacity"},
		{name: "facing", text: &b.Facing, path: "facing"},
		{name: "standback", text: &b.StandBack, path: "standBackCm"},
		{name: "overrun", text: &b.Overrun, path: "overrunMinutes"},
		{name: "stepfree", tick: &b.StepFree},
		{name: "indoors", tick: &b.Indoors},
		{name: "firm", tick: &b.Firm},
		{name: "width", text: &b.Room.Width, path: "space.widthCm"},
		{name: "depth", text: &b.Room.Depth, path: "space.depthCm"},
		{name: "chairs", text: &b.Room.Chairs, path: "space.chairs"},
		{name: "steps", text: &b.Room.Steps, path: "space.steps"},
		{name: "step", text: &b.Room.Step, path: "space.stepCm"},
		{name: "kneeling", tick: &b.Room.Kneeling},
		{name: "ground", tick: &b.Room.Ground},
	}
}

// Walk is the way between two places.
type Walk struct{ From, To, Minutes string }

// EmphasisNames are the values of the field for what matters most.
var EmphasisNames = []string{"balanced", "fewest_steps", "early_release"}

// Emphases are what those stand for.
var Emphases = map[string]event.Emphasis{
	"balanced": event.Balanced, "fewest_steps": event.FewestSteps, "early_release": event.EarlyRelease,
}

func emphasisName(e event.Emphasis) string {
	for name, v := range Emphases {
		if v == e {
			return name
		}
	}
	return "balanced"
}

// DayOf writes what an event says about the day into fields.
func DayOf(e event.Event, names Directory) Day {
	d := Day{Title: e.Title, Date: e.Date, Zone: e.TimeZone, Emphasis: emphasisName(e.Emphasis),
		Latitude: optionalText(e.Latitude), Longitude: optionalText(e.Longitude)}
	for _, b := range e.Blocks {
		d.Blocks = append(d.Blocks, Block{
			ID: b.ID, Title: b.Title, Place: b.Place, Opens: b.Opens, Closes: b.Closes,
			Photographer: b.Photographer, Capacity: numberText(b.Capacity), StepFree: b.StepFree,
			Facing: b.Facing, StandBack: numberText(b.StandBackCM), Indoors: b.Indoors, Room: roomOf(b.Space),
			Firm: b.Closing == event.FirmClosing, Overrun: optionalText(b.Overrun),
		})
	}
	for _, w := range e.Walks {
		d.Walks = append(d.Walks, Walk{w.From, w.To, numberText(w.Minutes)})
	}
	for _, r := range e.Rules {
		d.Rules = append(d.Rules, ruleOf(r, names))
	}
	return d
}

func numberText(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}

// optionalText writes a number that may be missing.
func optionalText[T int | float64](n *T) string {
	if n == nil {
		return ""
	}
	return strconv.FormatFloat(float64(*n), 'f', -1, 64)
}

// ReadDay reads the fields. Blocks, ways and rules in which nothing is written are left out.
func ReadDay(p Posted) Day {
	d := Day{Title: p.Line("title"), Date: p.Line("date"), Zone: p.Line("zone"), Emphasis: p.Line("emphasis"),
		Latitude: p.Line("latitude"), Longitude: p.Line("longitude")}
	if _, known := Emphases[d.Emphasis]; !known {
		d.Emphasis = EmphasisNames[0]
	}
	for i := 0; i <= event.MaxBlocks && p.Has(fmt.Sprintf("block.%d.id", i)); i++ {
		var b Block
		for _, f := range b.fields() {
			said := p.Line(fmt.Sprintf("block.%d.%s", i, f.name))
			if f.tick != nil {
				*f.tick = said != ""
			} else {
				*f.text = said
			}
		}
		if b.empty() {
			continue
		}
		d.Blocks = append(d.Blocks, b)
	}
	for i := 0; i <= event.MaxBlocks*event.MaxBlocks && p.Has(fmt.Sprintf("walk.%d.from", i)); i++ {
		at := func(name string) string { return p.Line(fmt.Sprintf("walk.%d.%s", i, name)) }
		if w := (Walk{at("from"), at("to"), at("minutes")}); w.Minutes != "" {
			d.Walks = append(d.Walks, w)
		}
	}
	for i := 0; i <= event.MaxRules && p.Has(fmt.Sprintf("rule.%d.kind", i)); i++ {
		if r := readRule(p, i); !r.empty() {
			d.Rules = append(d.Rules, r)
		}
	}
	d.nameBlocks()
	return d
}

func (b Block) empty() bool {
	b.ID, b.StepFree, b.Indoors, b.Firm, b.Room.Kneeling, b.Room.Ground = "", false, false, false, false, false
	return b == Block{}
}

// nameBlocks gives new blocks ids of their own.
func (d *Day) nameBlocks() {
	used := map[string]bool{}
	for _, b := range d.Blocks {
		used[b.ID] = true
	}
	for i := range d.Blocks {
		for n := i + 1; d.Blocks[i].ID == ""; n++ {
			if id := fmt.Sprintf("block-%d", n); !used[id] {
				d.Blocks[i].ID, used[id] = id, true
			}
		}
	}
}

// Apply puts the fields into an event. It returns what cannot be read; the rules of an event are for
// check.Event.
func (d Day) Apply(e *event.Event, names Directory) []Fault {
	var faults []Fault
	number := func(field string, what wording.Key, s string) int {
		n, err := strconv.Atoi(s)
		if s != "" && err != nil {
			faults = append(faults, Fault{field, wording.Say("page.noWholeNumber", wording.Say(what))})
		}
		return n
	}
	degrees := func(field string, what wording.Key, s string) *float64 {
		v, err := strconv.ParseFloat(s, 64)
		if strings.Trim(s, "0123456789.-") != "" {
			err = strconv.ErrSyntax // no infinity, no exponents
		}
		if s != "" && err != nil {
			faults = append(faults, Fault{field, wording.Say("page.noNumberOfDegrees", wording.Say(what))})
		}
		if s == "" || err != nil {
			return nil
		}
		return &v
	}
	e.Title, e.Date, e.TimeZone, e.Emphasis = d.Title, d.Date, d.Zone, Emphases[d.Emphasis]
	e.Latitude, e.Longitude = degrees("latitude", "page.theLatitude", d.Latitude), degrees("longitude", "page.theLongitude", d.Longitude)
	said := e.Blocks
	e.Blocks, e.Walks = nil, nil
	for i, b := range d.Blocks {
		block := blockSaid(said, b.ID)
		block.ID, block.Title, block.Place, block.Opens, block.Closes = b.ID, b.Title, b.Place, b.Opens, b.Closes
		block.Photographer, block.StepFree, block.Facing, block.Indoors = b.Photographer, b.StepFree, b.Facing, b.Indoors
		if block.Closing, block.Overrun = event.SoftClosing, nil; b.Firm {
			block.Closing = event.FirmClosing
		}
		if minutes := number(fmt.Sprintf("block.%d.overrun", i), "page.minutesItMayRunOver", b.Overrun); b.Overrun != "" {
			block.Overrun = &minutes
		}
		block.Capacity = number(fmt.Sprintf("block.%d.capacity", i), "page.howManyPeopleFit", b.Capacity)
		b.Room.apply(&block.Space, func(name string, what wording.Key, s string) int {
			return number(fmt.Sprintf("block.%d.%s", i, name), what, s)
		})
		block.StandBackCM = number(fmt.Sprintf("block.%d.standback", i), "page.howFarBackTheCameraCan", b.StandBack)
		e.Blocks = append(e.Blocks, block)
	}
	for i, w := range d.Walks {
		e.Walks = append(e.Walks, event.Walk{
			From: w.From, To: w.To, Minutes: number(fmt.Sprintf("walk.%d.minutes", i), "page.minutesOfAWalk", w.Minutes),
		})
	}
	return append(faults, d.applyRules(e, names, len(faults) < mostGuessed)...)
}

// blockSaid returns the block of the list with an id: what the page has no field for stays as it says.
func blockSaid(said []event.Block, id string) event.Block {
	if i := slices.IndexFunc(said, func(b event.Block) bool { return b.ID == id }); i >= 0 {
		return said[i]
	}
	return event.Block{}
}

// places lists the places of the blocks, each once.
func (d Day) places() []string {
	var out []string
	for _, b := range d.Blocks {
		if b.Place != "" && !slices.Contains(out, b.Place) {
			out = append(out, b.Place)
		}
	}
	return out
}

// FillWalks puts a field for the way between any two places after those that are known, and leaves
// ways out that lead to places no block is at any more.
func (d *Day) FillWalks() {
	places := d.places()
	var walks []Walk
	for i, a := range places {
		for _, b := range places[i+1:] {
			w := Walk{From: a, To: b}
			for _, known := range d.Walks {
				if known.From == a && known.To == b || known.From == b && known.To == a {
					w = known
				}
			}
			walks = append(walks, w)
		}
	}
	d.Walks = walks
}

// Hidden lists the fields for a page that does not show them.
func (d Day) Hidden() []Hidden {
	out := []Hidden{{"title", d.Title}, {"date", d.Date}, {"zone", d.Zone}, {"emphasis", d.Emphasis}, {"latitude", d.Latitude}, {"longitude", d.Longitude}}
	add := func(value, format string, args ...any) {
		out = append(out, Hidden{fmt.Sprintf(format, args...), value})
	}
	for i, b := range d.Blocks {
		for _, f := range b.fields() {
			if f.text != nil {
				add(*f.text, "block.%d.%s", i, f.name)
			} else if *f.tick {
				add("1", "block.%d.%s", i, f.name)
			}
		}
	}
	for i, w := range d.Walks {
		add(w.From, "walk.%d.from", i)
		add(w.To, "walk.%d.to", i)
		add(w.Minutes, "walk.%d.minutes", i)
	}
	for i, r := range d.Rules {
		out = append(out, r.hidden(i)...)
	}
	return out
}

// Of returns the id of the field on the page that a place in an event stands in, empty when the
// place is in the list.
func Of(place string) string {
	top, rest, _ := strings.Cut(strings.NewReplacer("[", ".", "]", "").Replace(place), ".")
	index, rest, _ := strings.Cut(rest, ".")
	switch top {
	case "title", "date", "emphasis", "latitude", "longitude":
		return top
	case "timeZone":
		return "zone"
	case "blocks":
		for _, f := range new(Block).fields() {
			if f.path != "" && f.path == rest {
				return "block." + index + "." + f.name
			}
		}
		return "block." + index + ".title"
	case "walks":
		return "walk." + index + ".minutes"
	case "rules":
		parts := strings.Split(rest, ".")
		if len(parts) == 3 && parts[1] == "people" {
			return "rule." + index + ".who." + parts[2]
		}
		if slices.Contains(parts, "until") {
			return "rule." + index + ".until"
		}
		return "rule." + index + ".kind"
	}
	return ""
}

// Fault is something wrong in a field of the page.
type Fault struct {
	Field   string // the id of the field
	Message wording.Message
}
