package api

import (
	"sync"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

// newest sends progress from a separate goroutine, so that a slow caller does not slow down the search. Progress that
// was not sent in time is replaced by newer progress.
type newest struct {
	box  chan *kinorderv1.PlanProgress // holds at most one
	done chan struct{}
	once sync.Once
}

// startNewest starts sending. It stops at the first error of send, which means that the caller has gone; the search
// learns that from its context.
func startNewest(send func(*kinorderv1.PlanProgress) error) *newest {
	n := &newest{box: make(chan *kinorderv1.PlanProgress, 1), done: make(chan struct{})}
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

// put is to be called from one goroutine, and not after close.
func (n *newest) put(p *kinorderv1.PlanProgress) {
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

// close returns when the last progress has been sent. It may be called again.
func (n *newest) close() {
	n.once.Do(func() { close(n.box) })
	<-n.done
}
