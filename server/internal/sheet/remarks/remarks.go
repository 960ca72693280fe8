// Package remarks says what holds for a whole sheet: how good its order is, what has no room, what a planner should know,
// and what to have at hand for a photograph.
package remarks

import (
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/sheet/fold"
	"kinorder.example/server/internal/wording"
)

// Totals says in sentences what the order comes to.
func Totals(c *wording.Catalogue, e *event.Event, s *event.CallSheet) []string {
	t := s.Totals
	if t.Groupings == 0 {
		return nil
	}
	stepIns := []string{
		c.Say("sheet.inThisOrder", t.StepIns),
		c.Say("sheet.requested", t.RequestedStepIns),
	}
	if t.FloorStepIns > 0 {
		stepIns = append(stepIns, c.Say("sheet.floor", t.FloorStepIns))
	}
	best := c.Say("sheet.bestFound", c.Say(aimOf(e.Emphasis)))
	if t.Proven {
		best = c.Say("sheet.proven", c.Say(aimOf(e.Emphasis)))
	} else if len(e.Order)+len(e.LeftOut) > 0 {
		best = c.Say("sheet.madeByHand")
	}
	return []string{c.Say("sheet.sentence", c.Facts(stepIns...)), best}
}

// aimOf says what an emphasis is after.
func aimOf(e event.Emphasis) wording.Key {
	switch e {
	case event.FewestSteps:
		return "sheet.aimFewest"
	case event.EarlyRelease:
		return "sheet.aimEarly"
	default:
		return "sheet.aimBalanced"
	}
}

// Note is one advice to the planner.
type Note struct{ Kind, Text string }

// Notes are the advice of a sheet, what is worst first; how many photographs have no room comes before all of it, and apart.
func Notes(c *wording.Catalogue, s *event.CallSheet) (short []string, notes []Note) {
	for _, severity := range []event.Severity{event.Error, event.Warning, event.Info} {
		for _, a := range s.Advice {
			switch text := fold.Clean(c.Render(a.Message)); {
			case a.Severity != severity:
			case a.Code == event.CodeOverBlock:
				short = append(short, text)
			default:
				notes = append(notes, Note{Kind: c.Say(kindOf(severity)), Text: text})
			}
		}
	}
	return short, notes
}

// kindOf says how an advice is introduced.
func kindOf(s event.Severity) wording.Key {
	switch s {
	case event.Error:
		return "sheet.mend"
	case event.Warning:
		return "sheet.check"
	default:
		return "sheet.note"
	}
}

// Chairs is how many a photograph takes: by its standing plan, without one for who has to sit.
func Chairs(entry *event.SheetEntry, people map[string]*event.Person) int {
	n := 0
	if entry.Standing != nil {
		for _, row := range entry.Standing.Rows {
			for _, p := range row.Places {
				if p.Posture == event.OnChair {
					n++
				}
			}
		}
		return n
	}
	for _, id := range slices.Concat(entry.StepIn, entry.Stay) {
		if p := people[id]; p != nil && slices.Contains(p.Needs, event.Seat) && !slices.Contains(p.Needs, event.Wheelchair) {
			n++
		}
	}
	return n
}

// MostChairs is how many chairs the photographs of a sheet take at once.
func MostChairs(s *event.CallSheet, people map[string]*event.Person) int {
	most := 0
	for _, b := range s.Blocks {
		for k := range b.Entries {
			most = max(most, Chairs(&b.Entries[k], people))
		}
	}
	return most
}

// A photograph is one of children when at least so many are in it, and one in so many of all who have a name. Common
// practice, no source.
const fewestChildren, childrenParts = 3, 2

// OfChildren reports whether a photograph is taken from the height of children's eyes: many of those in it are.
func OfChildren(entry *event.SheetEntry, people map[string]*event.Person) bool {
	children, all := 0, 0
	for _, id := range slices.Concat(entry.StepIn, entry.Stay) {
		all++
		if p := people[id]; p != nil && (p.AgeBand == event.Child || p.AgeBand == event.Infant) {
			children++
		}
	}
	return children >= fewestChildren && children*childrenParts >= all
}
