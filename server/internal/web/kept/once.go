package kept

import (
	"crypto/rand"
	"encoding/hex"
	"maps"
	"sync"
	"time"
)

// Once keeps for a while what a page has still to say at the address to which its form led, in memory: to lose it loses
// nothing else.
type Once[T any] struct {
	mu  sync.Mutex
	all map[string]waiting[T]
}

type waiting[T any] struct {
	event string
	at    time.Time
	what  T
}

const (
	mostWaiting = 200
	waitsFor    = 10 * time.Minute
)

// Put keeps something about an event and returns what it is asked for by.
func (o *Once[T]) Put(event string, now time.Time, what T) string {
	var b [9]byte
	_, _ = rand.Read(b[:]) // never fails, as its documentation says
	o.mu.Lock()
	defer o.mu.Unlock()
	maps.DeleteFunc(o.all, func(_ string, x waiting[T]) bool { return now.Sub(x.at) > waitsFor })
	if o.all == nil || len(o.all) >= mostWaiting {
		o.all = map[string]waiting[T]{}
	}
	key := hex.EncodeToString(b[:])
	o.all[key] = waiting[T]{event, now, what}
	return key
}

// Of is what is kept under a key about an event; the zero value when there is nothing.
func (o *Once[T]) Of(event, key string) T {
	o.mu.Lock()
	defer o.mu.Unlock()
	if x, ok := o.all[key]; ok && x.event == event {
		return x.what
	}
	var none T
	return none
}

// Take is Of for what is shown once: a page that is loaded again shows it no more.
func (o *Once[T]) Take(event, key string) T {
	what := o.Of(event, key)
	o.mu.Lock()
	defer o.mu.Unlock()
	delete(o.all, key)
	return what
}

// Forget drops what is kept about an event.
func (o *Once[T]) Forget(event string) {
	o.mu.Lock()
	defer o.mu.Unlock()
	maps.DeleteFunc(o.all, func(_ string, x waiting[T]) bool { return x.event == event })
}
