package run

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"log/slog"
	"maps"
	"runtime/debug"
	"slices"
	"sync"
	"time"

	"kinorder.example/server/internal/caught"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/gate"
	"kinorder.example/server/internal/planning"
)

// Store keeps runs.
type Store interface {
	// Occasion returns what a run is about.
	Occasion(ctx context.Context, ref Ref) (Occasion, error)
	// AddMarks keeps marks, all or none, and returns the sequence after them. Marks that are there
	// already are left as they are.
	AddMarks(ctx context.Context, ref Ref, marks []Mark) (int64, error)
	// Changes returns what happened after a sequence.
	Changes(ctx context.Context, ref Ref, after int64) (Changes, error)
	// SavePlan keeps a plan that heeds the marks up to covers and takes the place of the one that was
	// kept at a sequence, 0 for none. One that heeds more marks stays, and so does another that heeds
	// as many.
	SavePlan(ctx context.Context, ref Ref, covers, replaces int64, p Plan) (bool, error)
	// Subscribe returns a channel that gets a value when a run may have changed.
	Subscribe(ref Ref) (<-chan struct{}, func())
}

// DeskOptions say how a desk works. Store, Replan and Gate are required.
type DeskOptions struct {
	Store  Store
	Replan func(context.Context, event.Event, planning.Today, planning.Options) (planning.Outlook, error)
	// Gate is where replans wait, before all other searches; Party is whose they are.
	Gate  *gate.Gate
	Party gate.Party
	// Now is the clock. Nil means time.Now.
	Now func() time.Time
	// Poll is how often viewers check for changes without being woken. 0 means 2 seconds.
	Poll time.Duration
	// Log gets ids of runs and causes, which quote nothing of an event. Nil means none.
	Log *slog.Logger
}

// tolerated is the difference between clocks that is ignored: it may come from the network.
const tolerated = 2 * time.Second

// ErrStopped says that the desk was stopped.
var ErrStopped = errors.New("the desk is closed")

// ErrAhead says that a viewer has seen more than there is: it watched another run, or the data were put
// back to an earlier time. It has to start again from the beginning.
var ErrAhead = errors.New("there is no such sequence yet")

// ErrGone says that the run does not exist, or has been deleted.
var ErrGone = errors.New("not found")

// InvalidError says what is wrong with marks.
type InvalidError struct{ Faults []event.Advice }

// Error names places and codes only.
func (e *InvalidError) Error() string { return (&event.InvalidError{Faults: e.Faults}).Error() }

// Desk takes in marks, replans and tells viewers. Several desks may work on one store. It is safe
// for use by several goroutines.
type Desk struct {
	o        DeskOptions
	stopping context.Context
	stop     context.CancelFunc
	workers  sync.WaitGroup

	mu        sync.Mutex
	again     map[Ref]bool // runs that are being planned; true when a mark came meanwhile
	occasions map[Ref]Occasion
	feeds     map[Ref]*feed
}

// NewDesk returns a desk that is open until Stop.
func NewDesk(o DeskOptions) *Desk {
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Poll <= 0 {
		o.Poll = 2 * time.Second
	}
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	d := &Desk{o: o, again: map[Ref]bool{}, occasions: map[Ref]Occasion{}, feeds: map[Ref]*feed{}}
	d.stopping, d.stop = context.WithCancel(gate.As(context.Background(), o.Party))
	return d
}

// Stop ends Watch for all viewers, waits for plans being made and returns.
func (d *Desk) Stop() {
	d.mu.Lock()
	d.stop()
	d.mu.Unlock()
	d.workers.Wait()
}

// Mark takes in marks that a device made: by is who it was, device the time on its clock when it sent
// them, zero when it does not say. When it returns without error the marks are kept for good, and the
// sequence is that of the run with them. Sending marks again does no harm.
//
// Errors are *InvalidError, *FullError and those of the store.
func (d *Desk) Mark(ctx context.Context, ref Ref, by string, device time.Time, marks []Mark) (int64, error) {
	o, err := d.occasion(ctx, ref)
	if err != nil {
		return 0, err
	}
	f := d.feed(ref)
	f.marking.Lock()
	defer f.marking.Unlock()
	c, err := d.read(ctx, f)
	if err != nil {
		return 0, err
	}
	now := d.o.Now().UTC().Truncate(time.Millisecond)
	var skew time.Duration
	if !device.IsZero() {
		if skew = now.Sub(device); skew.Abs() < tolerated {
			skew = 0
		}
	}
	marks = slices.Clone(marks)
	for i := range marks {
		m := &marks[i]
		m.DeviceAt = m.At.UTC().Truncate(time.Millisecond)
		if !m.At.IsZero() { // without a time it is refused
			m.At = m.At.Add(skew).UTC().Truncate(time.Millisecond)
		}
		for _, at := range []*time.Time{&m.Until, &m.Opens, &m.Closes} {
			*at = at.UTC().Truncate(time.Millisecond)
		}
		m.Received, m.By = now, by
		o.complete(m, c.state(), c.Plan)
	}
	notAhead(marks, now)
	if faults := append(CheckMarks(o.Event, added(c.Marks), now, marks), reused(c.Marks, marks)...); len(faults) > 0 {
		return 0, &InvalidError{Faults: faults}
	}
	if err := room(o.Event, c.Marks, marks); err != nil {
		return 0, err
	}
	sequence, err := d.o.Store.AddMarks(ctx, ref, marks)
	if err != nil {
		return 0, err
	}
	d.Plan(ref)
	return sequence, nil
}

// notAhead moves marks that lie in the future because the device's clock was set right before they were sent. The
// time between marks stays the same.
func notAhead(marks []Mark, now time.Time) {
	ahead := time.Duration(0)
	for _, m := range marks {
		ahead = max(ahead, m.At.Sub(now))
	}
	if ahead < tolerated || ahead > maxSkew {
		return
	}
	for i, m := range marks {
		if m.At.After(now) {
			marks[i].At = m.At.Add(-ahead)
		}
	}
}

// occasion returns what a run is about, from memory if it was asked for before.
func (d *Desk) occasion(ctx context.Context, ref Ref) (Occasion, error) {
	d.mu.Lock()
	o, ok := d.occasions[ref]
	d.mu.Unlock()
	if ok {
		return o, nil
	}
	o, err := d.o.Store.Occasion(ctx, ref)
	if err != nil {
		return Occasion{}, err
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	if len(d.occasions) >= keptInMemory {
		clear(d.occasions)
	}
	d.occasions[ref] = o
	return o, nil
}

// Forget drops what is kept in memory of a run, or of all runs of an event when the run has no id.
func (d *Desk) Forget(gone Ref) {
	d.mu.Lock()
	defer d.mu.Unlock()
	of := func(ref Ref) bool { return ref == gone || ref.Event == gone.Event && gone.Run == "" }
	maps.DeleteFunc(d.occasions, func(ref Ref, _ Occasion) bool { return of(ref) })
	maps.DeleteFunc(d.feeds, func(ref Ref, _ *feed) bool { return of(ref) })
}

// Plan replans a run in the background, unless its plan already covers all marks.
func (d *Desk) Plan(ref Ref) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if _, busy := d.again[ref]; busy {
		d.again[ref] = true
		return
	}
	if d.stopping.Err() != nil {
		return // another desk plans it, or this one when its viewers are back
	}
	d.again[ref] = false
	d.workers.Go(func() {
		for {
			err := d.attempt(ref)
			if err != nil && d.stopping.Err() == nil && !errors.Is(err, gate.ErrStopping) && !errors.Is(err, ErrGone) {
				d.o.Log.Error("a run could not be planned anew", "run", ref.Run, "cause", err.Error())
			}
			d.mu.Lock()
			if !d.again[ref] || err != nil {
				delete(d.again, ref)
				d.mu.Unlock()
				return
			}
			d.again[ref] = false
			d.mu.Unlock()
		}
	})
}

// errBroken says that planning hit a bug in this program; after a panic the log has the stack.
var errBroken = errors.New("planning anew has failed")

// attempt replans a run. A panic ends only that attempt; the next mark begins another. Only texts of the runtime's
// own errors are logged: they quote nothing from an event.
func (d *Desk) attempt(ref Ref) (err error) {
	defer func() {
		if broken := recover(); broken != nil {
			d.o.Log.Error("planning a run anew panicked", "run", ref.Run, "panic", caught.Text(broken), "stack", string(debug.Stack()))
			err = errBroken
		}
	}()
	return d.plan(ref)
}

func (d *Desk) plan(ref Ref) error {
	// This needs no search, so it does not wait at the gate.
	if _, due, err := d.due(ref); err != nil || !due {
		return err
	}
	c, outlook, err := d.search(ref)
	if err != nil || c == nil {
		return err
	}
	_, err = d.o.Store.SavePlan(d.stopping, ref, c.LastMark, c.Planned, outlook)
	return err
}

// search plans what is left of a run, and gives its place at the gate back before anybody sees the plan. The moment
// is nil when there is nothing left to plan.
func (d *Desk) search(ref Ref) (*moment, planning.Outlook, error) {
	none := planning.Outlook{}
	ctx, leave, err := d.o.Gate.EnterFirst(d.stopping)
	if err != nil {
		return nil, none, err
	}
	defer leave()
	c, due, err := d.due(ref) // there may be more marks by now
	if err != nil || !due {
		return nil, none, err
	}
	o, err := d.occasion(d.stopping, ref)
	if err != nil {
		return nil, none, err
	}
	outlook, err := o.Replan(c.Marks, c.state(), c.Plan, d.o.Now(), func(e event.Event, t planning.Today) (Plan, error) {
		return d.o.Replan(ctx, e, t, planning.Options{})
	})
	switch {
	case err != nil && ctx.Err() != nil:
		return nil, none, context.Cause(ctx)
	case err != nil:
		return nil, none, fmt.Errorf("%w: %T", errBroken, err) // its text may quote the event
	case outlook.Fault != nil:
		d.logFault(ref, *outlook.Fault)
	}
	return c, outlook, nil
}

// logFault logs what is needed to repeat the search that failed, as numbers only.
func (d *Desk) logFault(ref Ref, f planning.Fault) {
	text, err := json.Marshal(f)
	if err != nil {
		text = nil // the cause alone
	}
	d.o.Log.Error("planning anew went wrong, the order in force stays", "run", ref.Run, "cause", f.Cause, "fault", string(text))
}

// due reads a run and says whether it has to be replanned.
func (d *Desk) due(ref Ref) (*moment, bool, error) {
	m, err := d.moment(d.stopping, ref)
	if err != nil {
		return nil, false, err
	}
	return m, m.Plan == nil || m.Covers < m.LastMark || m.overtaken(d.o.Now()), nil
}

// catchUp replans a run when the server that took its last mark failed to, or when the plan is out of date.
func (d *Desk) catchUp(c Changes) {
	if c.Covers < c.LastMark || c.Planned == 0 || c.overtaken(d.o.Now()) {
		d.Plan(c.Run.Ref)
	}
}
