package event

// Rule keeps people apart or puts them in order. Exactly one of its kinds is given; Check
// refuses none and several.
type Rule struct {
	ID          string // needed where a grouping confirms the rule
	Apart       *Apart
	Turns       *Turns
	Seniority   *Seniority
	PrivateNote string
}

// Turns says that all groupings of one entry are over before any of another begins. Which goes
// first is left to the plan. A grouping with people of several entries stands outside the rule.
type Turns struct {
	People []string // ids of people or circles
}

// Seniority says who goes first in a block: a grouping that holds somebody of an earlier entry comes
// before one that holds only people of later entries.
type Seniority struct {
	People []string // ids of people or circles, the most senior first
}

// Apart names people to be kept apart.
type Apart struct {
	People []string // ids of people or circles
	Scope  ApartScope
	Until  string // HH:MM or RFC 3339
}

// ApartScope says where people are kept apart.
type ApartScope int

// The scopes. The zero value is Frame.
const (
	Frame ApartScope = iota
	Neighbours
	InBlock
)

// ApartPair is two people to be kept apart and the entries of the rule that say so.
type ApartPair struct{ One, Other, EntryOne, EntryOther int }

// PairsIn lists the pairs of people whom the rule keeps apart, each once. The people of one entry are kept apart from
// those of the other entries and not from each other: two families, not the members of one.
func (a Apart) PairsIn(r *Index) []ApartPair {
	type key struct{ one, other int }
	seen := make(map[key]bool)
	var out []ApartPair
	var some []int // entries that stand for anybody
	for j, id := range a.People {
		if len(r.Of(id)) > 0 {
			some = append(some, j)
		}
	}
	for n, j := range some {
		for _, i := range some[:n] {
			for _, p := range r.Of(a.People[i]) {
				for _, q := range r.Of(a.People[j]) {
					k := key{min(p, q), max(p, q)}
					if p != q && !seen[k] {
						seen[k] = true
						out = append(out, ApartPair{p, q, i, j})
					}
				}
			}
		}
	}
	return out
}
