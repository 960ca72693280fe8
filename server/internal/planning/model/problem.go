// Package model states a day as a problem of package day: people and photographs as numbers, the minutes of a photograph,
// what waiting costs, rules as the search keeps them. It writes a plan that was found as blocks of a call sheet. It
// searches nothing.
package model

import (
	"slices"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/family"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

// handover is the least time between people who must not meet at one place. Common practice, no
// source.
const handover = 10 * 60

// Problem ties a day of package day to the event it was made from.
type Problem struct {
	Event       event.Event
	Index       *event.Index
	Photographs []event.Photograph // by solver.GroupingIndex
	Emptied     []event.Photograph // cannot be taken because of absences
	Frames      []int              // by solver.GroupingIndex
	People      map[string]solver.PersonIndex
	Blocks      []event.Block // by day.BlockIndex; one without id when the event has none
	Clock       clock
	Spec        day.Spec
	// parted are pairs who are divorced or separated.
	parted [][2]int
	// carers are the parents of infants who are there.
	carers map[solver.PersonIndex][]solver.PersonIndex
	// Planned is when blocks are planned to end, 0 for never; Give is how far each may run over that.
	// Firm says which may not at all.
	Planned, Give []solver.Seconds
	Firm          []bool
	// RealCloses is when blocks have to end, while the search is held to end some of them earlier so that
	// their safe finish is inside. Nil while it is not.
	RealCloses []solver.Seconds
	// ByHand[g] says that a photograph was left out by hand.
	ByHand map[solver.GroupingIndex]bool
	there  map[solver.PersonIndex][]solver.Window // what Presence has read
}

// New expects an event in which check.Event finds no Error. Available, when above 0, is all the time there is in the
// block that opens first.
func New(e event.Event, available time.Duration) (*Problem, error) {
	photographs, emptied := event.Expand(e)
	return Of(e, photographs, emptied, available)
}

// Of is New for photographs that need not be those that the event expands to.
func Of(e event.Event, photographs, emptied []event.Photograph, available time.Duration) (*Problem, error) {
	pr := &Problem{Event: e, Photographs: photographs, Emptied: emptied, People: map[string]solver.PersonIndex{},
		Blocks: e.Blocks, there: map[solver.PersonIndex][]solver.Window{}}
	pr.Index = event.NewIndex(&pr.Event)
	if len(pr.Blocks) == 0 {
		pr.Blocks = []event.Block{{}}
	}
	for i, p := range e.People {
		pr.People[p.ID] = solver.PersonIndex(i)
	}
	var err error
	if pr.Clock, err = newClock(e); err != nil {
		return nil, err
	}
	minutes := NewMinutes(e.Pace)
	weights := newCostWeights(e.Weights)
	pr.Spec = day.Spec{
		Timing:     minutes.timing(pr.largest()),
		StepWeight: int64(weights.step),
		Emphasis:   emphases[e.Emphasis],
		Handover:   handover,
	}
	if err := pr.addBlocks(available); err != nil {
		return nil, err
	}
	for b := range pr.Spec.Blocks {
		pr.Spec.Blocks[b].Opening = minutes.openingTime()
	}
	if err := pr.addGroupings(minutes); err != nil {
		return nil, err
	}
	tree := family.Of(&pr.Event, pr.Index, event.NewExpansion(&pr.Event, pr.Index))
	pr.parted = tree.Parted()
	pr.addWorth(tree)
	pr.addPeople(minutes, weights)
	pr.addGuests(weights)
	pr.addEarly(tree, weights)
	return pr, pr.addRules()
}

var pins = map[event.Pin]solver.Pin{
	event.PinNone:  solver.PinNone,
	event.PinFirst: solver.PinFirst,
	event.PinLast:  solver.PinLast,
}

var emphases = map[event.Emphasis]solver.Emphasis{
	event.Balanced:     solver.Balanced,
	event.FewestSteps:  solver.FewestSteps,
	event.EarlyRelease: solver.EarlyRelease,
}

var tiers = map[event.Priority]int{event.Must: 0, event.Should: 1, event.Nice: 2}

// addBlocks numbers places and photographers. Blocks that name no photographer share one.
func (pr *Problem) addBlocks(available time.Duration) error {
	places, photographers := map[string]int{}, map[string]int{}
	number := func(known map[string]int, name string) int {
		if _, ok := known[name]; !ok {
			known[name] = len(known)
		}
		return known[name]
	}
	first := 0
	for i, b := range pr.Blocks {
		block := day.Block{Place: number(places, b.Place), Photographer: number(photographers, b.Photographer)}
		var err error
		if block.Open, err = pr.Clock.seconds(b.Opens, 0); err != nil {
			return err
		}
		if block.Close, err = pr.Clock.seconds(b.Closes, 0); err != nil {
			return err
		}
		pr.Spec.Blocks = append(pr.Spec.Blocks, block)
		if block.Open < pr.Spec.Blocks[first].Open {
			first = i
		}
	}
	pr.Spec.Walk = walks(places, pr.Event.Walks)
	for i, b := range pr.Spec.Blocks {
		pr.Give = append(pr.Give, pr.mayGive(pr.Blocks[i], b))
		pr.Firm = append(pr.Firm, pr.Blocks[i].Closing == event.FirmClosing || pr.Event.Fit == event.Safe)
	}
	if available > 0 {
		b := &pr.Spec.Blocks[first]
		until := b.Open + solver.Seconds(available/time.Second)
		if b.Close == 0 || until < b.Close {
			b.Close = until
		}
		pr.Give[first], pr.Firm[first] = min(pr.Give[first], until-b.Close), true
	}
	for _, b := range pr.Spec.Blocks {
		pr.Planned = append(pr.Planned, b.Close)
	}
	return nil
}

// The usual tolerance of a soft block is a share of its length, at most so many seconds. Common practice, no source.
const (
	giveShare = 10
	giveMost  = 5 * 60
)

// mayGive is how far a block may run over. With a fit of Safe nothing may: its safe finish has to be inside.
func (pr *Problem) mayGive(b event.Block, s day.Block) solver.Seconds {
	switch {
	case s.Close == 0 || b.Closing == event.FirmClosing || pr.Event.Fit == event.Safe:
		return 0
	case b.Overrun != nil:
		return solver.Seconds(*b.Overrun) * 60
	}
	return min(giveMost, (s.Close-s.Open)/giveShare)
}

// GiveWay lets soft blocks run over. It reports whether there are any.
func (pr *Problem) GiveWay() bool {
	gives := slices.ContainsFunc(pr.Give, func(s solver.Seconds) bool { return s > 0 })
	if gives {
		pr.Spec.Blocks = slices.Clone(pr.Spec.Blocks)
		for b := range pr.Spec.Blocks {
			pr.Spec.Blocks[b].Close = min(pr.Spec.Blocks[b].Close+pr.Give[b], solver.MaxSeconds)
		}
	}
	return gives
}

// Overrun is by how much a plan has a block end after it is planned to.
func (pr *Problem) Overrun(plan day.Plan, b int) solver.Seconds {
	slots := plan.Blocks[b]
	if pr.Planned[b] == 0 || len(slots) == 0 {
		return 0
	}
	return max(0, slots[len(slots)-1].Finish-pr.Planned[b])
}

// walks fills the table of walking times; between places that are not named it takes none.
func walks(places map[string]int, named []event.Walk) [][]solver.Seconds {
	out := make([][]solver.Seconds, len(places))
	for i := range out {
		out[i] = make([]solver.Seconds, len(places))
	}
	for _, w := range named {
		from, known := places[w.From]
		to, both := places[w.To]
		if known && both {
			out[from][to] = solver.Seconds(w.Minutes) * 60
			out[to][from] = out[from][to]
		}
	}
	return out
}

func (pr *Problem) addGroupings(minutes Minutes) error {
	byID := map[string]solver.GroupingIndex{}
	for i, photo := range pr.Photographs {
		byID[photo.ID] = solver.GroupingIndex(i)
	}
	for _, photo := range pr.Photographs {
		g := day.Grouping{Tier: tiers[photo.Priority]}
		g.Pin, g.Guests = pins[photo.Pin], photo.Guests
		for _, id := range photo.Members {
			g.Members = append(g.Members, pr.People[id])
		}
		for _, id := range photo.After {
			g.After = append(g.After, byID[id])
		}
		if photo.Minutes != nil {
			g.Fixed = max(1, solver.Seconds(*photo.Minutes*60+0.5))
		}
		var err error
		if g.Windows, err = pr.Windows(photo); err != nil {
			return err
		}
		g.Near = pr.Near(photo)
		g.Blocks = pr.AllowedBlocks(photo)
		light := pr.light(g.Blocks)
		frames := minutes.FramesFor(photo, light)
		g.Shoot = max(1, solver.Seconds(frames*minutes.PerFrame)) // what takes no time would end when the one before it does
		pr.Frames = append(pr.Frames, frames)
		pr.Spec.Groupings = append(pr.Spec.Groupings, g)
	}
	return nil
}

// largest is the most people who can walk in for one photograph.
func (pr *Problem) largest() int {
	most := 0
	for _, photo := range pr.Photographs {
		most = max(most, photo.Size())
	}
	return most
}

// led lists who is brought by the leader of a circle of theirs.
func (pr *Problem) led() map[string]bool {
	led := map[string]bool{}
	for _, c := range pr.Event.Circles {
		leader, known := pr.People[c.Leader]
		if !known || pr.Event.People[leader].Absent {
			continue
		}
		for _, id := range pr.Index.Members(c.ID) {
			led[id] = led[id] || id != c.Leader
		}
	}
	return led
}

func (pr *Problem) addPeople(minutes Minutes, weights costWeights) {
	timesIn := make([]int, len(pr.Event.People))
	for _, g := range pr.Spec.Groupings {
		for _, q := range g.Members {
			timesIn[q]++
		}
	}
	led := pr.led()
	for i, p := range pr.Event.People {
		release, idle := weights.of(p, timesIn[i], len(pr.Photographs), pr.Event.Emphasis)
		pr.Spec.People = append(pr.Spec.People, solver.Person{
			ReleaseWeight: release,
			IdleWeight:    idle,
			Slow:          minutes.Slow(p),
			Led:           led[p.ID],
			Extra:         extraSteps(p, timesIn[i], len(pr.Photographs), pr.Event.Emphasis),
		})
	}
}

// addGuests has those without a name wait until their photograph is over, as adults do who are in one only.
func (pr *Problem) addGuests(weights costWeights) {
	if pr.Event.Emphasis == event.EarlyRelease {
		return // only those who tire count
	}
	for g := range pr.Spec.Groupings {
		w := &pr.Spec.Groupings[g]
		w.ReleaseWeight = min(int64(w.Guests*weights.releaseAdult), solver.MaxWeight)
	}
}

// AllowedBlocks lists the blocks that a photograph may be taken in: those it names, or all, that
// hold its people; where somebody needs a way without steps and one of them has it, only such.
func (pr *Problem) AllowedBlocks(photo event.Photograph) []day.BlockIndex {
	var all, stepFree []day.BlockIndex
	for i, b := range pr.Blocks {
		if len(photo.Blocks) > 0 && !slices.Contains(photo.Blocks, b.ID) {
			continue
		}
		if b.Capacity > 0 && photo.Size() > b.Capacity {
			continue
		}
		all = append(all, day.BlockIndex(i))
		if b.StepFree {
			stepFree = append(stepFree, day.BlockIndex(i))
		}
	}
	if len(stepFree) > 0 && slices.ContainsFunc(photo.Members, pr.needsStepFree) {
		return stepFree
	}
	return all
}

// light is the dimmest of the blocks that a photograph may be taken in: its frames do not depend on
// where it is taken in the end.
func (pr *Problem) light(blocks []day.BlockIndex) event.Light {
	for _, b := range blocks {
		if pr.Blocks[b].Light == event.DimLight {
			return event.DimLight
		}
	}
	return event.GoodLight
}

func (pr *Problem) needsStepFree(id string) bool {
	needs := pr.Event.People[pr.People[id]].Needs
	return slices.Contains(needs, event.Wheelchair) || slices.Contains(needs, event.StepFree)
}

// Requested returns, block by block, the order in which the groupings of a plan were asked for.
func (pr *Problem) Requested(plan day.Plan) [][]solver.GroupingIndex {
	out := make([][]solver.GroupingIndex, len(plan.Blocks))
	for b, slots := range plan.Blocks {
		for _, s := range slots {
			out[b] = append(out[b], s.Grouping)
		}
		slices.Sort(out[b])
	}
	return out
}

// StepsAlone returns the same day with step-ins as the only cost.
func (pr *Problem) StepsAlone() day.Spec {
	spec := pr.Spec
	spec.Emphasis = solver.FewestSteps
	spec.People = slices.Clone(pr.Spec.People)
	for i := range spec.People {
		spec.People[i].ReleaseWeight, spec.People[i].IdleWeight, spec.People[i].Extra = 0, 0, 0
	}
	spec.Groupings = slices.Clone(pr.Spec.Groupings)
	for g := range spec.Groupings {
		spec.Groupings[g].ReleaseWeight = 0
	}
	return spec
}

func (pr *Problem) IDs(people []solver.PersonIndex) []string {
	var out []string
	for _, q := range people {
		out = append(out, pr.Event.People[q].ID)
	}
	return out
}

// Named are the photographs with an id, or those of the grouping that has it. Who is not there may leave none.
func (pr *Problem) Named(id string) []solver.GroupingIndex {
	if g, known := pr.Photograph(id); known {
		return []solver.GroupingIndex{g}
	}
	var out []solver.GroupingIndex
	for g, photo := range pr.Photographs {
		if event.GroupingID(&pr.Event, photo.Source) == id {
			out = append(out, solver.GroupingIndex(g))
		}
	}
	return out
}

func (pr *Problem) Photograph(id string) (solver.GroupingIndex, bool) {
	g := slices.IndexFunc(pr.Photographs, func(p event.Photograph) bool { return p.ID == id })
	return solver.GroupingIndex(g), g >= 0
}
