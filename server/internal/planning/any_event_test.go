package planning

import (
	"fmt"
	"math/rand/v2"
	"slices"

	"kinorder.example/server/internal/event"
)

// anyEvent makes up an afternoon of a few people, photographs and blocks with everything that bears on
// the order.
func anyEvent(rng *rand.Rand) event.Event {
	clock := func(minute int) string { return fmt.Sprintf("%02d:%02d", 14+minute/60, minute%60) }
	some := func(list []string, least int) []string {
		out := slices.Clone(list)
		rng.Shuffle(len(out), func(i, j int) { out[i], out[j] = out[j], out[i] })
		return out[:min(len(out), least+rng.IntN(3))]
	}
	e := event.Event{Title: "Any", Date: "2027-05-15", TimeZone: "Europe/Lisbon", Emphasis: event.Emphasis(rng.IntN(3))}
	var people []string
	for i := range 4 + rng.IntN(4) {
		p := event.Person{ID: fmt.Sprint("p", i), Name: fmt.Sprint("Person ", i), AgeBand: event.AgeBand(rng.IntN(3))}
		switch rng.IntN(8) {
		case 0:
			p.PresentFrom = clock(5 + rng.IntN(20))
		case 1:
			p.PresentUntil = clock(20 + rng.IntN(40))
		case 2:
			p.Presence = []event.Span{{Until: clock(10)}, {From: clock(12 + rng.IntN(20))}}
		case 3:
			p.Needs = []event.Need{event.Wheelchair}
		case 4:
			if i > 0 {
				p.Needs, p.Interpreter = []event.Need{event.Interpreter}, people[rng.IntN(i)]
			}
		}
		people = append(people, p.ID)
		e.People = append(e.People, p)
	}
	opens := 0
	for i := range 1 + rng.IntN(3) {
		b := event.Block{
			ID: fmt.Sprint("b", i), Place: []string{"Lawn", "Hall"}[rng.IntN(2)], Photographer: []string{"", "second"}[rng.IntN(2)],
			Opens: clock(opens), Closes: clock(opens + 12 + rng.IntN(30)), StepFree: rng.IntN(2) == 0,
		}
		if rng.IntN(4) == 0 {
			b.Capacity = 2
		}
		switch rng.IntN(4) {
		case 0:
			b.Closing = event.FirmClosing
		case 1:
			minutes := rng.IntN(4)
			b.Overrun = &minutes
		}
		e.Blocks = append(e.Blocks, b)
		opens += rng.IntN(3) * 10
	}
	e.Walks = []event.Walk{{From: "Lawn", To: "Hall", Minutes: 1 + rng.IntN(6)}}
	if !slices.ContainsFunc(e.Blocks, func(b event.Block) bool { return b.Place != e.Blocks[0].Place }) {
		e.Walks = nil
	}
	var ids []string
	for i := range 3 + rng.IntN(4) {
		g := event.Grouping{ID: fmt.Sprint("g", i), Members: some(people, 1), Priority: event.Priority(rng.IntN(3))}
		switch rng.IntN(7) {
		case 0:
			g.NotBefore = clock(rng.IntN(30))
		case 1:
			g.NotAfter = clock(15 + rng.IntN(30))
		case 2:
			g.Blocks = []string{e.Blocks[rng.IntN(len(e.Blocks))].ID}
		case 3:
			if i > 0 {
				g.After = []string{ids[rng.IntN(i)]}
			}
		case 4:
			g.Pin = event.Pin(1 + rng.IntN(2))
		}
		ids = append(ids, g.ID)
		e.Groupings = append(e.Groupings, g)
	}
	two := some(people, 2)[:2]
	switch rng.IntN(5) {
	case 0:
		e.Rules = []event.Rule{{Apart: &event.Apart{People: two, Scope: event.InBlock}}}
		if rng.IntN(2) == 0 {
			e.Rules[0].Apart.Until = clock(10 + rng.IntN(40))
		}
	case 1:
		e.Rules = []event.Rule{{Turns: &event.Turns{People: two}}}
	case 2:
		e.Rules = []event.Rule{{Seniority: &event.Seniority{People: two}}}
	}
	return e
}
