package model

import (
	"time"

	"kinorder.example/server/internal/wording"
	"kinorder.example/solver"
)

// What the crew has on paper or has just read is worth something: a new order has to save so many step-ins for
// each photograph that it moves, and so many times as much for each of the next ones. Common practice, no
// source.
const (
	moveWeight = 2
	nextWeight = 3
	nextFew    = 3
)

// Stays finds the photographs of an order that still follow each other as they did, by their new places: as
// many as weigh most together. Moved is what all others weigh, in step-ins.
func Stays(was []solver.GroupingIndex, place map[solver.GroupingIndex]int) (stay map[solver.GroupingIndex]bool, moved int64) {
	weight := func(i int) int64 {
		if i < nextFew {
			return moveWeight * nextWeight
		}
		return moveWeight
	}
	// heaviest[i] is the most that stays when was[i] does and is the last of it, before[i] the one before it.
	heaviest, before, last := make([]int64, len(was)), make([]int, len(was)), -1
	for i, g := range was {
		moved += weight(i)
		at, here := place[g]
		if !here {
			continue
		}
		heaviest[i], before[i] = weight(i), -1
		for j, h := range was[:i] {
			if p, here := place[h]; here && p < at && heaviest[j]+weight(i) > heaviest[i] {
				heaviest[i], before[i] = heaviest[j]+weight(i), j
			}
		}
		if last < 0 || heaviest[i] > heaviest[last] {
			last = i
		}
	}
	stay = map[solver.GroupingIndex]bool{}
	if last >= 0 {
		moved -= heaviest[last]
	}
	for ; last >= 0; last = before[last] {
		stay[was[last]] = true
	}
	return stay, moved
}

// Places says where in an order each photograph stands.
func Places(order []solver.GroupingIndex) map[solver.GroupingIndex]int {
	out := map[solver.GroupingIndex]int{}
	for k, g := range order {
		out[g] = k
	}
	return out
}

// titlesSaid is how many titles fit into one line.
const titlesSaid = 2

// SomeOf lists the first of some titles, and counts the others.
func SomeOf(titles []string) wording.Arg {
	var list []wording.Arg
	for i, title := range titles {
		if i == titlesSaid {
			list = append(list, wording.Comma(wording.Say("plan.changedMore", len(titles)-i)))
			break
		}
		list = append(list, wording.Curly(title))
	}
	return wording.Comma(list...)
}

// Past is the order that was in force when something was marked: Of tells which marks, Orders are photographs by block.
type Past struct {
	Of     string
	Orders map[string][]string
}

// Swap is that the list was changed during the day: when, which run had the one before, and what that changed.
type Swap struct {
	At   time.Time
	Run  string
	Said []wording.Message
}
