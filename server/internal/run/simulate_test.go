package run

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/needs"
	"kinorder.example/server/internal/planning"
)

// played is a day that two photographers go through, each with a phone that is without signal now and then.
type played struct {
	t      testing.TB
	rng    *rand.Rand
	e      event.Event
	begun  Occasion
	now    time.Time
	marks  []Mark // that the server has
	made   []Mark // by anybody
	fresh  []Mark // those that the plan is being made for
	plan   *Plan
	effort planning.Options
	phones []*handset
	away   map[string]time.Time // who comes back, and when
	freed  map[string]string    // who was told to be free, after which photograph
	pace   float64
	tally  tally
	told   func(Planned) // hears of each plan, if not nil

	members map[string][]string // by photograph of the list
}

// handset is the phone of a photographer: what it heard last, and what it has not sent.
type handset struct {
	by      string
	block   string
	plan    *Plan
	queue   []Mark
	offline time.Time // until then
	taking  string
	acts    time.Time // when its holder does something next
	idle    int
}

// tally counts what was seen, and lists what must not be.
type tally struct {
	days, plans, short, ticks, passed int
	wrong                             map[string][]string
}

func (p *played) wrong(kind, format string, args ...any) {
	p.tally.wrong[kind] = append(p.tally.wrong[kind], p.now.Format("15:04:05 ")+fmt.Sprintf(format, args...))
}

func (p *played) chance(percent int) bool { return p.rng.IntN(100) < percent }

func (p *played) mark(h *handset, m Mark) {
	m.ID = fmt.Sprintf("0197d0a0-0000-7000-8000-%012x", len(p.made)+1)
	m.At, m.By = p.now.Add(time.Duration(len(p.made))*time.Millisecond), h.by
	h.queue = append(h.queue, m)
	p.made = append(p.made, m)
}

// send brings to the server what a phone has marked, and plans anew.
func (p *played) send(h *handset) {
	if len(h.queue) == 0 || p.now.Before(h.offline) {
		return
	}
	late := len(h.queue) > 2
	for _, m := range h.queue {
		if late || slices.Contains([]Kind{PutBack, Undone, Reset, Arrived, Without, Skipped}, m.Kind) {
			clear(p.freed) // what was known of who is wanted is so no more
		}
	}
	for i := range h.queue {
		p.begun.complete(&h.queue[i], Fold(p.marks), p.plan)
	}
	p.rng.Shuffle(len(h.queue), func(i, j int) { h.queue[i], h.queue[j] = h.queue[j], h.queue[i] })
	p.marks, p.fresh = append(p.marks, h.queue...), h.queue
	took := ""
	if len(h.queue) == 1 && h.queue[0].Kind == Taken {
		took = h.queue[0].Grouping
	}
	h.queue = nil
	p.replan(h, took)
}

func (p *played) replan(h *handset, took string) {
	state := Fold(p.marks)
	o, err := p.begun.Replan(p.marks, state, p.plan, p.now, func(_ event.Event, t planning.Today) (Plan, error) {
		return planning.Replan(context.Background(), p.e, t, p.effort)
	})
	require.NoError(p.t, err)
	p.tally.plans++
	if p.told != nil {
		p.told(Planned{p.begun, p.marks[:len(p.marks)-len(p.fresh)], p.fresh, p.now, o})
	}
	if o.Fault != nil {
		p.wrong("fault", "%s", o.Fault.Cause)
	}
	p.check(state, o)
	p.frees(state, o)
	p.stays(state, o)
	if p.plan != nil && took != "" {
		p.followed(state, h.block, took, *p.plan, o)
	}
	p.plan = &o
	for _, x := range p.phones {
		if !p.now.Before(x.offline) {
			x.plan = p.plan
		}
	}
}

// next is what a photographer takes next: the first that they do not know to be taken, in their block or one
// that nobody else is at.
func (p *played) next(h *handset) (event.SheetEntry, bool) {
	known := Fold(append(slices.Clone(p.marks), h.queue...))
	if p.now.Before(h.offline) {
		known = Fold(h.queue)
	}
	blocks := []string{h.block}
	for _, b := range p.e.Blocks {
		if !slices.ContainsFunc(p.phones, func(x *handset) bool { return x.block == b.ID }) {
			blocks = append(blocks, b.ID)
		}
	}
	for _, b := range blocks {
		for _, e := range entriesOf(*h.plan, b) {
			if status := known.Groupings[e.Grouping].Status; !slices.Contains([]Status{Done, Later, LeftOut}, status) {
				h.block = b
				return e, true
			}
		}
	}
	return event.SheetEntry{}, false
}

// act is what the holder of a phone does next.
func (p *played) act(h *handset) {
	p.back(h)
	if h.taking != "" {
		p.mark(h, Mark{Kind: Taken, Grouping: h.taking, Block: h.block})
		p.free(h)
		h.taking, h.acts = "", p.now.Add(5*time.Second)
		p.send(h)
		p.surprise(h)
		return
	}
	e, ok := p.next(h)
	if !ok {
		h.idle++
		h.acts = p.now.Add(2 * time.Minute)
		p.lastResort(h)
		return
	}
	h.idle = 0
	people := slices.Concat(e.StepIn, e.Stay)
	if p.chance(8) && len(people) > 2 {
		who := people[p.rng.IntN(len(people))]
		p.mark(h, Mark{Kind: Absent, Person: who})
		p.away[who] = p.now.Add(time.Duration(2+p.rng.IntN(15)) * time.Minute)
		h.acts = p.now.Add(10 * time.Second)
		p.send(h)
		return
	}
	if p.chance(4) {
		p.mark(h, Mark{Kind: Skipped, Grouping: e.Grouping, Block: h.block})
		h.acts = p.now.Add(5 * time.Second)
		p.send(h)
		return
	}
	if p.chance(50) {
		p.mark(h, Mark{Kind: Started, Grouping: e.Grouping, Block: h.block})
		p.send(h)
	}
	h.taking = e.Grouping
	h.acts = p.now.Add(time.Duration(float64(e.Length+e.Wait) * p.pace * (0.7 + 0.6*p.rng.Float64())))
}

// free remembers whom the page of a photographer said to be free after what they have just taken.
func (p *played) free(h *handset) {
	if p.now.Before(h.offline) || h.plan != p.plan {
		return
	}
	entries := entriesOf(*h.plan, h.block)
	if len(entries) > 0 && entries[0].Grouping == h.taking {
		for _, who := range entries[0].Released {
			p.freed[who] = h.taking
		}
	}
}

// back marks who has turned up again.
func (p *played) back(h *handset) {
	for _, who := range slices.Sorted(maps.Keys(p.away)) {
		if !p.now.Before(p.away[who]) {
			delete(p.away, who)
			p.mark(h, Mark{Kind: Arrived, Person: who})
			p.send(h)
		}
	}
}

// surprise is what else happens on a day.
func (p *played) surprise(h *handset) {
	person := p.e.People[p.rng.IntN(len(p.e.People))].ID
	if slices.ContainsFunc(p.e.People, func(x event.Person) bool { return x.Absent }) && (p.person(person).Absent || p.chance(10)) {
		p.comesAfterAll(h)
		return
	}
	switch p.rng.IntN(40) {
	case 0:
		p.mark(h, Mark{Kind: Late, Person: person, Until: p.now.Add(time.Duration(3+p.rng.IntN(20)) * time.Minute)})
	case 1:
		p.mark(h, Mark{Kind: Gone, Person: person})
	case 2:
		p.mark(h, Mark{Kind: Leaving, Person: person, Until: p.now.Add(10 * time.Minute)})
	case 3, 4:
		p.mark(h, Mark{Kind: Added, Grouped: &event.Grouping{
			ID: fmt.Sprint("day-", len(p.made)), Title: fmt.Sprint("Wanted at ", len(p.made)), Priority: event.Priority(p.rng.IntN(3)),
			Members: []string{person, p.e.People[0].ID, p.e.People[1].ID},
		}})
	case 5, 6:
		for _, m := range slices.Backward(p.made) {
			if m.By == h.by && m.Kind != Undone {
				p.mark(h, Mark{Kind: Undone, Undoes: m.ID})
				break
			}
		}
	case 7:
		b := p.e.Blocks[p.rng.IntN(len(p.e.Blocks))]
		p.mark(h, Mark{Kind: Reset, Block: b.ID, Closes: p.now.Add(time.Duration(10+p.rng.IntN(40)) * time.Minute)})
	case 8:
		open := p.plan.Owed
		if len(open) > 0 {
			in := open[p.rng.IntN(len(open))].Grouping
			p.mark(h, Mark{Kind: Joined, Person: fmt.Sprint("day-", len(p.made)), Name: fmt.Sprint("Guest ", len(p.made)), Groupings: []string{in}})
		}
	case 9:
		if open := p.plan.Owed; len(open) > 0 {
			p.mark(h, Mark{Kind: LeaveOut, Grouping: open[p.rng.IntN(len(open))].Grouping})
		}
	case 10, 11, 12:
		h.offline = p.now.Add(time.Duration(2+p.rng.IntN(12)) * time.Minute)
		return
	}
	p.send(h)
}

// comesAfterAll is that whoever was not to come is there.
func (p *played) comesAfterAll(h *handset) {
	for _, x := range p.e.People {
		if m := (Mark{Kind: Arrived, Person: x.ID}); x.Absent {
			m.bring(p.e)
			p.mark(h, m)
		}
	}
	p.send(h)
}

// lastResort is what is done when nothing can be taken: what waits is taken without whoever is missing, or the
// block is closed.
func (p *played) lastResort(h *handset) {
	for _, x := range h.plan.Owed {
		if x.OfferWithout && p.chance(60) {
			p.mark(h, Mark{Kind: Without, Grouping: x.Grouping, People: x.Missing})
		}
	}
	if h.idle > 3 && p.chance(40) {
		p.mark(h, Mark{Kind: Reset, Block: h.block, Closed: true})
	}
	p.send(h)
}

// play goes through a day.
func play(t testing.TB, seed uint64, castle event.Event, effort planning.Options, told ...func(Planned)) *played {
	rng := rand.New(rand.NewPCG(seed, 14))
	e, pace := anyDay(rng, castle), 0.0
	if seed >= wild {
		e, pace = wilder(rng, e)
	}
	begins, err := e.Instant("14:30")
	require.NoError(t, err)
	paper, err := planning.Replan(t.Context(), e, planning.Today{Now: begins}, effort)
	require.NoError(t, err)
	sheet := paper.Sheet
	p := &played{
		t: t, rng: rng, e: e, begun: Occasion{Event: e, Sheet: sheet}, effort: effort, pace: 0.8 + 0.7*rng.Float64(),
		away: map[string]time.Time{}, freed: map[string]string{}, tally: tally{days: 1, wrong: map[string][]string{}},
	}
	photographs, _ := event.Expand(e)
	p.pace = cmp.Or(pace, p.pace)
	p.members = map[string][]string{}
	for _, x := range photographs {
		p.members[x.ID] = x.Members
	}
	opens, err := e.Instant(e.Blocks[0].Opens)
	require.NoError(t, err)
	p.now = opens.Add(time.Duration(max(0, rng.IntN(70)-20)) * time.Minute)
	p.phones = []*handset{{by: "first", block: e.Blocks[0].ID, acts: p.now}}
	if e.Blocks[1].Photographer != e.Blocks[0].Photographer {
		p.phones = append(p.phones, &handset{by: "second", block: e.Blocks[1].ID, acts: p.now.Add(time.Second)})
	}
	for _, f := range told {
		p.told = f
	}
	p.replan(p.phones[0], "")
	for range 400 {
		h := slices.MinFunc(p.phones, func(a, b *handset) int { return a.acts.Compare(b.acts) })
		if h.idle > 8 {
			break
		}
		p.now = h.acts.Truncate(time.Millisecond) // as devices tell it
		for _, x := range p.phones {
			p.send(x)
		}
		p.act(h)
		if p.fresh = nil; overtaken(*p.plan, p.now.Add(-time.Hour), p.now) {
			p.replan(h, "") // nobody has pressed anything
		}
	}
	p.accounted()
	return p
}

// Days with late starts, people who are missing, come, leave and go, people and photographs that are added, left out, put
// off and undone, blocks that are moved and closed, and phones without signal. KINORDER_DAYS plays so many,
// KINORDER_SEED=55,118 those.
func TestDaysOfAllKinds(t *testing.T) {
	const short = 32
	days, effort := short, planning.Options{Budget: 1} // no search: the same on every machine
	// Musts stood behind others in the first three, and the next had somebody told and passed over without a word.
	seeds := []uint64{48, 59, 550, 348, wild, wild + 1, wild + 2, wild + 3}
	if many, err := strconv.Atoi(os.Getenv("KINORDER_DAYS")); err == nil {
		days, effort = many, planning.Options{}
	} else if list := os.Getenv("KINORDER_SEED"); list != "" {
		days, effort, seeds = 0, planning.Options{}, nil
		require.NoError(t, json.Unmarshal([]byte("["+list+"]"), &seeds))
	} else {
		needs.Time(t)
	}
	castle := castle(t)
	all := tally{wrong: map[string][]string{}}
	for seed := range uint64(days) {
		seeds = append(seeds, seed)
	}
	for _, seed := range seeds {
		if days == short && seed == short*3/4 {
			effort = planning.Options{Work: 1}
		}
		p := play(t, seed, castle, effort)
		all.days++
		all.plans += p.tally.plans
		all.short += p.tally.short
		all.ticks += p.tally.ticks
		all.passed += p.tally.passed
		for kind, list := range p.tally.wrong {
			all.wrong[kind] = append(all.wrong[kind], fmt.Sprintf("seed %d: %s", seed, list[0]))
		}
	}
	t.Logf("%d days, %d plans, %d of them short of time, %d ticks, %d passed over with a reason", all.days, all.plans, all.short, all.ticks, all.passed)
	for _, kind := range slices.Sorted(maps.Keys(all.wrong)) {
		list := all.wrong[kind]
		assert.Empty(t, list[:min(9, len(list))], "%s: on %d days", kind, len(list))
	}
}
