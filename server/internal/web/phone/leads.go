package phone

import (
	"slices"
	"sync"
	"time"

	"kinorder.example/server/internal/event"
)

const (
	// awayAfter is how long a phone may be silent before others are told. It speaks every 20 s; a lock screen or a dead
	// corner of the room takes less.
	awayAfter = 45 * time.Second
	// forgetAfter is when a lead's phone is no longer expected back. Links to call names have many, some only to have a look:
	// those are missed for readersFor.
	forgetAfter = 6 * time.Hour
	readersFor  = 30 * time.Minute
)

// leads knows when the phones of leads were last heard, and those that call names, so that everybody learns whose marks do not
// come and who may call by an old order. That a stream to one is open says nothing: what is written into it waits for
// minutes when there is no signal. All is forgotten when the server ends.
type leads struct {
	mu    sync.Mutex
	heard map[leadLink]silence
}

type leadLink struct{ event, link string }

type silence struct {
	since time.Time
	who   string
	reads bool
}

// awayView is a phone that is out of touch, as others are told: whose it is, where its link says so, and whether it calls names.
type awayView struct {
	At    int64  `json:"at"`
	Who   string `json:"who,omitempty"`
	Reads bool   `json:"reads,omitempty"`
}

func (s silence) over(now time.Time) bool {
	return now.Sub(s.since) > forgetAfter || s.reads && now.Sub(s.since) > readersFor
}

func (l *leads) hear(event, link string, s silence) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.heard == nil {
		l.heard = make(map[leadLink]silence)
	}
	for k, was := range l.heard {
		if was.over(s.since) {
			delete(l.heard, k)
		}
	}
	l.heard[leadLink{event, link}] = s
}

// forget is about one who has nothing to send.
func (l *leads) forget(event, link string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	delete(l.heard, leadLink{event, link})
}

// away lists who of an event has been silent, the longest first.
func (l *leads) away(of string, now time.Time) []awayView {
	l.mu.Lock()
	defer l.mu.Unlock()
	out := []awayView{}
	for k, s := range l.heard {
		if k.event == of && now.Sub(s.since) >= awayAfter && !s.over(now) {
			out = append(out, awayView{event.Millis(s.since), s.who, s.reads})
		}
	}
	slices.SortFunc(out, func(a, b awayView) int { return int(a.At - b.At) })
	return out
}
