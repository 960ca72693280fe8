package model

import (
	"context"
	"time"
)

// Within is a context that ends after a time. It asks the clock: timers do not fire in a browser while a search is busy
// there, and nothing else runs.
func Within(ctx context.Context, d time.Duration) context.Context {
	return asking{ctx, time.Now().Add(d)}
}

type asking struct {
	context.Context
	until time.Time
}

var over = func() <-chan struct{} { c := make(chan struct{}); close(c); return c }()

func (a asking) Deadline() (time.Time, bool) {
	if d, ok := a.Context.Deadline(); ok && d.Before(a.until) {
		return d, true
	}
	return a.until, true
}

func (a asking) Err() error {
	if err := a.Context.Err(); err != nil || time.Now().Before(a.until) {
		return err
	}
	return context.DeadlineExceeded
}

// Done is for whoever asks again and again; it wakes nobody.
func (a asking) Done() <-chan struct{} {
	if a.Err() != nil {
		return over
	}
	return a.Context.Done()
}
