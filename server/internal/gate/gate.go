// Package gate lets in only so many searches at once, whoever asks for them: calls and pages share one
// gate. It searches nothing itself.
package gate

import (
	"context"
	"errors"
	"fmt"
	"time"

	"kinorder.example/server/internal/planning"
)

// ErrStopping says that the server ends before a search began or found anything.
var ErrStopping = errors.New("the server is stopping")

// BusyError says that the queue is full.
type BusyError struct {
	Solves, Queued int           // how many search and wait
	Retry          time.Duration // after which a place may be free
}

func (e *BusyError) Error() string {
	return fmt.Sprintf("%d searches run and %d wait", e.Solves, e.Queued)
}

// Gate lets in only so many searches at once and only so many to wait for them. A search keeps a
// core busy to its end, so more of them at once make all of them worse. It is safe for use by several
// goroutines.
type Gate struct {
	running chan struct{} // holds one token for each search
	waiting chan struct{} // holds one token for each caller in the queue

	stopping context.Context // ends with Stop
	stop     context.CancelFunc
}

// New returns a gate for so many searches at once, at least 1, and so many who wait, at least 0.
func New(solves, queue int) *Gate {
	g := &Gate{running: make(chan struct{}, solves), waiting: make(chan struct{}, queue)}
	g.stopping, g.stop = context.WithCancel(context.Background())
	return g
}

// Stop ends the searches that run: their callers get the best sheet found so far, and those who wait
// get ErrStopping. It returns at once.
func (g *Gate) Stop() { g.stop() }

// Context returns the context of one search: it ends with ctx or, with the cause ErrStopping, when
// the gate stops. Call release when the search is over.
func (g *Gate) Context(ctx context.Context) (search context.Context, release func()) {
	search, cancel := context.WithCancelCause(ctx)
	detach := context.AfterFunc(g.stopping, func() { cancel(ErrStopping) })
	return search, func() { detach(); cancel(context.Canceled) }
}

// Enter waits for a place and returns what gives it back. It returns *BusyError at once when the
// queue is full, and the cause of ctx when ctx ends first.
func (g *Gate) Enter(ctx context.Context) (leave func(), err error) {
	leave = func() { <-g.running }
	select {
	case g.running <- struct{}{}:
		return leave, nil
	default:
	}
	select {
	case g.waiting <- struct{}{}:
		defer func() { <-g.waiting }()
	default:
		return nil, &BusyError{Solves: cap(g.running), Queued: cap(g.waiting), Retry: g.wait()}
	}
	select {
	case g.running <- struct{}{}:
		return leave, nil
	case <-ctx.Done():
		return nil, context.Cause(ctx)
	}
}

// wait is how long a full queue takes to move up by one round, if searches take the usual budget.
func (g *Gate) wait() time.Duration {
	rounds := cap(g.waiting)/cap(g.running) + 1
	return time.Duration(rounds) * planning.DefaultBudget
}
