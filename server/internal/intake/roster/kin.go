package roster

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/kin"
)

// kinship is what is known of what one person is to others.
type kinship struct {
	relation kin.Relation // Kin is NoKin when nothing is understood
	owner    int          // whose relative, when owned
	owned    bool
	titled   bool // it comes from the name: "Nana Ines"
}

// readKinship reads the relation of a person, else the form of address in the name.
func readKinship(p event.Person) kinship {
	if r, ok := kin.Read(p.Relation); ok {
		return kinship{relation: r}
	}
	if r, _, ok := Titled(p.Name); ok {
		return kinship{relation: r, titled: true}
	}
	return kinship{}
}

// Titled takes a name with a word of kin before it apart: "Nana Ines", "Tio Rui", "Uncle Hadi Mansour".
func Titled(name string) (kin.Relation, string, bool) {
	first, rest, found := strings.Cut(strings.TrimSpace(name), " ")
	rest = strings.TrimSpace(rest)
	if !found || rest == "" {
		return kin.Relation{}, "", false
	}
	r, ok := kin.Read(first)
	if !ok || r.Owner != "" || r.Plural || r.Kind == kin.Family {
		return kin.Relation{}, "", false
	}
	return r, rest, true
}

// Relation returns what is understood of what a person is.
func (r *Roster) Relation(i int) kin.Relation { return r.kin[i].relation }

// Know says what somebody is whose own data do not say it: those who stand for "Rosa's parents".
func (r *Roster) Know(i int, rel kin.Relation) {
	r.kin[i].relation = rel
	if o, ok := r.OwnerNamed(rel.Owner); ok && rel.Owner != "" {
		r.Link(i, o)
	}
}

// Link says whose relative a person is.
func (r *Roster) Link(i, owner int) {
	if i != owner {
		r.kin[i].owner, r.kin[i].owned = owner, true
	}
}

// LinkOwners finds the owners that relations name ("Rosa's mother") among the people known.
func (r *Roster) LinkOwners() {
	for i := range r.kin {
		k := &r.kin[i]
		if k.owned || k.relation.Owner == "" {
			continue
		}
		if o, ok := r.OwnerNamed(k.relation.Owner); ok && o != i {
			k.owner, k.owned = o, true
			if side, ok := r.SideOf(o); ok && r.Event.People[i].Side == "" {
				r.Event.People[i].Side = side
			}
		}
	}
}

// OwnerNamed returns the person that the owner of a relation names: by name, or as one of the couple
// ("the bride").
func (r *Roster) OwnerNamed(words string) (int, bool) {
	if rel, ok := kin.Read(words); ok && rel.Kind == kin.OfCouple && !rel.Plural {
		people := r.CoupleMember(rel)
		return first(people), len(people) == 1
	}
	m := r.FindAt(words, names.Part, nil)
	if o, ok := m.One(); ok && m.How >= names.Part {
		return o, true
	}
	// One of the couple goes before others of that name.
	m = r.FindAt(words, names.Part, func(i int) bool { return slices.Contains(r.couple, i) })
	o, ok := m.One()
	return o, ok && m.How >= names.Part
}

func first(people []int) int {
	if len(people) == 0 {
		return -1
	}
	return people[0]
}

// House says that people came as one household.
func (r *Roster) House(people []int) {
	r.houses++
	for _, i := range people {
		if r.house[i] == 0 {
			r.house[i] = r.houses
		}
	}
}

// Household returns the others of a person's household: those named together, else those of the
// smallest circle called a household.
func (r *Roster) Household(i int) []int {
	if !r.Effort.Spend(len(r.house) + 50*len(r.Event.Circles)) {
		return nil
	}
	var out []int
	if r.house[i] != 0 {
		for j, h := range r.house {
			if h == r.house[i] && j != i {
				out = append(out, j)
			}
		}
		return out
	}
	for _, c := range r.Event.Circles {
		if !strings.Contains(names.Plain(c.Title), "household") {
			continue
		}
		people := r.PeopleOf(c.ID)
		if at := slices.Index(people, i); at >= 0 && (out == nil || len(people)-1 < len(out)) {
			out = slices.Delete(slices.Clone(people), at, at+1)
		}
	}
	return out
}

// Of returns the people whom words of kin stand for, seen from an owner: "Rosa's parents". In the
// couple's case they are those on the owner's side.
func (r *Roster) Of(want kin.Relation, owner int) []int {
	if !r.Effort.Spend(10 * len(r.kin)) {
		return nil
	}
	var out []int
	side, sided := r.SideOf(owner)
	for i := range r.kin {
		k := r.kin[i]
		if i == owner || !r.covers(want, i) {
			continue
		}
		switch {
		case want.Kind == kin.Family && sided && r.Event.People[i].Side == side:
			out = append(out, i) // a brother's wife is of the family too
		case k.owned:
			if k.owner == owner {
				out = append(out, i)
			}
		case sided && r.Event.People[i].Side == side:
			out = append(out, i)
		}
	}
	if len(out) > 0 || want.Of != nil {
		return out
	}
	switch want.Kind {
	case kin.Partner:
		return r.partner(owner)
	case kin.Offspring:
		for _, i := range r.Household(owner) {
			if r.isChild(i) {
				out = append(out, i)
			}
		}
	}
	return out
}

// covers is Relation.Covers for a person. A family is all who are related, not friends or attendants;
// children are those of that age too.
func (r *Roster) covers(want kin.Relation, i int) bool {
	rel := r.kin[i].relation
	switch want.Kind {
	case kin.Family:
		return rel.Kind != kin.Friend && rel.Kind != kin.Attendant && !slices.Contains(r.couple, i)
	case kin.NoKin:
		return false
	}
	return want.Covers(rel)
}

func (r *Roster) isChild(i int) bool {
	age := r.Event.People[i].AgeBand
	return age == event.Child || age == event.Infant || r.kin[i].relation.Kind == kin.Offspring
}

// Partner returns the partner of a person as far as the data say it.
func (r *Roster) partner(i int) []int {
	if !r.Effort.Spend(20 * len(r.kin)) {
		return nil
	}
	// "Jonas - Leïla's husband" on either side of the pair.
	for j, k := range r.kin {
		if j != i && k.relation.Kind == kin.Partner && !k.relation.Former && k.relation.Of == nil && k.owned && k.owner == i {
			return []int{j}
		}
	}
	if k := r.kin[i]; k.relation.Kind == kin.Partner && !k.relation.Former && k.relation.Of == nil && k.owned {
		return []int{k.owner}
	}
	// "sister's husband" is the partner of the only sister on that side.
	mine := r.kin[i]
	var out []int
	for j, k := range r.kin {
		if j == i || k.relation.Kind != kin.Partner || k.relation.Former || k.relation.Of == nil || k.relation.Of.Of != nil {
			continue
		}
		if r.Event.People[j].Side == r.Event.People[i].Side && k.relation.Of.Covers(mine.relation) {
			out = append(out, j)
		}
	}
	if len(out) == 1 {
		want := *r.kin[out[0]].relation.Of
		n := 0
		for j := range r.kin {
			if r.Event.People[j].Side == r.Event.People[i].Side && want.Covers(r.kin[j].relation) {
				n++
			}
		}
		if n == 1 {
			return out
		}
	}
	if slices.Contains(r.couple, i) {
		for _, o := range r.couple {
			if o != i {
				return []int{o}
			}
		}
	}
	// Of a household, the only other grown-up who is no blood relation said otherwise.
	var grown []int
	for _, j := range r.Household(i) {
		if !r.isChild(j) {
			grown = append(grown, j)
		}
	}
	if len(grown) == 1 {
		return grown
	}
	return nil
}

// Anywhere returns the people whom words of kin stand for on a side, or on all when side is "".
func (r *Roster) Anywhere(want kin.Relation, side string) []int {
	if !r.Effort.Spend(10 * len(r.kin)) {
		return nil
	}
	var out []int
	for i := range r.kin {
		if side != "" && r.Event.People[i].Side != side {
			continue
		}
		// "The kids" are all children who come, whatever they are to the couple.
		if r.covers(want, i) || want.Kind == kin.Offspring && want.Of == nil && want.Sex == kin.AnySex && !want.InLaw && r.isChild(i) {
			out = append(out, i)
		}
	}
	return out
}
