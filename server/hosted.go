package server

import (
	"context"
	"errors"
	"sync"
	"time"

	"kinorder.example/server/internal/gate"
	"kinorder.example/server/internal/store"
)

const (
	// lookTime is after what time a server notices that the list of studios has changed.
	lookTime = time.Second
	// idleTime is how long a studio stays open that nobody uses.
	idleTime = 15 * time.Minute
)

// hosted are the studios beside the server's own. One is opened when somebody asks for it first, and closed when nobody
// has for a while, or when it has changed in the list or is gone from it. It is safe for use by several goroutines.
type hosted struct {
	place store.Place
	own   *studio
	open  func(context.Context, store.Studio) (*studio, error)

	looking sync.Mutex // held while the list is read
	list    *store.Studios
	known   map[string]store.Studio
	looked  time.Time
	failed  error // why nothing is known

	mu       sync.Mutex
	opened   map[string]*opened
	stopping bool
	watch    func() // begins to look after what is open
	stopped  chan struct{}
	ending   sync.WaitGroup
}

// opened is a studio that is open, or about to be.
type opened struct {
	of    store.Studio
	ready chan struct{} // closed when it is open, or cannot be
	*studio
	err error

	// Guarded by hosted.mu.
	uses    int
	used    time.Time     // when somebody left last
	retired bool          // nobody new is let in
	unused  chan struct{} // closed when it is retired and all have left
}

func newHosted(place store.Place, own *studio, open func(context.Context, store.Studio) (*studio, error)) *hosted {
	h := &hosted{place: place, own: own, open: open, opened: map[string]*opened{}, stopped: make(chan struct{})}
	h.watch = sync.OnceFunc(func() { h.ending.Go(h.lookAfter) })
	return h
}

// find is the studio that a secret or a cookie names, the server's own when it names none; leave is called when what
// it is for is done. It does not say that the secret opens anything.
func (h *hosted) find(ctx context.Context, secret string) (*studio, func(), error) {
	name := store.StudioIn(secret)
	if name == "" || h.own.guard.IsKey(secret) { // which somebody may have made up
		return h.own, func() {}, nil
	}
	known, err := h.look(ctx)
	if err != nil {
		return nil, nil, err
	}
	of, ok := known[name]
	if !ok {
		return h.own, func() {}, nil // where it opens nothing
	}
	return h.enter(ctx, of)
}

// look returns the list of studios, as it was not long ago.
func (h *hosted) look(ctx context.Context) (map[string]store.Studio, error) {
	h.looking.Lock()
	defer h.looking.Unlock()
	if time.Since(h.looked) < lookTime {
		return h.known, h.failed
	}
	ctx, cancel := context.WithTimeout(ctx, openTime)
	defer cancel()
	var err error
	if h.list == nil {
		h.list, err = h.place.Studios(ctx, false)
	}
	var all []store.Studio
	if err == nil && h.list != nil {
		all, err = h.list.List(ctx)
	}
	h.looked, h.failed = time.Now(), nil
	if err != nil {
		if h.known == nil {
			h.failed = err
		}
		return h.known, h.failed // who is known stays so while the list cannot be read
	}
	h.known = map[string]store.Studio{}
	for _, s := range all {
		h.known[s.Name] = s
	}
	return h.known, nil
}

// enter opens a studio where it is not open, and waits for that.
func (h *hosted) enter(ctx context.Context, of store.Studio) (*studio, func(), error) {
	h.mu.Lock()
	if h.stopping {
		h.mu.Unlock()
		return nil, nil, gate.ErrStopping
	}
	o := h.opened[of.Name]
	if o != nil && o.of != of {
		h.retire(o)
		o = nil
	}
	if o == nil {
		o = &opened{of: of, ready: make(chan struct{}), unused: make(chan struct{})}
		h.opened[of.Name] = o
		h.ending.Go(func() { h.begin(o) })
		h.watch()
	}
	o.uses++
	h.mu.Unlock()
	leave := sync.OnceFunc(func() {
		h.mu.Lock()
		defer h.mu.Unlock()
		o.used = time.Now()
		if o.uses--; o.uses == 0 && o.retired {
			close(o.unused)
		}
	})
	select {
	case <-o.ready:
	case <-ctx.Done():
		leave()
		return nil, nil, context.Cause(ctx)
	}
	if o.err != nil {
		leave()
		return nil, nil, o.err
	}
	return o.studio, leave, nil
}

// begin opens a studio, also when whoever asked first has gone.
func (h *hosted) begin(o *opened) {
	ctx, cancel := context.WithTimeout(context.Background(), openTime)
	defer cancel()
	o.studio, o.err = h.open(ctx, o.of)
	close(o.ready)
	if o.err != nil {
		h.mu.Lock()
		defer h.mu.Unlock()
		h.retire(o)
	}
}

// retire lets nobody new into a studio, ends its streams, and closes it when all have left. h.mu is held.
func (h *hosted) retire(o *opened) {
	if o.retired {
		return
	}
	o.retired = true
	if h.opened[o.of.Name] == o {
		delete(h.opened, o.of.Name)
	}
	if o.uses == 0 {
		close(o.unused)
	}
	h.ending.Go(func() {
		<-o.ready
		if o.err != nil {
			return
		}
		_ = o.pages.Close(context.Background()) // it listens nowhere, so there is nothing to wait for
		o.runs.Stop()
		<-o.unused
		o.teller.Stop()
		_ = o.store.Close() // what is committed is kept
	})
}

// lookAfter retires what has changed in the list, is gone from it or is not used, until the server stops.
func (h *hosted) lookAfter() {
	tick := time.NewTicker(lookTime)
	defer tick.Stop()
	for {
		select {
		case <-tick.C:
		case <-h.stopped:
			return
		}
		h.mu.Lock()
		idle := len(h.opened) == 0
		h.mu.Unlock()
		if idle {
			continue
		}
		known, err := h.look(context.Background())
		h.mu.Lock()
		for _, o := range h.opened {
			if err == nil && known[o.of.Name] != o.of || o.uses == 0 && !o.used.IsZero() && time.Since(o.used) > idleTime {
				h.retire(o)
			}
		}
		h.mu.Unlock()
	}
}

// viewers are how many watch a run, of all studios.
func (h *hosted) viewers() int {
	n := h.own.runs.Viewers()
	h.mu.Lock()
	defer h.mu.Unlock()
	for _, o := range h.opened {
		select {
		case <-o.ready:
			if o.err == nil {
				n += o.runs.Viewers()
			}
		default:
		}
	}
	return n
}

// stop lets nobody in and ends all streams.
func (h *hosted) stop() {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.stopping {
		return
	}
	h.stopping = true
	close(h.stopped)
	for _, o := range h.opened {
		h.retire(o)
	}
}

// close waits until all is closed, after stop.
func (h *hosted) close(ctx context.Context) error {
	done := make(chan struct{})
	go func() {
		h.ending.Wait()
		close(done)
	}()
	select {
	case <-done:
	case <-ctx.Done():
		return errors.New("server: studios were left open")
	}
	h.looking.Lock()
	defer h.looking.Unlock()
	if h.list == nil {
		return nil
	}
	list := h.list
	h.list = nil
	return list.Close()
}
