package day

import (
	"errors"

	"kinorder.example/solver"
)

// scale weighs the parts of a cost so that one integer orders them as the emphasis does.
type scale struct{ steps, release, idle int64 }

// Total folds a cost into the integer that the emphasis minimises, as solver.Problem.Total does for
// one block; for the lexicographic emphases the multiplier is the day's own.
func (p *Problem) Total(c solver.Cost) int64 {
	return p.scale.steps*c.StepIns + p.scale.release*c.Release + p.scale.idle*c.Idle
}

// StepInsOf returns the step-ins that a bound on the total of FewestSteps proves, 0 for others.
func (p *Problem) StepInsOf(total int64) int64 {
	if p.spec.Emphasis != solver.FewestSteps || total <= 0 {
		return 0
	}
	return total / p.scale.steps
}

func (p *Problem) newScale() (scale, error) {
	var weights, steps int64
	for _, q := range p.spec.People {
		weights += q.ReleaseWeight + q.IdleWeight
	}
	end := p.horizon()
	for _, g := range p.spec.Groupings {
		for _, q := range g.Members {
			steps += 1 + int64(p.spec.People[q].Extra)
		}
		weights += g.ReleaseWeight
	}
	const most = int64(1) << 61
	if weights > most/4/(end+1) {
		return scale{}, errors.New("weights: too large for the length of the day")
	}
	time := weights * end
	if p.spec.Emphasis != solver.Balanced && time+1 > most/2/(steps+1) {
		return scale{}, errors.New("weights: too large for a lexicographic emphasis")
	}
	switch p.spec.Emphasis {
	case solver.FewestSteps:
		return scale{steps: time + 1, release: 1, idle: 1}, nil
	case solver.EarlyRelease:
		return scale{steps: 1, release: steps + 1}, nil
	default:
		return scale{steps: p.spec.StepWeight, release: 1, idle: 1}, nil
	}
}

// horizon is a time that no plan without needless waiting ends after.
func (p *Problem) horizon() solver.Seconds {
	var end solver.Seconds
	for _, b := range p.spec.Blocks {
		end = max(end, b.Open, b.Close)
	}
	for j, g := range p.spec.Groupings {
		for _, w := range g.Windows {
			end = max(end, w.Open)
		}
		for _, b := range p.possible[j] {
			end = max(end, p.notBefore[j][b])
		}
		worst := p.flat.Slot(-1, solver.GroupingIndex(j))
		for i := range p.spec.Groupings {
			worst = max(worst, p.flat.Slot(solver.GroupingIndex(i), solver.GroupingIndex(j)))
		}
		for _, first := range p.first {
			worst = max(worst, first.Slots[j])
		}
		end += worst
	}
	longest := p.spec.Handover
	for _, row := range p.spec.Walk {
		for _, w := range row {
			longest = max(longest, w)
		}
	}
	return end + longest*solver.Seconds(len(p.spec.Groupings)+len(p.spec.Blocks))
}
