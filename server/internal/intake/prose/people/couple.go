package people

import (
	"slices"

	"kinorder.example/server/internal/intake/names"
)

// HalfOf is which of the couple the bride or groom is, 0 when that is not known.
func (r *Roll) HalfOf(sex byte) int { return r.Brides[sex] }

// InCouple reports whether a name is that of one of the couple.
func (r *Roll) InCouple(name string) bool { return r.HalfNamed(name) > 0 }

// HalfNamed is which of the couple a name is of, 0 for neither.
func (r *Roll) HalfNamed(name string) int {
	if r.Couple[0] < 0 {
		return 0
	}
	ids := r.Find(name)
	for _, i := range ids {
		if h := r.Guests[i].Half; h > 0 {
			return h
		}
	}
	return 0
}

// IsHonour reports whether a name is that of whom a day without a couple is about.
func (r *Roll) IsHonour(name string) bool {
	return r.Honour >= 0 && slices.Contains(r.Find(name), r.Honour)
}

// NearOwner finds an owner written with a slip or as an initial.
func (r *Roll) NearOwner(name string) []int {
	if h, ok := r.Initials[names.Plain(name)]; ok {
		return []int{r.Couple[h-1]}
	}
	return nil
}

// Principals are whom the day is about: the couple or the honoured, as far as they are known.
func (r *Roll) Principals() []int {
	switch {
	case r.Couple[0] >= 0:
		return r.Couple[:]
	case r.Honour >= 0:
		return []int{r.Honour}
	}
	return nil
}
