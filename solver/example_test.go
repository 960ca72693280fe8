package solver_test

import (
	"context"
	"fmt"
	"log"

	"kinorder.example/solver"
)

// Four photographs in the order that moves the fewest people into the frame.
func ExampleSolve() {
	const ann, bo, rosa, cy = 0, 1, 2, 3
	titles := []string{"everybody", "Ann and Cy", "Ann and Bo with Rosa", "Ann and Bo"}
	var groupings []solver.Grouping
	for _, members := range [][]solver.PersonIndex{{ann, bo, rosa, cy}, {ann, cy}, {ann, bo, rosa}, {ann, bo}} {
		groupings = append(groupings, solver.Grouping{Members: members, Shoot: 10})
	}
	problem, err := solver.NewProblem(solver.Spec{People: make([]solver.Person, 4), Groupings: groupings, Emphasis: solver.FewestSteps})
	if err != nil {
		log.Fatal(err)
	}
	result, err := solver.Solve(context.Background(), problem, solver.Options{})
	if err != nil {
		log.Fatal(err)
	}
	for _, g := range result.Order {
		fmt.Println(titles[g])
	}
	fmt.Println(result.Cost.StepIns, "step in, proven:", result.Proven)
	// Output:
	// Ann and Cy
	// everybody
	// Ann and Bo with Rosa
	// Ann and Bo
	// 4 step in, proven: true
}
