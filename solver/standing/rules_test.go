package standing

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// Three a side and heights evened out for six attendants around one person: common practice, no
// source.
func TestSixAttendantsStandThreeASide(t *testing.T) {
	heights := []int{158, 181, 165, 160, 179, 166}
	spec := Spec{People: []Person{{HeightCM: 170, Importance: 10}}}
	for _, h := range heights {
		spec.People = append(spec.People, Person{HeightCM: h})
	}
	plan := arrange(t, spec, Options{})
	if len(plan.Rows) != 1 || !plan.Exact || plan.Places[0].XCM != 0 {
		t.Fatalf("%d rows, exact %v, middle at %d", len(plan.Rows), plan.Exact, plan.Places[0].XCM)
	}
	left, right := 0, 0
	for _, at := range plan.Places[1:] {
		if at.XCM < 0 {
			left++
		} else {
			right++
		}
	}
	if left != 3 || right != 3 {
		t.Errorf("%d on the left, %d on the right", left, right)
	}
	// The heights pair up as 158-160, 165-166, 179-181, so mirrored places differ by at most 2 cm.
	row := plan.Rows[0].People
	for k := range 3 {
		if a, b := plan.Places[row[k]].HeadCM, plan.Places[row[6-k]].HeadCM; abs(a-b) > 2 {
			t.Errorf("place %d from the left is %d cm, from the right %d cm", k, a, b)
		}
	}
}

func TestSidesAndCouples(t *testing.T) {
	// A couple between two pairs of parents, each side's on its own.
	spec := Spec{
		People: []Person{
			{Importance: 10, Side: Left, HeightCM: 170}, {Importance: 10, Side: Right, HeightCM: 182},
			{Importance: 4, Side: Right}, {Importance: 4, Side: Right}, {Importance: 4, Side: Left}, {Importance: 4, Side: Left},
		},
		Ties: []Tie{{Couple, []int{0, 1}}, {Couple, []int{2, 3}}, {Couple, []int{4, 5}}},
	}
	plan := arrange(t, spec, Options{})
	for q, x := range map[int]int{0: -25, 1: 25} {
		if plan.Places[q].XCM != x {
			t.Errorf("person %d of the couple at %d, want %d", q, plan.Places[q].XCM, x)
		}
	}
	for q, who := range spec.People {
		if x := plan.Places[q].XCM; (who.Side == Left) != (x < 0) {
			t.Errorf("person %d stands at %d on the wrong side", q, x)
		}
	}
	if plan.Cost.Ties != 0 {
		t.Errorf("couples are split: %+v", plan.Cost)
	}
}

func TestSmallRoomMeansMoreRows(t *testing.T) {
	var people []Person
	for k := range 24 {
		people = append(people, Person{HeightCM: 152 + (k*7)%36})
	}
	lawn := arrange(t, Spec{People: people}, Options{Moves: 20_000})
	room := arrange(t, Spec{People: people, Space: Space{WidthCM: 320}}, Options{Moves: 20_000})
	if len(room.Rows) <= len(lawn.Rows) || room.WidthCM > 320 || lawn.WidthCM <= 320 {
		t.Errorf("%d rows of %d cm on the lawn, %d rows of %d cm in the room", len(lawn.Rows), lawn.WidthCM, len(room.Rows), room.WidthCM)
	}
	mean := func(r Row) float64 {
		sum := 0.0
		for _, q := range r.People {
			sum += float64(people[q].HeightCM)
		}
		return sum / float64(len(r.People))
	}
	if front, back := mean(room.Rows[0]), mean(room.Rows[len(room.Rows)-1]); front >= back {
		t.Errorf("the front row averages %g cm, the back row %g cm", front, back)
	}
}

func TestTooSmallARoomIsSaid(t *testing.T) {
	plan := arrange(t, Spec{People: make([]Person, 30), Space: Space{WidthCM: 150, DepthCM: 120}}, Options{Moves: 5000})
	if !slices.Contains(plan.Warnings, TooWide) && !slices.Contains(plan.Warnings, TooDeep) {
		t.Errorf("%v, want a warning of the space", plan.Warnings)
	}
}

func TestWheelchairHasNeighbours(t *testing.T) {
	spec := Spec{
		People: []Person{
			{Importance: 10, HeightCM: 170}, {Importance: 10, HeightCM: 178}, {Age: Elder, Wheelchair: true}, {Age: Elder, Seat: true},
			{}, {}, {}, {Age: Child, HeightCM: 110}, {Age: Child, HeightCM: 125},
		},
		Ties:  []Tie{{Couple, []int{0, 1}}},
		Space: Space{Chairs: 6},
	}
	plan := arrange(t, spec, Options{Moves: 20_000})
	at := plan.Places[2]
	row := plan.Rows[at.Row].People
	if at.Order == 0 || at.Order == len(row)-1 || at.Row != 0 {
		t.Errorf("the wheelchair is %+v in a row of %d", at, len(row))
	}
	if slices.Contains(plan.Warnings, WheelchairAlone) {
		t.Errorf("%v", plan.Warnings)
	}
}

func TestApartAreNotNeighbours(t *testing.T) {
	spec := Spec{People: make([]Person, 5), Apart: [][2]int{{0, 1}, {1, 2}, {0, 2}}}
	plan := arrange(t, spec, Options{})
	if len(plan.Rows) != 1 || slices.Contains(plan.Warnings, ApartBroken) { // few people stay in one row
		t.Errorf("three of five to be kept apart: %+v", plan)
	}
	for k, p := range plan.Rows[0].People[1:] {
		if p < 3 && plan.Rows[0].People[k] < 3 {
			t.Errorf("%d and %d are neighbours", p, plan.Rows[0].People[k])
		}
	}
	// Two people alone cannot be kept apart, and the plan says so.
	plan = arrange(t, Spec{People: make([]Person, 2), Apart: [][2]int{{0, 1}}}, Options{})
	if !slices.Contains(plan.Warnings, ApartBroken) {
		t.Errorf("two alone: %v", plan.Warnings)
	}
}

func TestFewPeopleMoveBetweenGroupings(t *testing.T) {
	var spec Spec
	for k := range 6 {
		spec.People = append(spec.People, Person{HeightCM: 160 + (k*11)%25})
	}
	before := arrange(t, spec, Options{})
	again := spec
	again.Before = before.Spots()
	plan := arrange(t, again, Options{})
	if plan.Cost.Moved != 0 {
		t.Errorf("the same grouping again moves people: %+v", plan.Cost)
	}
	// Somebody leaves: nobody of those who stay has to move.
	fewer := Spec{People: spec.People[:5], Before: before.Spots()[:5]}
	if plan := arrange(t, fewer, Options{}); plan.Cost.Moved > 2*movedPoints {
		t.Errorf("one person less moves the others: %+v", plan.Cost)
	}
}

func TestInfantsAreHeld(t *testing.T) {
	spec := Spec{
		People: []Person{{Age: Elder}, {HeightCM: 170}, {Age: Infant}, {Age: Infant}, {}},
		Ties:   []Tie{{Household, []int{1, 2, 3, 4}}},
	}
	plan := arrange(t, spec, Options{})
	a, b := plan.Places[2].HeldBy, plan.Places[3].HeldBy
	if a == b || a == 0 || b == 0 || a < 0 || b < 0 {
		t.Errorf("infants are held by %d and %d, want the two of the household", a, b)
	}
	for _, chair := range []Person{{Age: Infant, Wheelchair: true}, {Age: Infant, Seat: true}} {
		plan := arrange(t, Spec{People: []Person{{HeightCM: 170}, chair, {HeightCM: 103}}}, Options{})
		require.Negative(t, plan.Places[1].HeldBy, "whoever has a chair sits in it")
	}
	// Among children only the tallest holds it, and nobody where there are infants only.
	spec = Spec{People: []Person{{Age: Infant}, {Age: Child, HeightCM: 110}, {Age: Child, HeightCM: 130}}, Space: Space{Ground: true}}
	require.Equal(t, 2, arrange(t, spec, Options{}).Places[0].HeldBy)
	require.Negative(t, arrange(t, Spec{People: []Person{{Age: Infant}, {Age: Infant}}}, Options{}).Places[0].HeldBy)
}

// In whose arms an infant is: its parents', then its household's, never those of whom the day is about while there is
// anybody else, unless it is their own.
func TestWhoHoldsAnInfant(t *testing.T) {
	bride, grown, baby := Person{HeightCM: 170, Importance: 10}, Person{HeightCM: 170}, Person{Age: Infant}
	for name, c := range map[string]struct {
		spec Spec
		want []int // by person, from the first infant
	}{
		"a stranger before the bride": {Spec{People: []Person{bride, grown, baby}}, []int{1}},
		"two before the bride":        {Spec{People: []Person{bride, grown, baby, baby}}, []int{1, 1}},
		"the bride where nobody else": {Spec{People: []Person{bride, {Age: Child, HeightCM: 150}, baby}}, []int{0}},
		"her own":                     {Spec{People: []Person{grown, bride, baby}, Arms: []Arms{{2, 1, 0}}}, []int{1}},
		"her household's":             {Spec{People: []Person{grown, bride, baby}, Ties: []Tie{{Household, []int{1, 2}}}}, []int{1}},
		"a parent before the home":    {Spec{People: []Person{grown, grown, baby}, Ties: []Tie{{Household, []int{0, 2}}}, Arms: []Arms{{2, 1, 0}}}, []int{1}},
		"home before near kin":        {Spec{People: []Person{grown, grown, baby}, Ties: []Tie{{Household, []int{1, 2}}}, Arms: []Arms{{2, 0, 20}}}, []int{1}},
		"near kin before a circle":    {Spec{People: []Person{grown, grown, baby}, Ties: []Tie{{Circle, []int{0, 2}}}, Arms: []Arms{{2, 1, 20}}}, []int{1}},
		"twins: one a parent":         {Spec{People: []Person{grown, grown, baby, baby}, Arms: []Arms{{2, 0, 0}, {2, 1, 0}, {3, 0, 0}, {3, 1, 0}}}, []int{0, 1}},
		"one infant for one grown-up": {Spec{People: []Person{grown, grown, baby, baby}, Arms: []Arms{{2, 0, 0}, {3, 0, 0}}}, []int{0, 1}},
		"the first makes way":         {Spec{People: []Person{grown, grown, baby, baby}, Apart: [][2]int{{1, 3}}}, []int{1, 0}},
	} {
		plan := arrange(t, c.spec, Options{})
		for k, h := range c.want {
			require.Equal(t, h, plan.Places[len(c.spec.People)-len(c.want)+k].HeldBy, name)
		}
	}
}

// Whom the day is about and elders have nobody standing in front of them while somebody else could give them the place.
func TestNobodyOfHonourOrAgeIsBehind(t *testing.T) {
	spec := Spec{Space: Space{WidthCM: 320, Kneeling: true, Chairs: 3}}
	for k := range 18 {
		q := Person{HeightCM: 150 + (k*13)%40}
		switch {
		case k < 2:
			q.Importance, q.HeightCM = 10, 185+5*k
		case k < 5:
			q.Age, q.HeightCM = Elder, 180
		}
		spec.People = append(spec.People, q)
	}
	for _, chairs := range []int{0, 3, 12} {
		spec.Space.Chairs = chairs
		plan := arrange(t, spec, Options{})
		for q := range 5 {
			for other, at := range plan.Places[5:] {
				kind := plan.Rows[at.Row].Kind
				require.False(t, at.Row < plan.Places[q].Row && !kind.low(), "%d chairs: %d behind %d", chairs, q, other+5)
			}
		}
	}
}

// An elder and a child among strangers are not at the end of a row where somebody else could be.
func TestEndsAreForGrownUps(t *testing.T) {
	for _, age := range []Age{Elder, Child} {
		spec := Spec{People: []Person{{Age: age, HeightCM: 120}, {HeightCM: 168}, {HeightCM: 170}, {HeightCM: 190}, {HeightCM: 171}}}
		plan := arrange(t, spec, Options{})
		at := plan.Places[0]
		require.True(t, len(plan.Rows[at.Row].People) < 3 || at.Order > 0 && at.Order < len(plan.Rows[at.Row].People)-1, "%+v", plan.Rows)
	}
}

// Parents stand beside whom the day is about, not at the ends, while brothers and sisters can; few people stand in one
// row, and parents on either side of the couple are not parted by it.
func TestParentsStandNearTheMiddle(t *testing.T) {
	couple := []Person{{HeightCM: 169, Importance: 10}, {HeightCM: 181, Importance: 10}}
	for name, c := range map[string]struct {
		others []Person
		ties   []Tie
	}{
		"with brother and sister": {
			[]Person{{HeightCM: 168, Importance: 4}, {HeightCM: 184, Importance: 4}, {HeightCM: 170, Importance: 2}, {HeightCM: 186, Importance: 2}},
			[]Tie{{Couple, []int{0, 1}}, {Couple, []int{2, 3}}, {Household, []int{1, 2}}, {Household, []int{1, 3}}},
		},
		"alone, one of them the husband of a mother": {
			[]Person{{HeightCM: 161, Importance: 4}, {HeightCM: 178, Importance: 3}},
			[]Tie{{Couple, []int{0, 1}}, {Couple, []int{2, 3}}, {Household, []int{1, 2}}},
		},
		"alone, and nobody says that he is her husband": {
			[]Person{{Importance: 4}, {}}, []Tie{{Couple, []int{0, 1}}, {Household, []int{0, 2}}},
		},
	} {
		plan := arrange(t, Spec{People: slices.Concat(couple, c.others), Ties: c.ties}, Options{})
		require.Len(t, plan.Rows, 1, name)
		require.Less(t, abs(plan.Places[2].XCM), 100, name)
		require.Less(t, abs(plan.Places[3].XCM), 100, name)
	}
}

// Nobody sits down for a photo in which nobody has to and nobody is old.
func TestChairsAreForWhomTheyAreMeant(t *testing.T) {
	spec := Spec{
		People: []Person{
			{HeightCM: 169, Importance: 10}, {HeightCM: 181, Importance: 10}, {HeightCM: 170, Importance: 2}, {HeightCM: 173, Importance: 2},
			{HeightCM: 102, Age: Child}, {Age: Infant},
		},
		Ties:  []Tie{{Couple, []int{0, 1}}, {Household, []int{2, 3, 4, 5}}, {Couple, []int{2, 3}}},
		Space: Space{Chairs: 8},
	}
	require.NotContains(t, arrange(t, spec, Options{}).Warnings, MindChairs)
}

// Attendants whose heights are known fall from the middle to the ends.
func TestHeightsFallFromTheMiddle(t *testing.T) {
	spec := Spec{People: []Person{{HeightCM: 170, Importance: 10}, {HeightCM: 160}, {HeightCM: 185}, {HeightCM: 172}, {HeightCM: 161}, {HeightCM: 184}, {HeightCM: 173}}}
	for q := range spec.People {
		spec.People[q].ByHeight = true
	}
	plan := arrange(t, spec, Options{})
	require.Len(t, plan.Rows, 1)
	row := plan.Rows[0].People
	head := func(k int) int { return plan.Places[row[k]].HeadCM }
	require.Zero(t, row[3])
	require.True(t, head(0) < head(1) && head(1) < head(2) && head(4) > head(5) && head(5) > head(6), "%v", row)
}

// An infant is in the arms of somebody it isn't kept apart from, and where there is nobody else, the plan says so.
func TestInfantsAreHeldByOthers(t *testing.T) {
	spec := Spec{People: []Person{{HeightCM: 170}, {HeightCM: 165}, {HeightCM: 180}, {Age: Infant}}, Apart: [][2]int{{0, 3}}}
	plan := arrange(t, spec, Options{})
	require.Positive(t, plan.Places[3].HeldBy)
	require.NotContains(t, plan.Warnings, ApartBroken)

	p, err := NewProblem(spec)
	require.NoError(t, err)
	p.holder[3] = 0
	p.apart, p.apartOf, p.apartInArms = nil, make([][]int, 3), true
	require.ErrorContains(t, Verify(p, planOf(p, []Row{row(StandingRow, 1, 0, 2)})), "kept apart from")

	spec = Spec{People: []Person{{HeightCM: 170}, {Age: Infant}, {Age: Infant}, {Age: Child}}, Apart: [][2]int{{1, 2}}}
	plan = arrange(t, spec, Options{})
	require.Equal(t, [2]int{0, 0}, [2]int{plan.Places[1].HeldBy, plan.Places[2].HeldBy})
	require.Contains(t, plan.Warnings, ApartBroken)
	spec.People = append(spec.People, Person{HeightCM: 172})
	plan = arrange(t, spec, Options{})
	require.NotEqual(t, plan.Places[1].HeldBy, plan.Places[2].HeldBy)
}

// Faces: worked out by hand from the geometry of the package comment.
func TestClearance(t *testing.T) {
	spec := Spec{People: []Person{{HeightCM: 170}, {HeightCM: 190}, {HeightCM: 170}}, Space: Space{CameraHeightCM: 160, CameraDistanceCM: 700}}
	p, err := NewProblem(spec)
	if err != nil {
		t.Fatal(err)
	}
	// Straight behind: the chin at 190 − 22 = 168 is 770 away; at 700 the line is 160 + 8·700/770 =
	// 167 high and passes 3 below the head of 170.
	straight := assemble(p, []Row{{Kind: StandingRow, People: []int{0}}, {Kind: StandingRow, People: []int{1}}, {Kind: StandingRow, People: []int{2}}})
	if got := straight.Places[1].ClearCM; got != -3 {
		t.Errorf("straight behind: clear by %d, want -3", got)
	}
	// In the gap of two people of 170: over shoulders of 140 by 27.
	gap := assemble(p, []Row{{Kind: StandingRow, People: []int{0, 2}}, {Kind: StandingRow, People: []int{1}}})
	if got := gap.Places[1].ClearCM; got != 27 {
		t.Errorf("in the gap: clear by %d, want 27", got)
	}
	if got := gap.Places[0].ClearCM; got != NothingInFront {
		t.Errorf("in front: clear by %d", got)
	}
	found := arrange(t, spec, Options{})
	if slices.Contains(found.Warnings, FaceHidden) {
		t.Errorf("the plan found hides a face: %+v", found)
	}
}

// The measures against their sources. ANSUR is Gordon et al., 2012 Anthropometric Survey of U.S. Army
// Personnel (NATICK/TR-15/007), means recomputed from its public data, in millimetres, men and women.
func TestBodyMeasures(t *testing.T) {
	type pair struct{ men, women float64 }
	stature, sitting, popliteal := pair{1756.2, 1628.5}, pair{918.3, 856.6}, pair{429.8, 388.2}
	eye, acromial := pair{804.5, 747.7}, pair{1440.7, 1335.1}
	between := func(what string, got float64, a, b, slack float64) {
		t.Helper()
		if got < math.Min(a, b)-slack || got > math.Max(a, b)+slack {
			t.Errorf("%s: %g, want %g to %g", what, got, a, b)
		}
	}
	between("sitting", sittingPermille, 1000*sitting.men/stature.men, 1000*sitting.women/stature.women, 0)
	between("kneeling", kneelingPermille, 1000-1000*popliteal.men/stature.men, 1000-1000*popliteal.women/stature.women, 0)
	between("chin", faceCM, (sitting.men-eye.men)/5, (sitting.women-eye.women)/5, 0.5)
	between("shoulders", shoulderCM, (stature.men-acromial.men)/10, (stature.women-acromial.women)/10, 0)
	between("width standing", standingWidth, 45.03, 51.04, 0)          // bideltoid breadth
	between("width on a chair", chairWidth, 49.48, 57.99, 0)           // forearm to forearm, seated
	between("chair", chairCM, popliteal.women/10, popliteal.men/10, 3) // shoes
	// U.S. adults of 20 and over: 175.9 and 161.9 cm (NCHS, Vital and Health Statistics 3(39)).
	between("adult", adultCM, (175.9+161.9)/2-0.5, (175.9+161.9)/2+0.5, 0)
	// CDC growth charts of 2000, medians on the birthday, boys and girls.
	between("child of 7", childCM, 121.8, 121.5, 0.5)
	between("infant of 2", infantCM, 86.5, 85.0, 0.5)
	if widthCM(115, true, Standing, false) >= standingWidth || widthCM(115, true, Standing, false)%2 != 0 {
		t.Error("a child of six takes as much room as an adult")
	}
}

// A child stands where grown-ups kneel or sit when that brings the heads together.
func TestChildrenStandBesideSeatedGrownUps(t *testing.T) {
	for _, c := range []struct {
		height int
		kind   Kind
		want   Posture
	}{
		{122, KneelingRow, Standing}, {122, ChairRow, Standing}, {122, GroundRow, OnGround},
		{155, ChairRow, OnChair}, {100, GroundRow, Standing}, {155, KneelingRow, Kneeling},
	} {
		if got := (Person{Age: Child, HeightCM: c.height}).postureIn(c.kind, c.height); got != c.want {
			t.Errorf("%d cm in a row of kind %d: posture %d, want %d", c.height, c.kind, got, c.want)
		}
	}
}

// A wheelchair is inside a row of four, even where that puts whom the day is about off its middle.
func TestWheelchairIsInsideAPairOfElders(t *testing.T) {
	plan := arrange(t, Spec{
		People: []Person{
			{HeightCM: 167, Importance: 10, Side: Left}, {HeightCM: 183, Importance: 10, Side: Right},
			{Age: Elder, Wheelchair: true}, {Age: Elder, HeightCM: 160},
		},
		Ties:   []Tie{{Couple, []int{0, 1}}, {Couple, []int{2, 3}}},
		Before: []Spot{{true, Standing, -21, 0}, {true, Standing, 29, 0}, {true, InWheelchair, 165, 0}, {true, Standing, 227, 0}},
	}, Options{})
	require.NotContains(t, plan.Warnings, WheelchairAlone)
}
