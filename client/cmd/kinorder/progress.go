package main

import (
	"fmt"
	"time"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

// progressLine shows on one line of a terminal how far a search has come. Where there is no
// terminal it shows nothing.
type progressLine struct {
	p      *Program
	budget time.Duration
	shown  bool
}

// clearLine moves to the start of the line and empties it (ECMA-48: CR, EL).
const clearLine = "\r\x1b[K"

func (l *progressLine) show(g *kinorderv1.PlanProgress) {
	if !l.p.Live {
		return
	}
	l.shown = true
	fmt.Fprintf(l.p.Stderr, clearLine+"searching (up to %s): %s so far",
		l.budget, counted(int(g.GetStepIns()), "step-in", "step-ins"))
}

func (l *progressLine) clear() {
	if l.shown {
		fmt.Fprint(l.p.Stderr, clearLine)
		l.shown = false
	}
}
