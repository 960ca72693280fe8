// Package check finds what is wrong with an event and what is probably a mistake. It neither changes nor plans
// anything.
//
//	if faults := event.Faults(check.Event(e)); len(faults) > 0 { ... }
package check

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/family"
	"kinorder.example/server/internal/kin"
	"kinorder.example/server/internal/wording"
)

// maxListed is how many errors, and how many other advices, Event lists before it only counts.
const maxListed = 200

// Event lists everything that is wrong with an event (severity Error: it cannot be planned) and
// everything that is probably not meant (Warning, Info), in the order of the event's fields. Every
// Advice says in its text what to change and in Field where, as a path with indices from 0. Past
// 200 errors the rest are counted in one Error of code MORE_NOT_LISTED, and so are warnings. A list
// that breaks a size limit is reported alone, without looking further.
//
// Texts name people as the planner wrote them, with their ids; they never quote a private note.
// Event does not panic, whatever the event holds.
func Event(e event.Event) []event.Advice {
	advice, _ := Within(context.Background(), e)
	return advice
}

// Within is Event with a context. The error is the cause of ctx.
func Within(ctx context.Context, e event.Event) ([]event.Advice, error) {
	c := &checker{e: &e}
	c.sizes()
	if c.errors == 0 {
		c.r = event.NewIndex(&e)
		if c.r.Crowded() {
			c.fault(event.CodeTooMany, "groupings", nil, "check.circlesAndGroupingsNamePeopleMore", event.MaxNamings)
		}
	}
	if c.errors == 0 {
		for _, part := range []func(){
			c.known, c.checkDay, c.checkSides, c.checkPeople, c.checkCircles, c.checkGroupings, c.checkBlocks, c.checkOutdoors,
			c.checkRules, c.checkWalks, c.checkPace, c.checkWeights, c.checkKit, c.checkWhole, c.checkDated, c.advise,
		} {
			if ctx.Err() != nil {
				return nil, context.Cause(ctx)
			}
			part()
		}
	}
	return c.sorted(), nil
}

// checkDated says once that times were found which need the date that the event does not have.
func (c *checker) checkDated() {
	if c.undated {
		c.fault(event.CodeMissing, "date", nil, "check.eventHasNoDateAndIts")
	}
}

// checker gathers advice on one event.
type checker struct {
	e *event.Event
	r *event.Index
	// What references may name: ids of people and circles, of circles, of rules, and names and titles folded.
	ids, circleIDs, ruleIDs kin.Words
	names, titles           []string
	clock                   *event.Clock // nil when date or time zone cannot be read
	opens                   []time.Time  // of the blocks, once they are asked for
	x                       *event.Expansion
	list                    []event.Advice
	errors, other           int
	// faulty[g] says that grouping g refers to something unknown, so that what it expands to
	// says nothing about the planner's wish.
	faulty []bool
	// unresolved says that a circle or grouping has an error about its people, so that advice on
	// who is where would mislead.
	unresolved bool
	// tree is what advise reads from the relations.
	tree *family.Tree
	// undated says that a time was found which needs the date that the event does not have.
	undated bool
}

func (c *checker) add(s event.Severity, code, field string, subjects []string, m wording.Message) {
	n := &c.other
	if s == event.Error {
		n = &c.errors
	}
	if *n++; *n > maxListed {
		return
	}
	subjects = slices.DeleteFunc(slices.Clone(subjects), func(id string) bool { return id == "" })
	c.list = append(c.list, event.Tell(s, code, field, subjects, m))
}

func (c *checker) fault(code, field string, subjects []string, k wording.Key, args ...any) {
	c.add(event.Error, code, field, subjects, wording.Say(k, args...))
}

func (c *checker) warn(code, field string, subjects []string, k wording.Key, args ...any) {
	c.add(event.Warning, code, field, subjects, wording.Say(k, args...))
}

// sorted returns the advice by field: top-level fields as Event lists them, items by index.
func (c *checker) sorted() []event.Advice {
	slices.SortStableFunc(c.list, func(a, b event.Advice) int {
		ra, ia := fieldRank(a.Field)
		rb, ib := fieldRank(b.Field)
		if ra != rb {
			return ra - rb
		}
		return ia - ib
	})
	if n := c.errors - maxListed; n > 0 {
		c.list = append(c.list, event.Tell(event.Error, event.CodeMoreNotListed, "", nil,
			wording.Say("check.mendThoseAboveAndCheckAgain", wording.Say("sheet.moreErrors", n))))
	}
	if n := c.other - maxListed; n > 0 {
		c.list = append(c.list, event.Tell(event.Warning, event.CodeMoreNotListed, "", nil,
			wording.Say("%s.", wording.Say("sheet.moreWarnings", n))))
	}
	return c.list
}

var fieldOrder = []string{"", "title", "date", "timeZone", "sides", "people", "circles", "groupings", "blocks", "rules", "walks", "pace", "emphasis", "weights", "confidence", "fit", "latitude", "longitude", "kit", "honour", "order", "leftOut"}

// fieldRank returns the place of a path's top-level field and the index behind it, -1 for none.
func fieldRank(path string) (rank, index int) {
	top, rest := path, ""
	if at := strings.IndexAny(path, ".["); at >= 0 {
		top, rest = path[:at], path[at:]
	}
	index = -1
	if strings.HasPrefix(rest, "[") {
		if n, err := strconv.Atoi(rest[1:strings.Index(rest, "]")]); err == nil {
			index = n
		}
	}
	return slices.Index(fieldOrder, top), index
}

// sizes refuses lists that are too long to be looked at.
func (c *checker) sizes() {
	limit := func(field string, what wording.Key, n, most int) {
		if n > most {
			c.fault(event.CodeTooMany, field, nil, "check.theMost", n, wording.Say(what), most)
		}
	}
	e := c.e
	limit("sides", "check.sides", len(e.Sides), event.MaxSides)
	limit("people", "check.people", len(e.People), event.MaxPeople)
	limit("circles", "check.circles", len(e.Circles), event.MaxCircles)
	limit("groupings", "check.groupings", len(e.Groupings), event.MaxPhotographs)
	limit("blocks", "check.blocks", len(e.Blocks), event.MaxBlocks)
	limit("rules", "check.rules", len(e.Rules), event.MaxRules)
	limit("walks", "check.walks", len(e.Walks), event.MaxBlocks*event.MaxBlocks)
	limit("honour", "check.people", len(e.Honour), event.MaxPeople)
	limit("order", "check.groupings", len(e.Order), event.MaxPhotographs)
	limit("leftOut", "check.groupings", len(e.LeftOut), event.MaxPhotographs)
	limit("kit.lenses", "outdoors.lenses", len(e.Kit.Lenses), maxLenses)
	limit("pace.arrange", "check.pointsOfTheArrangeTable", len(e.Pace.Arrange), event.MaxPeople+1)
	limit("pace.frames", "check.pointsOfTheFramesTable", len(e.Pace.Frames), event.MaxPeople)
	for i, p := range e.People {
		limit(fmt.Sprintf("people[%d].needs", i), "check.needs", len(p.Needs), 20)
		limit(fmt.Sprintf("people[%d].nicknames", i), "check.nicknames", len(p.Nicknames), event.MaxNicknames)
		limit(fmt.Sprintf("people[%d].presence", i), "check.stretchesOfPresence", len(p.Presence), maxSpans)
	}
	for i, x := range e.Circles {
		limit(fmt.Sprintf("circles[%d].members", i), "check.members", len(x.Members), event.MaxPeople)
	}
	for i, g := range e.Groupings {
		limit(fmt.Sprintf("groupings[%d].members", i), "check.members", len(g.Members), event.MaxPeople)
		limit(fmt.Sprintf("groupings[%d].without", i), "check.peopleToLeaveOut", len(g.Without), event.MaxPeople)
		limit(fmt.Sprintf("groupings[%d].blocks", i), "check.blocks", len(g.Blocks), event.MaxBlocks)
		limit(fmt.Sprintf("groupings[%d].after", i), "check.groupingsToWaitFor", len(g.After), event.MaxPhotographs)
		limit(fmt.Sprintf("groupings[%d].confirms", i), "check.rulesToConfirm", len(g.Confirms), event.MaxRules)
	}
	for i, r := range e.Rules {
		if r.Apart != nil {
			limit(fmt.Sprintf("rules[%d].apart.people", i), "check.people", len(r.Apart.People), event.MaxPeople)
		}
		if r.Turns != nil {
			limit(fmt.Sprintf("rules[%d].turns.people", i), "check.people", len(r.Turns.People), maxOrdered)
		}
		if r.Seniority != nil {
			limit(fmt.Sprintf("rules[%d].seniority.people", i), "check.people", len(r.Seniority.People), maxOrdered)
		}
	}
}

// known gathers what references may name.
func (c *checker) known() {
	var people, circles, rules []string
	for _, p := range c.e.People {
		people = append(people, p.ID)
		c.names = append(c.names, kin.Fold(p.Name))
	}
	for _, x := range c.e.Circles {
		circles = append(circles, x.ID)
		c.titles = append(c.titles, kin.Fold(x.Title))
	}
	for _, r := range c.e.Rules {
		rules = append(rules, r.ID)
	}
	c.ids, c.circleIDs, c.ruleIDs = kin.NewWords(slices.Concat(people, circles)), kin.NewWords(circles), kin.NewWords(rules)
}

// text checks a printed text that may be empty.
func (c *checker) text(field string, what wording.Key, s string, subjects ...string) {
	if fault := textFault(s, event.MaxText); !fault.Empty() {
		c.fault(event.CodeBadText, field, subjects, "check.the", wording.Say(what), event.Quoted(s), fault)
	}
}

// note checks a private note without quoting it.
func (c *checker) note(field, s string, subjects ...string) {
	if fault := noteFault(s); !fault.Empty() {
		c.fault(event.CodeBadText, field, subjects, "check.privateNote", fault)
	}
}

// id checks the form of an id that must be there, and that it is not yet among those seen. It
// records it there with the field it stands in.
func (c *checker) id(field string, whose place, id string, seen map[string]wording.Message) {
	if id == "" {
		c.fault(event.CodeMissing, field, nil, "check.hasNoId", whose.first, wording.Quoted("rosa"))
		return
	}
	if fault := idFault(id); !fault.Empty() {
		c.fault(event.CodeBadID, field, []string{id}, "check.theId", event.Quoted(id), fault)
		return
	}
	if first, double := seen[id]; double {
		c.fault(event.CodeDuplicateID, field, []string{id}, "check.idIsAlreadyThatOf", event.Quoted(id), first, whose.later)
		return
	}
	seen[id] = whose.later
}

// number checks a number against its range.
func (c *checker) number(field string, what wording.Key, n, least, most int, subjects ...string) {
	if n < least || n > most {
		c.fault(event.CodeOutOfRange, field, subjects, "check.theIs", wording.Say(what), n, least, most)
	}
}

// optional is number for a value that may be absent.
func (c *checker) optional(field string, what wording.Key, n *int, least, most int, subjects ...string) {
	if n != nil {
		c.number(field, what, *n, least, most, subjects...)
	}
}

// value checks an enumeration against its last value.
func (c *checker) value(field string, what wording.Key, n, last int, subjects ...string) {
	if n < 0 || n > last {
		c.fault(event.CodeUnknownValue, field, subjects, "check.hasNoValueNumber", wording.Say(what), n)
	}
}

// place says which entry of a list something is: at the beginning of a sentence, and later in it.
type place struct{ first, later wording.Message }
