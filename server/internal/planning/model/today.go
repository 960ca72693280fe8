package model

import (
	"slices"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
	"kinorder.example/solver/day"
)

// Times are when a block opens and is planned to end, and where it is; zero means as the event has it. Said is when somebody
// said so: what was taken or called there since has begun it.
type Times struct {
	Opens, Closes time.Time
	Place         string
	Said          time.Time
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
