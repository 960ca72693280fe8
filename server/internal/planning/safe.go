package planning

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
	"kinorder.example/solver/pace"
)

// question asks for the times that an event wants to be safe. It has few draws: a forecast is made
// for every better plan and at every tick of a run.
func question(e event.Event) pace.Question {
	q := pace.DefaultQuestion()
	q.Safe = float64(e.Sureness()) / 100
	q.Draws = 1000
	return q
}

// spread is how far times stray from the model: the studio's own where its pace says so.
func spread(e event.Event) pace.Spread {
	s := pace.DefaultSpread()
	if v := e.Pace.SlotSpreadPercent; v != nil {
		s.Own = float64(*v) / 100
	}
	if v := e.Pace.DaySpreadPercent; v != nil {
		s.Day = float64(*v) / 100
	}
	return s
}

// safeSlot is when a slot has begun and finished on as many days as the event's confidence says, in
// seconds from the origin of the day. Neither is before the plan's own time.
type safeSlot struct{ start, finish solver.Seconds }

// safeTimes returns the safe times of a plan, block by block. The blocks of one photographer are one
// chain: who is late in one comes late to the next. That guests may be held up in the block of
// another photographer is not in it.
func (pr *problem) safeTimes(plan day.Plan) [][]safeSlot {
	out := make([][]safeSlot, len(plan.Blocks))
	chains := map[int][]int{}
	for b, slots := range plan.Blocks {
		if len(slots) > 0 {
			who := pr.spec.Blocks[b].Photographer
			chains[who] = append(chains[who], b)
		}
	}
	for _, blocks := range chains {
		slices.SortFunc(blocks, func(a, b int) int { return cmp.Compare(plan.Blocks[a][0].Start, plan.Blocks[b][0].Start) })
		origin := plan.Blocks[blocks[0]][0].Begin
		times, err := pace.Forecast(pr.chain(plan, blocks, origin), spread(pr.event), question(pr.event))
		if err != nil {
			panic(fmt.Sprintf("planning: a verified plan has no safe times: %v", err))
		}
		at := 0
		for i, b := range blocks {
			if i > 0 && pr.walk(blocks[i-1], b) > 0 {
				at++
			}
			for _, s := range plan.Blocks[b] {
				out[b] = append(out[b], safeSlot{
					start:  max(s.Start, origin+solver.Seconds(math.Ceil(times[at].SafeStart))),
					finish: max(s.Finish, origin+solver.Seconds(math.Ceil(times[at].SafeFinish))),
				})
				at++
			}
		}
	}
	return out
}

// chain lists the slots of one photographer as package pace wants them, in seconds from an origin; a
// walk between two blocks is a slot that hardly strays.
func (pr *problem) chain(plan day.Plan, blocks []int, origin solver.Seconds) []pace.Slot {
	var out []pace.Slot
	for i, b := range blocks {
		opens := solver.Seconds(0)
		if i > 0 {
			opens = pr.spec.Blocks[b].Open - origin
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
func (pr *problem) walk(from, to int) solver.Seconds {
	if pr.spec.Walk == nil {
		return 0
	}
	return pr.spec.Walk[pr.spec.Blocks[from].Place][pr.spec.Blocks[to].Place]
}

// closes is when a block has to end, 0 for never. The search may be held to end it earlier.
func (pr *problem) closes(b day.BlockIndex) solver.Seconds {
	if pr.realCloses == nil {
		return pr.spec.Blocks[b].Close
	}
	return pr.realCloses[b]
}

// withReserve is a finish of a block with the reserve that a safe finish needs: what the search is
// held to, against what the block has. Without a fit of Safe it is the finish itself.
func (pr *problem) withReserve(b day.BlockIndex, finish solver.Seconds) solver.Seconds {
	block := pr.spec.Blocks[b]
	if pr.realCloses == nil || block.Close == pr.realCloses[b] {
		return finish
	}
	have, held := pr.realCloses[b]-block.Open, block.Close-block.Open
	return block.Open + ((finish-block.Open)*have+held-1)/held
}

// holdEarlier has blocks end earlier for the search whose safe finish is beyond their closing time:
// by the share that the plan's safe finish is longer than its finish. It reports whether any is.
func (s *search) holdEarlier(plan day.Plan) (bool, error) {
	pr := s.problem
	late := false
	for b, times := range pr.safeTimes(plan) {
		closes := pr.closes(day.BlockIndex(b))
		if closes == 0 || len(times) == 0 || times[len(times)-1].finish <= closes {
			continue
		}
		if !late {
			late = true
			pr.keepCloses()
		}
		block := &pr.spec.Blocks[b]
		likely := plan.Blocks[b][len(times)-1].Finish - block.Open
		held := (closes - block.Open) * likely / (times[len(times)-1].finish - block.Open)
		block.Close = max(block.Open+1, min(block.Close-1, block.Open+held))
	}
	if !late {
		return false, nil
	}
	var err error
	if s.day, err = day.New(pr.spec); err != nil {
		return false, fmt.Errorf("planning: %w", err)
	}
	return true, nil
}

// keepCloses remembers when blocks close before the search is held to end them earlier.
func (pr *problem) keepCloses() {
	if pr.realCloses == nil {
		for _, block := range pr.spec.Blocks {
			pr.realCloses = append(pr.realCloses, block.Close)
		}
	}
	pr.spec.Blocks = slices.Clone(pr.spec.Blocks)
}

// searches is how often to search, each time with a share of the budget, for a plan whose safe finish is
// inside. After that the first plan that keeps to the earlier closing times is taken.
const searches = 4

// makeSafe searches again until the safe finish of every block is inside it. Each round ends a block
// at least a second earlier, and an empty block is safe, so it comes to an end.
func (s *search) makeSafe(ctx context.Context, result day.Result) (day.Result, error) {
	for round := 0; ; round++ {
		again, err := s.holdEarlier(result.Plan)
		if err != nil || !again {
			return result, err
		}
		next, err := s.half(ctx, round < searches)
		if err != nil {
			return day.Result{}, fmt.Errorf("planning: %w", err)
		}
		if next.Status != day.Found {
			return day.Result{}, stopped(ctx)
		}
		result = next
	}
}

// half searches for half of the time that is left, or takes the first plan that can be made.
func (s *search) half(ctx context.Context, searching bool) (day.Result, error) {
	if !searching {
		return day.First(s.day)
	}
	left := s.options.Budget - s.options.Now().Sub(s.started)
	ctx, cancel := context.WithTimeout(ctx, max(0, left/2))
	defer cancel()
	return day.Solve(ctx, s.day, s.options.limits())
}

// prepareSafe holds the search to safe finishes before it begins, by the first plan that can be made.
func (s *search) prepareSafe() error {
	if s.problem.event.Fit != event.Safe {
		return nil
	}
	for {
		result, err := day.First(s.day)
		if err != nil {
			return fmt.Errorf("planning: %w", err)
		}
		if result.Status != day.Found {
			return nil
		}
		if again, err := s.holdEarlier(result.Plan); err != nil || !again {
			return err
		}
	}
}
