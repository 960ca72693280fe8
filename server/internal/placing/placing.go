// Package placing turns the photographs of an event into standing plans: it says what package standing
// has to know of the people, their circles, the rules and the space, has every plan verified, and keeps
// people where they are from one photograph of a day to the next. It draws nothing.
package placing

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
	"kinorder.example/solver/standing"
)

const (
	// How much the middle is for whom the day is about, for their parents, their grandparents and grown-up children, their
	// brothers and sisters, everybody whose name is known where others' are not (friends a little less), and attendants.
	// Partners are as near, but for those of parents. Common practice, no source.
	leading, parental, grandparental, sibling, named, attending = 10, 4, 3, 2, 2, 1
	// household is the largest number of people of a circle who stand together as a household does;
	// larger ones are loosely together. Common practice, no source.
	household = 6
	// fewestMoves is the least of a search.
	fewestMoves = 200
	// The heights that package standing takes.
	leastHeight, mostHeight = 40, 230
)

// Plan is a photograph with its standing plan.
type Plan struct {
	standing.Plan
	Photograph event.Photograph
	// People are those of the photograph, in the order of the plan's places. Guests known by number only come last, and
	// have no id.
	People []event.Person
}

// Arrange plans who stands where in one photograph of an event in which check.Event finds no Error:
// grouping is the id of a grouping, or of one photograph of an eachOf. Without a space it takes that of
// the block that the photograph may be taken in, when there is just one. Its error is
// *event.InvalidError when there is no such photograph, when nobody or more than the limit of package
// standing is in it, or when the space is out of range. When ctx ends it returns the best plan so far.
func Arrange(ctx context.Context, e event.Event, grouping string, space *event.Space) (Plan, error) {
	p := newPlacer(e)
	at := slices.IndexFunc(p.photographs, func(p event.Photograph) bool { return p.ID == grouping })
	if at < 0 {
		return Plan{}, fault("grouping", event.CodeUnknownID, "There is no photograph with this id: give the id of a grouping, or of an eachOf grouping followed by a point and a person.")
	}
	photo := p.photographs[at]
	if n := photo.Size(); n > standing.MaxPeople {
		return Plan{}, fault("grouping", event.CodeTooMany, fmt.Sprintf("It has %d people, and %d is the most that are placed.", n, standing.MaxPeople))
	}
	if space == nil {
		space = p.spaceOf(photo)
	}
	plan, err := p.solve(ctx, group{photo.Members, photo.Guests}, *space, nil, standing.Options{})
	if errors.Is(err, standing.ErrInvalid) {
		return Plan{}, fault("space", event.CodeOutOfRange, "The space cannot be used: "+inOneLine(err)+".")
	}
	if err != nil {
		return Plan{}, err
	}
	plan.Photograph = photo
	return plan, nil
}

// placer knows of an event what does not change from photograph to photograph.
type placer struct {
	event       event.Event
	photographs []event.Photograph
	index       map[string]int // of people
	guests      map[string]int // by photograph: who is in it beside its people, known by number only
	circles     []circle
	circlesOf   [][]int // by person, each once
	kin         *kindred
	company     [][]int                                      // by child: the grown-ups whom it belongs to, where only photographs tell
	verify      func(*standing.Problem, standing.Plan) error // other than standing.Verify in tests
}

// circle is a circle with everybody who is in it.
type circle struct {
	people []int
	bond   standing.Bond
}

func newPlacer(e event.Event) *placer {
	p := &placer{event: e, index: map[string]int{}, guests: map[string]int{}, kin: newKindred(&e), verify: standing.Verify}
	p.photographs, _ = event.Expand(e)
	for _, photo := range p.photographs {
		p.guests[photo.ID] = photo.Guests
	}
	for i, q := range e.People {
		p.index[q.ID] = i
	}
	p.circlesOf = make([][]int, len(e.People))
	for at, ids := range event.Circles(e) {
		c := p.newCircle(ids)
		for _, q := range c.people {
			p.circlesOf[q] = append(p.circlesOf[q], at)
		}
		p.circles = append(p.circles, c)
	}
	p.findCompany(p.kin.shots)
	return p
}

// newCircle tells how close people of a circle are. Two grown-ups are a couple.
func (p *placer) newCircle(ids []string) circle {
	grown := true
	var people []int
	for _, id := range ids {
		people = append(people, p.index[id])
		grown = grown && p.grown(p.index[id])
	}
	switch {
	case len(people) == 2 && grown:
		return circle{people, standing.Couple}
	case len(people) <= household:
		return circle{people, standing.Household}
	default:
		return circle{people, standing.Circle}
	}
}

// spaceOf returns the space of the only block that a photograph may be taken in.
func (p *placer) spaceOf(photo event.Photograph) *event.Space {
	var only []event.Space
	for _, b := range p.event.Blocks {
		if len(photo.Blocks) == 0 || slices.Contains(photo.Blocks, b.ID) {
			only = append(only, b.Space)
		}
	}
	if len(only) == 1 {
		return &only[0]
	}
	return &event.Space{}
}

// group is who is in a photograph: people by id, and how many guests beside them.
type group struct {
	ids    []string
	guests int
}

func (g group) size() int { return len(g.ids) + g.guests }

// solve plans who stands where among people of the event, given where some of them stood before. The error wraps
// standing.ErrInvalid when the space is out of range.
func (p *placer) solve(ctx context.Context, g group, space event.Space, before map[string]standing.Spot, o standing.Options) (Plan, error) {
	var out Plan
	ids := g.ids
	spec := standing.Spec{Space: spaceFor(space), Ties: p.ties(ids), Apart: p.apart(ids), Arms: p.arms(ids)}
	for _, id := range ids {
		q := p.event.People[p.index[id]]
		out.People = append(out.People, q)
		who := p.placed(p.index[id])
		if g.guests > 0 {
			if !who.Kin && who.Importance == 0 {
				who.Importance = named - 1
			} else {
				who.Importance = max(who.Importance, named)
			}
		}
		spec.People = append(spec.People, who)
		if len(before) > 0 {
			spec.Before = append(spec.Before, before[id])
		}
	}
	for range g.guests {
		out.People = append(out.People, event.Person{})
		spec.People = append(spec.People, standing.Person{Unnamed: true})
		if len(before) > 0 {
			spec.Before = append(spec.Before, standing.Spot{})
		}
	}
	problem, err := standing.NewProblem(spec)
	if err != nil {
		return Plan{}, fmt.Errorf("placing: %w", err)
	}
	if out.Plan, err = standing.Arrange(ctx, problem, within(spec, o)); err != nil {
		return Plan{}, fmt.Errorf("placing: %w", err)
	}
	if err := p.verify(problem, out.Plan); err != nil {
		return Plan{}, fmt.Errorf("placing: the search returned a wrong plan: %w", err)
	}
	return out, nil
}

// mostLinks is how many people of ties, and pairs kept apart, go with each person of a photograph on any usual day: up to
// three and a half in the demos.
const mostLinks = 4

// within makes a search shorter where each of its moves takes longer, because people are in far more circles and pairs
// than usual: to about half of what the others take.
func within(s standing.Spec, o standing.Options) standing.Options {
	people, links := len(s.People), 8*len(s.Apart)+len(s.Arms) // every move looks at all pairs, and at ties of its people
	for _, t := range s.Ties {
		links += len(t.Members)
	}
	if usual := mostLinks * people; links > usual {
		o.Moves = max(cmp.Or(o.Moves, standing.UsualMoves(people))*usual/2/links, fewestMoves)
		o.Nodes = max(cmp.Or(o.Nodes, standing.MaxNodes)*usual/2/links, fewestMoves)
	}
	return o
}

func spaceFor(s event.Space) standing.Space {
	return standing.Space{
		WidthCM: s.WidthCM, DepthCM: s.DepthCM, Ground: s.Ground, Kneeling: s.Kneeling, Chairs: s.Chairs,
		Steps: s.Steps, StepCM: s.StepCM, CameraHeightCM: s.CameraHeightCM, CameraDistanceCM: s.CameraDistanceCM,
	}
}

// inOneLine lists what is wrong with a space without saying where it was found.
func inOneLine(err error) string {
	_, text, _ := strings.Cut(err.Error(), standing.ErrInvalid.Error()+": ")
	return strings.ReplaceAll(text, "\n", "; ")
}

func fault(field, code, text string) error {
	return &event.InvalidError{Faults: []event.Advice{{Code: code, Severity: event.Error, Field: field, Message: wording.Said(text)}}}
}

var ages = map[event.AgeBand]standing.Age{
	event.Adult: standing.Adult, event.Elder: standing.Elder, event.Child: standing.Child, event.Infant: standing.Infant,
}

// placed says what matters of a person. The first side of the event is on the left, the second on the
// right; others have none. Grandparents are seated and stand in front as elders are.
func (p *placer) placed(i int) standing.Person {
	q := p.event.People[i]
	out := standing.Person{
		Age: ages[p.kin.tree.Band(i)], Importance: p.kin.importance[i], Side: p.kin.sides[i], Kin: p.kin.tree.Relative(i), ByHeight: p.kin.tree.Attendant(i), Seat: slices.Contains(q.Needs, event.Seat),
		Wheelchair: slices.Contains(q.Needs, event.Wheelchair), StepFree: slices.Contains(q.Needs, event.StepFree),
	}
	if q.HeightCM > 0 {
		out.HeightCM = min(max(q.HeightCM, leastHeight), mostHeight)
	}
	if p.kin.tree.Senior(i) {
		out.Age = standing.Elder
	}
	return out
}
