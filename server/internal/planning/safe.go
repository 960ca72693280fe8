package planning

import (
	"context"
	"fmt"

	"kinorder.example/server/internal/event"
	"kinorder.example/solver/day"
)

// holdEarlier has blocks end earlier for the search whose safe finish is beyond their closing time:
// by the share that the plan's safe finish is longer than its finish. It reports whether any is.
func (s *search) holdEarlier(plan day.Plan) (bool, error) {
	pr := s.problem
	late := false
	for b, times := range pr.SafeTimes(plan) {
		closes := pr.Closes(day.BlockIndex(b))
		if closes == 0 || len(times) == 0 || times[len(times)-1].Finish <= closes {
			continue
		}
		if !late {
			late = true
			pr.KeepCloses()
		}
		block := &pr.Spec.Blocks[b]
		likely := plan.Blocks[b][len(times)-1].Finish - block.Open
		held := (closes - block.Open) * likely / (times[len(times)-1].Finish - block.Open)
		block.Close = max(block.Open+1, min(block.Close-1, block.Open+held))
	}
	if !late {
		return false, nil
	}
	var err error
	if s.day, err = day.New(pr.Spec); err != nil {
		return false, fmt.Errorf("planning: %w", err)
	}
	return true, nil
}

// searches is how often to search, each time with a share of the budget, for a plan whose safe finish is
// inside. After that the first plan that keeps to the earlier closing times is taken.
const searches = 4

// makeSafe searches again until the safe finish of every block is inside it, if the event asks for that. Each round ends a block
// at least a second earlier, and an empty block is safe, so it comes to an end.
func (s *search) makeSafe(ctx context.Context, result day.Result) (day.Result, error) {
	for round := 0; s.problem.Event.Fit == event.Safe; round++ {
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
	return result, nil
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
	if s.problem.Event.Fit != event.Safe {
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
