package people

import (
	"bytes"
	"errors"
	"reflect"
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/readback"
	"kinorder.example/server/internal/web/fields"
	"kinorder.example/server/internal/wording"
)

// The errors of Add.
var (
	// ErrFewPeople says that nobody was ticked, ErrTable that the list is no typed one, ErrNotRead that no line says these
	// people and nobody else.
	ErrFewPeople = errors.New("nobody is in the photo")
	ErrTable     = errors.New("the list is a table or file with an order of its own")
	ErrNotRead   = errors.New("no line is read as these people")
)

// Photo is one that is wanted: of whom, by ids, and what it is called. New is what somebody is called who is in it and is not
// on the list yet; Everybody says that the line may say so in a word.
type Photo struct {
	Title, New string
	People     []string
	Everybody  bool
}

// Reader reads a list.
type Reader func(text string) (intake.Reading, error)

// Add puts a photo on a list as a line like those that people write, below the last line that asks for one: what stands at
// the end may be of another kind. The line is one that is read as exactly these people and changes nothing else of
// what was read.
func Add(text string, was intake.Reading, p Photo, read Reader) (Added, error) {
	p.Title, p.New = strings.Join(strings.Fields(p.Title), " "), strings.Join(strings.Fields(p.New), " ")
	if len(p.People) == 0 && p.New == "" {
		return Added{}, ErrFewPeople
	}
	if !intake.IsTyped(text) {
		if p.New != "" {
			return Added{}, ErrTable
		}
		return addWritten(text, was, p)
	}
	line := Below(text, was)
	for _, c := range candidates(was, p) {
		with := Insert(text, line, c)
		now, err := read(with)
		if err != nil {
			return Added{}, err
		}
		at, ok := alone(was, now, line+1, p)
		if !ok {
			continue
		}
		out := Added{List: with, Line: line + 1}
		if p.Title != "" && now.Event.Groupings[at].Title != p.Title {
			out.Over = []Titled{{event.GroupingID(&now.Event, at), p.Title, c}}
		}
		return out, nil
	}
	return Added{}, ErrNotRead
}

// Added is a list with one more photo. Over is the title where it has to be kept over the list.
type Added struct {
	List string
	Line int
	Over []Titled
}

// Insert puts a line below another one.
func Insert(text string, below int, line string) string {
	lines := strings.Split(text, "\n")
	return strings.Join(slices.Insert(lines, min(below, len(lines)), line), "\n")
}

// Below is the line of a list below which another photo goes, 0 at its beginning.
func Below(text string, was intake.Reading) int {
	if strings.TrimSpace(text) == "" {
		return 0
	}
	lines := strings.Split(text, "\n")
	line := len(strings.Split(strings.TrimRight(text, "\n"), "\n"))
	for _, l := range readback.Of(was).Lines {
		if len(l.Photographs) > 0 && l.Number <= len(lines) {
			line = l.Number
		}
	}
	return line
}

// candidates are the lines that may say it, the most usual first.
func candidates(was intake.Reading, p Photo) []string {
	words, ok := wording.For(was.Language)
	if !ok {
		words, _ = wording.For("en")
	}
	var names []string
	for _, id := range p.People {
		k := slices.IndexFunc(was.Event.People, func(x event.Person) bool { return x.ID == id })
		if k >= 0 {
			names = append(names, was.Event.People[k].Name)
		}
	}
	if p.New != "" {
		names = append(names, p.New)
	}
	all := []string{words.Render(wording.Say("%s", wording.And(names...))), strings.Join(names, ", "), strings.Join(names, " + ")}
	if p.Everybody {
		all = append([]string{words.Say("page.everybody")}, all...)
	}
	var out []string
	for _, who := range all {
		if p.Title != "" {
			out = append(out, p.Title+words.Say("sheet.colon")+" "+who, who+" ("+p.Title+")")
		}
	}
	return append(out, all...)
}

// alone says that a reading has, beside what it had, one more photo on a line, which is the one that is wanted, and where
// among the groupings it is.
func alone(was, now intake.Reading, line int, p Photo) (at int, ok bool) {
	if p.New != "" { // who comes in is one more, wherever that is
		k := slices.IndexFunc(now.Event.People, func(x event.Person) bool { return x.Name == p.New })
		if k < 0 {
			return 0, false
		}
		p.People = append(slices.Clone(p.People), now.Event.People[k].ID)
		was.Event.People = slices.Insert(slices.Clone(was.Event.People), min(k, len(was.Event.People)), now.Event.People[k])
	}
	if !reflect.DeepEqual(was.Event.People, now.Event.People) || len(now.Event.Groupings) != len(was.Event.Groupings)+1 {
		return 0, false
	}
	before, after := inEach(&was.Event), inEach(&now.Event)
	at = -1
	for _, l := range readback.Of(now).Lines {
		if l.Number == line && len(l.Photographs) == 1 {
			at = l.Photographs[0].Grouping
		}
	}
	if at < 0 {
		return 0, false
	}
	who, g := after[at], now.Event.Groupings[at]
	if after = slices.Delete(after, at, at+1); !reflect.DeepEqual(before, after) || g.EachOf != "" || g.Guests > 0 {
		return 0, false
	}
	for _, q := range now.Problems {
		if q.Line == line && q.Severity == event.Error {
			return 0, false
		}
	}
	wanted := event.NewIndex(&now.Event).PeopleOf(p.People...)
	slices.Sort(wanted)
	return at, slices.Equal(who, wanted)
}

// inEach are the people in each grouping, by their places in the event, whether they are coming or not.
func inEach(e *event.Event) [][]int {
	index := event.NewIndex(e)
	var out [][]int
	for _, g := range e.Groupings {
		without := index.PeopleOf(g.Without...)
		who := slices.DeleteFunc(slices.Clone(index.PeopleOf(g.Members...)), func(p int) bool { return slices.Contains(without, p) })
		slices.Sort(who)
		out = append(out, slices.Compact(who))
	}
	return out
}

// addWritten puts a photo into a list that is an event written out, which can be written out again. Names do not matter there.
func addWritten(text string, was intake.Reading, p Photo) (Added, error) {
	if !bytes.Equal(bytes.TrimSpace(intake.WriteYAML(was.Event, nil)), bytes.TrimSpace([]byte(text))) {
		return Added{}, ErrTable
	}
	e := was.Event
	e.Groupings = append(slices.Clone(e.Groupings), event.Grouping{Title: p.Title, Members: p.People})
	list := string(intake.WriteYAML(e, nil))
	line := 1 + slices.Index(strings.Split(list, "\n"), "groupings:") + len(e.Groupings)
	return Added{List: list, Line: line}, nil
}

// Adding is the part of the page where a photo is put together by ticking, or taken from what is suggested.
type Adding struct {
	Title, New string
	// Open says that a photo was added just now, Ticked that something is ticked.
	Open, Ticked bool
	Sides        []TickedSide
	Suggested    []Suggested
	// Took says that a suggestion was taken just now.
	Took bool
}

// TickedSide are the people of a side, by their households.
type TickedSide struct {
	Title string
	Homes []Home
}

// Home is a household, or without a title all who are in none.
type Home struct {
	Title string
	Ticks []Tick
}

// tick begins the field of somebody to tick, titleField is that of the title, and newField that of somebody new.
const (
	tick       = "tick."
	titleField = "photo.title"
	newField   = "photo.new"
)

// AddingOf shows who can be ticked, with what was ticked of a photo that could not be written.
func AddingOf(c *wording.Catalogue, e event.Event, ticked Photo, act string) Adding {
	v := Adding{Title: ticked.Title, New: ticked.New, Open: act == "add-photo", Ticked: len(ticked.People) > 0, Suggested: Suggest(c, e), Took: act == "suggest"}
	for _, s := range sidesOf(e) {
		side := TickedSide{Title: s.title, Homes: []Home{{}}}
		at := map[string]int{}
		for _, k := range s.people {
			p := e.People[k]
			title := homeOf(e, p.ID)
			if _, known := at[title]; !known && title != "" {
				at[title] = len(side.Homes)
				side.Homes = append(side.Homes, Home{Title: title})
			}
			home := &side.Homes[at[title]]
			home.Ticks = append(home.Ticks, Tick{tick + p.ID, firstOf(p.Name, p.ID), slices.Contains(ticked.People, p.ID)})
		}
		v.Sides = append(v.Sides, side)
	}
	return v
}

// homeOf is what the first group is called that somebody is in and that has a name, but the couple and all there are.
func homeOf(e event.Event, id string) string {
	for _, c := range e.Circles {
		if c.ID != "couple" && len(c.Members) < len(e.People)-1 && slices.Contains(c.Members, id) {
			return c.Title
		}
	}
	return ""
}

// Wanted is the photo that a form asks for: what was ticked, or what a button of a suggestion says.
func Wanted(c *wording.Catalogue, e event.Event, p fields.Posted) Photo {
	if key, ok := strings.CutPrefix(p.Line("act"), "suggest:"); ok {
		for _, s := range Suggest(c, e) {
			if s.Key == key {
				s.Title = s.Text
				return s.Photo
			}
		}
		return Photo{}
	}
	out := Photo{Title: p.Line(titleField), New: p.Line(newField)}
	for _, x := range e.People {
		if p.Has(tick + x.ID) {
			out.People = append(out.People, x.ID)
		}
	}
	return out
}
