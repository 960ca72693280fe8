package placing_test

import (
	"fmt"
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/family"
)

// judge looks at standing plans as a photographer would, from what an event and a sheet say alone. It shares nothing
// with package standing; what people are to each other it has from package family.
type judge struct {
	e       event.Event
	tree    *family.Tree
	index   map[string]int
	circles [][]int
	parted  [][2]int
}

func newJudge(e event.Event) *judge {
	r := event.NewIndex(&e)
	j := &judge{e: e, tree: family.Of(&e, r, event.NewExpansion(&e, r)), index: r.People, circles: r.Within}
	j.parted = j.tree.Uneasy()
	for _, rule := range e.Rules {
		if rule.Apart != nil && (rule.Apart.Scope != event.InBlock || rule.Apart.Until == "") {
			for _, p := range rule.Apart.PairsIn(r) {
				j.parted = append(j.parted, [2]int{p.One, p.Other})
			}
		}
	}
	return j
}

// scene is one photograph that is judged.
type scene struct {
	*judge
	title  string
	s      *event.Standing
	rows   [][]event.StandingPlace // without who is held
	held   []event.StandingPlace
	row    map[string]int
	x      map[string]int
	places map[string]event.StandingPlace
	faults []string
}

// faults lists what is wrong with the plans of a sheet.
func (j *judge) faults(s event.CallSheet) []string {
	var out []string
	for _, b := range s.Blocks {
		for _, entry := range b.Entries {
			if entry.Standing != nil {
				out = append(out, j.judge(entry.Grouping, entry.Standing)...)
			}
		}
	}
	return out
}

func (j *judge) judge(title string, s *event.Standing) []string {
	c := &scene{judge: j, title: title, s: s, row: map[string]int{}, x: map[string]int{}, places: map[string]event.StandingPlace{}}
	for r, row := range s.Rows {
		var stand []event.StandingPlace
		for _, p := range row.Places {
			c.row[p.Person], c.x[p.Person], c.places[p.Person] = r, p.XCM, p
			if p.HeldBy != "" {
				c.held = append(c.held, p)
			} else {
				stand = append(stand, p)
			}
		}
		c.rows = append(c.rows, stand)
	}
	c.honour()
	c.elders()
	c.babies()
	c.children()
	c.neighbours()
	c.heights()
	c.few()
	c.near()
	c.pairs()
	return c.faults
}

func (c *scene) fault(kind, format string, args ...any) {
	c.faults = append(c.faults, fmt.Sprintf("%s: %s: ", c.title, kind)+fmt.Sprintf(format, args...))
}

func (c *scene) low(r int) bool {
	return c.s.Rows[r].Kind == event.GroundRow || c.s.Rows[r].Kind == event.KneelingRow
}

func (c *scene) person(id string) event.Person { return c.e.People[c.index[id]] }

func (c *scene) leads(id string) bool {
	return id != "" && slices.Contains(c.tree.Honoured(), c.index[id])
}

func (c *scene) elder(id string) bool { return id != "" && !c.leads(id) && c.tree.Senior(c.index[id]) }

func (c *scene) young(id string) bool {
	b := c.tree.Band(c.index[id])
	return id != "" && !c.tree.Senior(c.index[id]) && (b == event.Child || b == event.Infant)
}

func (c *scene) sits(id string) bool {
	return id != "" && slices.ContainsFunc(c.person(id).Needs, func(n event.Need) bool { return n == event.Seat || n == event.Wheelchair })
}

// plain is a grown-up who can give anybody their place.
func (c *scene) plain(id string) bool {
	return !c.leads(id) && !c.elder(id) && !c.young(id) && !c.sits(id)
}

// escorts says that somebody sits beside the partner who has to.
func (c *scene) escorts(p event.StandingPlace, row []event.StandingPlace) bool {
	return p.Posture == event.OnChair && slices.ContainsFunc(row, func(q event.StandingPlace) bool {
		i, j := c.index[p.Person], c.index[q.Person]
		return c.sits(q.Person) && (slices.Contains(c.tree.Partners(), [2]int{i, j}) || slices.Contains(c.tree.Partners(), [2]int{j, i}) || c.bothParents(i, j))
	})
}

func (c *scene) bothParents(i, j int) bool {
	return slices.ContainsFunc(c.tree.Halves(), func(h family.Half) bool {
		return slices.Contains(h.Parents, i) && slices.Contains(h.Parents, j)
	})
}

// honour: whom the day is about are in the middle of their row and behind nobody but people who are low: children, who
// has to sit, elders on chairs.
func (c *scene) honour() {
	for r, row := range c.rows {
		var here []int
		for _, p := range row {
			if c.leads(p.Person) {
				here = append(here, p.XCM)
			}
		}
		if len(here) == 0 {
			continue
		}
		for s, ahead := range c.rows[:r] {
			for _, p := range ahead {
				if c.leads(p.Person) {
					c.fault("honour in two rows", "%s in row %d, others in row %d", p.Person, s, r)
				}
				if !c.low(s) && !c.leads(p.Person) && !c.young(p.Person) && !c.sits(p.Person) && !c.escorts(p, ahead) && (c.plain(p.Person) || p.Posture != event.OnChair) {
					c.fault("honour behind", "%s in row %d is ahead of row %d", p.Person, s, r)
				}
			}
		}
		first, last := slices.IndexFunc(row, func(p event.StandingPlace) bool { return c.leads(p.Person) }), 0
		for k, p := range row {
			if c.leads(p.Person) {
				last = k
			}
		}
		if slices.ContainsFunc(row[first:last+1], func(p event.StandingPlace) bool { return c.plain(p.Person) }) {
			c.fault("honour parted", "row %d", r)
		}
		// Half of a place off the middle is what an even number of people makes, and a wheelchair or a child a bit more.
		sum := 0
		for _, x := range here {
			sum += x
		}
		if off := sum / len(here); len(row) > 2 && len(row) > len(here) && max(off, -off) > 65 {
			c.fault("honour aside", "%d cm off the middle of row %d of %d", off, r, len(row))
		}
	}
}

// elders are behind nobody who could stand behind them, and not at the end of a row in which somebody else could be.
func (c *scene) elders() {
	for r, row := range c.rows {
		for at, p := range row {
			if !c.elder(p.Person) {
				continue
			}
			if p.Posture == event.Kneeling || p.Posture == event.OnGround || p.Posture == event.OnStep || p.Posture == event.OnSecondStep {
				c.fault("elder low or high", "%s", p.Person)
			}
			for s, ahead := range c.rows[:r] {
				for _, q := range ahead {
					if !c.low(s) && c.plain(q.Person) {
						c.fault("elder behind", "%s stands in row %d, %s in row %d", p.Person, r, q.Person, s)
					}
				}
			}
			if front := slices.IndexFunc(c.s.Rows, func(row event.StandingRow) bool { return row.Kind > event.KneelingRow }); r > front && c.s.Rows[front].Kind != event.ChairRow && c.s.Rows[front].WidthCM+60 <= c.s.Rows[r].WidthCM {
				c.fault("elder behind", "%s stands in row %d, and there is room in front", p.Person, r)
			}
			if len(row) > 2 && (at == 0 || at == len(row)-1) && slices.ContainsFunc(row[1:len(row)-1], func(q event.StandingPlace) bool { return c.plain(q.Person) && !c.escorts(q, row) }) {
				c.fault("elder at an end", "%s of row %d", p.Person, r)
			}
		}
	}
}

// home reports whether a circle that is as small as a household holds two people, or one is the other's parent or the
// partner of one.
func (c *scene) home(child, other string) bool {
	if other == "" {
		return false
	}
	a, b := c.index[child], c.index[other]
	parent := c.tree.Kindred(a, b) == family.OwnParent || slices.ContainsFunc(c.tree.Partners(), func(pair [2]int) bool {
		return pair[0] == b && c.tree.Kindred(a, pair[1]) == family.OwnParent || pair[1] == b && c.tree.Kindred(a, pair[0]) == family.OwnParent
	})
	return parent || slices.ContainsFunc(c.circles, func(people []int) bool {
		return len(people) <= 6 && slices.Contains(people, a) && slices.Contains(people, b)
	})
}

// taken reports whether two people are in nearly the same photographs.
func (c *scene) taken(a, b int) bool {
	both, all := 0, 0
	photographs, _ := event.Expand(c.e)
	for _, p := range photographs {
		one, other := slices.Contains(p.Members, c.e.People[a].ID), slices.Contains(p.Members, c.e.People[b].ID)
		if one && other {
			both++
		}
		if one || other {
			all++
		}
	}
	return 3*both >= 2*all
}

func (c *scene) apart(a, b string) bool {
	if a == "" || b == "" {
		return false
	}
	i, j := c.index[a], c.index[b]
	return slices.Contains(c.parted, [2]int{i, j}) || slices.Contains(c.parted, [2]int{j, i})
}

// babies are held by whom they belong to: parents, then household, and by those whom the day is about only if nobody else
// is there. None stands alone where there is anybody to hold it.
func (c *scene) babies() {
	arms := map[string]int{}
	for _, p := range c.held {
		arms[p.HeldBy]++
	}
	for holder, n := range arms {
		for q := range c.places {
			if n > 1 && q != "" && arms[q] == 0 && !c.young(q) && !c.leads(q) && !c.sits(q) && !slices.ContainsFunc(c.held, func(b event.StandingPlace) bool { return b.HeldBy == holder && c.apart(b.Person, q) }) {
				c.fault("twins", "%s holds %d, and %s none", holder, n, q)
			}
		}
	}
	for id, p := range c.places {
		if id == "" || c.tree.Band(c.index[id]) != event.Infant || c.sits(id) {
			continue
		}
		own := func(q string) bool { return c.tree.Kindred(c.index[id], c.index[q]) == family.OwnParent }
		better := func(is func(string) bool) string {
			for q := range c.places {
				if q != "" && q != id && q != p.HeldBy && !c.young(q) && !(c.elder(q) && c.sits(q)) && !c.apart(id, q) && arms[q] == 0 && is(q) {
					return q
				}
			}
			return ""
		}
		home := func(q string) bool { return c.home(id, q) }
		switch {
		case p.HeldBy == "":
			if len(c.places) > 1 && slices.ContainsFunc(slices.Concat(c.rows...), func(q event.StandingPlace) bool { return c.tree.Band(c.index[q.Person]) != event.Infant }) {
				c.fault("baby alone", "%s", id)
			}
		case c.apart(id, p.HeldBy):
		case own(p.HeldBy):
		case better(own) != "":
			c.fault("baby with others", "%s is held by %s, not by its parent %s", id, p.HeldBy, better(own))
		case home(p.HeldBy):
		case better(home) != "":
			c.fault("baby with others", "%s is held by %s, not by %s of its household", id, p.HeldBy, better(home))
		case c.leads(p.HeldBy) && better(func(q string) bool { return !c.leads(q) }) != "":
			c.fault("baby with the couple", "%s is held by %s", id, p.HeldBy)
		}
	}
}

// children are not behind grown-ups unless they are as tall, and not at the end of a row beside a stranger where a
// grown-up could be.
func (c *scene) children() {
	for r, row := range c.rows {
		for at, p := range row {
			if !c.young(p.Person) {
				continue
			}
			for s, ahead := range c.rows[:r] {
				for _, q := range ahead {
					if !c.low(s) && !c.young(q.Person) && c.person(p.Person).HeightCM < 145 {
						c.fault("child behind", "%s in row %d behind %s", p.Person, r, q.Person)
					}
				}
			}
			if len(row) < 3 || at > 0 && at < len(row)-1 {
				continue
			}
			beside := row[max(1, at-1)].Person
			if at == 0 {
				beside = row[1].Person
			}
			inside := slices.ContainsFunc(row[1:len(row)-1], func(q event.StandingPlace) bool { return c.plain(q.Person) && !c.escorts(q, row) })
			holds := slices.ContainsFunc(c.held, func(b event.StandingPlace) bool { return b.HeldBy == beside && c.home(p.Person, b.Person) })
			if inside && !holds && !c.young(beside) && !c.home(p.Person, beside) && !c.taken(c.index[p.Person], c.index[beside]) {
				c.fault("child at an end", "%s beside %s in row %d", p.Person, beside, r)
			}
		}
	}
}

// neighbours are no two who are to be kept apart or have parted, as far as somebody can stand between them.
func (c *scene) neighbours() {
	for _, row := range c.rows {
		for k := 1; k < len(row); k++ {
			if len(row) > 2 && c.apart(row[k-1].Person, row[k].Person) {
				c.fault("parted side by side", "%s and %s", row[k-1].Person, row[k].Person)
			}
		}
	}
}

// few people who all stand are in one row.
func (c *scene) few() {
	if n := len(slices.Concat(c.rows...)); (n <= 3 || n <= 5 && c.roomy()) && len(c.rows) > 1 && !slices.ContainsFunc(slices.Concat(c.rows...), func(p event.StandingPlace) bool { return c.sits(p.Person) || !c.plain(p.Person) && !c.leads(p.Person) }) {
		c.fault("few in rows", "%d people in %d rows", n, len(c.rows))
	}
}

// heights of attendants fall from those whom the day is about to the ends where all of them are known. A step of 5 cm is
// not seen.
func (c *scene) heights() {
	for id, p := range c.places {
		if id == "" || !c.leads(id) && (!c.tree.Attendant(c.index[id]) || p.Guessed || !c.plain(id)) {
			return
		}
	}
	for _, row := range c.rows {
		for k := 1; k < len(row); k++ {
			left, right := row[k-1], row[k]
			if c.leads(left.Person) || c.leads(right.Person) {
				continue
			}
			if 2*k < len(row) && left.HeadCM > right.HeadCM+5 || 2*k > len(row) && right.HeadCM > left.HeadCM+5 {
				c.fault("heights", "%s %d beside %s %d", left.Person, left.HeadCM, right.Person, right.HeadCM)
			}
		}
	}
}
