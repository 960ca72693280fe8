package standing

import (
	"math"
	"slices"
	"testing"
)

// assemble builds the plan of given rows with the measures of the verifier, which the search does not
// use.
func assemble(p *Problem, rows []Row) Plan {
	plan := Plan{Places: make([]Place, len(p.spec.People))}
	v := verifier{s: &p.spec, plan: &plan}
	distance := p.spec.Space.CameraDistanceCM
	for r, row := range rows {
		row.DistanceCM = distance
		row.BaseCM = map[Kind]int{StepRow: p.spec.Space.StepCM, SecondStepRow: 2 * p.spec.Space.StepCM}[row.Kind]
		distance += []int{85, 75, 95, 70, 60, 60}[row.Kind]
		plan.Rows = append(plan.Rows, row)
		for order, q := range row.People {
			plan.Places[q] = Place{Row: r, Order: order, HeldBy: -1}
		}
	}
	for q, h := range p.holder {
		if h >= 0 {
			plan.Places[q] = Place{HeldBy: h}
		}
	}
	plan.MoreArms = v.moreArms()
	for r := range plan.Rows {
		row := &plan.Rows[r]
		for _, q := range row.People {
			at := &plan.Places[q]
			at.Posture, at.HeadCM, at.WidthCM = v.body(q, row.Kind)
			row.WidthCM += at.WidthCM
		}
		edge := row.AsideCM - row.WidthCM/2
		for _, q := range row.People {
			at := &plan.Places[q]
			at.XCM = edge + at.WidthCM/2
			edge += at.WidthCM
		}
		plan.WidthCM = max(plan.WidthCM, row.WidthCM+2*row.AsideCM, row.WidthCM-2*row.AsideCM)
	}
	last := plan.Rows[len(plan.Rows)-1]
	plan.DepthCM = last.DistanceCM - plan.Rows[0].DistanceCM + 40
	for q := range plan.Places {
		if at := &plan.Places[q]; at.HeldBy < 0 {
			at.ClearCM = v.clear(q)
		}
	}
	for q := range plan.Places {
		at := &plan.Places[q]
		if h := at.HeldBy; h >= 0 {
			*at = plan.Places[h]
			at.HeldBy, at.Posture, at.WidthCM, at.HeadCM = h, Held, 0, at.HeadCM-24
		}
		at.Guessed = p.spec.People[q].HeightCM == 0
	}
	return plan
}

// bruteForce tries every sequence of rows, every order of people and every way to cut the order into
// the rows, and returns the least cost.
func bruteForce(p *Problem) int {
	var sequences [][]Kind
	for mask := range 8 {
		for standing := range 7 {
			for steps := range 3 {
				var rows []Kind
				for k := range 3 {
					if mask>>k&1 == 1 {
						rows = append(rows, Kind(k))
					}
				}
				rows = append(rows, slices.Repeat([]Kind{StandingRow}, standing)...)
				rows = append(rows, []Kind{StepRow, SecondStepRow}[:steps]...)
				if len(rows) > 0 && len(rows) <= len(p.placed) {
					sequences = append(sequences, rows)
				}
			}
		}
	}
	best := math.MaxInt
	for _, kinds := range sequences {
		if !p.spec.offers(kinds) {
			continue
		}
		for _, sizes := range splits(len(p.placed), len(kinds)) {
			permute(slices.Clone(p.placed), 0, func(order []int) {
				for code := range power(3, len(sizes)-1) {
					var rows []Row
					at := 0
					for r, size := range sizes {
						row := Row{Kind: kinds[r], People: order[at : at+size]}
						if r > 0 {
							row.AsideCM = []int{0, 25, -25}[code%3]
							code /= 3
						}
						rows = append(rows, row)
						at += size
					}
					plan := assemble(p, rows)
					v := verifier{s: &p.spec, plan: &plan}
					if c := v.cost().Total(); c < best {
						if v.kinds(); len(v.faults) == 0 {
							if v.people(); len(v.faults) == 0 {
								best = c
							}
						}
					}
				}
			})
		}
	}
	return best
}

// offers says, for the sake of speed, which sequences can pass the verifier at all.
func (s Spec) offers(rows []Kind) bool {
	for _, k := range rows {
		if (k == GroundRow && !s.Space.Ground) || (k == KneelingRow && !s.Space.Kneeling) || (k == ChairRow && s.Space.Chairs == 0) || int(k)-int(StandingRow) > s.Space.Steps {
			return false
		}
	}
	return true
}

func power(base, exponent int) int {
	out := 1
	for range exponent {
		out *= base
	}
	return out
}

func splits(n, rows int) [][]int {
	if rows == 1 {
		return [][]int{{n}}
	}
	var out [][]int
	for first := 1; first <= n-rows+1; first++ {
		for _, rest := range splits(n-first, rows-1) {
			out = append(out, append([]int{first}, rest...))
		}
	}
	return out
}

func permute(order []int, at int, visit func([]int)) {
	if at == len(order) {
		visit(order)
		return
	}
	for k := at; k < len(order); k++ {
		order[at], order[k] = order[k], order[at]
		permute(order, at+1, visit)
		order[at], order[k] = order[k], order[at]
	}
}

// The bounds of the exact search against every order of a row.
func TestLeastPairs(t *testing.T) {
	for _, heads := range [][]int{{5}, {3, 9}, {1, 5, 6}, {1, 2, 9}, {2, 3, 3, 9}, {1, 4, 5, 9, 10}, {0, 7, 7, 8, 20, 21}} {
		least := 1 << 30
		permute(slices.Clone(heads), 0, func(order []int) {
			sum := 0
			for k := range len(order) / 2 {
				sum += abs(order[k] - order[len(order)-1-k])
			}
			least = min(least, sum)
		})
		if got := leastPairs(heads); got != least {
			t.Errorf("%v: %d, want %d", heads, got, least)
		}
	}
}

// From the last head of a row, the steps still to come against every order of the others.
func TestBoundSteps(t *testing.T) {
	for _, heights := range [][]int{{170, 150, 160}, {155, 150, 160, 190}, {185, 150, 160, 190}, {140, 150, 160}, {195, 150, 160}} {
		var spec Spec
		for _, h := range heights {
			spec.People = append(spec.People, Person{HeightCM: h})
		}
		p, err := NewProblem(spec)
		if err != nil {
			t.Fatal(err)
		}
		formations := p.formations()
		x := exact{p: p, b: newBoard(p, &formations[0]), used: make([]bool, len(heights))}
		x.b.rows[0], x.used[0] = []int{0}, true
		others := make([]int, len(heights)-1)
		for k := range others {
			others[k] = k + 1
		}
		least := math.MaxInt
		permute(others, 0, func(order []int) {
			sum, before := 0, 0
			for _, i := range order {
				k := formations[0].kinds[0]
				sum += abs(p.bodies[i].head[k] - p.bodies[before].head[k])
				before = i
			}
			least = min(least, sum)
		})
		if got := x.boundSteps(0); got != least {
			t.Errorf("%v: %d, want %d", heights, got, least)
		}
	}
}
