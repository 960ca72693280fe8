package api

import (
	"sync"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

// newest passes progress on from a goroutine of its own, so that a caller who reads slowly does not
// slow the search. What is not taken in time is replaced by what is newer.
type newest struct {
	box  chan *kinorderv1.PlanProgress // holds at most one
	done chan struct{}
	once sync.Once
}

// startNewest begins to pass on. It stops sending at the first error of send, which means that the
// caller has gone; the context of the call tells the search.
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
