// Package gate limits how many searches run at once. Calls, pages and running days of all studios share one gate. It does
// not search itself.
package gate

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"sync"
	"time"

	"kinorder.example/server/internal/planning"
)

// ErrStopping says that the server stopped before a search began or found anything.
var ErrStopping = errors.New("the server is stopping")

// BusyError says that the queue is full, or that a search made way for a running day.
type BusyError struct {
	Solves, Queued int           // how many are searching, how many waiting; of a studio its own
	Most           int           // how many the studio may have at once; 0 when that is not what stands in the way
	Retry          time.Duration // when a place may be free
}

func (e *BusyError) Error() string {
	if e.Most > 0 {
		return fmt.Sprintf("the studio runs as many searches at once as it may (%d; waiting: %d)", e.Most, e.Queued)
	}
	return fmt.Sprintf("the server is busy (searches that run: %d, that wait: %d)", e.Solves, e.Queued)
}

// Gate limits how many searches run at once, and how many wait. A search keeps a
// core busy until it ends, so running more at once makes each of them worse. It is safe for use by several
// goroutines.
//
// Replans of running days go to the head of the queue. If no place is free, the search that has run longest
// ends with the best it has found, once it has had the usual budget. It does so for other searches that wait once
// it has had a minute: anybody may ask for ten, and nobody waits that long for a stranger.
type Gate struct {
	solves, queue int

	mu      sync.Mutex
	stopped bool
	running []*search // in the order they were let in
	days    []*search // replans that wait, in their order
	waiting []*search // all others that wait
	lets    int64
	let     map[int64]int64 // by studio, the number of the search that was let in last, apart from replans
	timer   *time.Timer
}

// share is how long a search keeps its place when others wait that are no replans.
const share = time.Minute

// search is one that runs or waits.
type search struct {
	ctx    context.Context
	cancel context.CancelCauseFunc
	party  Party
	day    bool          // a replan of a running day
	let    chan struct{} // closed when the search is let in
	since  time.Time     // when that was
}

// New returns a gate for solves searches at once, at least 1, and a queue of callers, at least 0.
func New(solves, queue int) *Gate { return &Gate{solves: solves, queue: queue, let: map[int64]int64{}} }

// Stop ends the searches that run: their callers get the best sheet found so far, and those who wait
// get ErrStopping. It returns at once.
func (g *Gate) Stop() {
	g.mu.Lock()
	defer g.mu.Unlock()
	g.stopped = true
	for _, s := range slices.Concat(g.running, g.days, g.waiting) {
		s.cancel(ErrStopping)
	}
}

// Enter waits for a place and returns the context for the search and a function that gives the place back. The
// context ends with ctx, with the cause ErrStopping when the gate stops, and with the cause *BusyError
// when the search has to make way for a running day. Enter returns *BusyError at once when the queue is
// full, and the cause of ctx when ctx ends first.
func (g *Gate) Enter(ctx context.Context) (context.Context, func(), error) {
	return g.enter(ctx, false)
}

// EnterFirst is Enter for the replan of a running day: it goes before all other
// searches, however many are waiting, and never makes way.
func (g *Gate) EnterFirst(ctx context.Context) (context.Context, func(), error) {
	return g.enter(ctx, true)
}

func (g *Gate) enter(ctx context.Context, day bool) (context.Context, func(), error) {
	if ctx.Err() != nil {
		return nil, nil, context.Cause(ctx)
	}
	s := &search{party: partyOf(ctx), day: day, let: make(chan struct{})}
	s.ctx, s.cancel = context.WithCancelCause(ctx)
	if err := g.join(s); err != nil {
		s.cancel(err)
		return nil, nil, err
	}
	select {
	case <-s.let:
		return s.ctx, func() { g.leave(s) }, nil
	case <-s.ctx.Done():
		g.leave(s)
		return nil, nil, context.Cause(s.ctx)
	}
}

// Searches are how many run and how many wait.
func (g *Gate) Searches() (running, waiting int) {
	g.mu.Lock()
	defer g.mu.Unlock()
	return len(g.running), len(g.days) + len(g.waiting)
}

// join lets a search in or has it wait.
func (g *Gate) join(s *search) error {
	g.mu.Lock()
	defer g.mu.Unlock()
	switch {
	case g.stopped:
		return ErrStopping
	case len(g.running) < g.solves && g.may(s):
		g.letIn(s)
	case s.day:
		g.days = append(g.days, s)
		g.press()
	case len(g.waiting) < g.queue || g.giveWay(s.party):
		g.waiting = append(g.waiting, s)
		g.press()
	default:
		return g.busy(s.party)
	}
	return nil
}

func (g *Gate) letIn(s *search) {
	g.running = append(g.running, s)
	s.since = time.Now()
	if !s.day { // a replan costs no turn
		g.lets++
		g.let[s.party.Number] = g.lets
	}
	close(s.let)
}

// press ends one search for each that waits: those that have run longest, once they have had the usual budget where a
// replan waits and a minute otherwise. It schedules itself for when that will be.
func (g *Gate) press() {
	if g.timer != nil {
		g.timer.Stop()
	}
	days := len(g.days)
	rest, own := g.pressing()
	for _, s := range g.running {
		most := share
		switch {
		case s.day: // it is short
			continue
		case days > 0:
			days, most = days-1, planning.DefaultBudget
		case rest > 0:
			rest--
		case own[s.party.Number] > 0:
			own[s.party.Number]--
		default:
			continue
		}
		if wait := time.Until(s.since.Add(most)); wait > 0 {
			g.timer = time.AfterFunc(wait, func() {
				g.mu.Lock()
				defer g.mu.Unlock()
				g.press()
			})
			return // the others came later
		}
		s.cancel(g.busy(s.party))
	}
}

// leave takes a search out and lets in the next.
func (g *Gate) leave(s *search) {
	g.mu.Lock()
	defer g.mu.Unlock()
	s.cancel(context.Canceled)
	is := func(other *search) bool { return other == s }
	g.running, g.days, g.waiting = slices.DeleteFunc(g.running, is), slices.DeleteFunc(g.days, is), slices.DeleteFunc(g.waiting, is)
	for _, line := range []*[]*search{&g.days, &g.waiting} {
		for len(g.running) < g.solves {
			at := g.next(*line)
			if at < 0 {
				break
			}
			next := (*line)[at]
			*line = slices.Delete(*line, at, at+1)
			g.letIn(next)
		}
	}
	g.press()
}

// busy is the error for a caller who finds no place. The estimate assumes that every search takes the
// usual budget. A studio hears of its own searches only.
func (g *Gate) busy(of Party) *BusyError {
	out := &BusyError{Retry: time.Duration(g.queue/g.solves+1) * planning.DefaultBudget}
	for _, s := range g.running {
		if of.Number == 0 || s.party.Number == of.Number {
			out.Solves++
		}
	}
	for _, s := range slices.Concat(g.days, g.waiting) {
		if of.Number == 0 || s.party.Number == of.Number {
			out.Queued++
		}
	}
	if !g.may(&search{party: of}) {
		out.Most = of.Most
	}
	return out
}
