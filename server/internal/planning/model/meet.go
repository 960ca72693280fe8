package model

import (
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

// EverTogether says whether the presence of its people meets a block it may be taken in.
func (pr *Problem) EverTogether(g solver.GroupingIndex) bool {
	w := pr.Spec.Groupings[g]
	return len(w.Windows) == 0 || pr.Meet(w.Blocks, w.Windows)
}

// Meet says whether one of some windows lies in part in one of some blocks.
func (pr *Problem) Meet(blocks []day.BlockIndex, windows []solver.Window) bool {
	for _, b := range blocks {
		block := pr.Spec.Blocks[b]
		for _, window := range windows {
			open, closes := max(window.Open, block.Open), window.Close
			if block.Close > 0 {
				closes = min(closes, block.Close)
			}
			if closes > open {
				return true
			}
		}
	}
	return false
}

// InTime says whether the times that a grouping itself states meet a block it may be taken in.
func (pr *Problem) InTime(g solver.GroupingIndex) bool {
	from := pr.Event.Groupings[pr.Photographs[g].Source]
	own, err := pr.Clock.Window(from.NotBefore, from.NotAfter)
	return err != nil || pr.Meet(pr.Spec.Groupings[g].Blocks, []solver.Window{own})
}

// OpenEnded returns a day without closing times, nil when it is not one.
func OpenEnded(spec day.Spec) *day.Problem {
	spec.Blocks = slices.Clone(spec.Blocks)
	for b := range spec.Blocks {
		spec.Blocks[b].Close = 0
	}
	p, err := day.New(spec)
	if err != nil {
		return nil
	}
	return p
}

// HasAndHolds says that more people are in a photograph than a block holds.
func HasAndHolds(photo event.Photograph, b event.Block) wording.Message {
	return wording.Say("plan.hasAndHolds",
		wording.Say("sheet.personCount", photo.Size()), b.Named(), b.Capacity, wording.Say("sheet.fewerPeople", photo.Size()-b.Capacity))
}

// MinutesUp writes whole minutes, rounded up and at least one.
func MinutesUp(s solver.Seconds) wording.Message {
	return wording.Say("sheet.wholeMinutes", wording.MinutesUp(Duration(max(s, 1))))
}
