package check

import (
	"fmt"
	"slices"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/kin"
	"kinorder.example/server/internal/wording"
)

func setOf(ids []string) map[string]bool {
	set := make(map[string]bool, len(ids))
	for _, id := range ids {
		if id != "" {
			set[id] = true
		}
	}
	return set
}

// time reads a time that may be empty. It reports a bad one, unless date or time zone are at fault.
func (c *checker) time(field, s string, subjects ...string) (time.Time, bool) {
	clock := c.clock
	if clock == nil {
		// The form can be judged all the same, on a day on which every time exists.
		anyDay := event.Event{Date: "2000-01-01"}
		if _, err := anyDay.Instant(s); s != "" && err != nil {
			c.add(event.Error, event.CodeBadTime, field, subjects, event.MessageOf(err))
		}
		return time.Time{}, false
	}
	if _, _, hm := event.HourMinute(s); hm && clock.Date.IsZero() {
		c.undated = true // reported once, at the date
		return time.Time{}, false
	}
	t, err := clock.InstantOf(s)
	if err != nil && s != "" {
		c.add(event.Error, event.CodeBadTime, field, subjects, event.MessageOf(err))
	}
	return t, err == nil
}

// unknown reports an id that refers to nothing, with the known one that it may be meant to be.
func (c *checker) unknown(field string, what wording.Key, id string, known kin.Words, subjects ...string) {
	if c.errors >= maxListed {
		c.errors++ // counted without looking for a suggestion
		return
	}
	hint := wording.Say("check.addItOrCorrectTheId")
	if len(known.Known) == 0 {
		hint = wording.Say("check.noneIsListed")
	}
	if like, ok := known.Closest(id); ok {
		hint = wording.Say("check.didYouMean", event.Quoted(like))
	}
	c.fault(event.CodeUnknownID, field, append(subjects, id), "check.noWithTheId", wording.Say(what), event.Quoted(id), hint)
}

// members checks a list of ids of people and circles and reports whether all are known.
func (c *checker) members(field string, ids []string, owner string) bool {
	good := true
	seen := make(map[string]bool)
	for k, id := range ids {
		at := func() string { return fmt.Sprintf("%s[%d]", field, k) }
		switch {
		case id == "":
			c.fault(event.CodeMissing, at(), []string{owner}, "check.idIsEmpty")
			good = false
		case !c.r.Known(id):
			c.unknownMember(at(), id, owner)
			good = false
		case seen[id]:
			c.warn(event.CodeNoEffect, at(), []string{owner, id}, "check.listedTwice", c.named(id))
		}
		seen[id] = true
	}
	return good
}

// unknownMember reports an id that is neither a person nor a circle. Writing the name instead of the id is
// the usual slip.
func (c *checker) unknownMember(at, id, owner string) {
	if c.errors < maxListed {
		folded := kin.Fold(id)
		for i, p := range c.e.People {
			if p.ID != "" && c.names[i] == folded {
				c.fault(event.CodeUnknownID, at, []string{owner, p.ID}, "check.aName", event.Quoted(id), event.Quoted(p.ID))
				return
			}
		}
		for i, x := range c.e.Circles {
			if x.ID != "" && c.titles[i] == folded {
				c.fault(event.CodeUnknownID, at, []string{owner, x.ID}, "check.titleOfACircle", event.Quoted(id), event.Quoted(x.ID))
				return
			}
		}
		if slices.ContainsFunc(c.e.Sides, func(s event.Side) bool { return s.ID == id }) {
			c.fault(event.CodeUnknownID, at, []string{owner, id}, "check.sideWhichCannotStandForIts", event.Quoted(id))
			return
		}
	}
	c.unknown(at, "check.personOrCircle", id, c.ids, owner)
}

func (c *checker) checkCircles() {
	seen := make(map[string]wording.Message)
	for i, p := range c.e.People {
		if _, double := seen[p.ID]; !double && p.ID != "" {
			seen[p.ID] = personAt(i, p).later
		}
	}
	for i, x := range c.e.Circles {
		at := fmt.Sprintf("circles[%d]", i)
		c.id(at+".id", place{wording.Say("check.circle2", i+1), wording.Say("check.circle3", i+1)}, x.ID, seen)
		c.text(at+".title", "check.title", x.Title, x.ID)
		if len(x.Members) == 0 {
			c.fault(event.CodeMissing, at+".members", []string{x.ID}, "check.circleHasNoMembers", groupOf(x))
			c.unresolved = true
		}
		if !c.members(at+".members", x.Members, x.ID) {
			c.unresolved = true
		}
		c.leader(at, x)
		c.emptied(at, x)
	}
	for _, ring := range c.r.Rings {
		c.unresolved = true
		c.ring(ring)
	}
}

func (c *checker) leader(at string, x event.Circle) {
	if x.Leader == "" {
		return
	}
	p, ok := c.r.People[x.Leader]
	switch {
	case !ok && c.r.Known(x.Leader):
		c.fault(event.CodeUnknownID, at+".leader", []string{x.ID, x.Leader}, "check.leaderIsACircle", event.Quoted(x.Leader))
	case !ok:
		c.unknownMember(at+".leader", x.Leader, x.ID)
	case c.e.People[p].Absent:
		c.warn(event.CodeLeaderAbsent, at+".leader", []string{x.ID, x.Leader}, "check.toGatherTheCircleAndIs", c.person(p), groupOf(x))
	}
}

// emptied warns when nobody of a circle is coming.
func (c *checker) emptied(at string, x event.Circle) {
	people := c.r.CircleOf(x.ID)
	if len(people) == 0 {
		return
	}
	for _, p := range people {
		if !c.e.People[p].Absent {
			return
		}
	}
	c.warn(event.CodeCircleEmptied, at+".members", []string{x.ID}, "check.nobodyOfTheCircleIsComing", groupOf(x))
}

func (c *checker) ring(ring []int) {
	var ids []string
	var names []wording.Arg
	for _, x := range ring {
		ids = append(ids, c.e.Circles[x].ID)
		names = append(names, groupOf(c.e.Circles[x]))
	}
	at := fmt.Sprintf("circles[%d].members", ring[0])
	if len(ring) == 1 {
		c.fault(event.CodeCircularCircles, at, ids, "check.circleIsAMemberOfItself", names[0])
		return
	}
	c.fault(event.CodeCircularCircles, at, ids, "check.circlesHoldEachOther", chain("check.holds", append(names, names[0])))
}

// chain writes what leads to what; k sets one behind the other.
func chain[T wording.Message | wording.Arg](k wording.Key, names []T) wording.Message {
	out := wording.Say("%s", names[0])
	for _, n := range names[1:] {
		out = wording.Say(k, out, n)
	}
	return out
}
