package planning

import (
	"math"
	"slices"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning/model"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
	"kinorder.example/solver/pace"
)

// LeastRatio and MostRatio bound what is believed: a slot that took less or more of its model's time than this was ticked
// later or interrupted and says nothing about the pace, unless most are such: then it is a day like that. Common practice, no
// source.
const LeastRatio, MostRatio = 0.25, 4

// ratio is the pace of the day so far.
type ratio struct {
	factor float64
	slots  int
	// day is what is left of the spread that all slots of a day share.
	day float64
}

// pace compares what slots took with the model. With a spread σ of a slot's own and τ shared by the
// day, n slots say n/(n + σ²/τ²) of the truth and the model the rest: the mean of normal errors given
// n observations. What the n slots leave open of τ² is the same share of the model's.
func (r *rest) pace() ratio {
	spread := model.Spread(r.Event)
	var took, model, farTook, farModel float64
	n, far := 0, 0
	for i, s := range r.today.Slots {
		g := r.index(s.Grouping)
		if g < 0 {
			continue
		}
		from := r.finishedBefore(i)
		if from.IsZero() {
			continue // nobody can tell whether the greetings are in the first
		}
		if !s.Started.IsZero() {
			from = s.Started
		}
		actual := s.Finished.Sub(from).Seconds()
		frame, guests := r.frameBefore(s.Block, from)
		expected := float64(r.Takes(frame, guests, g))
		switch {
		case expected <= 0:
		case actual < LeastRatio*expected || actual > MostRatio*expected:
			farTook, farModel, far = farTook+actual, farModel+expected, far+1
		default:
			took, model, n = took+actual, model+expected, n+1
		}
	}
	if far > n+1 {
		took, model, n = took+farTook, model+farModel, n+far
	}
	out := ratio{factor: 1, slots: n, day: spread.Day}
	if n > 0 && spread.Day > 0 {
		say := float64(n) / (float64(n) + spread.Own*spread.Own/(spread.Day*spread.Day))
		out.factor = 1 + say*(min(max(took/model, LeastRatio), MostRatio)-1)
		out.day = spread.Day * math.Sqrt(1-say)
	}
	return out
}

// finishedBefore is when the slot before slot i of the same block ended; zero when it is the first.
func (r *rest) finishedBefore(i int) time.Time {
	for j := i - 1; j >= 0; j-- {
		if r.today.Slots[j].Block == r.today.Slots[i].Block {
			return r.today.Slots[j].Finished
		}
	}
	return time.Time{}
}

// frameBefore lists who stood in the frame of a block at a time, and says how many without a name.
func (r *rest) frameBefore(block string, at time.Time) ([]solver.PersonIndex, int) {
	for _, s := range slices.Backward(r.today.Slots) {
		if s.Block == block && !s.Finished.After(at) {
			if g := r.index(s.Grouping); g >= 0 && at.Sub(s.Finished) < Standing {
				return r.Spec.Groupings[g].Members, r.Spec.Groupings[g].Guests
			}
			return nil, 0
		}
	}
	return nil, 0
}

// forecast says when a block ends; false when nothing is left to do in it.
func (r *rest) forecast(b int) (Forecast, bool) {
	slots := r.plan.Blocks[b]
	f := Forecast{Block: r.Blocks[b].ID, Pace: r.ratio.factor, Timed: r.ratio.slots}
	if len(slots) == 0 {
		return f, false
	}
	begin := slots[0].Begin
	likely := float64(slots[len(slots)-1].Finish - begin)
	safe := likely
	if times, err := pace.Forecast(r.paceSlots(slots), pace.Spread{Own: model.Spread(r.Event).Own, Day: r.ratio.day}, model.Question(r.Event)); err == nil {
		likely, safe = times[len(times)-1].LikelyFinish, times[len(times)-1].SafeFinish
	}
	start := r.Clock.At(begin)
	f.Finish = start.Add(time.Duration(likely) * time.Second)
	f.Safe = start.Add(time.Duration(safe) * time.Second)
	if closes := r.PlannedEnd(b); !closes.IsZero() {
		f.Closes = closes
		f.Over = f.Finish.Sub(closes)
		f.Drop = r.drop(b, slots, closes)
	}
	return f, true
}

// drop lists what to leave out, from the last on, for a block to end when it closes.
func (r *rest) drop(b int, slots []day.Slot, closes time.Time) (out []string) {
	firm := r.Blocks[b].Closing == event.FirmClosing
	end := slots[len(slots)-1].Finish - r.Give[b]
	for _, s := range slices.Backward(slots) {
		if !r.today.Now.Before(closes) || !r.Clock.At(end).After(closes) {
			break
		}
		if s.Grouping == r.current[b] || r.Spec.Groupings[s.Grouping].Tier == 0 && !firm {
			continue
		}
		out = append(out, r.Photographs[s.Grouping].ID)
		end -= s.Finish - s.Start
	}
	slices.Reverse(out)
	return out
}

func (r *rest) paceSlots(slots []day.Slot) []pace.Slot {
	out := make([]pace.Slot, len(slots))
	for i, s := range slots {
		out[i].Mean = float64(s.Finish - s.Start)
		if s.Start > s.Begin {
			out[i].NotBefore = float64(s.Start - slots[0].Begin)
		}
	}
	return out
}
