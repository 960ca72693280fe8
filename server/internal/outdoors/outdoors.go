// Package outdoors writes on a call sheet what the sun does in each block and with which lens each photograph is
// taken, and says what is wrong with either. The order of the photographs doesn't depend on it.
package outdoors

import (
	"slices"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
)

// Describe writes the light of every block and the lens of every photograph on a sheet of a checked event. Where the
// event doesn't say enough for one of them the sheet gets none.
func Describe(e event.Event, s *event.CallSheet) {
	d := newDay(e)
	for i := range s.Blocks {
		block := &s.Blocks[i]
		b := d.blocks[block.Block]
		for k := range block.Entries {
			block.Entries[k].Lens = d.framed(&block.Entries[k], b)
		}
		if at, ok := d.daylight(b, block.Start, block.Length); ok && len(block.Entries) > 0 {
			block.Light = at.light()
		}
	}
}

// Advice says what the sheet of an event shows to be wrong with the light and the lenses.
func Advice(e event.Event, s event.CallSheet) []event.Advice {
	a := adviser{day: newDay(e)}
	a.sunlight(s.Blocks)
	a.lenses(s.Blocks)
	return a.list
}

// day is an event by its ids.
type day struct {
	event  event.Event
	people map[string]event.Person
	blocks map[string]event.Block // one without id when the event has none
	guests map[string]int         // by photograph
	zone   *time.Location         // nil when the sun is not looked at
}

func newDay(e event.Event) day {
	d := day{event: e, people: map[string]event.Person{}, blocks: map[string]event.Block{}, guests: map[string]int{}}
	for _, p := range e.People {
		d.people[p.ID] = p
	}
	for _, b := range e.Blocks {
		d.blocks[b.ID] = b
	}
	if len(e.Blocks) == 0 {
		d.blocks[""] = event.Block{}
	}
	if slices.ContainsFunc(e.Groupings, func(g event.Grouping) bool { return g.Guests > 0 }) {
		photographs, _ := event.Expand(e)
		for _, photo := range photographs {
			d.guests[photo.ID] = photo.Guests
		}
	}
	if zone, err := e.Location(); err == nil && e.TimeZone != "" && onMap(e) {
		d.zone = zone
	}
	return d
}

// onMap says that some block has a place on the map; a zone is not to be had for nothing.
func onMap(e event.Event) bool {
	return slices.ContainsFunc(e.Blocks, func(b event.Block) bool { _, known := SpotOf(e, b); return known })
}

type adviser struct {
	day
	list []event.Advice
}

func (a *adviser) add(s event.Severity, code string, subjects []string, sentences ...wording.Message) {
	a.list = append(a.list, event.Tell(s, code, "", subjects, wording.Sentences(sentences...)))
}

func blockIDs(b event.Block) []string {
	if b.ID == "" {
		return nil
	}
	return []string{b.ID}
}
