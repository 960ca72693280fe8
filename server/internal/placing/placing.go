// Package placing turns one photograph of an event into a standing plan: it says what package standing
// has to know of the people, their circles and the rules, and has the plan verified. It draws nothing.
package placing

import (
	"fmt"
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/solver/standing"
)

const (
	// Whoever is in this share of at least manyPhotographs is whom the day is about. Common practice,
	// no source.
	mostNumerator, mostDenominator = 3, 5
	manyPhotographs                = 4
	// household is the largest number of people of a circle who stand together as a household does;
	// larger ones are loosely together. Common practice, no source.
	household = 6
	// The heights that package standing takes.
	leastHeight, mostHeight = 40, 230
)

// Plan is a photograph with its standing plan.
type Plan struct {
	standing.Plan
	Photograph event.Photograph
	// People are those of the photograph, in the order of the plan's places.
	People []event.Person
}

// Names lists the people as they are called.
func (p Plan) Names() []string {
	out := make([]string, len(p.People))
	for i, person := range p.People {
		out[i] = person.Name
	}
	return out
}

// Arrange plans who stands where in one photograph of an event in which event.Check finds no Error:
// grouping is the id of a grouping, or of one photograph of an eachOf. Its error is
// *event.InvalidError when there is no such photograph, when nobody or more than the limit of package
// standing is in it, or when the space is out of range.
func Arrange(e event.Event, grouping string, space standing.Space) (Plan, error) {
	photographs, _ := event.Expand(e)
	at := slices.IndexFunc(photographs, func(p event.Photograph) bool { return p.ID == grouping })
	if at < 0 {
		return Plan{}, fault("grouping", event.CodeUnknownID, "There is no photograph with this id: give the id of a grouping, or of an eachOf grouping followed by a point and a person.")
	}
	out := Plan{Photograph: photographs[at]}
	if n := len(out.Photograph.Members); n > standing.MaxPeople {
		return Plan{}, fault("grouping", event.CodeTooMany, fmt.Sprintf("It has %d people, and %d is the most that are placed.", n, standing.MaxPeople))
	}
	index := map[string]int{}
	for i, p := range e.People {
		index[p.ID] = i
	}
	for _, id := range out.Photograph.Members {
		out.People = append(out.People, e.People[index[id]])
	}
	spec := standing.Spec{Space: space, Ties: ties(e, out.Photograph), Apart: apart(e, out.Photograph)}
	important := mostTaken(photographs)
	for _, p := range out.People {
		spec.People = append(spec.People, placed(e, p, important[p.ID]))
	}
	problem, err := standing.NewProblem(spec)
	if err != nil {
		return Plan{}, fault("space", event.CodeOutOfRange, "The space cannot be used: "+inOneLine(err)+".")
	}
	if out.Plan, err = standing.Arrange(problem, standing.Options{}); err != nil {
		return Plan{}, fmt.Errorf("placing: %w", err)
	}
	if err := standing.Verify(problem, out.Plan); err != nil {
		return Plan{}, fmt.Errorf("placing: the search returned a wrong plan: %w", err)
	}
	return out, nil
}

// inOneLine lists what is wrong with a space without saying where it was found.
func inOneLine(err error) string {
	text := strings.TrimPrefix(err.Error(), standing.ErrInvalid.Error()+": ")
	return strings.ReplaceAll(text, "\n", "; ")
}

func fault(field, code, text string) error {
	return &event.InvalidError{Faults: []event.Advice{{Code: code, Severity: event.Error, Field: field, Text: text}}}
}

var ages = map[event.AgeBand]standing.Age{
	event.Adult: standing.Adult, event.Elder: standing.Elder, event.Child: standing.Child, event.Infant: standing.Infant,
}

// placed says what matters of a person. The first side of the event is on the left, the second on the
// right; others have none.
func placed(e event.Event, p event.Person, important bool) standing.Person {
	out := standing.Person{
		Age: ages[p.AgeBand], Seat: slices.Contains(p.Needs, event.Seat),
		Wheelchair: slices.Contains(p.Needs, event.Wheelchair), StepFree: slices.Contains(p.Needs, event.StepFree),
	}
	if p.HeightCM > 0 {
		out.HeightCM = min(max(p.HeightCM, leastHeight), mostHeight)
	}
	for i, side := range e.Sides {
		if p.Side == side.ID && i < 2 {
			out.Side = []standing.Side{standing.Left, standing.Right}[i]
		}
	}
	if important {
		out.Importance = 10
	}
	return out
}

// mostTaken says whom the day is about: they are in most photographs.
func mostTaken(photographs []event.Photograph) map[string]bool {
	in, out := map[string]int{}, map[string]bool{}
	for _, p := range photographs {
		for _, id := range p.Members {
			in[id]++
		}
	}
	for id, n := range in {
		out[id] = len(photographs) >= manyPhotographs && n*mostDenominator >= len(photographs)*mostNumerator
	}
	return out
}

// ties are the circles of which two people or more, and not everybody, are in a photograph. Two
// grown-ups are a couple.
func ties(e event.Event, photo event.Photograph) []standing.Tie {
	grown := map[string]bool{}
	for _, p := range e.People {
		grown[p.ID] = p.AgeBand == event.Adult || p.AgeBand == event.Elder
	}
	var out []standing.Tie
	for _, c := range e.Circles {
		people := event.Members(e, c.ID)
		var here []int
		all := true
		for _, id := range people {
			if at := slices.Index(photo.Members, id); at >= 0 {
				here = append(here, at)
			}
			all = all && grown[id]
		}
		if len(here) < 2 || len(here) == len(photo.Members) && len(here) > 2 {
			continue
		}
		slices.Sort(here)
		bond := standing.Circle
		switch {
		case len(people) == 2 && all:
			bond = standing.Couple
		case len(people) <= household:
			bond = standing.Household
		}
		out = append(out, standing.Tie{Bond: bond, Members: here})
	}
	return out
}

// apart lists the pairs who are not to stand side by side: by a rule of neighbours, or by one of frames
// that the grouping breaks on purpose.
func apart(e event.Event, photo event.Photograph) [][2]int {
	var out [][2]int
	for _, r := range e.Rules {
		if r.Apart == nil || r.Apart.Scope == event.InBlock {
			continue
		}
		for _, pair := range r.Apart.Pairs(e) {
			one, other := slices.Index(photo.Members, pair[0]), slices.Index(photo.Members, pair[1])
			if one >= 0 && other >= 0 && !slices.Contains(out, [2]int{min(one, other), max(one, other)}) {
				out = append(out, [2]int{min(one, other), max(one, other)})
			}
		}
	}
	return out
}
