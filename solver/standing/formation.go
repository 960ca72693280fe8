package standing

import "slices"

// Most rows of a formation, and of standing rows in it.
const (
	maxRows         = 8
	maxStandingRows = 6
)

// formation is a sequence of rows with what follows from their kinds alone.
type formation struct {
	kinds []Kind
	// distance[r] is how far row r is from the camera.
	distance []int
	// back[r] is how far row r is behind the first row that is not low, or behind the first row when
	// all are.
	back []int
	// grown[r] is the number of rows in front of r that are not low, standing[r] that of those that are no chairs either.
	grown, standing []int
	// behind[r] is what the rows in front of r cost for each point of importance.
	behind []int
	// seats is the row of those who have to sit, or -1.
	seats int
	depth int
	// base is the part of the shape that does not depend on who stands where.
	base int
}

// lastRowDepth is the depth that the last row takes itself.
const lastRowDepth = 40

func newFormation(s *Space, rows []Kind) formation {
	f := formation{kinds: slices.Clone(rows), seats: -1}
	at := 0
	for r, k := range f.kinds {
		f.distance = append(f.distance, s.CameraDistanceCM+at)
		grown, standing, behind := 0, 0, 0
		for _, before := range f.kinds[:r] {
			switch {
			case before == ChairRow:
				grown, behind = grown+1, behind+chairBackPoints
			case !before.low():
				grown, standing, behind = grown+1, standing+1, behind+rowBackPoints
			}
		}
		f.grown, f.standing, f.behind = append(f.grown, grown), append(f.standing, standing), append(f.behind, behind)
		f.base += k.cost()
		if r+1 < len(f.kinds) {
			at += k.depthCM()
		}
	}
	f.depth = at + lastRowDepth
	front := max(0, slices.IndexFunc(f.kinds, func(k Kind) bool { return !k.low() }))
	for r := range f.kinds {
		f.back = append(f.back, f.distance[r]-f.distance[front])
	}
	f.base += rowPoints * (len(f.kinds) - 1)
	if s.DepthCM > 0 {
		f.base += outsidePoints * max(0, f.depth-s.DepthCM)
	}
	f.seats = slices.Index(f.kinds, ChairRow)
	if f.seats < 0 {
		f.seats = slices.Index(f.kinds, StandingRow)
	}
	return f
}

// allows says whether a placed person may be in a row.
func (f *formation) allows(b *body, r int) bool {
	if b.seated {
		return r == f.seats
	}
	return !b.never[f.kinds[r]]
}

// formations returns every sequence of rows that the space allows for the people there are, cheapest base
// first, then in the order of kinds.
func (p *Problem) formations() []formation {
	s := &p.spec.Space
	most := min(maxRows, len(p.placed))
	var out []formation
	var rows []Kind
	var extend func(k Kind)
	extend = func(k Kind) {
		if len(rows) > most {
			return
		}
		if k == kinds {
			if f := newFormation(s, rows); len(rows) > 0 && p.holdsAll(&f) {
				if len(p.placed) <= fewPeople {
					f.base += fewRowPoints * max(0, count(rows, StandingRow)-1)
				}
				out = append(out, f)
			}
			return
		}
		limit := p.limit(k, rows)
		for count := 0; count <= limit; count++ {
			extend(k + 1)
			rows = append(rows, k)
		}
		rows = rows[:len(rows)-limit-1]
	}
	extend(GroundRow)
	slices.SortStableFunc(out, func(a, b formation) int {
		if a.base != b.base {
			return a.base - b.base
		}
		return slices.Compare(a.kinds, b.kinds)
	})
	return out
}

// limit returns how many rows of a kind may follow the rows so far.
func (p *Problem) limit(k Kind, rows []Kind) int {
	s := &p.spec.Space
	allowed := false
	switch k {
	case GroundRow:
		allowed = s.Ground
	case KneelingRow:
		allowed = s.Kneeling
	case ChairRow:
		allowed = s.Chairs > 0
	case StandingRow:
		return maxStandingRows
	case StepRow:
		allowed = s.Steps >= 1
	case SecondStepRow:
		allowed = s.Steps >= 2 && slices.Contains(rows, StepRow)
	}
	if allowed {
		return 1
	}
	return 0
}

// holdsAll says that there is a row for everybody.
func (p *Problem) holdsAll(f *formation) bool {
	for i := range p.bodies {
		found := false
		for r := range f.kinds {
			found = found || f.allows(&p.bodies[i], r)
		}
		if !found {
			return false
		}
	}
	return true
}

func count(rows []Kind, k Kind) int {
	n := 0
	for _, row := range rows {
		if row == k {
			n++
		}
	}
	return n
}
