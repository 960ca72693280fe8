package day

import (
	"cmp"
	"context"
	"crypto/sha256"
	"math/rand/v2"
	"slices"

	"kinorder.example/solver"
)

// Options say how to search. The zero value is fine.
type Options struct {
	Workers int
	Seed    uint64
	// Iterations bounds the neighbourhood search; 0 means defaultIterations.
	Iterations int
	// NodeLimit bounds each exact search of one block; 0 means no limit.
	NodeLimit int64
	// MemoryLimit is the most bytes that tables take at once, those of the exact search under way among
	// them; 0 means 1 GiB. Package solver says what it counts.
	MemoryLimit int64
	// Incumbent is a plan to begin with, block by block; it is ignored when it breaks a wish.
	Incumbent [][]solver.GroupingIndex
	// OnImprove is called on each better plan, from the calling goroutine.
	OnImprove func(Result)
}

// defaultIterations ends a search without a deadline.
const defaultIterations = 20000

// Status says what a Result is.
type Status uint8

const (
	// Found: the result holds a plan. It may leave groupings out.
	Found Status = iota
	// Infeasible: proven that no plan keeps the wishes that cannot be left out (a prefix).
	Infeasible
	// Unknown: stopped before any plan was found.
	Unknown
)

// Result is the best plan found.
type Result struct {
	Status Status
	Plan   Plan
	Cost   solver.Cost
	// Lost is what the plan does without.
	Lost Lost
	// Total is Problem.Total of Cost.
	Total int64
	// Bound is a lower bound on the total of every plan that takes the same groupings.
	Bound int64
	// Proven says that no plan is better in the whole lexicographic objective.
	Proven bool
	// Iterations counts the steps of the neighbourhood search.
	Iterations int
	// PeakBytes is the most that was counted for tables.
	PeakBytes int64
}

// searcher is one call of Solve.
type searcher struct {
	p        *Problem
	o        Options
	ctx      context.Context
	d        *decoder
	tally    *tally // of the candidate that is repaired
	rng      *rand.Rand
	best     orders
	bestIs   score
	hasBest  bool
	bound    int64
	boundOf  []solver.GroupingIndex // the groupings that the bound speaks of, by rising index
	proven   bool
	iters    int
	rounds   int // of improving
	polished map[[sha256.Size]byte]bool
	memory   memory
	large    bool                   // see largeDay
	list     []solver.GroupingIndex // of fits
	places   []candidate            // of shortPlace
}

// candidate is a place for a grouping.
type candidate struct {
	block  BlockIndex
	at     int
	longer solver.Seconds // takes the block, if nobody waits
	score  score
}

// Solve finds the best plan it can until it is proven, ctx ends or the limits of the options are
// reached. A stop is no error. Same problem and options without a deadline give the same plan.
func Solve(ctx context.Context, p *Problem, o Options) (Result, error) {
	s := newSearcher(ctx, p, o)
	if err := s.run(); err != nil {
		return Result{}, err
	}
	return s.result(), nil
}

func newSearcher(ctx context.Context, p *Problem, o Options) *searcher {
	if o.Iterations == 0 {
		o.Iterations = defaultIterations
	}
	return &searcher{
		p: p, o: o, ctx: ctx, d: newDecoder(p), tally: newTally(p), large: isLarge(p),
		rng:      rand.New(rand.NewPCG(o.Seed, 0x6b696e)),
		polished: map[[sha256.Size]byte]bool{},
		memory:   newMemory(o.MemoryLimit),
	}
}

// exact are the options of an exact search that ends after a number of nodes, at the latest after
// NodeLimit; 0 sets no other end.
func (s *searcher) exact(nodes int64) solver.Options {
	if most := s.o.NodeLimit; most > 0 && (nodes == 0 || nodes > most) {
		nodes = most
	}
	return solver.Options{Workers: s.o.Workers, Seed: s.o.Seed, MemoryLimit: s.memory.left(), NodeLimit: nodes}
}

func (s *searcher) run() error {
	begun := s.offer(orders(s.o.Incumbent))
	if begun && s.bestIs.lost != (Lost{}) && s.ctx.Err() == nil && !s.large {
		s.offer(s.insertAll(s.best.clone(), s.byWorth(s.leftOut(s.best))))
	}
	if !begun || !s.large || s.bestIs.lost != (Lost{}) { // a large day has no time for two that take everything
		s.construct()
	}
	s.report()
	// Blocks on their own are solved with everything in them: not before there seems to be room for it.
	late := s.hasBest && s.bestIs.lost != (Lost{})
	if !late {
		if done, err := s.solveSeparately(); err != nil || done || s.proven {
			return err
		}
	}
	if done, err := s.enumerate(); err != nil || done {
		return err
	}
	for s.hasBest {
		if err := s.improve(); err != nil {
			return err
		}
		if late && s.bestIs.lost == (Lost{}) {
			late = false
			if done, err := s.solveSeparately(); err != nil || done {
				return err
			}
		}
		// The best plan may be one from which something was taken out that has a place again.
		if s.offer(s.insertAll(s.best.clone(), s.byTier(s.leftOut(s.best)))) {
			s.report()
		}
		s.closeBound()
		s.rounds = min(s.rounds+1, 20)
		if s.proven || s.ctx.Err() != nil || s.iters >= s.o.Iterations {
			break
		}
		s.report()
	}
	return nil
}

func (s *searcher) result() Result {
	if !s.hasBest {
		return Result{Status: Unknown}
	}
	s.d.decode(s.best)
	r := Result{
		Status: Found, Plan: s.d.plan(s.best), Cost: s.d.cost, Lost: s.bestIs.lost, Total: s.p.Total(s.d.cost),
		Proven: s.proven, Iterations: s.iters, PeakBytes: s.memory.peak(),
	}
	if slices.Equal(s.boundOf, s.taken()) {
		r.Bound = min(s.bound, r.Total)
	}
	return r
}

// prove takes a lower bound on the total of every plan that takes just the given groupings.
func (s *searcher) prove(of []solver.GroupingIndex, bound int64) {
	if !slices.Equal(of, s.boundOf) {
		s.bound, s.boundOf = 0, of
	}
	s.bound = max(s.bound, bound)
}

func (s *searcher) report() {
	if s.o.OnImprove != nil && s.hasBest {
		s.o.OnImprove(s.result())
	}
}

// offer takes a candidate as the best so far if it is valid and better.
func (s *searcher) offer(o orders) bool {
	if !s.p.areAllowed(o) {
		return false
	}
	score, ok := s.d.decode(o)
	if !ok || s.hasBest && !score.less(s.bestIs) {
		return false
	}
	s.best, s.bestIs, s.hasBest = o.clone(), score, true
	return true
}

// construct inserts the groupings one by one where they cost least, in a few sequences.
func (s *searcher) construct() {
	n := len(s.p.spec.Groupings)
	asked := make([]solver.GroupingIndex, n)
	for g := range asked {
		asked[g] = solver.GroupingIndex(g)
	}
	large := slices.Clone(asked)
	slices.SortStableFunc(large, func(a, b solver.GroupingIndex) int {
		return cmp.Compare(len(s.p.spec.Groupings[b].Members), len(s.p.spec.Groupings[a].Members))
	})
	narrow := slices.Clone(asked)
	slices.SortStableFunc(narrow, func(a, b solver.GroupingIndex) int { return cmp.Compare(s.room(a), s.room(b)) })
	for i, sequence := range [][]solver.GroupingIndex{asked, large, narrow} {
		if i > 0 && (s.ctx.Err() != nil || s.large) {
			return
		}
		if s.offer(s.insertAll(s.empty(), s.byTier(sequence))) {
			s.report()
		}
	}
	if s.ctx.Err() == nil && !s.large && s.bestIs.lost != (Lost{}) && s.offer(s.insertAll(s.empty(), s.byWorth(asked))) {
		s.report()
	}
}

// byWorth lists groupings by what each brings for its time beside those before it.
func (s *searcher) byWorth(asked []solver.GroupingIndex) (out []solver.GroupingIndex) {
	rest := slices.Clone(asked)
	s.tallyOf(s.empty())
	for len(rest) > 0 {
		next := s.worthMost(rest)
		out = append(out, rest[next])
		s.tally.set(rest[next], true)
		rest = slices.Delete(rest, next, next+1)
	}
	return out
}

// largeDay is the work of trying every place for every grouping beyond which a first plan appends
// groupings instead: it must be there at once.
const largeDay = 20_000_000

func isLarge(p *Problem) bool {
	n := len(p.spec.Groupings)
	return n*n*p.Look() > largeDay
}

// empty holds nothing but the prefixes.
func (s *searcher) empty() orders {
	o := make(orders, len(s.p.spec.Blocks))
	for b, block := range s.p.spec.Blocks {
		o[b] = slices.Clone(block.Prefix)
	}
	return o
}

// room measures how much freedom a grouping has: the seconds of its windows over its blocks.
func (s *searcher) room(g solver.GroupingIndex) solver.Seconds {
	w := &s.p.spec.Groupings[g]
	var sum solver.Seconds
	for _, b := range s.p.possible[g] {
		open, closes := s.p.spec.Blocks[b].Open, s.p.spec.Blocks[b].Close
		if closes == 0 {
			closes = solver.MaxSeconds
		}
		if len(w.Windows) == 0 {
			sum += closes - open
		}
		for _, window := range w.Windows {
			sum += max(0, min(closes, window.Close)-max(open, window.Open))
		}
	}
	return sum
}

// byTier keeps the sequence inside each tier and puts low tiers first.
func (s *searcher) byTier(sequence []solver.GroupingIndex) []solver.GroupingIndex {
	out := slices.Clone(sequence)
	slices.SortStableFunc(out, func(a, b solver.GroupingIndex) int {
		return cmp.Compare(s.p.spec.Groupings[a].Tier, s.p.spec.Groupings[b].Tier)
	})
	return out
}

// insertAll inserts the groupings that are not in a prefix, leaving out what fits nowhere.
func (s *searcher) insertAll(o orders, sequence []solver.GroupingIndex) orders {
	placed := make([]bool, len(s.p.spec.Groupings))
	for _, list := range o {
		for _, g := range list {
			placed[g] = true
		}
	}
	sequence = slices.DeleteFunc(slices.Clone(sequence), func(g solver.GroupingIndex) bool { return placed[g] })
	if s.large {
		return s.appended(o, sequence)
	}
	for _, g := range sequence {
		if best, ok := s.bestPlace(o, g, 0); ok {
			o[best.block] = slices.Insert(o[best.block], best.at, g)
		}
	}
	return o
}
