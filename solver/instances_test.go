package solver_test

import (
	"context"
	"path/filepath"
	"slices"
	"testing"

	"kinorder.example/solver"
	"kinorder.example/solver/internal/instance"
)

func solveSpec(t *testing.T, s solver.Spec) (*solver.Problem, solver.Result) {
	t.Helper()
	if testing.Short() && len(s.Groupings) > 16 {
		t.Skip("takes seconds: left out with -short")
	}
	p, err := solver.NewProblem(s)
	if err != nil {
		t.Fatalf("NewProblem: %v", err)
	}
	r, err := solver.Solve(context.Background(), p, solver.Options{})
	if err != nil {
		t.Fatalf("Solve: %v", err)
	}
	if r.Status != solver.Found || !r.Proven {
		t.Fatalf("status %d, proven %v", r.Status, r.Proven)
	}
	if err := solver.Verify(p, r.Order, r.Cost); err != nil {
		t.Fatal(err)
	}
	return p, r
}

// TestInstancesReachTheirOptimum solves the files of testdata; each names its source.
func TestInstancesReachTheirOptimum(t *testing.T) {
	for _, folder := range []string{"lists", "groupings", "blocks"} {
		paths, err := filepath.Glob(filepath.Join("../testdata", folder, "*.json"))
		if err != nil || len(paths) == 0 {
			t.Fatalf("no instances in %s", folder)
		}
		for _, path := range paths {
			t.Run(filepath.Base(path), func(t *testing.T) {
				i, err := instance.Read(path)
				if err != nil {
					t.Fatal(err)
				}
				_, r := solveSpec(t, i.Spec)
				if got := i.Value(r.Cost); got != i.Published {
					t.Errorf("cost %d, want %d", got, i.Published)
				}
			})
		}
	}
}

// TestTalentInstances solves talent scheduling problems, for which optima are published.
func TestTalentInstances(t *testing.T) {
	paths, err := filepath.Glob("../testdata/talent/*.json")
	if err != nil || len(paths) == 0 {
		t.Fatal("no talent instances")
	}
	for _, path := range paths {
		i, err := instance.Read(path)
		if err != nil {
			t.Fatal(err)
		}
		if !i.Proven || len(i.Spec.Groupings) > 32 {
			continue // larger ones are measured by BenchmarkFiles
		}
		t.Run(i.Name, func(t *testing.T) {
			_, r := solveSpec(t, i.Spec)
			if got := i.Value(r.Cost); got != i.Published {
				t.Errorf("cost %d, want %d", got, i.Published)
			}
		})
	}
}

// TestListsAsPublished checks the counting rule on the published orders: step-ins from and to an
// empty frame, the same when the order is reversed.
func TestListsAsPublished(t *testing.T) {
	paths, _ := filepath.Glob("../testdata/lists/*.json")
	for _, path := range paths {
		i, err := instance.Read(path)
		if err != nil {
			t.Fatal(err)
		}
		p, err := solver.NewProblem(i.Spec)
		if err != nil {
			t.Fatal(err)
		}
		order := make([]solver.GroupingIndex, p.Groupings())
		for k := range order {
			order[k] = solver.GroupingIndex(k)
		}
		for range 2 {
			s, err := solver.Evaluate(p, order)
			if err != nil {
				t.Fatal(err)
			}
			if s.Cost.StepIns != i.AsPublished {
				t.Errorf("%s: %d step-ins as published, want %d", i.Name, s.Cost.StepIns, i.AsPublished)
			}
			slices.Reverse(order)
		}
	}
}

// groupingsOf makes a spec of sets of people written as letters.
func groupingsOf(sets ...string) solver.Spec {
	s := solver.Spec{Emphasis: solver.FewestSteps}
	number := map[rune]solver.PersonIndex{}
	for _, set := range sets {
		var g solver.Grouping
		for _, r := range set {
			if _, ok := number[r]; !ok {
				number[r] = solver.PersonIndex(len(number))
				s.People = append(s.People, solver.Person{})
			}
			g.Members = append(g.Members, number[r])
		}
		s.Groupings = append(s.Groupings, g)
	}
	return s
}

// TestFewestStepsIdentities holds small cases worked out by full enumeration from the identities
// Σ|S(i) Δ S(i+1)| = 2·step-ins and step-ins >= people, with equality only under the consecutive ones
// property (Booth and Lueker 1976).
func TestFewestStepsIdentities(t *testing.T) {
	for _, c := range []struct {
		name string
		sets []string
		want int64
	}{
		{"one hub family", []string{"cdefgh", "cdef", "cd", "cdgh", "gh", "cdefghij"}, 8},
		{"triangle", []string{"ab", "bc", "ca"}, 4},
		{"star", []string{"ad", "bd", "cd"}, 4},
		{"nested", []string{"a", "ab", "abc", "abcd", "abcde"}, 5},
	} {
		t.Run(c.name, func(t *testing.T) {
			if _, r := solveSpec(t, groupingsOf(c.sets...)); r.Cost.StepIns != c.want {
				t.Errorf("%d step-ins, want %d", r.Cost.StepIns, c.want)
			}
		})
	}
	p, err := solver.NewProblem(groupingsOf("cdefgh", "cdef", "cd", "cdgh", "gh", "cdefghij"))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		order []solver.GroupingIndex
		want  int64
	}{
		{[]solver.GroupingIndex{0, 1, 2, 3, 4, 5}, 14},
		{[]solver.GroupingIndex{3, 1, 4, 5, 2, 0}, 18},
		{[]solver.GroupingIndex{4, 3, 2, 1, 0, 5}, 10},
		{[]solver.GroupingIndex{2, 1, 0, 5, 3, 4}, 8},
	} {
		s, err := solver.Evaluate(p, c.order)
		if err != nil || s.Cost.StepIns != c.want {
			t.Errorf("order %v: %d step-ins, want %d (%v)", c.order, s.Cost.StepIns, c.want, err)
		}
	}
}

// TestRehearsal is problem 039 of CSPLib (csplib.org, proposed by Barbara Smith; CC BY 4.0): nine
// pieces, five players, least waiting 17 (Smith, report APES-67-2003).
func TestRehearsal(t *testing.T) {
	s := solver.Spec{}
	for _, d := range []int64{2, 4, 1, 3, 3, 2, 5, 7, 6} {
		s.Groupings = append(s.Groupings, solver.Grouping{Fixed: d})
	}
	for q, plays := range []string{"110101101", "110111010", "110000110", "100011001", "001011110"} {
		s.People = append(s.People, solver.Person{IdleWeight: 1})
		for j, in := range plays {
			if in == '1' {
				s.Groupings[j].Members = append(s.Groupings[j].Members, solver.PersonIndex(q))
			}
		}
	}
	if _, r := solveSpec(t, s); r.Cost.Idle != 17 {
		t.Errorf("waiting %d, want 17", r.Cost.Idle)
	}
}

// TestSmithsRule holds cases of Smith's rule (1956), changeovers included: one person in each
// grouping and in no other. The first is exercise 13 of chapter 4 of Kleinberg and Tardos (2005);
// the others are recomputed by full enumeration.
func TestSmithsRule(t *testing.T) {
	for _, c := range []struct {
		name       string
		p, w       []int64
		changeover int64
		want       int64
		best       [][]solver.GroupingIndex
	}{
		{"two jobs", []int64{1, 3}, []int64{10, 2}, 0, 18, [][]solver.GroupingIndex{{0, 1}}},
		{"seven jobs", []int64{3, 6, 6, 5, 4, 8, 9}, []int64{0, 18, 12, 8, 8, 17, 16}, 0, 1610,
			[][]solver.GroupingIndex{{1, 5, 2, 4, 6, 3, 0}, {1, 5, 4, 2, 6, 3, 0}}},
		{"seven jobs, second 7", []int64{3, 7, 6, 5, 4, 8, 9}, []int64{0, 18, 12, 8, 8, 17, 16}, 0, 1689, nil},
		{"five jobs", []int64{4, 2, 6, 3, 5}, []int64{2, 3, 3, 4, 1}, 0, 109, [][]solver.GroupingIndex{{1, 3, 0, 2, 4}, {1, 3, 2, 0, 4}}},
		{"changeover 1", []int64{4, 2, 6, 3, 5}, []int64{2, 3, 3, 4, 1}, 1, 129, [][]solver.GroupingIndex{{1, 3, 2, 0, 4}, {3, 1, 2, 0, 4}}},
		{"changeover 2", []int64{4, 2, 6, 3, 5}, []int64{2, 3, 3, 4, 1}, 2, 148, [][]solver.GroupingIndex{{3, 1, 2, 0, 4}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := solver.Spec{Timing: solver.Timing{Settle: c.changeover}}
			weights := int64(0)
			for j := range c.p {
				s.People = append(s.People, solver.Person{ReleaseWeight: c.w[j]})
				s.Groupings = append(s.Groupings, solver.Grouping{Members: []solver.PersonIndex{solver.PersonIndex(j)}, Shoot: c.p[j]})
				weights += c.w[j]
			}
			_, r := solveSpec(t, s)
			// The cases have no changeover before the first; here it delays everybody alike.
			if got := r.Cost.Release - c.changeover*weights; got != c.want {
				t.Errorf("release cost %d in %v, want %d", got, r.Order, c.want)
			}
			if c.best != nil && !slices.ContainsFunc(c.best, func(o []solver.GroupingIndex) bool { return slices.Equal(o, r.Order) }) {
				t.Errorf("order %v is none of the published ones", r.Order)
			}
		})
	}
}
