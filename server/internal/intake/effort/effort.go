// Package effort counts what reading a file costs, so that no file keeps a core busy for longer than reading
// it is worth. Whoever reads spends steps where something may be done very often. When the steps are used up
// or the caller has gone, nothing more is found, and what was read so far is thrown away as a whole.
package effort

import (
	"context"
	"errors"
)

// Most is how many steps a file may take. A step is what a loop does with a character or a candidate, 10 to
// 30 ns, so that it is less than two seconds of one core.
const Most = 60_000_000

// ErrTooMuch is the error of a meter whose steps are used up.
var ErrTooMuch = errors.New("reading it takes too long")

// often is how often ctx is checked, in steps.
const often = 500_000

// Meter counts the steps of one file. A nil Meter allows everything.
type Meter struct {
	ctx    context.Context
	steps  int // that there were
	left   int
	look   int // what is left when the caller is looked after next
	err    error
	line   int // that is being read
	before int // what was left when it began
	worst  int // the line that took the most
	most   int // what that took
}

// New returns a meter for a file that somebody waits for.
func New(ctx context.Context, steps int) *Meter {
	m := &Meter{ctx: ctx, steps: steps, left: steps, before: steps, look: steps - often}
	m.err = context.Cause(ctx)
	return m
}

// Spend takes steps and reports whether to go on.
func (m *Meter) Spend(steps int) bool {
	if m == nil {
		return true
	}
	if m.err != nil {
		return false
	}
	if m.left -= steps; m.left < m.look {
		m.look = m.left - often
		m.err = context.Cause(m.ctx)
	}
	if m.left < 0 && m.err == nil {
		m.err = ErrTooMuch
	}
	return m.err == nil
}

// At says which line is read from now on.
func (m *Meter) At(line int) {
	if m == nil {
		return
	}
	if took := m.before - m.left; m.line > 0 && took > m.most {
		m.worst, m.most = m.line, took
	}
	m.line, m.before = line, m.left
}

// Context is that of whoever waits.
func (m *Meter) Context() context.Context { return m.ctx }

// Stop says that there is no sense in going on.
func (m *Meter) Stop(err error) { m.err = err }

// Err says why there is no sense in going on: ErrTooMuch, or why the caller has gone.
func (m *Meter) Err() error {
	if m == nil {
		return nil
	}
	return m.err
}

// Worst returns the line that took the most steps of those that were read.
func (m *Meter) Worst() int {
	m.At(m.line)
	return m.worst
}

// Spares reports whether as many steps are left as were taken, so that all of it may be done once more.
func (m *Meter) Spares() bool { return m == nil || m.err == nil && m.left > m.steps/2 }

// Spent is how many steps were taken.
func (m *Meter) Spent() int { return m.steps - m.left }
