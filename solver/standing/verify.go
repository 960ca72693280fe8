package standing

import (
	"errors"
	"fmt"
	"slices"
)

// ErrPlan is wrapped by every error of Verify.
var ErrPlan = errors.New("plan breaks the problem")

// Verify checks a plan against every rule of the package comment and works out its cost, straight from
// the description: everybody once, infants held, rows in order and centred, people shoulder to
// shoulder, postures, heads and widths by the body measures, needs met, clearances, the box, the
// cost by part and the warnings. It shares no code with the search, and finds its numbers pair by
// pair. It reports every fault; errors wrap ErrPlan.
func Verify(p *Problem, plan Plan) error {
	v := verifier{s: &p.spec, plan: &plan}
	if len(plan.Places) != len(v.s.People) {
		return fmt.Errorf("%w: %d places for %d people", ErrPlan, len(plan.Places), len(v.s.People))
	}
	if v.rows(); len(v.faults) == 0 {
		v.kinds()
		v.people()
		v.box()
		if want := v.cost(); want != plan.Cost {
			v.fault("cost is %+v, not %+v", want, plan.Cost)
		}
		if want := v.warnings(); !slices.Equal(want, plan.Warnings) {
			v.fault("warnings are %v, not %v", want, plan.Warnings)
		}
	}
	if len(v.faults) > 0 {
		return fmt.Errorf("%w: %w", ErrPlan, errors.Join(v.faults...))
	}
	return nil
}

type verifier struct {
	s      *Spec
	plan   *Plan
	faults []error
}

func (v *verifier) fault(format string, args ...any) {
	v.faults = append(v.faults, fmt.Errorf(format, args...))
}

// rows checks that rows and places say the same and that everybody is somewhere once.
func (v *verifier) rows() {
	seen := make([]int, len(v.plan.Places))
	for r, row := range v.plan.Rows {
		if len(row.People) == 0 {
			v.fault("row %d is empty", r)
		}
		for order, q := range row.People {
			if q < 0 || q >= len(seen) {
				v.fault("row %d names person %d", r, q)
				continue
			}
			seen[q]++
			if at := v.plan.Places[q]; at.Row != r || at.Order != order || at.HeldBy != -1 {
				v.fault("person %d is in row %d, place %d, but says %+v", q, r, order, at)
			}
		}
	}
	for q, at := range v.plan.Places {
		held := at.HeldBy >= 0
		switch {
		case held && (at.HeldBy >= len(seen) || seen[q] != 0):
			v.fault("person %d is held by %d and placed %d times", q, at.HeldBy, seen[q])
		case !held && seen[q] != 1:
			v.fault("person %d is placed %d times", q, seen[q])
		}
	}
}

// kinds checks the sequence of rows and their distances.
func (v *verifier) kinds() {
	behind := map[Kind]int{GroundRow: 85, KneelingRow: 75, ChairRow: 95, StandingRow: 70, StepRow: 60, SecondStepRow: 60}
	at := v.s.Space.CameraDistanceCM
	if at == 0 {
		at = 500
	}
	steps, standing := false, 0
	for r, row := range v.plan.Rows {
		if r > 0 {
			before := v.plan.Rows[r-1].Kind
			at += behind[before]
			if before > row.Kind || (before == row.Kind && row.Kind != StandingRow) {
				v.fault("row %d of kind %d follows kind %d", r, row.Kind, before)
			}
		}
		steps = steps || row.Kind == StepRow
		if row.Kind == StandingRow {
			standing++
		}
		s := v.s.Space
		if (row.Kind == GroundRow && !s.Ground) || (row.Kind == KneelingRow && !s.Kneeling) || (row.Kind == ChairRow && s.Chairs == 0) ||
			(row.Kind == StepRow && s.Steps < 1) || (row.Kind == SecondStepRow && (s.Steps < 2 || !steps)) || standing > 6 {
			v.fault("row %d of kind %d is not to be had", r, row.Kind)
		}
		if base := map[Kind]int{StepRow: s.StepCM, SecondStepRow: 2 * s.StepCM}[row.Kind]; row.BaseCM != base {
			v.fault("row %d is %d cm up, not %d", r, row.BaseCM, base)
		}
		if row.DistanceCM != at {
			v.fault("row %d is %d cm away, not %d", r, row.DistanceCM, at)
		}
	}
}

// people checks places, postures, heads, widths and clearances.
func (v *verifier) people() {
	seats := -1
	for r, row := range v.plan.Rows {
		if row.Kind == ChairRow || (seats < 0 && row.Kind == StandingRow) {
			seats = r
		}
	}
	if more := v.moreArms(); more != v.plan.MoreArms {
		v.fault("%d more have to hold infants, not %d", more, v.plan.MoreArms)
	}
	arms := slices.ContainsFunc(v.s.People, func(q Person) bool { return q.Age != Infant && !q.Unnamed })
	for q, who := range v.s.People {
		at := v.plan.Places[q]
		if at.Guessed != (who.HeightCM == 0) {
			v.fault("person %d: guessed is %v", q, at.Guessed)
		}
		if at.HeldBy >= 0 {
			v.held(q)
			continue
		}
		if who.Age == Infant && arms && !who.Seat && !who.Wheelchair {
			v.fault("infant %d is not held", q)
		}
		kind := v.plan.Rows[at.Row].Kind
		switch {
		case (who.Seat || who.Wheelchair) && at.Row != seats:
			v.fault("person %d has to sit and is in row %d, not %d", q, at.Row, seats)
		case who.StepFree && kind >= StepRow:
			v.fault("person %d needs a level way and is on a step", q)
		case v.holds(q) && kind != ChairRow && kind != StandingRow:
			v.fault("person %d holds an infant in a row of kind %d", q, kind)
		case who.Age == Elder && kind <= KneelingRow:
			v.fault("elder %d kneels or sits on the ground", q)
		}
		posture, head, width := v.body(q, kind)
		if at.Posture != posture || at.HeadCM != head || at.WidthCM != width {
			v.fault("person %d is %+v; want posture %d, head %d, width %d", q, at, posture, head, width)
		}
		if clear := v.clear(q); at.ClearCM != clear {
			v.fault("person %d is clear by %d cm, not %d", q, clear, at.ClearCM)
		}
	}
	v.widths()
}

// widths checks how wide rows are and where in them people stand.
func (v *verifier) widths() {
	for r, row := range v.plan.Rows {
		total := 0
		for _, q := range row.People {
			total += v.plan.Places[q].WidthCM
		}
		edge := row.AsideCM - total/2
		if row.AsideCM != 0 && (r == 0 || (row.AsideCM != 25 && row.AsideCM != -25)) {
			v.fault("row %d is %d cm aside", r, row.AsideCM)
		}
		for _, q := range row.People {
			at := v.plan.Places[q]
			if 2*at.XCM != 2*edge+at.WidthCM {
				v.fault("row %d: person %d stands at %d, not at %d", r, q, at.XCM, edge+at.WidthCM/2)
			}
			edge += at.WidthCM
		}
		if row.WidthCM != total {
			v.fault("row %d is %d cm wide, not %d", r, total, row.WidthCM)
		}
	}
}

// held checks an infant in arms.
func (v *verifier) held(q int) {
	at := v.plan.Places[q]
	arms, who := v.plan.Places[at.HeldBy], v.s.People[at.HeldBy]
	grown := slices.ContainsFunc(v.s.People, func(q Person) bool { return !q.Unnamed && (q.Age == Adult || q.Age == Elder) })
	if own := v.s.People[q]; who.Unnamed || own.Age != Infant || own.Seat || own.Wheelchair || who.Age == Infant || who.Age == Child && grown {
		v.fault("person %d of age %d is held by one of age %d", q, v.s.People[q].Age, who.Age)
	}
	if v.apart(q, at.HeldBy) {
		for h, other := range v.s.People {
			if !other.Unnamed && (other.Age == Adult || other.Age == Elder || other.Age == Child && !grown) && !v.apart(q, h) {
				v.fault("infant %d is in the arms of %d, whom it is kept apart from, and not of %d", q, at.HeldBy, h)
				break
			}
		}
	}
	if free := v.freeArms(q); free >= 0 && v.crowded(q) {
		v.fault("infant %d is in the arms of %d with another, and not in those of %d", q, at.HeldBy, free)
	}
	if at.Posture != Held || at.Row != arms.Row || at.Order != arms.Order || at.XCM != arms.XCM || at.HeadCM != arms.HeadCM-24 || at.ClearCM != arms.ClearCM || at.WidthCM != 0 {
		v.fault("infant %d is %+v, in the arms of %+v", q, at, arms)
	}
}

// apart reports whether two people are to be kept apart.
func (v *verifier) apart(a, b int) bool {
	return slices.Contains(v.s.Apart, [2]int{a, b}) || slices.Contains(v.s.Apart, [2]int{b, a})
}

func (v *verifier) young(q int) bool {
	return v.s.People[q].Age == Child || v.s.People[q].Age == Infant
}

func (v *verifier) holds(q int) bool {
	return slices.ContainsFunc(v.plan.Places, func(at Place) bool { return at.HeldBy == q })
}

// body works out posture, head and width from the measures of the package comment.
func (v *verifier) body(q int, kind Kind) (Posture, int, int) {
	who := v.s.People[q]
	h := float64(who.HeightCM)
	if h == 0 {
		h = map[Age]float64{Adult: 169, Elder: 166, Child: 122, Infant: 86}[who.Age]
	}
	step := float64(v.s.Space.StepCM)
	heads := map[Posture]float64{
		Standing: h, OnGround: 0.525 * h, Kneeling: 0.758 * h, OnChair: 45 + 0.525*h,
		InWheelchair: 50 + 0.525*h, OnStep: h + step, OnSecondStep: h + 2*step,
	}
	of := map[Kind]Posture{
		GroundRow: OnGround, KneelingRow: Kneeling, ChairRow: OnChair, StandingRow: Standing,
		StepRow: OnStep, SecondStepRow: OnSecondStep,
	}
	posture := of[kind]
	// The heads of grown-ups of 169 cm in the rows where a child may stand instead.
	rowHead := map[Kind]int{GroundRow: 88, KneelingRow: 128, ChairRow: 133}
	near, chosen := rowHead[kind]
	switch down := func(x float64) int { return int(x + 1e-6) }; {
	case who.Wheelchair:
		posture = InWheelchair
	case who.Seat:
		posture = OnChair
	case v.young(q) && chosen:
		if off := down(h) - near; max(off, -off) < max(down(heads[posture])-near, near-down(heads[posture])) {
			posture = Standing
		}
	}
	return posture, int(heads[posture] + 1e-6), v.width(q, h, posture)
}

func (v *verifier) width(q int, h float64, posture Posture) int {
	width := 50
	switch posture {
	case OnChair:
		width = 56
	case Kneeling:
		width = 60
	case OnGround:
		width = 70
	case InWheelchair:
		width = 74
	}
	if v.young(q) && posture != InWheelchair {
		shoulders := max(34, int(0.32*h+1e-6)) + width - 50
		if shoulders%2 == 1 {
			shoulders++
		}
		if shoulders < width {
			width = shoulders
		}
	}
	if v.holds(q) {
		width += 8
	}
	return width
}

// box checks the outer measures.
func (v *verifier) box() {
	width, height := 0, 0
	for _, row := range v.plan.Rows {
		width = max(width, row.WidthCM+2*row.AsideCM, row.WidthCM-2*row.AsideCM)
	}
	for _, at := range v.plan.Places {
		height = max(height, at.HeadCM)
	}
	last := v.plan.Rows[len(v.plan.Rows)-1]
	depth := last.DistanceCM - v.plan.Rows[0].DistanceCM + 40
	if v.plan.WidthCM != width || v.plan.HeightCM != height || v.plan.DepthCM != depth {
		v.fault("the box is %d × %d × %d, not %d × %d × %d", width, height, depth, v.plan.WidthCM, v.plan.HeightCM, v.plan.DepthCM)
	}
}

// clear works out the clearance of a face by looking past everybody in front, one by one.
func (v *verifier) clear(q int) int {
	me := v.plan.Places[q]
	face := 22
	if v.young(q) {
		face = 20
	}
	if v.holds(q) {
		face = 50
	}
	lens := v.s.Space.CameraHeightCM
	if lens == 0 {
		lens = 160
	}
	far := v.plan.Rows[me.Row].DistanceCM
	least := 999
	for other, at := range v.plan.Places {
		if at.HeldBy >= 0 || at.Row >= me.Row {
			continue
		}
		near := v.plan.Rows[at.Row].DistanceCM
		sight := lens + (me.HeadCM-face-lens)*near/far
		aside := at.XCM - me.XCM*near/far
		aside = max(aside, -aside)
		shoulder := 30
		if v.young(other) {
			shoulder = 24
		}
		if aside < 17 {
			least = min(least, sight-at.HeadCM)
		} else if aside < at.WidthCM/2+8 {
			least = min(least, sight-(at.HeadCM-shoulder))
		}
	}
	return least
}

// warnings works out what the plan has to say.
func (v *verifier) warnings() []Warning {
	say := map[Warning]bool{}
	s := v.s.Space
	say[TooWide] = s.WidthCM > 0 && v.plan.WidthCM > s.WidthCM
	say[TooDeep] = s.DepthCM > 0 && v.plan.DepthCM > s.DepthCM
	for _, pair := range v.s.Apart {
		if one, other := v.stands(pair[0]), v.stands(pair[1]); one == other || v.touch(one, other) {
			say[ApartBroken] = true
		}
	}
	for q, at := range v.plan.Places {
		if at.ClearCM < 0 {
			say[FaceHidden] = true
		}
		if v.s.People[q].HeightCM == 0 && at.HeldBy < 0 {
			say[HeightsGuessed] = true
		}
		switch at.Posture {
		case OnStep, OnSecondStep:
			say[MindSteps] = true
		case OnChair:
			say[MindChairs] = true
		case InWheelchair:
			if v.wheelchairAlone(v.plan.Rows[at.Row].People, at.Order) {
				say[WheelchairAlone] = true
			}
		}
	}
	var out []Warning
	for w := TooWide; w <= MindChairs; w++ {
		if say[w] {
			out = append(out, w)
		}
	}
	return out
}
