package standing

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
)

// long leaves a test that takes seconds out with -short.
func long(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("takes seconds: left out with -short")
	}
}

func arrange(t *testing.T, s Spec, o Options) Plan {
	t.Helper()
	p, err := NewProblem(s)
	if err != nil {
		t.Fatal(err)
	}
	plan, err := Arrange(t.Context(), p, o)
	if err != nil {
		t.Fatal(err)
	}
	if err := Verify(p, plan); err != nil {
		t.Fatal(err)
	}
	return plan
}

func TestSmallPlansAreExact(t *testing.T) {
	long(t)
	r := rand.New(rand.NewPCG(31, 1))
	for round := range 20 {
		n := 1 + round%5
		spec := crowd(r, n)
		if round%2 == 1 && n > 1 {
			spec = wedding(r, n)
		}
		if n == 5 { // few kinds of rows keep the number of plans in bounds
			spec.Space.Ground, spec.Space.Kneeling, spec.Space.Steps = false, false, 0
		}
		p, err := NewProblem(spec)
		if err != nil {
			t.Fatal(err)
		}
		plan := arrange(t, spec, Options{Seed: uint64(round)})
		if want := bruteForce(p); !plan.Exact || plan.Cost.Total() != want {
			t.Errorf("round %d, %d people: cost %d (exact: %v), brute force %d", round, n, plan.Cost.Total(), plan.Exact, want)
		}
	}
}

// The exact search finds the best plan also from the worst that there is to begin with: its bounds have
// nothing to hide behind.
func TestExactFromTheWorstBeginning(t *testing.T) {
	r := rand.New(rand.NewPCG(42, 1))
	for round := range 60 {
		n := 2 + round%5
		spec := crowd(r, n)
		if round%2 == 1 {
			spec = wedding(r, n)
		}
		p, err := NewProblem(spec)
		if err != nil {
			t.Fatal(err)
		}
		var worst *board
		formations := p.formations()
		for k := range formations {
			b := newBoard(p, &formations[k])
			if b.start() && (b.scoreAll() >= 0 && worst == nil || b.total() > worst.total()) {
				worst = b
			}
		}
		best, _ := exhaust(t.Context(), p, formations, worst, MaxNodes)
		if want := arrange(t, spec, Options{Seed: uint64(round)}).Cost.Total(); best.total() != want {
			t.Errorf("round %d, %d people: cost %d, want %d", round, n, best.total(), want)
		}
	}
}

// Eight people are too many to try every formation; without chairs and steps they are not too
// many for one or two rows, and more rows cost more than what is found.
func TestEightPeopleAreExact(t *testing.T) {
	long(t)
	r := rand.New(rand.NewPCG(32, 1))
	for _, n := range []int{6, 8} {
		spec := wedding(r, n)
		for q := range spec.People { // everybody placed
			if spec.People[q].Age == Infant {
				spec.People[q].Age, spec.People[q].HeightCM = Child, 100
			}
		}
		spec.Space = Space{DepthCM: 100}
		p, err := NewProblem(spec)
		if err != nil {
			t.Fatal(err)
		}
		plan := arrange(t, spec, Options{})
		best := math.MaxInt
		permute(slices.Clone(p.placed), 0, func(order []int) {
			one := assemble(p, []Row{{Kind: StandingRow, People: order}})
			v := verifier{s: &p.spec, plan: &one}
			best = min(best, v.cost().Total())
		})
		if len(plan.Rows) == 1 && plan.Cost.Total() != best || plan.Cost.Total() > best || !plan.Exact {
			t.Errorf("%d people: cost %d in %d rows, best single row %d", n, plan.Cost.Total(), len(plan.Rows), best)
		}
	}
}

func TestPlansOfEverySizeVerify(t *testing.T) {
	long(t)
	r := rand.New(rand.NewPCG(33, 1))
	for n := 2; n <= 100; n += 1 + n/4 {
		for k, spec := range []Spec{wedding(r, n), crowd(r, n)} {
			plan := arrange(t, spec, Options{Moves: 1500, Seed: uint64(n)})
			if len(plan.Places) != n {
				t.Errorf("%d people, %d: %d places", n, k, len(plan.Places))
			}
		}
	}
}

func TestMovesImproveAPlan(t *testing.T) {
	long(t)
	r := rand.New(rand.NewPCG(34, 1))
	var short, long int
	for range 4 {
		spec := wedding(r, 40)
		short += arrange(t, spec, Options{Moves: 1000}).Cost.Total()
		long += arrange(t, spec, Options{Moves: 30_000}).Cost.Total()
	}
	if long >= short {
		t.Errorf("30 000 moves cost %d, 1000 moves %d", long, short)
	}
}

// Beyond the exact limit nothing proves a plan, so the search, with as many moves as it has beyond that, is held
// against the exact one where both can be had: within 1 % on average, and 5 % at worst.
func TestSearchComesCloseToTheExactPlan(t *testing.T) {
	long(t)
	r := rand.New(rand.NewPCG(35, 1))
	const rounds = 12
	over := 0.0
	for round := range rounds {
		p, err := NewProblem(wedding(r, 4+round%4))
		if err != nil {
			t.Fatal(err)
		}
		formations := p.formations()
		climbed := climbAll(t.Context(), p, formations, 3, UsualMoves(ExactPeople+1))
		best, exact := exhaust(t.Context(), p, formations, climbed, MaxNodes)
		ratio := float64(climbed.total())/float64(best.total()) - 1
		if !exact || ratio > 0.05 {
			t.Errorf("round %d: climbed to %d, exact is %d (%v)", round, climbed.total(), best.total(), exact)
		}
		over += ratio / rounds
	}
	if over > 0.01 {
		t.Errorf("the search costs %.1f %% more than the exact plans", 100*over)
	}
}

func TestSamePlanForTheSameSeed(t *testing.T) {
	spec := wedding(rand.New(rand.NewPCG(36, 1)), 30)
	a, b := arrange(t, spec, Options{Seed: 5, Moves: 5000}), arrange(t, spec, Options{Seed: 5, Moves: 5000})
	if !reflect.DeepEqual(a, b) {
		t.Error("the same seed gave two plans")
	}
}

// A mirror image is the same problem: sides and the spots before change places.
func TestMirrorSymmetry(t *testing.T) {
	r := rand.New(rand.NewPCG(37, 1))
	for round := range 20 {
		spec := crowd(r, 3+round%4)
		mirrored := spec.clone()
		for q := range mirrored.People {
			mirrored.People[q].Side = map[Side]Side{NoSide: NoSide, Left: Right, Right: Left}[spec.People[q].Side]
		}
		for q := range mirrored.Before {
			mirrored.Before[q].XCM = -mirrored.Before[q].XCM
		}
		a, b := arrange(t, spec, Options{}), arrange(t, mirrored, Options{})
		if a.Cost.Total() != b.Cost.Total() {
			t.Errorf("round %d: cost %+v, mirrored %+v", round, a.Cost, b.Cost)
		}
	}
}

// The numbers of people do not matter, except for who holds an infant.
func TestRelabelling(t *testing.T) {
	r := rand.New(rand.NewPCG(38, 1))
	for round := range 20 {
		spec := crowd(r, 3+round%4)
		for q := range spec.People {
			if spec.People[q].Age == Infant {
				spec.People[q].Age = Child
			}
		}
		n := len(spec.People)
		to := r.Perm(n)
		other := Spec{People: make([]Person, n), Space: spec.Space}
		for q := range n {
			other.People[to[q]] = spec.People[q]
		}
		if len(spec.Before) > 0 {
			other.Before = make([]Spot, n)
			for q := range n {
				other.Before[to[q]] = spec.Before[q]
			}
		}
		for _, tie := range spec.Ties {
			moved := Tie{Bond: tie.Bond}
			for _, q := range tie.Members {
				moved.Members = append(moved.Members, to[q])
			}
			other.Ties = append(other.Ties, moved)
		}
		for _, pair := range spec.Apart {
			other.Apart = append(other.Apart, [2]int{to[pair[0]], to[pair[1]]})
		}
		a, b := arrange(t, spec, Options{}), arrange(t, other, Options{})
		if a.Cost.Total() != b.Cost.Total() {
			t.Errorf("round %d: cost %+v, relabelled %+v", round, a.Cost, b.Cost)
		}
	}
}

// A wish more never makes the best plan cheaper.
func TestMoreWishesCostNoLess(t *testing.T) {
	r := rand.New(rand.NewPCG(39, 1))
	for round := range 15 {
		spec := crowd(r, 3+round%4)
		before := arrange(t, spec, Options{}).Cost.Total()
		more := spec.clone()
		more.Apart = append(more.Apart, [2]int{0, 1})
		more.Ties = append(more.Ties, Tie{Household, []int{0, 1, 2}})
		// A tie also makes an infant's holder closer; leave those out.
		if slices.ContainsFunc(spec.People, func(q Person) bool { return q.Age == Infant || q.Age == Child }) {
			continue
		}
		if after := arrange(t, more, Options{}).Cost.Total(); after < before {
			t.Errorf("round %d: %d with more wishes, %d without", round, after, before)
		}
	}
}

func TestBadSpecsAreNamed(t *testing.T) {
	two := []Person{{}, {}}
	for name, s := range map[string]Spec{
		"nobody":    {},
		"height":    {People: []Person{{HeightCM: 300}}},
		"age":       {People: []Person{{Age: 9}}},
		"tie":       {People: two, Ties: []Tie{{Couple, []int{0, 7}}}},
		"tie twice": {People: two, Ties: []Tie{{Couple, []int{1, 1}}}},
		"tie alone": {People: two, Ties: []Tie{{Couple, []int{1}}}},
		"apart":     {People: two, Apart: [][2]int{{1, 1}}},
		"before":    {People: two, Before: []Spot{{}}},
		"space":     {People: two, Space: Space{WidthCM: 5}},
		"steps":     {People: two, Space: Space{Steps: 1}},
	} {
		if _, err := NewProblem(s); !errors.Is(err, ErrInvalid) {
			t.Errorf("%s: %v, want ErrInvalid", name, err)
		}
	}
	p, err := NewProblem(Spec{People: two})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Arrange(t.Context(), p, Options{Moves: -1}); !errors.Is(err, ErrInvalid) {
		t.Errorf("moves: %v, want ErrInvalid", err)
	}
}

func TestVerifyFindsFaults(t *testing.T) {
	spec := wedding(rand.New(rand.NewPCG(40, 1)), 12)
	p, err := NewProblem(spec)
	if err != nil {
		t.Fatal(err)
	}
	good := arrange(t, spec, Options{Moves: 2000})
	first := good.Rows[0].People[0]
	for name, spoil := range map[string]func(*Plan){
		"cost":     func(x *Plan) { x.Cost.Ties++ },
		"head":     func(x *Plan) { x.Places[first].HeadCM++ },
		"place":    func(x *Plan) { x.Places[first].XCM += 2 },
		"order":    func(x *Plan) { x.Places[first].Order = 1 },
		"posture":  func(x *Plan) { x.Places[first].Posture = Held },
		"twice":    func(x *Plan) { x.Rows[0].People[0] = x.Rows[0].People[1] },
		"missing":  func(x *Plan) { x.Places = x.Places[1:] },
		"warnings": func(x *Plan) { x.Warnings = append(x.Warnings, TooWide) },
		"box":      func(x *Plan) { x.WidthCM++ },
		"distance": func(x *Plan) { x.Rows[0].DistanceCM++ },
		"clear":    func(x *Plan) { x.Places[first].ClearCM-- },
		"unknown":  func(x *Plan) { x.Rows[0].People[0] = 99 },
	} {
		bad := good
		bad.Places, bad.Rows = slices.Clone(good.Places), slices.Clone(good.Rows)
		bad.Warnings = slices.Clone(good.Warnings)
		for r := range bad.Rows {
			bad.Rows[r].People = slices.Clone(good.Rows[r].People)
		}
		spoil(&bad)
		if err := Verify(p, bad); !errors.Is(err, ErrPlan) {
			t.Errorf("%s: %v, want ErrPlan", name, err)
		}
	}
}

func BenchmarkArrange(b *testing.B) {
	for _, n := range []int{8, 20, 50, 100} {
		p, err := NewProblem(wedding(rand.New(rand.NewPCG(41, 1)), n))
		if err != nil {
			b.Fatal(err)
		}
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			cost := 0
			for b.Loop() {
				plan, err := Arrange(b.Context(), p, Options{})
				if err != nil {
					b.Fatal(err)
				}
				cost = plan.Cost.Total()
			}
			b.ReportMetric(float64(cost), "points")
		})
	}
}
