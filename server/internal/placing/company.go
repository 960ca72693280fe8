package placing

import (
	"math/bits"
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/family"
	"kinorder.example/solver/standing"
)

// Whose a child is that no words tell of, and whose friend somebody is without a side, shows in who is photographed with
// whom. At least companyNumerator in companyDenominator of the photographs that either is in are of both, and at most
// mostCompany such grown-ups are not just a class or a team. Common practice, no source.
const (
	companyNumerator, companyDenominator = 2, 3
	mostCompany                          = 4
)

// taken says in which photographs each person is.
func taken(people int, x *event.Expansion) [][]uint64 {
	out := make([][]uint64, people)
	for p := range out {
		out[p] = make([]uint64, (len(x.All)+63)/64)
	}
	for s, shot := range x.All {
		if shot.Taken() {
			for _, p := range shot.Members {
				out[p][s/64] |= 1 << (s % 64)
			}
		}
	}
	return out
}

// sideWith puts guests without a side to that of the one of two whom they are photographed with, and never without the other.
func (k *kindred) sideWith(halves []family.Half, shots [][]uint64) {
	if len(halves) != 2 || k.sides[halves[0].One] == k.sides[halves[1].One] {
		return
	}
	one, other := shots[halves[0].One], shots[halves[1].One]
	for p, side := range k.sides {
		if side != standing.NoSide {
			continue
		}
		with := [2]bool{}
		for i, s := range shots[p] {
			with[0], with[1] = with[0] || s&one[i]&^other[i] != 0, with[1] || s&other[i]&^one[i] != 0
		}
		if with[0] != with[1] {
			h := 0
			if with[1] {
				h = 1
			}
			k.sides[p] = k.sides[halves[h].One]
		}
	}
}

// findCompany finds the grown-ups whom each child belongs to of whom no words and no household tell whose it is.
func (p *placer) findCompany(shots [][]uint64) {
	p.company = make([][]int, len(p.event.People))
	for child := range p.event.People {
		if p.grown(child) || p.hasHome(child) {
			continue
		}
		var out []int
		for q := range p.event.People {
			both, all := 0, 0
			for i, s := range shots[child] {
				both, all = both+bits.OnesCount64(s&shots[q][i]), all+bits.OnesCount64(s|shots[q][i])
			}
			if p.grown(q) && !slices.Contains(p.kin.tree.Honoured(), q) && all > 0 && companyDenominator*both >= companyNumerator*all {
				out = append(out, q)
			}
		}
		if len(out) <= mostCompany {
			p.company[child] = out
		}
	}
}

// hasHome says that words or a household tell whose a child is.
func (p *placer) hasHome(child int) bool {
	if slices.ContainsFunc(p.circlesOf[child], func(c int) bool {
		return p.circles[c].bond < standing.Circle && slices.ContainsFunc(p.circles[c].people, p.grown)
	}) {
		return true
	}
	for q := range p.event.People {
		if p.grown(q) && p.kin.kindred(child, q) != family.Stranger {
			return true
		}
	}
	return false
}
