package solver

import "math/rand/v2"

// schoolSpec grows an invented school day of n groupings and about the given number of people: forms
// with their teachers, year groups, teams and clubs across forms, siblings, and the staff.
func schoolSpec(seed uint64, n, people int) Spec {
	rng := rand.New(rand.NewPCG(seed, uint64(n)))
	d := &familyDay{rng: rng}
	staff := d.people(adult, people/20)
	var forms [][]PersonIndex
	for len(d.spec.People) < people {
		forms = append(forms, d.people(child, 18+rng.IntN(12)))
	}
	pick := func(from []PersonIndex, k int) (out []PersonIndex) {
		for _, x := range rng.Perm(len(from))[:min(k, len(from))] {
			out = append(out, from[x])
		}
		return out
	}
	d.must(staff)
	for k, f := range forms {
		teacher := staff[k%len(staff) : k%len(staff)+1]
		d.must(f, teacher)
		d.must(pick(f, len(f)/2))
		d.wish(f, forms[(k+1)%len(forms)], teacher)
	}
	for len(d.musts)+len(d.wishes) < n {
		a, b := forms[rng.IntN(len(forms))], forms[rng.IntN(len(forms))]
		switch rng.IntN(4) {
		case 0:
			d.wish(pick(a, 3), pick(b, 1+rng.IntN(3)))
		case 1:
			d.wish(pick(a, 6+rng.IntN(8)), pick(staff, 1))
		case 2:
			d.wish(pick(staff, 2+rng.IntN(8)))
		default:
			d.wish(pick(a, 4), pick(b, 4), pick(forms[rng.IntN(len(forms))], 4), pick(staff, 1))
		}
	}
	rng.Shuffle(len(d.wishes), func(i, j int) { d.wishes[i], d.wishes[j] = d.wishes[j], d.wishes[i] })
	return d.list(n, Balanced)
}
