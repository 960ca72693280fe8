package api

import (
	"context"
	"time"

	"kinorder.example/server/internal/planning"
)

// gate lets in only so many searches at once and only so many to wait for them. A search keeps a
// core busy to its end, so more of them at once make all of them worse.
type gate struct {
	running chan struct{} // holds one token for each search
	waiting chan struct{} // holds one token for each caller in the queue
}

func newGate(solves, queue int) *gate {
	return &gate{running: make(chan struct{}, solves), waiting: make(chan struct{}, queue)}
}

// enter waits for a place and returns what gives it back. It returns *busyError at once when the
// queue is full, and the cause of ctx when ctx ends first.
func (g *gate) enter(ctx context.Context) (leave func(), err error) {
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
		return nil, &busyError{solves: cap(g.running), queued: cap(g.waiting), retry: g.wait()}
	}
	select {
	case g.running <- struct{}{}:
		return leave, nil
	case <-ctx.Done():
		return nil, context.Cause(ctx)
	}
}

// wait is how long a full queue takes to move up by one round, if searches take the usual budget.
func (g *gate) wait() time.Duration {
	rounds := cap(g.waiting)/cap(g.running) + 1
	return time.Duration(rounds) * planning.DefaultBudget
}
