package placing_test

import (
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/family"
)

// near: parents are behind nobody who is less near to whom the day is about and could be behind them, whoever needs no chair
// has none but whom the day is about and their parents, and a grandparent alone with a couple is between them.
func (c *scene) near() {
	parents := map[string]bool{}
	for _, half := range c.tree.Halves() {
		for _, p := range half.Parents {
			parents[c.e.People[p].ID] = true
		}
	}
	for r, row := range c.rows {
		for _, p := range row {
			if p.Posture == event.OnChair && c.plain(p.Person) && !parents[p.Person] && !c.escorts(p, row) {
				c.fault("chair", "%s sits", p.Person)
			}
			if !parents[p.Person] || !c.plain(p.Person) {
				continue
			}
			for s, ahead := range c.rows[:r] {
				for _, q := range ahead {
					if !c.low(s) && c.plain(q.Person) && !parents[q.Person] {
						c.fault("parent behind", "%s in row %d behind %s", p.Person, r, q.Person)
					}
				}
			}
		}
		leads := len(row) - len(slices.DeleteFunc(slices.Clone(row), func(p event.StandingPlace) bool { return c.leads(p.Person) }))
		if leads == 2 && len(row) == 3 && c.leads(row[1].Person) && slices.ContainsFunc(row, func(p event.StandingPlace) bool { return c.elder(p.Person) }) {
			c.fault("alone with the couple", "%s", row[1].Person)
		}
	}
}

// pairs of one row are side by side, if not elders then of a dozen who have room: nobody is between them but children, and whom the day is about where
// one is a parent, a grandparent or a child of these. Those who have a child with them may be at either end of a family.
func (c *scene) pairs() {
	for _, pair := range c.tree.Partners() {
		a, b := c.e.People[pair[0]].ID, c.e.People[pair[1]].ID
		if c.apart(a, b) || c.haveChild(pair) || !(c.elder(a) && c.elder(b)) && !(c.roomy() && len(c.places) <= 12) {
			continue
		}
		frames := c.frames(pair[0]) || c.frames(pair[1])
		for _, row := range c.rows {
			if at, end := placeOf(row, a), placeOf(row, b); at >= 0 && end >= 0 && slices.ContainsFunc(row[min(at, end)+1:max(at, end)],
				func(p event.StandingPlace) bool { return !c.young(p.Person) && !(frames && c.leads(p.Person)) }) {
				c.fault("pair split", "%s and %s", a, b)
			}
		}
	}
}

// haveChild says that a child of a pair is in the picture.
func (c *scene) haveChild(pair [2]int) bool {
	for id := range c.places {
		if c.young(id) && (c.tree.Kindred(c.index[id], pair[0]) != family.Stranger || c.tree.Kindred(c.index[id], pair[1]) != family.Stranger) {
			return true
		}
	}
	return false
}

// frames says that somebody and a partner may stand on both sides of those whom the day is about.
func (c *scene) frames(person int) bool {
	switch c.tree.DegreeOf(person) {
	case family.Parent, family.StepParent, family.Grandparent, family.Child:
		return true
	}
	return c.tree.Senior(person)
}

// roomy says that no place is too narrow for a row of people.
func (c *scene) roomy() bool {
	return !slices.ContainsFunc(c.e.Blocks, func(b event.Block) bool { return b.Space.WidthCM > 0 })
}

func placeOf(row []event.StandingPlace, id string) int {
	return slices.IndexFunc(row, func(p event.StandingPlace) bool { return p.Person == id })
}
