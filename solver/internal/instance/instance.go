// Package instance reads the check instances of the solver: JSON files with published or
// recomputed optima. It knows nothing of events.
package instance

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"

	"kinorder.example/solver"
)

// The kinds of instance files.
const (
	// List is a published list of group photographs; the objective is step-ins.
	List = "list"
	// Grouping is the weighted sum of steps in and out and release times.
	Grouping = "grouping"
	// Block is a 0/1 matrix whose columns are put in an order with the fewest runs of ones.
	Block = "block"
	// Talent is a talent scheduling problem: scenes, and actors who are paid while they wait.
	Talent = "talent"
)

// Instance is one file.
type Instance struct {
	Name, Kind string
	Spec       solver.Spec
	// Published is the best known value in the file's own objective.
	Published int64
	// Proven says that the file calls Published optimal.
	Proven bool
	// AsPublished is the value of the order of the file, for lists.
	AsPublished int64
	// base is the part of the objective that no order changes.
	base int64
}

// Value turns a cost into the file's own objective.
func (i *Instance) Value(c solver.Cost) int64 {
	switch i.Kind {
	case List, Block:
		return c.StepIns
	case Talent:
		return i.base + c.Idle
	default:
		return i.Spec.StepWeight*c.StepIns + c.Release
	}
}

// Bound turns a bound on the total into a bound in the file's own objective.
func (i *Instance) Bound(p *solver.Problem, total int64) int64 {
	switch i.Kind {
	case List, Block:
		return p.StepInsOf(total)
	default:
		return i.base + total
	}
}

type file struct {
	Name string `json:"name"`

	Groupings []struct {
		ID       json.RawMessage   `json:"id"`
		Duration int64             `json:"duration"`
		Members  []json.RawMessage `json:"members"`
	} `json:"groupings"`
	People []struct {
		ID     json.RawMessage `json:"id"`
		Weight int64           `json:"weight"`
	} `json:"people"`
	StepWeight int64  `json:"step_weight"`
	Optimum    *int64 `json:"optimum"`

	PublishedStepIns int64  `json:"published_step_ins"`
	OptimalStepIns   *int64 `json:"optimal_step_ins"`

	Matrix     [][]int `json:"matrix"`
	BestBlocks *int64  `json:"best_known_blocks"`

	Scenes []int64 `json:"scenes"`
	Actors []struct {
		Cost int64 `json:"cost"`
		In   []int `json:"in"`
	} `json:"actors"`
	BestKnown     *int64 `json:"best_known"`
	BaseCost      int64  `json:"base_cost"`
	ProvenOptimal bool   `json:"proven_optimal"`
}

// Read reads one instance file.
func Read(path string) (*Instance, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	i, err := Parse(data)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return i, nil
}

// Parse reads an instance; its kind follows from the fields it has.
func Parse(data []byte) (*Instance, error) {
	var f file
	if err := json.Unmarshal(data, &f); err != nil {
		return nil, err
	}
	i := &Instance{Name: f.Name, Proven: f.ProvenOptimal}
	switch {
	case f.OptimalStepIns != nil:
		i.Kind, i.Published, i.Proven = List, *f.OptimalStepIns, true
		i.AsPublished = f.PublishedStepIns
		i.Spec.Emphasis = solver.FewestSteps
		return i, f.groupings(i)
	case f.Optimum != nil:
		i.Kind, i.Published = Grouping, *f.Optimum
		// The files count steps in and out, which are twice the step-ins.
		i.Spec.StepWeight = 2 * f.StepWeight
		return i, f.groupings(i)
	case f.BestBlocks != nil:
		i.Kind, i.Published = Block, *f.BestBlocks
		i.Spec.Emphasis = solver.FewestSteps
		return i, f.matrix(i)
	case f.BestKnown != nil:
		i.Kind, i.Published, i.base = Talent, *f.BestKnown, f.BaseCost
		return i, f.scenes(i)
	}
	return nil, errors.New("none of the known kinds: no optimal_step_ins, optimum, best_known_blocks or best_known")
}

func (f *file) groupings(i *Instance) error {
	number := map[string]solver.PersonIndex{}
	add := func(id string, weight int64) solver.PersonIndex {
		q, ok := number[id]
		if !ok {
			q = solver.PersonIndex(len(i.Spec.People))
			number[id] = q
			i.Spec.People = append(i.Spec.People, solver.Person{ReleaseWeight: weight})
		}
		return q
	}
	for _, p := range f.People {
		add(string(p.ID), p.Weight)
	}
	for _, g := range f.Groupings {
		if g.Duration < 0 {
			return fmt.Errorf("grouping %s: a duration below 0", g.ID)
		}
		out := solver.Grouping{Shoot: g.Duration}
		for _, m := range g.Members {
			out.Members = append(out.Members, add(string(m), 0))
		}
		i.Spec.Groupings = append(i.Spec.Groupings, out)
	}
	return nil
}

func (f *file) matrix(i *Instance) error {
	for q, row := range f.Matrix {
		if len(row) != len(f.Matrix[0]) {
			return fmt.Errorf("matrix: row %d has %d columns, not %d", q, len(row), len(f.Matrix[0]))
		}
		i.Spec.People = append(i.Spec.People, solver.Person{})
		i.Spec.Groupings = append(i.Spec.Groupings, make([]solver.Grouping, len(row)-len(i.Spec.Groupings))...)
		for j, in := range row {
			if in != 0 {
				i.Spec.Groupings[j].Members = append(i.Spec.Groupings[j].Members, solver.PersonIndex(q))
			}
		}
	}
	return nil
}

func (f *file) scenes(i *Instance) error {
	for _, d := range f.Scenes {
		i.Spec.Groupings = append(i.Spec.Groupings, solver.Grouping{Shoot: d})
	}
	for q, a := range f.Actors {
		if len(a.In) != len(f.Scenes) {
			return fmt.Errorf("actor %d: %d scenes, not %d", q, len(a.In), len(f.Scenes))
		}
		i.Spec.People = append(i.Spec.People, solver.Person{IdleWeight: a.Cost})
		for j, in := range a.In {
			if in != 0 {
				i.Spec.Groupings[j].Members = append(i.Spec.Groupings[j].Members, solver.PersonIndex(q))
			}
		}
	}
	return nil
}
