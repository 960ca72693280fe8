package sheet

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/sheet/fold"
	"kinorder.example/server/internal/sheet/script"
	"kinorder.example/server/internal/wording"
)

// group is a set of people that can be called by one title.
type group struct {
	id     string
	title  string
	leader string // id of a person, or empty
	people map[string]bool
}

// directory finds the names that belong to ids.
type directory struct {
	cat     *wording.Catalogue
	people  map[string]*event.Person
	groups  []group // the largest first
	blocks  map[string]*event.Block
	titles  map[string]string         // of photographs
	guests  map[string]int            // in photographs, beside those with a name
	worth   map[string]event.Priority // of photographs
	english map[string]string         // of photographs whose title was made up: how the event has it
}

// newDirectory indexes an event. It copes with events that would not pass validation: of two equal
// ids the first counts, and circles that contain each other are read once.
func newDirectory(cat *wording.Catalogue, e *event.Event) *directory {
	d := &directory{
		cat:    cat,
		people: make(map[string]*event.Person, len(e.People)),
		blocks: make(map[string]*event.Block, len(e.Blocks)),
		titles: map[string]string{}, english: map[string]string{}, guests: map[string]int{}, worth: map[string]event.Priority{},
	}
	for i := range e.People {
		if p := &e.People[i]; d.people[p.ID] == nil {
			d.people[p.ID] = p
		}
	}
	for i := range e.Blocks {
		if b := &e.Blocks[i]; d.blocks[b.ID] == nil {
			d.blocks[b.ID] = b
		}
	}
	d.readTitles(e)
	for _, g := range e.Groupings { // a sheet may name a grouping of which no photograph is left
		if t := fold.Clean(g.Title); t != "" && d.titles[g.ID] == "" {
			d.titles[g.ID] = t
		}
	}
	d.groups = d.readCircles(e)
	return d
}

// readTitles reads what photographs are called. Those without a title of their own have one made in
// the language of the sheet.
func (d *directory) readTitles(e *event.Event) {
	read := func(words event.TitleWords, titles map[string]string, made bool) {
		taken, emptied := event.ExpandIn(*e, words)
		for _, p := range slices.Concat(taken, emptied) {
			d.guests[p.ID], d.worth[p.ID] = p.Guests, p.Priority
			if _, double := titles[p.ID]; !double && (!made || fold.Clean(e.Groupings[p.Source].Title) == "") {
				titles[p.ID] = fold.Clean(p.Title)
			}
		}
	}
	read(event.TitlesIn(d.cat), d.titles, false)
	if d.cat.Tag() != "en" {
		read(event.EnglishTitles, d.english, true)
	}
}

// readCircles resolves every circle to the people who are there.
func (d *directory) readCircles(e *event.Event) []group {
	var groups []group
	for i, people := range event.Circles(*e) {
		c := &e.Circles[i]
		g := group{id: c.ID, title: fold.Clean(c.Title), leader: c.Leader, people: map[string]bool{}}
		switch {
		case g.title == "":
			continue
		case g.id == "everybody" && g.title == "Everybody": // as lists make it
			g.title = d.cat.Say("sheet.everybody")
		}
		for _, id := range people {
			if p := d.people[id]; p != nil && !p.Absent {
				g.people[id] = true
			}
		}
		if len(g.people) > 1 {
			groups = append(groups, g)
		}
	}
	slices.SortStableFunc(groups, func(a, b group) int { return len(b.people) - len(a.people) })
	return groups
}

// name returns what is printed for the id of a person. An id that the event does not know is shown
// as such, so that nobody silently falls off the sheet.
func (d *directory) name(id string) string {
	if p := d.people[id]; p != nil {
		if n := fold.Clean(p.Name); n != "" {
			return n
		}
		return fold.Clean(id)
	}
	return d.cat.Say("sheet.unknown", fold.Clean(id))
}

// short returns names for ids, with the title of a circle in place of its people where all of those
// who are there are among the ids. It is for people who are not called one by one.
func (d *directory) short(ids []string) []string {
	var out []string
	for _, c := range d.clusters(ids) {
		if c.group != nil {
			out = append(out, d.titleOf(*c.group))
		} else {
			out = append(out, d.name(c.id))
		}
	}
	return out
}

// saying is how the name of somebody is said, of which nobody stops in the middle at the end of a line; empty where it is
// not known, or the sheet is in the script of the name.
func (d *directory) saying(id string) string {
	p := d.people[id]
	if p == nil || fold.Clean(p.SayAs) == "" || script.Native(d.cat, d.name(id)) {
		return ""
	}
	return d.cat.Say("sheet.say", strings.ReplaceAll(fold.Clean(p.SayAs), "-", "\u2011"))
}

// aloud is how a cluster is named to somebody who reads it out.
func (d *directory) aloud(c cluster) string {
	if c.group != nil {
		return d.titleOf(*c.group)
	}
	return d.said(c.id)
}

// said is a name for somebody who reads it out and may not know the script. Only the name has a direction of its own.
func (d *directory) said(id string) string {
	name, say := d.name(id), d.saying(id)
	if say == "" || !script.Unread(d.cat, name) {
		return name
	}
	mark := "\u200e" // the direction of the sheet, which starts the line
	if d.cat.RightLeft() {
		mark = "\u200f"
	}
	return mark + d.cat.Isolated(name) + " " + say
}

// saidOf names people for somebody who reads them out.
func (d *directory) saidOf(ids []string) []string {
	out := make([]string, len(ids))
	for i, id := range ids {
		out[i] = d.said(id)
	}
	return out
}

// cluster is a circle of which all are there, or a person by their id.
type cluster struct {
	id    string // of the first person
	group *group
}

// clusters parts people into the largest circles that they make up, in the order of their first people.
func (d *directory) clusters(ids []string) []cluster {
	left := make(map[string]bool, len(ids))
	for _, id := range ids {
		left[id] = true
	}
	at := map[string]*group{} // by the first person whom it covers
	for i := range d.groups {
		g := &d.groups[i]
		if len(g.people) > len(left) || !within(g.people, left) {
			continue
		}
		for _, id := range ids {
			if g.people[id] && left[id] {
				at[id] = g
				break
			}
		}
		for id := range g.people {
			delete(left, id)
		}
	}
	var out []cluster
	for _, id := range ids {
		if g := at[id]; g != nil || left[id] {
			out = append(out, cluster{id, g})
		}
	}
	return out
}

// before compares two of which those that are so come first.
func before(x, y bool) int {
	if x == y {
		return 0
	}
	if x {
		return -1
	}
	return 1
}

// titleOf names a group, with the number of people when it is not a pair.
func (d *directory) titleOf(g group) string {
	if len(g.people) == 2 {
		return g.title
	}
	return d.cat.Say("sheet.circle", len(g.people), g.title)
}

// within reports whether every id of a is in b.
func within(a, b map[string]bool) bool {
	for id := range a {
		if !b[id] {
			return false
		}
	}
	return true
}
