package standing

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// planOf completes the plan of given rows: nothing is wrong with it but what is wrong with the rows.
func planOf(p *Problem, rows []Row) Plan {
	plan := assemble(p, rows)
	complete(p, &plan)
	return plan
}

func complete(p *Problem, plan *Plan) {
	for _, at := range plan.Places {
		plan.HeightCM = max(plan.HeightCM, at.HeadCM)
	}
	v := verifier{s: &p.spec, plan: plan}
	plan.Cost, plan.Warnings = v.cost(), v.warnings()
}

func row(k Kind, people ...int) Row { return Row{Kind: k, People: people} }

// Each of these groupings has right rows and wrong ones that break just what the name says.
func TestVerifyRefusesWrongRows(t *testing.T) {
	everything := Space{Ground: true, Kneeling: true, Chairs: 5, Steps: 2, StepCM: 18}
	without := func(change func(*Space)) Space {
		s := everything
		change(&s)
		return s
	}
	elder, wheelchair, seat := Person{Age: Elder}, Person{Wheelchair: true}, Person{Seat: true}
	adult, child, level := Person{}, Person{Age: Child}, Person{StepFree: true}
	aside := func(r Row, by int) Row { r.AsideCM = by; return r }
	type rows = []Row
	for _, c := range []struct {
		name         string
		people       []Person
		space        Space
		right, wrong rows
	}{
		{"elder kneels", []Person{elder, adult}, everything, rows{row(StandingRow, 0, 1)}, rows{row(KneelingRow, 0), row(StandingRow, 1)}},
		{"elder on the ground", []Person{elder, adult}, everything, rows{row(StandingRow, 0, 1)}, rows{row(GroundRow, 0), row(StandingRow, 1)}},
		{"nobody but an elder kneels", []Person{adult, elder}, everything, rows{row(KneelingRow, 0), row(StandingRow, 1)}, rows{row(KneelingRow, 1), row(StandingRow, 0)}},
		{"seat behind chairs", []Person{seat, adult}, everything, rows{row(ChairRow, 0), row(StandingRow, 1)}, rows{row(ChairRow, 1), row(StandingRow, 0)}},
		{"wheelchair behind the first row", []Person{wheelchair, adult}, everything, rows{row(StandingRow, 0), row(StandingRow, 1)}, rows{row(StandingRow, 1), row(StandingRow, 0)}},
		{"wheelchair kneels", []Person{wheelchair, adult}, everything, rows{row(StandingRow, 0, 1)}, rows{row(KneelingRow, 0), row(StandingRow, 1)}},
		{"no level way", []Person{level, adult}, everything, rows{row(StandingRow, 0), row(StepRow, 1)}, rows{row(StandingRow, 1), row(StepRow, 0)}},
		{"no level way to the second step", []Person{level, adult, adult}, everything, rows{row(StandingRow, 0), row(StepRow, 1), row(SecondStepRow, 2)}, rows{row(StandingRow, 1), row(StepRow, 2), row(SecondStepRow, 0)}},
		{"standing before chairs", []Person{adult, adult}, everything, rows{row(ChairRow, 0), row(StandingRow, 1)}, rows{row(StandingRow, 0), row(ChairRow, 1)}},
		{"two rows of chairs", []Person{adult, adult}, everything, rows{row(ChairRow, 0, 1)}, rows{row(ChairRow, 0), row(ChairRow, 1)}},
		{"ground that is not to be had", []Person{child, adult}, without(func(s *Space) { s.Ground = false }), rows{row(KneelingRow, 0), row(StandingRow, 1)}, rows{row(GroundRow, 0), row(StandingRow, 1)}},
		{"kneeling that is not to be had", []Person{child, adult}, without(func(s *Space) { s.Kneeling = false }), rows{row(GroundRow, 0), row(StandingRow, 1)}, rows{row(KneelingRow, 0), row(StandingRow, 1)}},
		{"chairs that are not to be had", []Person{child, adult}, without(func(s *Space) { s.Chairs = 0 }), rows{row(StandingRow, 0, 1)}, rows{row(ChairRow, 0), row(StandingRow, 1)}},
		{"a step that is not to be had", []Person{adult, adult}, without(func(s *Space) { s.Steps = 0 }), rows{row(StandingRow, 0, 1)}, rows{row(StandingRow, 0), row(StepRow, 1)}},
		{"a second step that is not to be had", []Person{adult, adult, adult}, without(func(s *Space) { s.Steps = 1 }), rows{row(StandingRow, 0, 1), row(StepRow, 2)}, rows{row(StandingRow, 0), row(StepRow, 1), row(SecondStepRow, 2)}},
		{"a second step without the first", []Person{adult, adult}, everything, rows{row(StandingRow, 0), row(StepRow, 1)}, rows{row(StandingRow, 0), row(SecondStepRow, 1)}},
		{"seven standing rows", make([]Person, 7), everything, rows{row(StandingRow, 0, 1, 2, 3, 4, 5, 6)}, rows{
			row(StandingRow, 0), row(StandingRow, 1), row(StandingRow, 2), row(StandingRow, 3), row(StandingRow, 4), row(StandingRow, 5), row(StandingRow, 6),
		}},
		{"first row aside", []Person{adult, adult}, everything, rows{row(StandingRow, 0), aside(row(StandingRow, 1), 25)}, rows{aside(row(StandingRow, 0), 25), row(StandingRow, 1)}},
		{"not half a place aside", []Person{adult, adult}, everything, rows{row(StandingRow, 0), aside(row(StandingRow, 1), -25)}, rows{row(StandingRow, 0), aside(row(StandingRow, 1), 24)}},
		{"holder kneels", []Person{{Age: Infant}, adult, adult}, everything, rows{row(KneelingRow, 2), row(StandingRow, 1)}, rows{row(KneelingRow, 1), row(StandingRow, 2)}},
		{"somebody twice", []Person{adult, adult}, everything, rows{row(StandingRow, 0, 1)}, rows{row(StandingRow, 0, 1, 0)}},
		{"nobody in a row", []Person{adult, adult}, everything, rows{row(StandingRow, 0, 1)}, rows{row(StandingRow, 0, 1), row(StepRow)}},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, err := NewProblem(Spec{People: c.people, Space: c.space})
			require.NoError(t, err)
			require.NoError(t, Verify(p, planOf(p, c.right)))
			assert.ErrorIs(t, Verify(p, planOf(p, c.wrong)), ErrPlan)
		})
	}
}

// Whoever is in no row stands nowhere, though the place looks like one.
func TestVerifyRefusesWhoStandsNowhere(t *testing.T) {
	p, err := NewProblem(Spec{People: []Person{{}, {}}})
	require.NoError(t, err)
	plan := planOf(p, []Row{row(StandingRow, 0), row(StandingRow, 1)})
	plan.Rows, plan.Places[1], plan.DepthCM = plan.Rows[:1], plan.Places[0], 40
	complete(p, &plan)
	assert.ErrorIs(t, Verify(p, plan), ErrPlan)
}

// An infant is held by a grown-up, and where the grown-up is.
func TestVerifyRefusesWrongArms(t *testing.T) {
	p, err := NewProblem(Spec{People: []Person{{Age: Infant}, {HeightCM: 170}, {Age: Child}}})
	require.NoError(t, err)
	right := planOf(p, []Row{row(StandingRow, 1, 2)})
	require.NoError(t, Verify(p, right))
	for name, spoil := range map[string]func(*Plan){
		"in nobody's arms":  func(x *Plan) { x.Places[0].HeldBy = -1 },
		"in unknown arms":   func(x *Plan) { x.Places[0].HeldBy = 3 },
		"on the ground":     func(x *Plan) { x.Places[0].Posture = OnGround },
		"in another row":    func(x *Plan) { x.Places[0].Row = 1 },
		"at another place":  func(x *Plan) { x.Places[0].Order = 1 },
		"beside the holder": func(x *Plan) { x.Places[0].XCM++ },
		"too high":          func(x *Plan) { x.Places[0].HeadCM++ },
		"clearer":           func(x *Plan) { x.Places[0].ClearCM++ },
		"takes room":        func(x *Plan) { x.Places[0].WidthCM = 20 },
		"height is known":   func(x *Plan) { x.Places[0].Guessed = false },
		"grown-up held":     func(x *Plan) { x.Places[1].HeldBy = 2 },
		"child guessed not": func(x *Plan) { x.Places[2].Guessed = false },
	} {
		wrong := right
		wrong.Places = slices.Clone(right.Places)
		spoil(&wrong)
		assert.ErrorIs(t, Verify(p, wrong), ErrPlan, name)
	}
	// A child holds nobody, and where there is a grown-up, nobody is left standing on their own.
	for name, rows := range map[string][]Row{"a child holds it": {row(StandingRow, 1, 2)}, "it stands": {row(StandingRow, 0, 1, 2)}} {
		other := *p
		other.holder = []int{2, -1, -1}
		if name == "it stands" {
			other.holder = []int{-1, -1, -1}
		}
		assert.ErrorIs(t, Verify(p, planOf(&other, rows)), ErrPlan, name)
	}
	for name, chair := range map[string]Person{"a wheelchair": {Age: Infant, Wheelchair: true}, "a seat": {Age: Infant, Seat: true}} {
		p, err := NewProblem(Spec{People: []Person{chair, {HeightCM: 170}}})
		require.NoError(t, err)
		require.NoError(t, Verify(p, planOf(p, []Row{row(StandingRow, 0, 1)})), name)
		p.holder = []int{1, -1}
		assert.ErrorIs(t, Verify(p, planOf(p, []Row{row(StandingRow, 1)})), ErrPlan, name)
	}
	alone, err := NewProblem(Spec{People: []Person{{Age: Infant}, {Age: Infant}}})
	require.NoError(t, err)
	require.NoError(t, Verify(alone, planOf(alone, []Row{row(StandingRow, 0, 1)})), "nobody can hold it")
	children, err := NewProblem(Spec{People: []Person{{Age: Infant}, {Age: Child}}})
	require.NoError(t, err)
	require.NoError(t, Verify(children, planOf(children, []Row{row(StandingRow, 1)})), "nobody else can hold it")
	children.holder[0] = -1
	require.ErrorIs(t, Verify(children, planOf(children, []Row{row(StandingRow, 0, 1)})), ErrPlan, "a child could hold it")
}
