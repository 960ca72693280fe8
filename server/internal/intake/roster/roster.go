// Package roster puts an event together from what a file says bit by bit: people with ids of their
// own, sides, circles, the couple, and who is what to whom. It finds people by name and by relation;
// it reads no files.
package roster

import (
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/effort"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/kin"
)

// Roster is an event in the making.
type Roster struct {
	Event  event.Event
	Effort *effort.Meter

	index   names.Index
	ids     map[string]bool // of people and circles, which share theirs
	sideIDs map[string]bool
	groups  map[string]bool   // ids of groupings
	byID    map[string]int    // people
	whole   map[string]string // ids by whole names and titles, "" for those of several; nil when a name has changed
	circles map[string]int    // by id
	titles  map[string][]int  // circles by their title as names are compared
	labels  []string          // of sides, as names are compared
	numbers map[string]int    // how often an id was made of a name
	owners  map[string]int    // of a side: the one of the couple whose side it is
	couple  []int
	kin     []kin.Relation
}

// New starts from an event, which may be empty. The lists of base are copied, not changed. m counts what
// finding people costs; it may be nil.
func New(base event.Event, m *effort.Meter) *Roster {
	r := &Roster{
		Effort: m, index: names.Index{Effort: m}, numbers: make(map[string]int),
		Event: base, ids: make(map[string]bool), sideIDs: make(map[string]bool), groups: make(map[string]bool),
		byID: make(map[string]int), circles: make(map[string]int), titles: make(map[string][]int), owners: make(map[string]int),
	}
	r.Event.Sides = slices.Clone(base.Sides)
	r.Event.People = nil
	r.Event.Circles = nil
	r.Event.Groupings = slices.Clone(base.Groupings)
	for _, s := range base.Sides {
		r.sideIDs[s.ID] = true
		r.labels = append(r.labels, names.Plain(s.Label))
	}
	for _, g := range base.Groupings {
		r.groups[g.ID] = true
	}
	for _, p := range base.People {
		r.index.Add(r.keep(p), p.ID)
	}
	for _, c := range base.Circles {
		r.keepCircle(c)
	}
	r.findCouple()
	r.findOwners()
	return r
}

// keep takes a person over with the id they have.
func (r *Roster) keep(p event.Person) int {
	i := len(r.Event.People)
	r.Event.People = append(r.Event.People, p)
	r.ids[p.ID] = true
	if _, double := r.byID[p.ID]; !double {
		r.byID[p.ID] = i
	}
	r.call(p.Name, p.ID)
	r.index.Add(i, p.Name)
	for _, n := range p.Nicknames {
		r.index.Add(i, n)
	}
	r.kin = append(r.kin, relationOf(p))
	return i
}

// Add takes a new person up and gives them an id made of the name, unless they have one that is free.
func (r *Roster) Add(p event.Person) int {
	if p.ID == "" || r.ids[p.ID] {
		p.ID = r.newID(p.Name, "person", r.ids)
	}
	return r.keep(p)
}

// Update changes a person and what is known of them.
func (r *Roster) Update(i int, change func(*event.Person)) {
	p := &r.Event.People[i]
	before, known := p.Name, len(p.Nicknames)
	change(p)
	if p.Name != before {
		r.whole = nil
		r.index.Add(i, p.Name)
	}
	for _, n := range p.Nicknames[min(known, len(p.Nicknames)):] {
		r.index.Add(i, n)
	}
	r.kin[i] = relationOf(*p)
}

// Find returns who is meant by a name; see names.Index.Find.
func (r *Roster) Find(text string, keep func(int) bool) names.Match { return r.index.Find(text, keep) }

// FindAt is Find for matches of at least a kind.
func (r *Roster) FindAt(text string, least names.How, keep func(int) bool) names.Match {
	return r.index.FindAt(text, least, keep)
}

// ID returns the id of a person.
func (r *Roster) ID(i int) string { return r.Event.People[i].ID }

// Names lists the names of people.
func (r *Roster) Names(people []int) []string {
	out := make([]string, len(people))
	for k, i := range people {
		out[k] = r.Event.People[i].Name
	}
	return out
}

// IDs lists the ids of people.
func (r *Roster) IDs(people []int) []string {
	out := make([]string, len(people))
	for k, i := range people {
		out[k] = r.ID(i)
	}
	return out
}

// NewGroupingID makes an id for a grouping.
func (r *Roster) NewGroupingID(title string) string { return r.newID(title, "g", r.groups) }

// HasGrouping reports whether the id of a grouping is in use, and TakeGroupingID takes it.
func (r *Roster) HasGrouping(id string) bool { return r.groups[id] }

// TakeGroupingID keeps an id from being made up for another grouping.
func (r *Roster) TakeGroupingID(id string) { r.groups[id] = true }

// Known returns the id that a text stands for just as it is written: an id, or the only whole name or
// title of a circle that is the same.
func (r *Roster) Known(text string) (string, bool) {
	if r.ids[text] {
		return text, true
	}
	if r.whole == nil {
		r.whole = make(map[string]string)
		for _, p := range r.Event.People {
			r.call(p.Name, p.ID)
		}
		for _, c := range r.Event.Circles {
			r.call(c.Title, c.ID)
		}
	}
	id := r.whole[text]
	return id, r.Effort.Spend(1) && id != ""
}

// call keeps what a whole name stands for, once somebody has asked for one.
func (r *Roster) call(name, id string) {
	if r.Effort.Spend(4); r.whole == nil {
		return
	}
	if _, several := r.whole[name]; several || name == "" { // as is a circle without a title
		id = ""
	}
	r.whole[name] = id
}

// SideNamed returns the side with a label or id.
func (r *Roster) SideNamed(label string) (string, bool) {
	plain := names.Plain(label)
	r.Effort.Spend(len(r.labels))
	for i, s := range r.Event.Sides {
		if s.ID == label || plain != "" && r.labels[i] == plain {
			return s.ID, true
		}
	}
	return "", false
}

func (r *Roster) keepSide(id, label string) {
	r.sideIDs[id] = true
	r.Event.Sides = append(r.Event.Sides, event.Side{ID: id, Label: label})
	r.labels = append(r.labels, names.Plain(label))
}

// AddSide makes a side, with the one of the couple whose side it is, or -1.
func (r *Roster) AddSide(label string, owner int) string {
	word := label
	if owner >= 0 {
		word = r.Event.People[owner].Name
	}
	id := r.newID(word, "side", r.sideIDs)
	r.keepSide(id, label)
	if owner >= 0 {
		r.owners[id] = owner
		r.Event.People[owner].Side = id
	}
	return id
}

// AddSideAs makes a side with an id of its own.
func (r *Roster) AddSideAs(id, label string) string {
	r.keepSide(id, label)
	return id
}

// SideOf returns the side that a person of the couple stands for.
func (r *Roster) SideOf(owner int) (string, bool) {
	r.Effort.Spend(2 * len(r.Event.Sides))
	for _, s := range r.Event.Sides {
		if o, ok := r.owners[s.ID]; ok && o == owner {
			return s.ID, true
		}
	}
	return "", false
}

// Owner returns the one of the couple whose side it is.
func (r *Roster) Owner(side string) (int, bool) {
	o, ok := r.owners[side]
	return o, ok
}

// Couple returns the couple, nobody when it is not known.
func (r *Roster) Couple() []int { return r.couple }

// SetCouple says who the couple is.
func (r *Roster) SetCouple(people []int) { r.couple = slices.Clone(people); r.findOwners() }

// CoupleMember returns the one of the couple whom words such as "bride" stand for: the one with that
// relation.
func (r *Roster) CoupleMember(want kin.Relation) []int {
	if !r.Effort.Spend(2 * len(r.kin)) {
		return nil
	}
	var out []int
	for i := range r.kin {
		if want.Covers(r.kin[i]) {
			out = append(out, i)
		}
	}
	return out
}

// findCouple looks for the couple of an event: by a circle called so, else by the relations.
func (r *Roster) findCouple() {
	for _, c := range r.Event.Circles {
		rel, ok := kin.Read(c.Title)
		if c.ID == "couple" || ok && rel.Kind == kin.OfCouple && rel.Plural && rel.Owner == "" {
			if people := r.PeopleOf(c.ID); len(people) == 2 {
				r.couple = people
				return
			}
		}
	}
	if people := r.CoupleMember(kin.Relation{Kind: kin.OfCouple}); len(people) == 2 {
		r.couple = people
	}
}

// findOwners finds whose side each side is: the label names them, or they alone of the couple are
// on it.
func (r *Roster) findOwners() {
	for _, s := range r.Event.Sides {
		if _, known := r.owners[s.ID]; known {
			continue
		}
		if rel, ok := kin.Read(s.Label); ok && rel.Owner != "" {
			inCouple := func(i int) bool { return len(r.couple) == 0 || slices.Contains(r.couple, i) }
			if o, ok := r.Find(rel.Owner, inCouple).One(); ok {
				r.owners[s.ID] = o
				continue
			}
		}
		var on []int
		for _, p := range r.couple {
			if r.Event.People[p].Side == s.ID {
				on = append(on, p)
			}
		}
		if len(on) == 1 {
			r.owners[s.ID] = on[0]
		}
	}
	if len(r.couple) == 0 && len(r.owners) == 2 {
		for _, s := range r.Event.Sides {
			if o, ok := r.owners[s.ID]; ok && !slices.Contains(r.couple, o) {
				r.couple = append(r.couple, o)
			}
		}
		if len(r.couple) != 2 {
			r.couple = nil
		}
	}
}

// HasID reports whether an id is that of a person or circle.
func (r *Roster) HasID(id string) bool { return r.ids[id] }
