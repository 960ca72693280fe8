package model

import (
	"cmp"
	"maps"
	"slices"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

// Today is what a day has come to. Groupings are named by the ids of their photographs, blocks by
// theirs, which is empty when the event has none.
type Today struct {
	Now time.Time
	// Newcomers are people who were not on the list, Added groupings.
	Newcomers []event.Person
	Added     []event.Grouping
	// LeftOut are groupings that nobody wants any more.
	LeftOut []string
	// Done and Later are groupings that are taken, and those put off: they come after the others.
	Done, Later map[string]bool
	// With are people who are in a grouping besides those of the list, Without those that it is taken without.
	With, Without map[string][]string
	// Moves are where groupings are to be taken and how much they are wanted, where that is not as the list has it.
	Moves map[string]Move
	// Away are people who are not there: until the time they said, or, when that is zero, until
	// they turn up.
	Away map[string]time.Time
	// Leaving are people who have to leave at a time.
	Leaving map[string]time.Time
	// Current are the groupings being taken, by block.
	Current map[string]Calling
	// Frames are the groupings last taken or called, by block: their people stand in the frame.
	Frames map[string]Calling
	// Orders are those of the plan in force, by block. Told says that the crew goes by it: the people of
	// the first two of each have been called or told to stand by.
	Orders map[string][]string
	Told   bool
	// Known are the photographs of the list as it was when that plan was made, in the order or not; nil for not known.
	Known map[string]bool
	// Wanted are the people of what was not taken yet when that plan was made; nil for not known.
	Wanted map[string]bool
	// Closed are the blocks that somebody has closed. Any other goes on until nothing is left in it.
	Closed map[string]bool
	// Times are those of blocks that were moved to a time or place, made longer or shorter.
	Times map[string]Times
	// Slots are those that are over, in their order.
	Slots []Timed
	// Alone says that who plans is cut off from the others: what a photographer has in the order in force stays theirs.
	Alone bool
}

// Times are when a block opens and is planned to end, and where it is; zero means as the event has it. Said is when somebody
// said so: what was taken or called there since has begun it. Moved is when it was put in another place than before, From.
type Times struct {
	Opens, Closes time.Time
	Place         string
	Said, Moved   time.Time
	From          string
}

// Move is the block that a grouping is to be taken in, empty for those of the list, and how much it is wanted, nil for as the list
// has it.
type Move struct {
	Block    string
	Priority *event.Priority
}

// Of is a photograph by it.
func (w Move) Of(photo event.Photograph) event.Photograph {
	if w.Block != "" {
		photo.Blocks = []string{w.Block}
	}
	if w.Priority != nil {
		photo.Priority = *w.Priority
	}
	return photo
}

// Calling is a grouping that was called at a time.
type Calling struct {
	Grouping string
	At       time.Time
}

// Timed is a grouping that was taken. Started is zero when nobody said when it began.
type Timed struct {
	Grouping, Block   string
	Started, Finished time.Time
}

// Owed is a grouping that is still to be taken, and who is needed for it.
type Owed struct {
	Grouping string
	Title    string
	Priority event.Priority
	// Planned says that it is on the sheet. Otherwise Why says why not. Why of one that is planned says
	// that its time is over.
	Planned bool
	Why     wording.Message `json:",omitzero"`
	// Needed are the people in it; Missing those of them who are not there, or leave before it has a place.
	Needed, Missing []string
	// Expected is when the last of the missing said to come; zero when somebody did not say.
	Expected time.Time `json:",omitzero"`
	// OfferWithout says that it can be taken without the missing, if the lead agrees.
	OfferWithout bool
	// Later says that it was put off.
	Later bool
}

// Forecast says when a block ends.
type Forecast struct {
	Block string
	// Closes is when it is planned to end; zero when it need not.
	Closes time.Time `json:",omitzero"`
	// Finish is when all that is planned is likely to be taken: on half of all days earlier. Safe is
	// kept on as many days as the event's confidence says.
	Finish, Safe time.Time
	// Over is how far Finish goes beyond Closes; below 0 is time to spare. 0 when the block need not end.
	Over time.Duration
	// Drop are the groupings to do without so that the block ends in time, or no later than it may run over, the last of
	// the sheet first to go: none that must be taken unless the closing is firm. None once the planned end is past.
	Drop []string `json:",omitempty"`
	// Pace is how long slots take today against the model, drawn towards 1 while few are timed.
	Pace float64
	// Timed is how many slots it goes by.
	Timed int
}

// Change is a sentence about the order, and which photographs it is about: it is true as long as they are to be taken.
type Change struct {
	wording.Message
	Of []string `json:",omitempty"`
}

// PlannedEnd is when the event has a block end.
func (pr *Problem) PlannedEnd(b int) time.Time {
	at, err := pr.Event.Instant(pr.Blocks[b].Closes)
	if pr.Blocks[b].Closes == "" || err != nil {
		return time.Time{}
	}
	return at
}

// KeepPhotographers keeps what is in the orders in force, ids by block, with its photographer. What a block has that was
// closed may go to anybody.
func (pr *Problem) KeepPhotographers(orders map[string][]string, closed map[string]bool) {
	for b, block := range pr.Blocks {
		for _, id := range orders[block.ID] {
			g, known := pr.Photograph(id)
			if !known || closed[block.ID] || !slices.Contains(pr.Spec.Groupings[g].Blocks, day.BlockIndex(b)) {
				continue
			}
			pr.Spec.Groupings[g].Blocks = slices.DeleteFunc(slices.Clone(pr.Spec.Groupings[g].Blocks), func(c day.BlockIndex) bool {
				return pr.Spec.Blocks[c].Photographer != pr.Spec.Blocks[b].Photographer
			})
		}
	}
}

// WithToday puts into an event what the day has changed: who and what was added or is left out, who comes late, and
// blocks that began before they open. Without any time of day the clock begins now.
func WithToday(e event.Event, t Today) event.Event {
	e.Groupings = slices.Concat(e.Groupings, t.Added)
	e.LeftOut = slices.Concat(e.LeftOut, t.LeftOut)
	e.People = slices.Concat(e.People, t.Newcomers)
	e.Blocks = slices.Clone(e.Blocks)
	if len(e.Blocks) == 0 {
		e.Blocks = []event.Block{{}}
	}
	for i, b := range e.Blocks {
		if at := t.Times[b.ID].Opens; !at.IsZero() {
			e.Blocks[i].Opens = at.UTC().Format(time.RFC3339)
		}
		if at := t.Times[b.ID].Closes; !at.IsZero() {
			e.Blocks[i].Closes = at.UTC().Format(time.RFC3339)
		}
		e.Blocks[i].Place = cmp.Or(t.Times[b.ID].Place, b.Place)
	}
	other := OtherDay(e, t.Now, len(t.Frames)+len(t.Current) > 0)
	if other {
		e = WithoutTimes(e)
	}
	comeAndGo(e, t, func(at time.Time) bool { return !other || at.Sub(t.Now).Abs() <= Meant })
	began := t.Now
	for _, c := range t.Frames {
		if c.At.Before(began) {
			began = c.At
		}
	}
	timed := slices.ContainsFunc(e.Blocks, func(b event.Block) bool { return b.Opens != "" })
	for i, b := range e.Blocks {
		opens, err := e.Instant(b.Opens)
		last, begun := t.Frames[b.ID]
		if calling, busy := t.Current[b.ID]; busy {
			last, begun = calling, true
		}
		switch {
		case !timed:
			e.Blocks[i].Opens = began.UTC().Format(time.RFC3339)
		case err == nil && begun && last.At.Before(opens) && last.At.After(t.Times[b.ID].Said):
			e.Blocks[i].Opens = last.At.UTC().Format(time.RFC3339)
		}
	}
	return e
}

// comeAndGo puts into people when they come and have to leave by what was marked, as far as those times count.
func comeAndGo(e event.Event, t Today, counts func(time.Time) bool) {
	for i, p := range e.People {
		if until := t.Away[p.ID]; !until.IsZero() && counts(until) {
			if from, err := e.Instant(p.PresentFrom); err != nil || until.After(from) {
				e.People[i].PresentFrom = until.UTC().Format(time.RFC3339)
			}
		}
		if until, leaves := t.Leaving[p.ID]; leaves && counts(until) {
			e.People[i].PresentFrom, e.People[i].PresentUntil, e.People[i].Presence = "", until.UTC().Format(time.RFC3339), nil
		}
	}
}

// Takes is the slot of a photograph after a frame with some guests in it, by the minutes model as it stands in the spec.
func (pr *Problem) Takes(frame []solver.PersonIndex, guests int, g solver.GroupingIndex) solver.Seconds {
	w, t := pr.Spec.Groupings[g], pr.Spec.Timing
	if w.Fixed > 0 {
		return w.Fixed
	}
	in, called, slowest := Without(w.Members, frame), w.Guests, solver.Seconds(0)
	for _, q := range in {
		slowest = max(slowest, pr.Spec.People[q].Slow)
		if !pr.Spec.People[q].Led {
			called++
		}
	}
	n := len(in) + w.Guests
	s := t.Settle + t.PerStepIn*solver.Seconds(n) + t.PerStepOut*solver.Seconds(len(Without(frame, w.Members))+guests) + slowest + w.Shoot +
		t.Arrange[min(n, len(t.Arrange)-1)] + t.Gather[min(called, len(t.Gather)-1)]
	if len(in) == len(w.Members) {
		s += t.Fresh
	}
	return s
}

// MembersToday lists who is in a photograph as the day has it, everybody once.
func MembersToday(photo event.Photograph, t Today) []string {
	out := slices.Clone(photo.Members)
	for _, id := range t.With[photo.ID] {
		if !slices.Contains(out, id) {
			out = append(out, id)
		}
	}
	return slices.DeleteFunc(out, func(id string) bool { return slices.Contains(t.Without[photo.ID], id) })
}

// Gone is who is away, with those who had to leave by now: nobody calls them.
func (t Today) Gone() map[string]time.Time {
	out := maps.Clone(t.Away)
	for id, until := range t.Leaving {
		if !until.After(t.Now) {
			if out == nil {
				out = map[string]time.Time{}
			}
			out[id] = time.Time{}
		}
	}
	return out
}

// acrossYard is how long everybody takes to a place that nobody has named a way to. Common practice, no source: it is near, and
// there are many.
const acrossYard = 2 * time.Minute

// GoesOver is when those of a block can be in the place that it was moved to, 0 when they are there.
func (pr *Problem) GoesOver(t Today, b int) solver.Seconds {
	id, way := pr.Blocks[b].ID, acrossYard
	x := t.Times[id]
	if _, calls := t.Current[id]; x.Moved.IsZero() || calls || t.Frames[id].At.After(x.Moved) {
		return 0
	}
	for _, w := range pr.Event.Walks {
		if w.From == x.From && w.To == x.Place || w.From == x.Place && w.To == x.From {
			way = time.Duration(w.Minutes) * time.Minute
		}
	}
	if there := x.Moved.Add(way); there.After(t.Now) {
		return solver.Seconds(there.Sub(pr.Clock.Origin) / time.Second)
	}
	return 0
}
