package gate

import "context"

// Party is who searches: a studio. The zero value is all who belong to none.
type Party struct {
	Number int64
	// Most is how many of its searches run at once, without replans; 0 means as many as there are places.
	Most int
}

type partyKey struct{}

// As says whose searches those in a context are.
func As(ctx context.Context, p Party) context.Context { return context.WithValue(ctx, partyKey{}, p) }

func partyOf(ctx context.Context) Party {
	p, _ := ctx.Value(partyKey{}).(Party)
	return p
}

// may says that a search is not more than its studio may have at once. Replans always may.
func (g *Gate) may(s *search) bool {
	return s.day || s.party.Most == 0 || g.plansOf(s.party) < s.party.Most
}

// plansOf is how many searches of a studio run that are no replans.
func (g *Gate) plansOf(p Party) int {
	n := 0
	for _, s := range g.running {
		if s.party.Number == p.Number && !s.day {
			n++
		}
	}
	return n
}

// next is the one in a line whose turn it is: of the studio with the fewest searches under way, and of several such
// studios the one that was let in the longest ago. It is -1 when all wait for others of their own studio.
func (g *Gate) next(line []*search) int {
	running := map[int64]int{}
	for _, s := range g.running {
		running[s.party.Number]++
	}
	best := -1
	for i, s := range line {
		if !g.may(s) {
			continue
		}
		if best >= 0 {
			a, b := s.party.Number, line[best].party.Number
			if running[a] > running[b] || running[a] == running[b] && g.let[a] >= g.let[b] {
				continue // in one studio whoever came first
			}
		}
		best = i
	}
	return best
}

// pressing counts the searches that wait: rest for any place, own for others of their own studio.
func (g *Gate) pressing() (rest int, own map[int64]int) {
	own = map[int64]int{}
	may := map[int64]int{}
	for _, s := range g.waiting {
		p := s.party
		if _, seen := may[p.Number]; !seen {
			may[p.Number] = p.Most - g.plansOf(p)
		}
		if p.Most == 0 || may[p.Number] > 0 {
			may[p.Number]--
			rest++
			continue
		}
		own[p.Number]++
	}
	return rest, own
}

// giveWay makes room in a full queue for a studio that has fewer in it than another: the last of the one that has most
// is refused. It says whether there is room.
func (g *Gate) giveWay(p Party) bool {
	waiting := map[int64]int{}
	for _, s := range g.waiting {
		waiting[s.party.Number]++
	}
	last := -1
	for i, s := range g.waiting {
		if last < 0 || waiting[s.party.Number] >= waiting[g.waiting[last].party.Number] {
			last = i
		}
	}
	if last < 0 || waiting[p.Number]+1 >= waiting[g.waiting[last].party.Number] {
		return false
	}
	out := g.waiting[last]
	g.waiting = append(g.waiting[:last:last], g.waiting[last+1:]...)
	out.cancel(g.busy(out.party))
	return true
}
