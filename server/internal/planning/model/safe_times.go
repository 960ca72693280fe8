package model

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
	"kinorder.example/solver/pace"
)

// Question asks for the times that an event wants to be safe. It has few draws: a forecast is made
// for every better plan and at every tick of a run.
func Question(e event.Event) pace.Question {
	q := pace.DefaultQuestion()
	q.Safe = float64(e.Sureness()) / 100
	q.Draws = 1000
	return q
}

// Spread is how far times stray from the model: the studio's own where its pace says so.
func Spread(e event.Event) pace.Spread {
	s := pace.DefaultSpread()
	if v := e.Pace.SlotSpreadPercent; v != nil {
		s.Own = float64(*v) / 100
	}
	if v := e.Pace.DaySpreadPercent; v != nil {
		s.Day = float64(*v) / 100
	}
	return s
}

// SafeSlot is when a slot has begun and finished on as many days as the event's confidence says, in
// seconds from the origin of the day. Neither is before the plan's own time.
type SafeSlot struct{ Start, Finish solver.Seconds }

// SafeTimes returns the safe times of a plan, block by block. The blocks of one photographer are one
// chain: who is late in one comes late to the next. That guests may be held up in the block of
// another photographer is not in it.
func (pr *Problem) SafeTimes(plan day.Plan) [][]SafeSlot {
	out := make([][]SafeSlot, len(plan.Blocks))
	chains := map[int][]int{}
	for b, slots := range plan.Blocks {
		if len(slots) > 0 {
			who := pr.Spec.Blocks[b].Photographer
			chains[who] = append(chains[who], b)
		}
	}
	for _, blocks := range chains {
		slices.SortFunc(blocks, func(a, b int) int { return cmp.Compare(plan.Blocks[a][0].Start, plan.Blocks[b][0].Start) })
		origin := plan.Blocks[blocks[0]][0].Begin
		times, err := pace.Forecast(pr.chain(plan, blocks, origin), Spread(pr.Event), Question(pr.Event))
		if err != nil {
			panic(fmt.Sprintf("planning: a verified plan has no safe times: %v", err))
		}
		at := 0
		for i, b := range blocks {
			if i > 0 && pr.walk(blocks[i-1], b) > 0 {
				at++
			}
			for _, s := range plan.Blocks[b] {
				out[b] = append(out[b], SafeSlot{
					Start:  max(s.Start, origin+solver.Seconds(math.Ceil(times[at].SafeStart))),
					Finish: max(s.Finish, origin+solver.Seconds(math.Ceil(times[at].SafeFinish))),
				})
				at++
			}
		}
	}
	return out
}

// chain lists the slots of one photographer as package pace wants them, in seconds from an origin; a
// walk between two blocks is a slot that hardly strays.
func (pr *Problem) chain(plan day.Plan, blocks []int, origin solver.Seconds) []pace.Slot {
	var out []pace.Slot
	for i, b := range blocks {
		opens := solver.Seconds(0)
		if i > 0 {
			opens = pr.Spec.Blocks[b].Open - origin
			if walk := float64(pr.walk(blocks[i-1], b)); walk > 0 {
				out = append(out, pace.Slot{Mean: walk, SD: walk / 1000})
			}
		}
		for k, s := range plan.Blocks[b] {
			x := pace.Slot{Mean: max(1, float64(s.Finish-s.Start))}
			if k == 0 {
				x.NotBefore = max(0, float64(opens))
			}
			if s.Start > s.Begin {
				x.NotBefore = max(x.NotBefore, float64(s.Start-origin))
			}
			out = append(out, x)
		}
	}
	return out
}

// walk is the time between the places of two blocks.
func (pr *Problem) walk(from, to int) solver.Seconds {
	if pr.Spec.Walk == nil {
		return 0
	}
	return pr.Spec.Walk[pr.Spec.Blocks[from].Place][pr.Spec.Blocks[to].Place]
}

// Closes is when a block has to end, 0 for never. The search may be held to end it earlier.
func (pr *Problem) Closes(b day.BlockIndex) solver.Seconds {
	if pr.RealCloses == nil {
		return pr.Spec.Blocks[b].Close
	}
	return pr.RealCloses[b]
}

// WithReserve is a finish of a block with the reserve that a safe finish needs: what the search is
// held to, against what the block has. Without a fit of Safe it is the finish itself.
func (pr *Problem) WithReserve(b day.BlockIndex, finish solver.Seconds) solver.Seconds {
	block := pr.Spec.Blocks[b]
	if pr.RealCloses == nil || block.Close == pr.RealCloses[b] {
		return finish
	}
	have, held := pr.RealCloses[b]-block.Open, block.Close-block.Open
	return block.Open + ((finish-block.Open)*have+held-1)/held
}

// KeepCloses remembers when blocks close before the search is held to end them earlier.
func (pr *Problem) KeepCloses() {
	if pr.RealCloses == nil {
		for _, block := range pr.Spec.Blocks {
			pr.RealCloses = append(pr.RealCloses, block.Close)
		}
	}
	pr.Spec.Blocks = slices.Clone(pr.Spec.Blocks)
}
