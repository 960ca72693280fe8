package planning

import (
	"context"
	"errors"
	"maps"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/check"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/needs"
)

// taken is one entry of a sheet as somebody with a watch sees it.
type taken struct {
	photo         event.Photograph
	block         event.Block
	index         int
	start, finish time.Time
	people        []string // in the frame or near it
	over          bool     // when the rest is planned
	late          bool     // its times are over, and everybody is there still
}

// read lists the entries of a block of a sheet; index counts on from a number.
func read(e event.Event, b event.SheetBlock, index int) []taken {
	photographs, _ := event.Expand(e)
	var all []taken
	for k, x := range b.Entries {
		all = append(all, taken{
			photo: photographs[slices.IndexFunc(photographs, func(p event.Photograph) bool { return p.ID == x.Grouping })],
			block: e.Blocks[slices.IndexFunc(e.Blocks, func(y event.Block) bool { return y.ID == b.Block })],
			index: index + k, start: b.Start.Add(x.Offset), finish: b.Start.Add(x.Offset + x.Length),
			people: slices.Concat(x.StepIn, x.Stay, x.Near),
		})
	}
	return all
}

// keeps holds a sheet against its event alone: nobody is in two places, nobody is called who is not there,
// every wish and rule holds. It knows nothing of how sheets are made.
func keeps(t *testing.T, e event.Event, s event.CallSheet) []taken {
	t.Helper()
	return watch{t: t, e: e}.sheet(s)
}

// byHand is keeps for an order by hand, which may break wishes and run over soft ends where the sheet tells so.
func byHand(t *testing.T, e event.Event, s event.CallSheet) {
	t.Helper()
	w := watch{t: t, e: e, told: map[string]bool{}}
	for _, a := range s.Advice {
		w.told[a.Code] = true
	}
	w.sheet(s)
}

func (w watch) sheet(s event.CallSheet) []taken {
	t, e := w.t, w.e
	count := map[string]int{}
	for _, b := range s.Blocks {
		var frame []string
		over := b.Start
		for k, at := range read(e, b, 0) {
			x := b.Entries[k]
			count[x.Grouping]++
			assert.ElementsMatch(t, at.photo.Members, slices.Concat(x.StepIn, x.Stay), "who is in %s", x.Grouping)
			assert.ElementsMatch(t, frame, slices.Concat(x.StepOut, x.Stay), "who was in the frame before %s", x.Grouping)
			assert.Equal(t, over, at.start.Add(-x.Wait), "when %s begins", x.Grouping)
			runs := (w.told[event.CodeRunsOver] || w.told[event.CodeOverBlock]) && at.block.Closing == event.SoftClosing && w.inside(at, at.block.Opens, "")
			assert.True(t, runs || w.inside(at, at.block.Opens, w.end(at.block)), "%s is outside its block", x.Grouping)
			frame, over = at.photo.Members, at.finish
			w.all = append(w.all, at)
		}
		if n := len(b.Entries); n > 0 {
			block := w.all[len(w.all)-1].block
			assert.Equal(t, max(0, over.Sub(w.at(block.Closes))), b.Overrun, "how far %s runs over", b.Block)
		}
	}
	for _, l := range s.LeftOut {
		count[l.Grouping]++
	}
	photographs, emptied := event.Expand(e)
	for _, p := range slices.Concat(photographs, emptied) {
		assert.Equal(t, 1, count[p.ID], "%s is taken or left out, once", p.ID)
	}
	w.together()
	w.ends()
	return w.all
}

// replans goes on in the middle of a day: what is over and what is planned anew keep the event together.
// The start of a block that has begun is over, and what is owed may run late.
func replans(t *testing.T, rng *rand.Rand, e event.Event, plan []taken) {
	if len(plan) == 0 {
		return
	}
	now := plan[rng.IntN(len(plan))].finish
	today := Today{Now: now, Done: map[string]bool{}, Frames: map[string]Calling{}}
	w, done := watch{t: t, e: e}, map[string]int{}
	for _, x := range plan {
		if x.finish.After(now) {
			continue
		}
		done[x.block.ID]++
		x.over = true
		w.all = append(w.all, x)
		today.Done[x.photo.ID] = true
		today.Frames[x.block.ID] = Calling{Grouping: x.photo.ID, At: x.start}
		today.Slots = append(today.Slots, Timed{Grouping: x.photo.ID, Block: x.block.ID, Started: x.start, Finished: x.finish})
	}
	o, err := Replan(t.Context(), e, today, Options{Work: 100})
	require.NoError(t, err)
	require.Nil(t, o.Fault, "the search went right")
	for _, b := range o.Sheet.Blocks {
		for _, x := range read(e, b, done[b.Block]) {
			assert.False(t, x.start.Before(now), "%s begins before now", x.photo.ID)
			assert.False(t, today.Done[x.photo.ID], "%s is taken again", x.photo.ID)
			x.late = !owed(t, o, x.photo.ID).Why.Empty()
			w.all = append(w.all, x)
		}
	}
	w.together()
	starts(t, rng, e, today)
}

// starts begins photographs in some blocks, whatever the rules and the plan say: whoever holds the camera
// decides. Each opens its block, and all others are still planned or left out.
func starts(t *testing.T, rng *rand.Rand, e event.Event, today Today) {
	photographs, _ := event.Expand(e)
	today.Current, today.Frames = map[string]Calling{}, maps.Clone(today.Frames)
	for _, b := range e.Blocks {
		x := photographs[rng.IntN(len(photographs))]
		if rng.IntN(2) == 0 && !today.Done[x.ID] && !slices.ContainsFunc(slices.Collect(maps.Values(today.Current)), func(c Calling) bool { return c.Grouping == x.ID }) {
			today.Current[b.ID] = Calling{Grouping: x.ID, At: today.Now}
			today.Frames[b.ID] = today.Current[b.ID]
		}
	}
	o, err := Replan(t.Context(), e, today, Options{Work: 100})
	require.NoError(t, err)
	require.Nil(t, o.Fault, "the search went right")
	for _, b := range o.Sheet.Blocks {
		if c, ok := today.Current[b.Block]; ok && len(today.Current) == 1 {
			require.NotEmpty(t, b.Entries)
			assert.Equal(t, c.Grouping, b.Entries[0].Grouping)
		}
	}
	for _, x := range o.Owed {
		assert.False(t, today.Done[x.Grouping])
	}
}

// together checks that photographs keep what is wished of them, whatever their times.
func (w watch) together() {
	for _, x := range w.all {
		w.there(x)
		for _, y := range w.all {
			if x.photo.ID != y.photo.ID {
				w.pair(x, y)
			}
		}
	}
	for _, r := range w.e.Rules {
		w.rule(r)
	}
}

type watch struct {
	t   *testing.T
	e   event.Event
	all []taken
	// told are the codes of the advice on an order by hand; nil for a planned one.
	told map[string]bool
}

// wish checks what an order by hand may break, and tells of then.
func (w watch) wish(kept bool, format string, args ...any) {
	w.t.Helper()
	assert.True(w.t, kept || w.told[event.CodeHandBreaks], append([]any{format}, args...)...)
}

func (w watch) at(s string) time.Time {
	at, err := w.e.Instant(s)
	require.NoError(w.t, err)
	return at
}

func (w watch) person(id string) event.Person {
	return w.e.People[slices.IndexFunc(w.e.People, func(p event.Person) bool { return p.ID == id })]
}

// inside says that a photograph lies between two times of the event, of which either may be empty.
func (w watch) inside(x taken, from, until string) bool {
	return (from == "" || !x.start.Before(w.at(from))) && (until == "" || !x.finish.After(w.at(until)))
}

// end is when a block must be over: a soft one may run over by what it says, or by a tenth and five minutes at most.
func (w watch) end(b event.Block) string {
	opens, closes := w.at(b.Opens), w.at(b.Closes)
	give := min(5*time.Minute, closes.Sub(opens)/10)
	if b.Overrun != nil {
		give = time.Duration(*b.Overrun) * time.Minute
	}
	if b.Closing == event.FirmClosing || w.e.Fit == event.Safe {
		give = 0
	}
	return closes.Add(give).Format(time.RFC3339)
}

// there checks that a photograph is where and when it may be, and that everybody is there.
func (w watch) there(x taken) {
	id, asked := x.photo.ID, w.e.Groupings[x.photo.Source]
	assert.True(w.t, x.late || w.inside(x, asked.NotBefore, asked.NotAfter), "%s is outside the times it asks for", id)
	for _, who := range x.people {
		p := w.person(who)
		there := w.inside(x, p.PresentFrom, p.PresentUntil) && (len(p.Presence) == 0 ||
			slices.ContainsFunc(p.Presence, func(s event.Span) bool { return w.inside(x, s.From, s.Until) }))
		assert.True(w.t, there || x.late, "%s is called to %s and not there", who, id)
	}
	for _, who := range x.photo.Members {
		if i := w.person(who).Interpreter; i != "" {
			assert.Contains(w.t, x.people, i, "interprets in %s", id)
		}
	}
	var places []event.Block
	for _, b := range w.e.Blocks {
		if (len(asked.Blocks) == 0 || slices.Contains(asked.Blocks, b.ID)) && (b.Capacity == 0 || len(x.photo.Members) <= b.Capacity) {
			places = append(places, b)
		}
	}
	wheels := slices.ContainsFunc(x.photo.Members, func(who string) bool { return slices.Contains(w.person(who).Needs, event.Wheelchair) })
	level := func(b event.Block) bool { return b.StepFree }
	if wheels && slices.ContainsFunc(places, level) {
		places = slices.DeleteFunc(places, func(b event.Block) bool { return !b.StepFree })
	}
	w.wish(slices.ContainsFunc(places, func(b event.Block) bool { return b.ID == x.block.ID }), "%s cannot be taken in %s", id, x.block.ID)
}

// pair checks what concerns two photographs: that x and y are not at the same time where somebody is
// needed in both, and come in the order that they ask for.
func (w watch) pair(x, y taken) {
	shared := slices.ContainsFunc(x.people, func(id string) bool { return slices.Contains(y.people, id) })
	if x.block.ID != y.block.ID && (shared || x.block.Photographer == y.block.Photographer) {
		way := time.Duration(0)
		for _, walk := range w.e.Walks {
			if x.block.Place != y.block.Place && slices.Contains([]string{walk.From, walk.To}, x.block.Place) && slices.Contains([]string{walk.From, walk.To}, y.block.Place) {
				way = time.Duration(walk.Minutes) * time.Minute
			}
		}
		apart := !x.finish.Add(way).After(y.start) || !y.finish.Add(way).After(x.start)
		assert.True(w.t, apart, "somebody is needed in %s and in %s at once", x.photo.ID, y.photo.ID)
	}
	// What was left out held nobody up, and may be taken late.
	if slices.Contains(x.photo.After, y.photo.ID) && !(x.over && !y.over) {
		w.wish(!x.start.Before(y.finish), "%s comes before %s", x.photo.ID, y.photo.ID)
	}
}

// ends checks that photographs stand at the end of their block that they are pinned to.
func (w watch) ends() {
	for _, x := range w.all {
		for _, y := range w.all {
			if x.block.ID == y.block.ID && x.index < y.index {
				w.wish(y.photo.Pin != event.PinFirst || x.photo.Pin == event.PinFirst, "%s is not first", y.photo.ID)
				w.wish(x.photo.Pin != event.PinLast || y.photo.Pin == event.PinLast, "%s is not last", x.photo.ID)
			}
		}
	}
}

// with lists the photographs that somebody, or somebody of a circle, is in.
func (w watch) with(id string) []taken {
	who := event.NewIndex(&w.e).Members(id)
	return slices.DeleteFunc(slices.Clone(w.all), func(x taken) bool {
		return !slices.ContainsFunc(x.photo.Members, func(m string) bool { return slices.Contains(who, m) })
	})
}

func (w watch) rule(r event.Rule) {
	switch {
	case r.Apart != nil && r.Apart.Scope == event.InBlock:
		for _, x := range w.with(r.Apart.People[0]) {
			for _, y := range w.with(r.Apart.People[1]) {
				if r.Apart.Until != "" && (!x.start.Before(w.at(r.Apart.Until)) || !y.start.Before(w.at(r.Apart.Until))) || x.block.Place != y.block.Place {
					continue
				}
				far := !x.finish.Add(10*time.Minute).After(y.start) || !y.finish.Add(10*time.Minute).After(x.start)
				assert.True(w.t, far && x.block.ID != y.block.ID, "%s and %s bring people together", x.photo.ID, y.photo.ID)
			}
		}
	case r.Turns != nil:
		a, b := w.with(r.Turns.People[0]), w.with(r.Turns.People[1])
		both := func(x taken) bool { return among(a, x) && among(b, x) }
		for _, x := range a {
			for _, y := range b {
				for _, z := range a {
					if !both(x) && !both(y) && !both(z) {
						assert.False(w.t, x.start.Before(y.start) && y.start.Before(z.start), "%s is between %s and %s", y.photo.ID, x.photo.ID, z.photo.ID)
					}
				}
			}
		}
	case r.Seniority != nil:
		first := w.with(r.Seniority.People[0])
		for _, x := range first {
			for _, y := range w.with(r.Seniority.People[1]) {
				if x.block.ID == y.block.ID && !among(first, y) && !y.over && !w.precedes(y.photo, x.photo) {
					w.wish(x.index < y.index, "%s goes before %s", x.photo.ID, y.photo.ID)
				}
			}
		}
	}
}

// precedes says that one photograph comes before another by what the photographs themselves ask for, by way of others too: a
// rule gives way to that.
func (w watch) precedes(y, x event.Photograph) bool {
	all, _ := event.Expand(w.e)
	place := map[event.Pin]int{event.PinFirst: -1, event.PinLast: 1}
	seen := map[string]bool{y.ID: true}
	for next := []event.Photograph{y}; len(next) > 0; next = next[1:] {
		for _, z := range all {
			if !seen[z.ID] && (slices.Contains(z.After, next[0].ID) || place[next[0].Pin] < place[z.Pin]) {
				seen[z.ID] = true
				next = append(next, z)
			}
		}
	}
	return seen[x.ID]
}

func among(list []taken, x taken) bool {
	return slices.ContainsFunc(list, func(y taken) bool { return y.photo.ID == x.photo.ID })
}

// Every sheet keeps its event: one that is planned, one whose order is given, one that is planned anew
// in the middle of the day.
func TestSheetsKeepTheEvent(t *testing.T) {
	needs.Time(t)
	planned, kept, refused := 0, 0, 0
	for seed := range uint64(1000) {
		rng := rand.New(rand.NewPCG(seed, 31))
		e := anyEvent(rng)
		if len(event.Faults(check.Event(e))) > 0 {
			continue
		}
		planned++
		s, err := Plan(context.Background(), e, Options{Work: 100})
		require.NoError(t, err, "seed %d", seed)
		replans(t, rng, e, keeps(t, e, s))
		orders := OrdersOf(s)
		for _, o := range orders {
			rng.Shuffle(len(o.Photographs), func(i, j int) { o.Photographs[i], o.Photographs[j] = o.Photographs[j], o.Photographs[i] })
		}
		s, err = Fixed(e, Options{}, orders)
		var infeasible *event.InfeasibleError
		if errors.As(err, &infeasible) {
			refused++
		} else {
			require.NoError(t, err, "seed %d", seed)
			kept++
			byHand(t, e, s)
		}
		if t.Failed() {
			t.Fatalf("seed %d: %+v", seed, e)
		}
	}
	assert.Greater(t, planned, 600)
	assert.Greater(t, kept, 200)
	assert.Greater(t, refused, 80)
}
