package planning

import (
	"slices"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning/model"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

// Standing is how long people stay in the frame after it was taken, when nothing else is called.
// Common practice, no source: by then they have drifted off.
const Standing = 10 * time.Minute

// horizon is how far ahead anything is planned, in seconds: a rule may keep a photograph back for ever.
const horizon = 12 * 3600

// leastLeft is the least time that what is being taken is thought to need still.
const leastLeft = 15 * time.Second

// rest is what is left of a day as a problem: photographs and blocks are those that still count.
type rest struct {
	*problem
	today Today
	// all are the photographs of the whole day, waiting[id] says whom one of them waits for.
	all     []event.Photograph
	listed  map[string][]string // who is in each of them by the list
	waiting map[string][]string
	// over[b] says by block of the event that it was closed.
	over    map[string]bool
	ratio   ratio
	now     solver.Seconds
	current []solver.GroupingIndex // by block, -1 for none
	next    []solver.GroupingIndex // by block, -1 for none
	ready   []solver.GroupingIndex // those who were told, whether they come next or not
	was     [][]solver.GroupingIndex
	base    [][]solver.GroupingIndex // was with what must be taken first where time is short
	// closings are when blocks are planned to end, 0 for never or past; hurry[b] says that time is short.
	closings []solver.Seconds
	hurry    []bool
	// musts rank photographs by urgency, urgent too, but for those who cannot begin yet.
	musts, urgent []int
	handOut       map[string]bool // ids of photographs that were left out by hand
	// late are ids of photographs whose times are over.
	late   map[string]bool
	plan   day.Plan
	result day.Result
	better bool // the order is another than the one in force because it costs less
	tried  int  // when time was up
	verify func(*day.Problem, day.Plan, solver.Cost, day.Lost) error
	fault  *Fault
}

func newRest(e event.Event, t Today) (*rest, error) {
	t.Away = t.Gone()
	e = model.WithToday(e, t)
	photographs, emptied := event.Expand(e)
	taken := make([]event.Photograph, 0, len(photographs))
	listed := make(map[string][]string)
	back := func(photo event.Photograph) bool { return len(t.With[photo.ID]) > 0 } // somebody came after all
	for _, photo := range emptied {
		if back(photo) {
			photographs = append(photographs, photo)
		}
	}
	emptied = slices.DeleteFunc(emptied, back)
	for _, photo := range photographs {
		listed[photo.ID] = photo.Members
		photo = t.Moves[photo.ID].Of(photo)
		photo.Members = model.MembersToday(photo, t)
		if len(photo.Members) == 0 {
			emptied = append(emptied, photo)
			continue
		}
		taken = append(taken, photo)
	}
	// Those who interpret are near only when they are there.
	for i, p := range e.People {
		if until, away := t.Away[p.ID]; away && until.IsZero() {
			e.People[i].Absent = true
		}
	}
	pr, err := model.Of(e, taken, emptied, 0)
	if err != nil {
		return nil, err
	}
	r := &rest{
		problem: &problem{Problem: pr}, today: t, all: taken, listed: listed, waiting: map[string][]string{}, over: map[string]bool{},
		late: map[string]bool{}, handOut: map[string]bool{}, verify: day.Verify,
	}
	r.leaveOut()
	r.now = max(0, solver.Seconds(t.Now.Sub(pr.Clock.Origin)/time.Second))
	r.oneAtATime()
	r.ratio = r.pace()
	r.retime()
	r.beginBlocks()
	r.keepRules()
	if t.Alone {
		r.KeepPhotographers(t.Orders, t.Closed)
	}
	r.reduce()
	return r, nil
}

// leaveOut leaves out what was left out by hand, unless somebody takes it all the same. What was to come after it
// waits for nothing.
func (r *rest) leaveOut() {
	for _, id := range r.Event.LeftOut {
		for _, g := range r.Named(id) {
			r.handOut[r.Photographs[g].ID] = true
			r.Spec.Groupings[g].Blocks = nil
		}
	}
	for g, w := range r.Spec.Groupings {
		r.Spec.Groupings[g].After = slices.DeleteFunc(slices.Clone(w.After), func(h solver.GroupingIndex) bool { return r.handOut[r.Photographs[h].ID] })
	}
}

// retime stretches the minutes model to the pace of the day. What walking in takes for each person goes
// into the table for placing newcomers, where a stretch of two seconds is not lost to rounding. A block that has
// begun has no opening.
func (r *rest) retime() {
	t := &r.Spec.Timing
	table := slices.Clone(t.Arrange)
	for n := range table {
		table[n] = r.stretched(t.Arrange[n] + t.PerStepIn*solver.Seconds(n))
		t.Gather[n] = r.stretched(t.Gather[n])
	}
	for b := range r.Spec.Blocks {
		r.Spec.Blocks[b].Opening = r.stretched(r.Spec.Blocks[b].Opening)
		if _, begun := r.today.Frames[r.Blocks[b].ID]; begun {
			r.Spec.Blocks[b].Opening = 0
		}
	}
	t.Arrange, t.PerStepIn = table, 0
	t.Settle, t.PerStepOut, t.Fresh = r.stretched(t.Settle), r.stretched(t.PerStepOut), r.stretched(t.Fresh)
	for i := range r.Spec.People {
		r.Spec.People[i].Slow = r.stretched(r.Spec.People[i].Slow)
	}
	for i := range r.Spec.Groupings {
		g := &r.Spec.Groupings[i]
		g.Shoot = r.stretched(g.Shoot)
		if g.Fixed > 0 {
			g.Fixed = max(1, r.stretched(g.Fixed))
		}
	}
}

func (r *rest) stretched(s solver.Seconds) solver.Seconds {
	return solver.Seconds(float64(s)*r.ratio.factor + 0.5)
}

// index finds a photograph, -1 when it is not there.
func (r *rest) index(id string) solver.GroupingIndex {
	return solver.GroupingIndex(slices.IndexFunc(r.Photographs, func(p event.Photograph) bool { return p.ID == id }))
}

// frameOf lists the people of a photograph who are there.
func (r *rest) frameOf(g solver.GroupingIndex) []solver.PersonIndex {
	return slices.DeleteFunc(slices.Clone(r.Spec.Groupings[g].Members), func(q solver.PersonIndex) bool {
		_, away := r.today.Away[r.Event.People[q].ID]
		return away
	})
}

// keepRules has rules hold between what is done and what is left, and settles what waits.
func (r *rest) keepRules() {
	r.keepTurns()
	r.keepPast()
	begun := make([]bool, len(r.Blocks))
	for b, block := range r.Blocks {
		_, begun[b] = r.today.Frames[block.ID]
	}
	for g := range r.Spec.Groupings {
		photo, w := r.Photographs[g], &r.Spec.Groupings[g]
		if slices.Contains(r.current, solver.GroupingIndex(g)) {
			r.waiting[photo.ID] = r.missing(photo)
			continue
		}
		had := len(w.Blocks) > 0 || r.hasGrown(photo) || r.today.Moves[photo.ID].Block != ""
		w.Blocks = slices.DeleteFunc(slices.Clone(w.Blocks), func(b day.BlockIndex) bool { return r.today.Closed[r.Blocks[b].ID] })
		if len(w.Blocks) == 0 && had && !r.handOut[photo.ID] {
			w.Blocks = r.anywhere(photo)
		}
		w.Blocks = r.moveOn(w.Blocks)
		// The start of a block that has begun is over, and a block does not wait to begin for who is late.
		if w.Pin == solver.PinFirst && (r.expects(*w) || slices.ContainsFunc(w.Blocks, func(b day.BlockIndex) bool { return begun[b] })) {
			w.Pin = solver.PinNone
		}
		if missing := r.missing(photo); len(missing) > 0 {
			r.waiting[photo.ID] = missing
		}
		if r.today.Later[photo.ID] {
			r.after(g)
		}
	}
	var open []solver.GroupingIndex
	for g := range r.Spec.Groupings {
		if r.open(g) {
			open = append(open, solver.GroupingIndex(g))
		}
	}
	r.lift(&r.Spec, open, r.isPast)
	for b := range r.Blocks {
		r.next[b], r.ready[b] = r.told(b)
	}
}

// hasGrown says that a photograph had a place until more people came than it has room for.
func (r *rest) hasGrown(photo event.Photograph) bool {
	listed := photo
	listed.Members = r.listed[photo.ID]
	return len(r.today.With[photo.ID]) > 0 && len(r.AllowedBlocks(listed)) > 0
}

// anywhere lists the blocks that are not closed and that a photograph may be in, were there room for all and a way
// without steps: when those that have it are closed, or more people came, the crew knows where it goes.
func (r *rest) anywhere(photo event.Photograph) (out []day.BlockIndex) {
	for b, block := range r.Blocks {
		if !r.today.Closed[block.ID] && (len(photo.Blocks) == 0 || slices.Contains(photo.Blocks, block.ID)) {
			out = append(out, day.BlockIndex(b))
		}
	}
	return out
}

// told is what of a block the crew has called or made ready, -1 for none: the first of its order in force, whose names are
// up, or the second if that can be taken before anything else. Ready is what was, whether it can or not.
func (r *rest) told(b int) (next, ready solver.GroupingIndex) {
	order := r.today.Orders[r.Blocks[b].ID]
	next, ready = -1, -1
	if !r.today.Told {
		return
	}
	soonest := r.soonest(b)
	for i, id := range order[:min(2, len(order))] {
		g := r.index(id)
		if g < 0 || !r.open(int(g)) || r.today.Later[id] || slices.Contains(r.current, g) {
			continue
		}
		if ready < 0 {
			ready = g
		}
		w := r.Spec.Groupings[g]
		held := slices.ContainsFunc(w.After, func(a solver.GroupingIndex) bool { return r.open(int(a)) })
		if !held && slices.Contains(w.Blocks, day.BlockIndex(b)) && (r.begins(g, b) <= soonest || i == 0 && !r.expects(w)) {
			return g, ready
		}
	}
	return
}

// missing lists who of a photograph is not there and did not say when to come.
func (r *rest) missing(photo event.Photograph) []string {
	return slices.DeleteFunc(slices.Clone(photo.Members), func(id string) bool {
		until, away := r.today.Away[id]
		return !away || !until.IsZero()
	})
}

// open says that a photograph is to be planned.
func (r *rest) open(g int) bool {
	id := r.Photographs[g].ID
	return !r.today.Done[id] && (len(r.waiting[id]) == 0 || slices.Contains(r.current, solver.GroupingIndex(g)))
}

// putOff is the least time that something is put off for, in seconds, when its people do not have long.
const putOff = 3 * 60

// after puts a grouping behind all those of its block that were not put off, but for what is last. One that has to
// be over by some time is put off for a moment only, and no longer than it can wait: it must not hold back all others.
func (r *rest) after(g int) {
	w := &r.Spec.Groupings[g]
	if n := len(w.Windows); n > 0 && w.Windows[n-1].Close < solver.MaxSeconds {
		at := min(r.now+putOff, w.Windows[n-1].Close-r.Takes(nil, 0, solver.GroupingIndex(g)))
		for b := range w.From {
			w.From[b] = max(w.From[b], at)
		}
		w.Pin = solver.PinNone
		return
	}
	// Whose turn comes first has been given up by putting it off.
	r.Spec.Ranks = slices.DeleteFunc(slices.Clone(r.Spec.Ranks), func(pair [2]solver.GroupingIndex) bool { return pair[0] == solver.GroupingIndex(g) })
	for h, photo := range r.Photographs {
		if !r.today.Done[photo.ID] && r.Spec.Groupings[h].Pin != solver.PinLast && !r.waitsForLater(h, map[int]bool{}) {
			r.Spec.Ranks = append(r.Spec.Ranks, [2]solver.GroupingIndex{solver.GroupingIndex(h), solver.GroupingIndex(g)})
		}
	}
	r.Spec.Groupings[g].Pin = solver.PinNone
}

// waitsForLater says that a photograph was put off, or comes after one that was. It asks each of them once: they may
// wait for each other, see insertion.
func (r *rest) waitsForLater(g int, seen map[int]bool) bool {
	seen[g] = true
	return r.today.Later[r.Photographs[g].ID] || slices.ContainsFunc(r.Spec.Groupings[g].After, func(x solver.GroupingIndex) bool {
		return r.open(int(x)) && !seen[int(x)] && r.waitsForLater(int(x), seen)
	})
}

// begunIn says that some of a set is done or being taken.
func (r *rest) begunIn(set []solver.GroupingIndex) bool {
	return slices.ContainsFunc(set, func(g solver.GroupingIndex) bool {
		return r.today.Done[r.Photographs[g].ID] || slices.Contains(r.current, g)
	})
}

// keepTurns has the turn that has begun end before the other begins.
func (r *rest) keepTurns() {
	for _, pair := range r.Spec.Turns {
		a, b := pair[0], pair[1]
		if r.begunIn(a) == r.begunIn(b) {
			continue
		}
		if r.begunIn(b) {
			a, b = b, a
		}
		for _, g := range b {
			r.Spec.Groupings[g].After = append(slices.Clone(r.Spec.Groupings[g].After), a...)
		}
	}
}
