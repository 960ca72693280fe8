package placing

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"

	"kinorder.example/server/internal/check"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
	"kinorder.example/solver/standing"
)

const (
	// A whole day shares so much work of the search, in moves times people, among its photographs of more people than
	// are placed exactly: about a second and a half on one core, found by measuring. Each gets moves by its people, what it
	// would get alone at most and leastMoves at least.
	dayWork    = 19_000_000
	leastMoves = 4_000
	// Those that are placed exactly share so many nodes, about a second.
	dayNodes   = 3_000_000
	leastNodes = 3_000
	// A day of hundreds of large photographs, whose least moves come to more than that, goes on without plans once this
	// work is done. What would mend plans is looked for with what the shares of a day leave of mostMending.
	mostWork = 20_000_000
	// drawing is what somebody in a photograph takes of that work to be drawn, and mostDrawing what all do at most, found by
	// measuring: only days of hundreds of large photographs notice.
	drawing     = 250
	mostDrawing = 12_000_000
	mostMending = 24_000_000
	// trialMoves is for finding out what would let people fit.
	trialMoves = 20_000
	// usualStepCM is the step that is proposed where there is none: common practice, no source.
	usualStepCM = 17
	// crowd is from how many people on a photograph is of everybody, and not to be split. Common practice, no source.
	crowd = 40
	// usualDistanceCM is what package standing takes.
	usualDistanceCM = 500
)

// Day plans who stands where in every entry of a sheet, in its order, and writes it into the sheet.
// Inside a block people who stay keep their places as far as the objective of package standing has
// it; each block begins with an empty frame. The event is one in which check.Event finds no Error and
// from which the sheet was made. Advice is added where people do not fit or stand beside whom a rule
// keeps from them.
//
// A plan that breaks the rules of package standing is left out by itself; *WrongPlansError says how many were.
//
// When ctx ends, or the day has too many large photographs, what is not planned to its end by then is left without. Entries with nobody or with more
// people than the limit of package standing are left without too.
func Day(ctx context.Context, e event.Event, s *event.CallSheet) error {
	return newDay(newPlacer(e), s).all(ctx)
}

func newDay(p *placer, s *event.CallSheet) *day { return &day{placer: p, sheet: s} }

// all plans every block.
func (d *day) all(ctx context.Context) error {
	s := d.sheet
	s.Advice = slices.DeleteFunc(slices.Clone(s.Advice), func(a event.Advice) bool {
		return a.Code == event.CodeNoRoom || a.Code == event.CodeNeighbours
	})
	d.mending = mostMending
	for _, b := range s.Blocks {
		for k := range b.Entries {
			n := d.size(&b.Entries[k])
			d.mending -= d.share(n).Moves * n
			d.work = min(d.work+drawing*n, mostDrawing)
		}
	}
	for b := range s.Blocks {
		if err := d.block(ctx, &s.Blocks[b]); err != nil {
			return err
		}
	}
	if d.wrong > 0 {
		return &WrongPlansError{d.wrong}
	}
	return nil
}

// WrongPlansError says how many photographs of a day are left without a plan because a wrong one was found: a fault of
// ours, for the log. All others have theirs.
type WrongPlansError struct{ Plans int }

func (e *WrongPlansError) Error() string {
	return fmt.Sprintf("%d standing plans broke the rules and were left out", e.Plans)
}

type day struct {
	*placer
	sheet *event.CallSheet
	wrong int // plans that were left out
	// work is done, and mending is left, in moves times people.
	work, mending int
}

// block plans one block from its first entry to its last.
func (d *day) block(ctx context.Context, block *event.SheetBlock) error {
	space, standBack := d.spaceOfBlock(block.Block)
	var before map[string]standing.Spot
	for k := range block.Entries {
		entry := &block.Entries[k]
		entry.Standing = nil
		ids := d.people(entry)
		people := group{ids, d.guests[entry.Grouping]}
		if ctx.Err() != nil || len(ids) == 0 || people.size() > standing.MaxPeople || d.work >= mostWork {
			before = nil
			continue
		}
		space := withCamera(space, entry.Lens, standBack)
		plan, out, err := d.photograph(ctx, people, space, before)
		if errors.Is(err, standing.ErrPlan) {
			d.wrong++
			before = nil
			continue
		}
		if err != nil {
			return err
		}
		if ctx.Err() != nil {
			before = nil // a search that was cut short would tell of troubles that there are not
			continue
		}
		spots := plan.spots()
		for _, id := range ids {
			if was := before[id]; was.Present && was.Moved(spots[id]) {
				out.Moves = append(out.Moves, id)
			}
		}
		entry.Standing = &out
		d.advise(entry, plan, space)
		before = spots
	}
	return nil
}

// photograph plans one photograph and looks for what would mend the plan.
func (d *day) photograph(ctx context.Context, g group, space event.Space, before map[string]standing.Spot) (Plan, event.Standing, error) {
	share := d.share(g.size())
	d.work += share.Moves * g.size()
	plan, err := d.solve(ctx, g, space, before, share)
	if err != nil {
		return plan, event.Standing{}, err
	}
	out, err := d.mend(ctx, &plan, g, space, before)
	return plan, out, err
}

// withCamera puts the camera where a photograph is taken from, when the space does not say where that is: where
// the lens puts it, and never farther back than it can stand.
func withCamera(space event.Space, lens *event.EntryLens, standBack int) event.Space {
	if space.CameraDistanceCM != 0 {
		return space
	}
	distance := 0
	if lens != nil {
		distance = lens.DistanceCM
	}
	if standBack > 0 {
		distance = min(cmp.Or(distance, usualDistanceCM), standBack)
	}
	if distance != 0 {
		space.CameraDistanceCM = min(max(distance, check.MinSpanCM), check.MaxSpanCM)
	}
	return space
}

// spaceOfBlock returns the space of a block and how far back the camera can stand, 0 for any distance.
func (d *day) spaceOfBlock(id string) (space event.Space, standBack int) {
	for _, b := range d.event.Blocks {
		if b.ID == id {
			return b.Space, b.StandBackCM
		}
	}
	return event.Space{}, 0
}

// people are those of an entry whom the event knows, in the order of the event, each once.
func (d *day) people(entry *event.SheetEntry) []string {
	in := map[string]bool{}
	for _, id := range slices.Concat(entry.StepIn, entry.Stay) {
		if _, known := d.index[id]; known {
			in[id] = true
		}
	}
	return slices.SortedFunc(maps.Keys(in), func(a, b string) int { return d.index[a] - d.index[b] })
}

// size is how many people are in an entry.
func (d *day) size(entry *event.SheetEntry) int {
	return len(entry.StepIn) + len(entry.Stay) + d.guests[entry.Grouping]
}

// share is that of an entry in the work of the day.
func (d *day) share(people int) standing.Options {
	squares, small := 0, 0
	for _, b := range d.sheet.Blocks {
		for k := range b.Entries {
			if n := d.size(&b.Entries[k]); n > standing.ExactPeople {
				squares += n * n
			} else {
				small++
			}
		}
	}
	if people <= standing.ExactPeople {
		nodes := max(dayNodes/max(small, 1), leastNodes)
		return standing.Options{Nodes: min(nodes, standing.MaxNodes), Moves: min(nodes/5, standing.UsualMoves(people))}
	}
	return standing.Options{Moves: min(max(dayWork*people/max(squares, 1), leastMoves), standing.UsualMoves(people))}
}

// spots says where everybody is, by id.
func (p Plan) spots() map[string]standing.Spot {
	out := map[string]standing.Spot{}
	for q, spot := range p.Spots() {
		if id := p.People[q].ID; id != "" {
			out[id] = spot
		}
	}
	return out
}

// wanting says that people do not fit or that a face is hidden.
func wanting(s *event.Standing) bool {
	return s.Has(event.TooWide) || s.Has(event.TooDeep) || s.Has(event.FaceHidden)
}

// mend writes a plan and looks for what would let people fit and show every face: the first remedy that
// does. A trial that makes no use of its remedy is a better plan and takes the place of the other.
func (d *day) mend(ctx context.Context, plan *Plan, g group, space event.Space, before map[string]standing.Spot) (event.Standing, error) {
	out := plan.Standing()
	if !wanting(&out) {
		return out, nil
	}
	for _, try := range remedies(space, g.size()) {
		trial := standing.Options{Moves: min(trialMoves, standing.UsualMoves(g.size()))}
		if g.size() <= standing.ExactPeople {
			trial.Nodes = leastNodes
		}
		if d.mending -= (trial.Moves + trial.Nodes) * g.size(); d.mending < 0 {
			break
		}
		mended, err := d.solve(ctx, g, try.space, before, trial)
		if err != nil {
			return out, err
		}
		tried := mended.Standing()
		if wanting(&tried) {
			continue
		}
		if !uses(&tried, try.remedy) {
			*plan = mended
			return tried, nil
		}
		out.Remedy = try.remedy
		if try.remedy == event.RemedyChairs {
			out.RemedyChairs = count(&tried, event.OnChair)
		}
		return out, nil
	}
	if out.Remedy = event.RemedyAbove; g.size() < crowd && (out.Has(event.TooWide) || out.Has(event.TooDeep)) {
		out.Remedy = event.RemedySplit
	}
	return out, nil
}

type remedy struct {
	remedy event.StandingRemedy
	space  event.Space
}

// remedies lists what a space does not have and could have, the simplest first.
func remedies(space event.Space, people int) []remedy {
	var out []remedy
	add := func(r event.StandingRemedy, change func(*event.Space)) {
		try := space
		change(&try)
		if try != space {
			out = append(out, remedy{r, try})
		}
	}
	add(event.RemedyKneel, func(s *event.Space) { s.Kneeling = true })
	add(event.RemedyChairs, func(s *event.Space) { s.Chairs = max(s.Chairs, people/2) })
	step := func(n int) func(*event.Space) {
		return func(s *event.Space) {
			if s.StepCM == 0 {
				s.StepCM = usualStepCM
			}
			s.Steps = max(s.Steps, n)
		}
	}
	if space.Steps == 0 {
		add(event.RemedyStep, step(1))
	}
	add(event.RemedyTwoSteps, step(2))
	return out
}

// uses reports whether a plan has the row that a remedy is about.
func uses(s *event.Standing, r event.StandingRemedy) bool {
	kind := map[event.StandingRemedy]event.RowKind{
		event.RemedyKneel: event.KneelingRow, event.RemedyChairs: event.ChairRow, event.RemedyStep: event.StepRow, event.RemedyTwoSteps: event.StepRow,
	}[r]
	return slices.ContainsFunc(s.Rows, func(row event.StandingRow) bool { return row.Kind == kind })
}

// count counts who is in a posture.
func count(s *event.Standing, posture event.Posture) int {
	n := 0
	for _, row := range s.Rows {
		for _, p := range row.Places {
			if p.Posture == posture {
				n++
			}
		}
	}
	return n
}

// advise tells the planner what is wrong with a plan.
func (d *day) advise(entry *event.SheetEntry, plan Plan, space event.Space) {
	add := func(code string, k wording.Key, args ...any) {
		d.sheet.Advice = append(d.sheet.Advice, event.Tell(event.Warning, code, "", []string{entry.Grouping}, wording.Say(k, args...)))
	}
	if slices.Contains(plan.Warnings, standing.ApartBroken) {
		add(event.CodeNeighbours, "standing.inTwoPeopleWhomARule", wording.Curly(entry.Title))
	}
	if s := entry.Standing; s.Has(event.TooWide) || s.Has(event.TooDeep) {
		add(event.CodeNoRoom, "standing.takesAndThereIs", wording.Curly(entry.Title), metres(s.WidthCM, s.DepthCM), metres(space.WidthCM, space.DepthCM), s.RemedyText())
	}
}

// metres writes a width and a depth; 0 means that it does not matter.
func metres(width, depth int) wording.Message {
	tenths := func(cm int) string { return fmt.Sprintf("%.1f", float64(cm)/100) }
	switch {
	case depth == 0:
		return wording.Say("standing.mAcross", tenths(width))
	case width == 0:
		return wording.Say("standing.mFromFrontToBack", tenths(depth))
	default:
		return wording.Say("standing.mWideAndMDeep", tenths(width), tenths(depth))
	}
}
