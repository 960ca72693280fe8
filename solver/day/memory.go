package day

import "kinorder.example/solver"

// usualMemory is what Options without a MemoryLimit mean.
const usualMemory = 1 << 30

// noteBytes is about what it takes to remember something, beside its text.
const noteBytes = 128

// memory counts what the tables of a day take: what is noted on the way, and the exact
// search under way, which has all that is left.
type memory struct {
	limit        int64
	noted, notes int64 // so far, and at most
	exactPeak    int64
}

func newMemory(limit int64) memory {
	if limit == 0 {
		limit = usualMemory
	}
	return memory{limit: limit, notes: limit / 8}
}

// note counts something that is remembered. It returns false when there is no room for more.
func (m *memory) note(bytes int64) bool {
	if m.noted+bytes > m.notes {
		return false
	}
	m.noted += bytes
	return true
}

// left is what an exact search may take.
func (m *memory) left() int64 { return max(1, m.limit-m.notes) }

func (m *memory) peak() int64 { return m.noted + m.exactPeak }

// solve runs an exact search and notes what it took.
func (s *searcher) solve(p *solver.Problem, o solver.Options) (solver.Result, error) {
	r, err := solver.Solve(s.ctx, p, o)
	s.memory.exactPeak = max(s.memory.exactPeak, r.Stats.PeakBytes)
	return r, err
}
