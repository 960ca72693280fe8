package wire

import (
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/planning/model"
	"kinorder.example/server/internal/wording"
)

// Plan is what is left of a day.
type Plan struct {
	Made      int64             `json:"made"`
	Blocks    []Order           `json:"blocks"`
	Next      map[string]string `json:"next"`
	Owed      []Owed            `json:"owed"`
	Forecasts []Forecast        `json:"forecasts"`
	// Changes say what is different from the order before, and why, a sentence each.
	Changes []Change `json:"changes,omitempty"`
	// Past are orders that were in force, for whoever takes marks back without signal. Readers get none.
	Past []model.Past `json:"past,omitempty"`
	// Numbers are those that photographs have on paper.
	Numbers map[string]int `json:"numbers,omitempty"`
	Swapped *Swap          `json:"swapped,omitempty"`
}

// Swap is the last change of the list: when, the run that had the one before, and what is different.
type Swap struct {
	At   int64             `json:"at"`
	Run  string            `json:"run"`
	Said []wording.Message `json:"said"`
}

// Change is a sentence about the order.
type Change struct {
	Said wording.Message `json:"said"`
	// Of are the photographs it is about; without any it is said of each plan anew.
	Of []string `json:"of,omitempty"`
}

// Order is what is left of a block.
type Order struct {
	Block   string  `json:"block"`
	Entries []Entry `json:"entries"`
}

// Entry is a photograph in its place.
type Entry struct {
	ID string `json:"id"`
	// At is when it begins, 0 when the block has no clock time; Length and Wait are seconds.
	At       int64    `json:"at,omitempty"`
	Length   int      `json:"length"`
	Wait     int      `json:"wait,omitempty"`
	Frames   int      `json:"frames,omitempty"`
	In       []string `json:"in"`
	Out      []string `json:"out"`
	Stay     []string `json:"stay"`
	Released []string `json:"released"`
	Standby  []string `json:"standby"`
	Near     []string `json:"near,omitempty"`
}

// Owed is a photograph that is still to be taken. Why says why it has no place.
type Owed struct {
	ID       string          `json:"id"`
	Title    string          `json:"title"`
	Planned  bool            `json:"planned"`
	Why      wording.Message `json:"why,omitzero"`
	Needed   []string        `json:"needed"`
	Missing  []string        `json:"missing,omitempty"`
	Expected int64           `json:"expected,omitempty"`
	Offer    bool            `json:"offer,omitempty"`
	Later    bool            `json:"later,omitempty"`
}

// Forecast is when a block ends.
type Forecast struct {
	Block  string   `json:"block"`
	Closes int64    `json:"closes,omitempty"`
	Finish int64    `json:"finish"`
	Safe   int64    `json:"safe"`
	Over   int      `json:"over"` // seconds; below 0 is time to spare
	Drop   []string `json:"drop,omitempty"`
	Pace   float64  `json:"pace"`
	Timed  int      `json:"timed"`
}

// IDs makes a list of none an empty list, which the script can go through.
func IDs(list []string) []string { return append([]string{}, list...) }

// PlanOf writes a plan.
func PlanOf(o planning.Outlook) *Plan {
	v := Plan{Past: o.Past, Numbers: o.Numbers, Made: event.Millis(o.Made), Next: o.Next, Blocks: []Order{}, Owed: []Owed{}, Forecasts: []Forecast{}}
	for _, b := range o.Sheet.Blocks {
		order := Order{Block: b.Block, Entries: []Entry{}}
		for _, x := range b.Entries {
			entry := Entry{
				ID: x.Grouping, Length: int(x.Length / time.Second), Wait: int(x.Wait / time.Second), Frames: x.Frames,
				In: IDs(x.StepIn), Out: IDs(x.StepOut), Stay: IDs(x.Stay), Released: IDs(x.Released), Standby: IDs(x.Standby), Near: x.Near,
			}
			if !b.Start.IsZero() {
				entry.At = event.Millis(b.Start.Add(x.Offset))
			}
			order.Entries = append(order.Entries, entry)
		}
		v.Blocks = append(v.Blocks, order)
	}
	for _, x := range o.Owed {
		v.Owed = append(v.Owed, Owed{
			ID: x.Grouping, Title: x.Title, Planned: x.Planned, Why: x.Why, Needed: IDs(x.Needed),
			Missing: x.Missing, Expected: event.Millis(x.Expected), Offer: x.OfferWithout, Later: x.Later,
		})
	}
	for _, f := range o.Forecasts {
		v.Forecasts = append(v.Forecasts, Forecast{
			Block: f.Block, Closes: event.Millis(f.Closes), Finish: event.Millis(f.Finish), Safe: event.Millis(f.Safe), Over: int(f.Over / time.Second),
			Drop: f.Drop, Pace: f.Pace, Timed: f.Timed,
		})
	}
	for _, m := range o.Changes {
		v.Changes = append(v.Changes, Change{m.Message, m.Of})
	}
	if x := o.Swapped; x != nil {
		v.Swapped = &Swap{event.Millis(x.At), x.Run, x.Said}
	}
	if v.Next == nil {
		v.Next = map[string]string{}
	}
	return &v
}

// inForce is what planning anew has to know of the plan in force. Lengths of the first photographs alone are given.
func (v Plan) inForce() *planning.Outlook {
	o := &planning.Outlook{Made: event.Instant(v.Made), Past: v.Past, Numbers: v.Numbers}
	if x := v.Swapped; x != nil {
		o.Swapped = &model.Swap{At: event.Instant(x.At), Run: x.Run, Said: x.Said}
	}
	for _, b := range v.Blocks {
		block := event.SheetBlock{Block: b.Block}
		if len(b.Entries) > 0 {
			block.Start = event.Instant(b.Entries[0].At)
		}
		for _, x := range b.Entries {
			block.Entries = append(block.Entries, event.SheetEntry{Grouping: x.ID, Length: time.Duration(x.Length) * time.Second})
		}
		o.Sheet.Blocks = append(o.Sheet.Blocks, block)
	}
	for _, x := range v.Owed {
		o.Owed = append(o.Owed, planning.Owed{Grouping: x.ID, Planned: x.Planned, Needed: x.Needed, Missing: x.Missing, Later: x.Later})
	}
	for _, f := range v.Forecasts {
		o.Forecasts = append(o.Forecasts, planning.Forecast{Block: f.Block, Closes: event.Instant(f.Closes)})
	}
	return o
}
