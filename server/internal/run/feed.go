package run

import (
	"context"
	"errors"
	"maps"
	"slices"
	"sync"
	"sync/atomic"
	"time"
)

// feed caches a run, so that only new changes are read, and only once for all viewers.
type feed struct {
	ref     Ref
	reading sync.Mutex // held while the store is read
	marking sync.Mutex // held from counting marks to keeping new ones
	now     atomic.Pointer[moment]

	// Guarded by Desk.mu.
	viewers int
	stop    context.CancelFunc // ends the reading for viewers; nil when there are none
}

// moment is a run as it was when it was read. It does not change, and its slices must not be written to.
type moment struct {
	Changes               // since the beginning
	err     error         // why no later moment will come
	over    chan struct{} // closed when there is a newer one
	state   func() State

	mu    sync.Mutex
	steps map[int64]*Update // by the sequence from which they go
}

func newMoment(c Changes, err error) *moment {
	if c.Plan != nil && !slices.ContainsFunc(c.Marks, func(m Mark) bool { return m.Sequence > c.Covers && m.Kind != Noted }) {
		c.Covers = c.LastMark // notes change no order
	}
	return &moment{
		Changes: c, err: err, over: make(chan struct{}), steps: map[int64]*Update{},
		state: sync.OnceValue(func() State { return Fold(c.Marks) }),
	}
}

const (
	// keptInMemory is how many unwatched runs stay in memory, and keptWeight how many bytes their marks may
	// take together.
	keptInMemory = 64
	keptWeight   = 16 << 20
)

// feed returns that of a run. Those that nobody watches are dropped when there are too many.
func (d *Desk) feed(ref Ref) *feed {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.feedLocked(ref)
}

func (d *Desk) feedLocked(ref Ref) *feed {
	if f := d.feeds[ref]; f != nil {
		return f
	}
	idle, weight := 0, 0
	for _, f := range d.feeds {
		if f.viewers == 0 {
			idle++
			weight += weigh(f.now.Load().Marks)
		}
	}
	if idle >= keptInMemory || weight > keptWeight {
		maps.DeleteFunc(d.feeds, func(_ Ref, f *feed) bool { return f.viewers == 0 })
	}
	f := &feed{ref: ref}
	f.now.Store(newMoment(Changes{}, nil))
	d.feeds[ref] = f
	return f
}

// read returns a run as it is now.
func (d *Desk) read(ctx context.Context, f *feed) (*moment, error) {
	f.reading.Lock()
	defer f.reading.Unlock()
	was := f.now.Load()
	c, err := d.o.Store.Changes(ctx, f.ref, was.Run.Sequence)
	if err == nil && c.Run.Sequence < was.Run.Sequence {
		// The data were put back to an earlier time.
		was = newMoment(Changes{}, nil)
		c, err = d.o.Store.Changes(ctx, f.ref, 0)
	}
	if errors.Is(err, ErrGone) {
		d.Forget(f.ref)
	}
	if err != nil {
		return nil, err
	}
	if was.Run.Ref == f.ref && c.Run.Sequence == was.Run.Sequence {
		return was, nil
	}
	if c.Plan == nil {
		c.Plan = was.Plan
	}
	// Holders of an older moment never read past the end of their slices.
	c.Marks = append(was.Marks, c.Marks...)
	next := newMoment(c, nil)
	f.publish(next)
	return next, nil
}

// publish tells viewers that there is a newer moment.
func (f *feed) publish(next *moment) { close(f.now.Swap(next).over) }

// moment reads a run as it is now.
func (d *Desk) moment(ctx context.Context, ref Ref) (*moment, error) { return d.read(ctx, d.feed(ref)) }

// join has a feed read for as long as somebody watches it.
func (d *Desk) join(ref Ref) (f *feed, leave func()) {
	d.mu.Lock()
	defer d.mu.Unlock()
	f = d.feedLocked(ref)
	f.viewers++
	if f.stop == nil && d.stopping.Err() == nil {
		ctx, stop := context.WithCancel(d.stopping)
		f.stop = stop
		d.workers.Go(func() { d.follow(ctx, f) })
	}
	return f, func() {
		d.mu.Lock()
		defer d.mu.Unlock()
		if f.viewers--; f.viewers == 0 && f.stop != nil {
			f.stop()
			f.stop = nil
		}
	}
}

// follow reads a run whenever it may have changed, until ctx ends or the store fails. Then viewers are
// told, and the next viewer starts a new feed.
func (d *Desk) follow(ctx context.Context, f *feed) {
	wakes, end := d.o.Store.Subscribe(f.ref)
	defer end()
	poll := time.NewTicker(d.o.Poll)
	defer poll.Stop()
	for {
		m, err := d.read(ctx, f)
		if ctx.Err() != nil {
			return
		}
		if err != nil {
			d.drop(f)
			f.publish(newMoment(Changes{}, err))
			return
		}
		d.catchUp(m.Changes)
		select {
		case <-wakes:
		case <-poll.C:
		case <-ctx.Done():
			return
		}
	}
}

// drop forgets a feed.
func (d *Desk) drop(f *feed) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.feeds[f.ref] == f {
		delete(d.feeds, f.ref)
	}
}

// View returns a run as it is.
func (d *Desk) View(ctx context.Context, ref Ref) (Update, error) {
	m, err := d.moment(ctx, ref)
	if err != nil {
		return Update{}, err
	}
	d.catchUp(m.Changes)
	return Update{Run: m.Run, Sequence: m.Run.Sequence, Marks: slices.Clip(m.Marks), State: m.state(), Plan: m.Plan, Covers: m.Covers, LastMark: m.LastMark}, nil
}

// Watch tells a viewer who has seen a run up to a sequence what is new, at once and then after every
// change, until ctx ends, send or allowed return an error, or the desk stops. The first update comes
// even if nothing is new. A viewer that resumes with the sequence of its last update misses nothing and
// gets nothing twice. allowed is asked before every update and at every poll. What is sent is shared by all
// viewers and must not be written to.
func (d *Desk) Watch(ctx context.Context, ref Ref, after int64, allowed func(context.Context) error, send func(*Update) error) error {
	f, leave := d.join(ref)
	defer leave()
	m, err := d.read(ctx, f)
	if err != nil {
		return err
	}
	poll := time.NewTicker(d.o.Poll)
	defer poll.Stop()
	for first := true; ; m = f.now.Load() {
		if err := allowed(ctx); err != nil {
			return err
		}
		switch {
		case m.err != nil:
			return m.err
		case m.Run.Sequence < after:
			return ErrAhead
		case first || m.Run.Sequence > after:
			u := m.step(after)
			if err := send(u); err != nil {
				return err
			}
			first, after = false, u.Sequence
		}
		if after < m.Run.Sequence {
			continue
		}
		select {
		case <-m.over:
		case <-poll.C:
		case <-ctx.Done():
			return ctx.Err()
		case <-d.stopping.Done():
			return ErrStopped
		}
	}
}

// Viewers are how many watch a run here.
func (d *Desk) Viewers() int {
	d.mu.Lock()
	defer d.mu.Unlock()
	n := 0
	for _, f := range d.feeds {
		n += f.viewers
	}
	return n
}
