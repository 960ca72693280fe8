package check

import (
	"fmt"
	"regexp"
	"slices"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
)

// maxOverlaps is how many pairs of overlapping blocks are told.
const maxOverlaps = 3

// interpreters warns about people who need somebody who interprets when nobody is named.
func (c *checker) interpreters() {
	for i, p := range c.e.People {
		if !p.Absent && slices.Contains(p.Needs, event.Interpreter) && p.Interpreter == "" {
			c.warn(event.CodeNoInterpreter, fmt.Sprintf("people[%d].interpreter", i), []string{p.ID},
				"advice.needsSomebodyWhoInterprets", c.person(i))
		}
	}
}

// overlappingBlocks warns about blocks at the same time that one photographer, or nobody by name, is
// to take: they cannot be taken at once.
func (c *checker) overlappingBlocks() {
	if c.clock == nil {
		return
	}
	type span struct{ opens, closes time.Time }
	spans := make([]*span, len(c.e.Blocks))
	told := 0
	for i, b := range c.e.Blocks {
		opens, err := c.clock.InstantOf(b.Opens)
		closes, err2 := c.clock.InstantOf(b.Closes)
		if err != nil || err2 != nil {
			continue // without both times nothing is certain
		}
		spans[i] = &span{opens, closes}
		for j := range i {
			other := spans[j]
			if other == nil || c.e.Blocks[j].Photographer != b.Photographer || !other.opens.Before(closes) || !opens.Before(other.closes) {
				continue
			}
			if told++; told > maxOverlaps {
				return
			}
			who := wording.Say("advice.bothNameAsPhotographer", event.Quoted(b.Photographer))
			if b.Photographer == "" {
				who = wording.Say("advice.neitherNamesAPhotographer")
			}
			c.warn(event.CodeOverlappingBlocks, fmt.Sprintf("blocks[%d]", i), []string{c.e.Blocks[j].ID, b.ID},
				"advice.blocksAndOverlapInTimeAnd",
				slot(c.e.Blocks[j]), slot(b), who)
		}
	}
}

// onStairs finds titles of photographs that are taken on stairs.
var onStairs = regexp.MustCompile(`(?i)\b(on|up) the ([a-z]+ )?(stairs|steps|staircase)\b|\bauf (der|den) [a-zäöüß]*(treppe|stufen)\b|` +
	`\bsur (les marches|l.escalier|le perron)\b|\ben (la escalera|las escaleras|la escalinata)\b|` +
	`\bn(a escadaria|as escadas|os degraus)|على (الدرج|السلالم|السلم)|(台阶|楼梯|樓梯)上`)

// stepFree warns about people who need a way without steps and are called to where none is known,
// once for each choice of blocks, or to stairs. While no block says anything about its place, nothing is claimed of it.
func (c *checker) stepFree() {
	known := slices.ContainsFunc(c.e.Blocks, func(b event.Block) bool { return b.StepFree || b.Place != "" })
	needs := make(crowd, len(c.e.People))
	for i, p := range c.e.People {
		needs[i] = slices.Contains(p.Needs, event.Wheelchair) || slices.Contains(p.Needs, event.StepFree)
	}
	type call struct {
		photographs []event.Photograph
		who         []int
		in          crowd // those in who
		where       []wording.Arg
		field       string
	}
	calls := make(map[string]*call)
	var order []string
	for _, s := range c.x.All {
		who := slices.DeleteFunc(slices.Clone(s.Members), func(p int) bool { return !needs[p] })
		if len(who) == 0 || !s.Taken() {
			continue
		}
		if onStairs.MatchString(c.e.Groupings[s.Photo.Source].Title) {
			c.warn(event.CodeNoStepFreePlace, fmt.Sprintf("groupings[%d].title", s.Photo.Source), append(c.idsOf(who), s.Photo.ID),
				"advice.titleSpeaksOfStairs", c.few(who), c.photo(s.Photo))
			continue
		}
		blocks, reached := c.placesFor(s.Photo)
		if reached || !known {
			continue
		}
		where := fmt.Sprint(blocks)
		if calls[where] == nil {
			calls[where] = &call{where: blocks, in: make(crowd, len(c.e.People)), field: fmt.Sprintf("groupings[%d].blocks", s.Photo.Source)}
			order = append(order, where)
		}
		at := calls[where]
		at.photographs = append(at.photographs, s.Photo)
		for _, p := range who {
			if !at.in[p] {
				at.in[p] = true
				at.who = append(at.who, p)
			}
		}
	}
	for _, where := range order {
		at := calls[where]
		subjects := c.idsOf(at.who)
		var titles []wording.Message
		for _, p := range at.photographs {
			subjects, titles = append(subjects, p.ID), append(titles, c.photo(p))
		}
		c.warn(event.CodeNoStepFreePlace, at.field, subjects,
			"advice.wayWithoutStepsIsNeededBy",
			c.few(at.who), someOf(titles, 3), someOf(at.where, 3))
	}
}

// placesFor names the blocks that a photograph may be taken in and has room in, and reports whether
// any of them is free of steps.
func (c *checker) placesFor(p event.Photograph) ([]wording.Arg, bool) {
	var names []wording.Arg
	for _, b := range c.e.Blocks {
		if len(p.Blocks) > 0 && !slices.Contains(p.Blocks, b.ID) || b.Capacity > 0 && p.Size() > b.Capacity {
			continue
		}
		if b.StepFree {
			return nil, true
		}
		names = append(names, slot(b))
	}
	return names, len(names) == 0 // without any block it is not taken at all
}

// slot writes a block for a sentence: by its title or place, else by its id.
func slot(b event.Block) wording.Arg { return event.Quoted(b.Named().String()) }

// someOf lists the first few for a sentence and counts the others.
func someOf[T wording.Message | wording.Arg](names []T, most int) wording.Arg {
	list := wording.Comma(names[:min(len(names), most)]...)
	if more := len(names) - most; more > 0 {
		return wording.And(wording.Say("%s", list), wording.Say("sheet.more", more))
	}
	return list
}
