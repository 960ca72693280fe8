package diagram

import (
	"kinorder.example/server/internal/event"
	"kinorder.example/solver/standing"
)

// Bounds of what is drawn. A plan may come from outside and be anything.
const (
	mostRows   = 10
	mostPeople = standing.MaxPeople
	farthestCM = 10_000
	widestCM   = 200
	shortestCM = 40
	tallestCM  = 400
)

// layout is enough of a standing plan to be laid out.
type layout struct{ standing.Plan }

// shrink makes figures of many rows smaller, so that the picture is not taller than mostHeight.
func (l *layout) shrink(c standing.Canvas) {
	for range 20 {
		if l.Diagram(c).Height <= mostHeight {
			return
		}
		l.WidthCM += l.WidthCM/10 + 1
	}
}

// planOf makes a standing plan of what a sheet holds of one, enough of it to be laid out, and returns the
// ids of its people by number. Who is held by nobody of the row stands alone.
func planOf(s event.Standing) (layout, []string) {
	var plan layout
	var ids []string
	for _, row := range s.Rows[:min(len(s.Rows), mostRows)] {
		r := len(plan.Rows)
		out := standing.Row{
			Kind: kindOf(row.Kind), AsideCM: between(row.AsideCM, -widestCM, widestCM),
			WidthCM: between(row.WidthCM, 0, farthestCM), BaseCM: between(row.BaseCM, 0, tallestCM),
		}
		holders := map[string]int{}
		for _, p := range row.Places {
			if len(ids) == mostPeople {
				break
			}
			q := len(ids)
			ids = append(ids, p.Person)
			at := standing.Place{
				Row: r, Order: len(out.People), HeldBy: -1, XCM: between(p.XCM, -farthestCM, farthestCM), Posture: postureOf(p.Posture),
				HeadCM: between(p.HeadCM, shortestCM, tallestCM), WidthCM: between(p.WidthCM, 0, widestCM),
			}
			holder, held := holders[p.HeldBy]
			switch {
			case held && p.HeldBy != "" && p.Posture == event.Held:
				at.HeldBy, at.Posture = holder, standing.Held
			case at.Posture == standing.Held:
				at.Posture = standing.Standing
			}
			if at.HeldBy < 0 {
				holders[p.Person] = q
				out.People = append(out.People, q)
			}
			plan.Places = append(plan.Places, at)
		}
		if len(out.People) > 0 {
			plan.Rows = append(plan.Rows, out)
			plan.WidthCM = max(plan.WidthCM, reach(&plan, out))
		}
	}
	return plan, ids
}

// reach is how wide the picture must be for a row.
func reach(plan *layout, row standing.Row) int {
	most := 0
	for _, q := range row.People {
		at := plan.Places[q]
		most = max(most, 2*at.XCM+at.WidthCM, at.WidthCM-2*at.XCM)
	}
	return most
}

func between(v, low, high int) int { return min(max(v, low), high) }

// kindOf and postureOf take what is unknown for standing. The kinds and postures of both packages come in
// one order, and those of events have a zero value before them.
func kindOf(k event.RowKind) standing.Kind {
	if k < event.GroundRow || k > event.SecondStepRow {
		return standing.StandingRow
	}
	return standing.Kind(k - event.GroundRow)
}

func postureOf(p event.Posture) standing.Posture {
	if p < event.Upright || p > event.Held {
		return standing.Standing
	}
	return standing.Posture(p - event.Upright)
}
