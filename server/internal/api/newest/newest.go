// Package newest sends the newest of what comes, and leaves out what was overtaken while it could not be sent.
package newest

import "sync"

// A Sender sends progress from a separate goroutine, so that a slow caller does not slow down the search. Progress that
// was not sent in time is replaced by newer progress.
type Sender[T any] struct {
	box  chan T // holds at most one
	done chan struct{}
	once sync.Once
}

// Start starts sending. It stops at the first error of send, which means that the caller has gone; the search
// learns that from its context.
func Start[T any](send func(T) error) *Sender[T] {
	n := &Sender[T]{box: make(chan T, 1), done: make(chan struct{})}
	go func() {
		defer close(n.done)
		var err error
		for p := range n.box {
			if err == nil {
				err = send(p)
			}
		}
	}()
	return n
}

// Put is to be called from one goroutine, and not after Close.
func (n *Sender[T]) Put(p T) {
	for {
		select {
		case n.box <- p:
			return
		default:
		}
		select {
		case <-n.box:
		default:
		}
	}
}

// Close returns when the last progress has been sent. It may be called again.
func (n *Sender[T]) Close() {
	n.once.Do(func() { close(n.box) })
	<-n.done
}
