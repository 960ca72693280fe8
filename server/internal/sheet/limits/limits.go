// Package limits refuses events and sheets that are too large to be drawn.
package limits

import (
	"fmt"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
)

// Limits of drawing, beyond those of an event. Names are printed many times, so without limits small requests could
// have huge answers.
const (
	maxTextBytes  = 8 << 10  // of one text; the longest that an event may hold is 2000 characters
	maxMembers    = 200_000  // of all circles and groupings together
	maxNames      = 250_000  // names in all entries together
	maxNamesBytes = 16 << 20 // bytes of these names and of titles
	maxNotes      = 2_000    // advice, and groupings that are left out
	maxPlaces     = 50_000   // of all standing plans together: each is a figure
)

// sizer gathers what is too large.
type sizer struct{ faults []event.Advice }

// limit refuses more than most of something.
func (z *sizer) limit(field string, what wording.Key, n, most int) {
	if n > most {
		z.faults = append(z.faults, event.Tell(event.Error, event.CodeTooMany, field, nil,
			wording.Say("sheet.mostThatIsDrawn", n, wording.Say(what), most)))
	}
}

// wording refuses a text in parts that is too long together.
func (z *sizer) wording(field string, m wording.Message) {
	if n := m.Bytes(); n > maxTextBytes {
		z.faults = append(z.faults, event.Tell(event.Error, event.CodeBadText, field, nil,
			wording.Say("sheet.textHasBytesAndIsThe", n, maxTextBytes)))
	}
}

// text refuses a text that is too long. It does not quote it.
func (z *sizer) text(field, s string) {
	if len(s) > maxTextBytes {
		z.faults = append(z.faults, event.Tell(event.Error, event.CodeBadText, field, nil,
			wording.Say("sheet.textHasBytesAndIsThe", len(s), maxTextBytes)))
	}
}

// Oversize lists what makes an event or a sheet too large to be drawn. What it lets through takes
// time and memory of a few times its own size.
func Oversize(e *event.Event, s *event.CallSheet) []event.Advice {
	z := &sizer{}
	z.event(e)
	if len(z.faults) > 0 {
		return z.faults // names are looked up below
	}
	z.sheet(e, s)
	return z.faults
}

func (z *sizer) event(e *event.Event) {
	z.limit("event.people", "check.people", len(e.People), event.MaxPeople)
	z.limit("event.sides", "check.sides", len(e.Sides), event.MaxSides)
	z.limit("event.circles", "check.circles", len(e.Circles), event.MaxCircles)
	z.limit("event.groupings", "check.groupings", len(e.Groupings), event.MaxPhotographs)
	z.limit("event.blocks", "check.blocks", len(e.Blocks), event.MaxBlocks)
	if len(z.faults) > 0 {
		return
	}
	z.text("event.title", e.Title)
	z.text("event.date", e.Date)
	for i, x := range e.Sides {
		z.text(fmt.Sprintf("event.sides[%d].label", i), x.Label)
	}
	for i, p := range e.People {
		for _, s := range []string{p.ID, p.Name, p.SayAs, p.Relation} {
			z.text(fmt.Sprintf("event.people[%d]", i), s)
		}
		z.limit(fmt.Sprintf("event.people[%d].needs", i), "check.needs", len(p.Needs), 20)
	}
	for i, b := range e.Blocks {
		for _, s := range []string{b.ID, b.Title, b.Place, b.Photographer} {
			z.text(fmt.Sprintf("event.blocks[%d]", i), s)
		}
	}
	members := 0
	for i, c := range e.Circles {
		z.text(fmt.Sprintf("event.circles[%d].title", i), c.Title)
		members += len(c.Members)
	}
	for i, g := range e.Groupings {
		z.text(fmt.Sprintf("event.groupings[%d].title", i), g.Title)
		members += len(g.Members) + len(g.Without) + len(g.After) + len(g.Blocks)
	}
	z.limit("event", "sheet.membersOfCirclesAndGroupings", members, maxMembers)
	if len(z.faults) == 0 {
		z.limit("event.groupings", "sheet.photographs", event.NewIndex(e).Photographs(), event.MaxPhotographs)
	}
}

func (z *sizer) sheet(e *event.Event, s *event.CallSheet) {
	z.limit("sheet.blocks", "check.blocks", len(s.Blocks), event.MaxBlocks)
	z.limit("sheet.leftOut", "sheet.groupingsThatAreLeftOut", len(s.LeftOut), maxNotes)
	z.limit("sheet.advice", "sheet.notes", len(s.Advice), maxNotes)
	z.limit("sheet.people", "check.people", len(s.People), event.MaxPeople)
	if len(z.faults) > 0 {
		return
	}
	for i, l := range s.LeftOut {
		z.text(fmt.Sprintf("sheet.leftOut[%d]", i), l.Grouping)
		z.text(fmt.Sprintf("sheet.leftOut[%d].reason", i), l.Why.String())
		z.wording(fmt.Sprintf("sheet.leftOut[%d].wording", i), l.Why)
	}
	for i, a := range s.Advice {
		z.text(fmt.Sprintf("sheet.advice[%d].text", i), a.Text())
		z.wording(fmt.Sprintf("sheet.advice[%d].wording", i), a.Message)
	}
	length := make(map[string]int, len(e.People))
	for _, p := range e.People {
		length[p.ID] = len(p.Name) + len(p.SayAs) + len(p.Relation)
	}
	entries, names, bytes, places := 0, 0, 0, 0
	for i := range s.Blocks {
		entries += len(s.Blocks[i].Entries)
		for k := range s.Blocks[i].Entries {
			entry := &s.Blocks[i].Entries[k]
			z.text(fmt.Sprintf("sheet.blocks[%d].entries[%d].title", i, k), entry.Title)
			if entry.Standing != nil {
				for _, row := range entry.Standing.Rows {
					places += len(row.Places)
				}
				names += len(entry.Standing.Moves)
			}
			for _, ids := range [][]string{entry.StepIn, entry.StepOut, entry.Stay, entry.Released, entry.Standby, entry.Near} {
				names += len(ids)
				for _, id := range ids {
					bytes += max(length[id], len(id))
				}
			}
		}
	}
	z.limit("sheet.blocks", "sheet.entries", entries, event.MaxPhotographs)
	z.limit("sheet.blocks", "sheet.namesInAllEntries", names, maxNames)
	z.limit("sheet.blocks", "sheet.placesInAllStandingPlans", places, maxPlaces)
	z.limit("sheet.blocks", "sheet.bytesOfNamesInAllEntries", bytes, maxNamesBytes)
}
