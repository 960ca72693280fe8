package phone

import (
	"sync"
	"time"
)

const (
	// awayAfter is how long a lead's phone may be silent before others are told. It speaks every 20 s; a lock
	// screen or a dead corner of the room takes less.
	awayAfter = 45 * time.Second
	// forgetAfter is when it is no longer expected back.
	forgetAfter = 6 * time.Hour
)

// leads knows when the phones of leads were last heard, so that whoever calls names learns that the marks of
// one of them do not come. That a stream to it is open says nothing: what is written into it waits for
// minutes when there is no signal. All is forgotten when the server ends.
type leads struct {
	mu    sync.Mutex
	heard map[leadLink]time.Time
}

type leadLink struct{ event, link string }

func (l *leads) hear(event, link string, now time.Time) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.heard == nil {
		l.heard = make(map[leadLink]time.Time)
	}
	for k, at := range l.heard {
		if now.Sub(at) > forgetAfter {
			delete(l.heard, k)
		}
	}
	l.heard[leadLink{event, link}] = now
}

// forget is about one who has nothing to send.
func (l *leads) forget(event, link string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	delete(l.heard, leadLink{event, link})
}

// away is since when a lead of an event has been silent, the zero time when none is.
func (l *leads) away(event string, now time.Time) time.Time {
	l.mu.Lock()
	defer l.mu.Unlock()
	var since time.Time
	for k, at := range l.heard {
		silent := now.Sub(at)
		if k.event == event && silent >= awayAfter && silent <= forgetAfter && (since.IsZero() || at.Before(since)) {
			since = at
		}
	}
	return since
}
