package planning

import (
	"slices"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

// handover is the least time between people who must not meet at one place. Common practice, no
// source.
const handover = 10 * 60

// problem ties a day of package day to the event it was made from.
type problem struct {
	event       event.Event
	photographs []event.Photograph // by solver.GroupingIndex
	emptied     []event.Photograph // cannot be taken because of absences
	frames      []int              // by solver.GroupingIndex
	people      map[string]solver.PersonIndex
	blocks      []event.Block // by day.BlockIndex; one without id when the event has none
	clock       clock
	spec        day.Spec
	// byHand[g] says that a photograph was left out by hand; handMade is the order by hand, nil when there is none, and
	// broken are the wishes that it breaks.
	byHand   map[solver.GroupingIndex]bool
	handMade [][]solver.GroupingIndex
	broken   []*event.InfeasibleError
	// planned is when blocks are planned to end, 0 for never; give is how far each may run over that.
	// firm says which may not at all.
	planned, give []solver.Seconds
	firm          []bool
	// realCloses is when blocks have to end, while the search is held to end some of them earlier so that
	// their safe finish is inside. Nil while it is not.
	realCloses []solver.Seconds
}

// newProblem expects an event in which check.Event finds no Error.
func newProblem(e event.Event, o Options) (*problem, error) {
	photographs, emptied := event.Expand(e)
	return newProblemOf(e, photographs, emptied, o)
}

// newProblemOf is newProblem for photographs that need not be those that the event expands to.
func newProblemOf(e event.Event, photographs, emptied []event.Photograph, o Options) (*problem, error) {
	pr := &problem{event: e, photographs: photographs, emptied: emptied, people: map[string]solver.PersonIndex{}, blocks: e.Blocks}
	if len(pr.blocks) == 0 {
		pr.blocks = []event.Block{{}}
	}
	for i, p := range e.People {
		pr.people[p.ID] = solver.PersonIndex(i)
	}
	var err error
	if pr.clock, err = newClock(e); err != nil {
		return nil, err
	}
	minutes := newMinutesModel(e.Pace)
	weights := newCostWeights(e.Weights)
	pr.spec = day.Spec{
		Timing:     minutes.timing(pr.largest()),
		StepWeight: int64(weights.step),
		Emphasis:   emphases[e.Emphasis],
		Handover:   handover,
	}
	if err := pr.addBlocks(o); err != nil {
		return nil, err
	}
	for b := range pr.spec.Blocks {
		pr.spec.Blocks[b].Opening = minutes.openingTime()
	}
	if err := pr.addGroupings(minutes); err != nil {
		return nil, err
	}
	pr.addWorth()
	pr.addPeople(minutes, weights)
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
func (pr *problem) addBlocks(o Options) error {
	places, photographers := map[string]int{}, map[string]int{}
	number := func(known map[string]int, name string) int {
		if _, ok := known[name]; !ok {
			known[name] = len(known)
		}
		return known[name]
	}
	first := 0
	for i, b := range pr.blocks {
		block := day.Block{Place: number(places, b.Place), Photographer: number(photographers, b.Photographer)}
		var err error
		if block.Open, err = pr.clock.seconds(b.Opens, 0); err != nil {
			return err
		}
		if block.Close, err = pr.clock.seconds(b.Closes, 0); err != nil {
			return err
		}
		pr.spec.Blocks = append(pr.spec.Blocks, block)
		if block.Open < pr.spec.Blocks[first].Open {
			first = i
		}
	}
	pr.spec.Walk = walks(places, pr.event.Walks)
	for i, b := range pr.spec.Blocks {
		pr.give = append(pr.give, pr.mayGive(pr.blocks[i], b))
		pr.firm = append(pr.firm, pr.blocks[i].Closing == event.FirmClosing || pr.event.Fit == event.Safe)
	}
	if o.Available > 0 {
		b := &pr.spec.Blocks[first]
		until := b.Open + solver.Seconds(o.Available/time.Second)
		if b.Close == 0 || until < b.Close {
			b.Close = until
		}
		pr.give[first], pr.firm[first] = min(pr.give[first], until-b.Close), true
	}
	for _, b := range pr.spec.Blocks {
		pr.planned = append(pr.planned, b.Close)
	}
	return nil
}

// The usual tolerance of a soft block is a share of its length, at most so many seconds. Common practice, no source.
const (
	giveShare = 10
	giveMost  = 5 * 60
)

// mayGive is how far a block may run over. With a fit of Safe nothing may: its safe finish has to be inside.
func (pr *problem) mayGive(b event.Block, s day.Block) solver.Seconds {
	switch {
	case s.Close == 0 || b.Closing == event.FirmClosing || pr.event.Fit == event.Safe:
		return 0
	case b.Overrun != nil:
		return solver.Seconds(*b.Overrun) * 60
	}
	return min(giveMost, (s.Close-s.Open)/giveShare)
}

// giveWay lets soft blocks run over. It reports whether there are any.
func (pr *problem) giveWay() bool {
	gives := slices.ContainsFunc(pr.give, func(s solver.Seconds) bool { return s > 0 })
	if gives {
		pr.spec.Blocks = slices.Clone(pr.spec.Blocks)
		for b := range pr.spec.Blocks {
			pr.spec.Blocks[b].Close = min(pr.spec.Blocks[b].Close+pr.give[b], solver.MaxSeconds)
		}
	}
	return gives
}

// overrun is by how much a plan has a block end after it is planned to.
func (pr *problem) overrun(plan day.Plan, b int) solver.Seconds {
	slots := plan.Blocks[b]
	if pr.planned[b] == 0 || len(slots) == 0 {
		return 0
	}
	return max(0, slots[len(slots)-1].Finish-pr.planned[b])
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

func (pr *problem) addGroupings(minutes minutesModel) error {
	byID := map[string]solver.GroupingIndex{}
	for i, photo := range pr.photographs {
		byID[photo.ID] = solver.GroupingIndex(i)
	}
	for _, photo := range pr.photographs {
		g := day.Grouping{Tier: tiers[photo.Priority]}
		g.Pin, g.Guests = pins[photo.Pin], photo.Guests
		for _, id := range photo.Members {
			g.Members = append(g.Members, pr.people[id])
		}
		for _, id := range photo.After {
			g.After = append(g.After, byID[id])
		}
		if photo.Minutes != nil {
			g.Fixed = max(1, solver.Seconds(*photo.Minutes*60+0.5))
		}
		var err error
		if g.Windows, err = pr.windows(photo); err != nil {
			return err
		}
		g.Near = pr.near(photo)
		g.Blocks = pr.allowedBlocks(photo)
		light := pr.light(g.Blocks)
		frames := minutes.framesFor(photo, light)
		g.Shoot = solver.Seconds(frames * minutes.perFrame)
		pr.frames = append(pr.frames, frames)
		pr.spec.Groupings = append(pr.spec.Groupings, g)
	}
	return nil
}

// largest is the most people who can walk in for one photograph.
func (pr *problem) largest() int {
	most := 0
	for _, photo := range pr.photographs {
		most = max(most, photo.Size())
	}
	return most
}

// led lists who is brought by the leader of a circle of theirs.
func (pr *problem) led() map[string]bool {
	led := map[string]bool{}
	for _, c := range pr.event.Circles {
		leader, known := pr.people[c.Leader]
		if !known || pr.event.People[leader].Absent {
			continue
		}
		for _, id := range event.Members(pr.event, c.ID) {
			led[id] = led[id] || id != c.Leader
		}
	}
	return led
}

func (pr *problem) addPeople(minutes minutesModel, weights costWeights) {
	timesIn := make([]int, len(pr.event.People))
	for _, g := range pr.spec.Groupings {
		for _, q := range g.Members {
			timesIn[q]++
		}
	}
	led := pr.led()
	for i, p := range pr.event.People {
		release, idle := weights.of(p, timesIn[i], len(pr.photographs), pr.event.Emphasis)
		pr.spec.People = append(pr.spec.People, solver.Person{
			ReleaseWeight: release,
			IdleWeight:    idle,
			Slow:          minutes.slow(p),
			Led:           led[p.ID],
		})
	}
}

// allowedBlocks lists the blocks that a photograph may be taken in: those it names, or all, that
// hold its people; where somebody needs a way without steps and one of them has it, only such.
func (pr *problem) allowedBlocks(photo event.Photograph) []day.BlockIndex {
	var all, stepFree []day.BlockIndex
	for i, b := range pr.blocks {
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
func (pr *problem) light(blocks []day.BlockIndex) event.Light {
	for _, b := range blocks {
		if pr.blocks[b].Light == event.DimLight {
			return event.DimLight
		}
	}
	return event.GoodLight
}

func (pr *problem) needsStepFree(id string) bool {
	needs := pr.event.People[pr.people[id]].Needs
	return slices.Contains(needs, event.Wheelchair) || slices.Contains(needs, event.StepFree)
}

// requested returns, block by block, the order in which the groupings of a plan were asked for.
func (pr *problem) requested(plan day.Plan) [][]solver.GroupingIndex {
	out := make([][]solver.GroupingIndex, len(plan.Blocks))
	for b, slots := range plan.Blocks {
		for _, s := range slots {
			out[b] = append(out[b], s.Grouping)
		}
		slices.Sort(out[b])
	}
	return out
}

// stepsAlone returns the same day with walk-ins as the only cost.
func (pr *problem) stepsAlone() day.Spec {
	spec := pr.spec
	spec.Emphasis = solver.FewestSteps
	spec.People = slices.Clone(pr.spec.People)
	for i := range spec.People {
		spec.People[i].ReleaseWeight, spec.People[i].IdleWeight = 0, 0
	}
	return spec
}

func (pr *problem) ids(people []solver.PersonIndex) []string {
	var out []string
	for _, q := range people {
		out = append(out, pr.event.People[q].ID)
	}
	return out
}
