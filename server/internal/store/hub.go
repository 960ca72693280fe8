package store

import (
	"sync"

	"kinorder.example/server/internal/run"
)

// hub wakes those who watch a run. A wake says that something may have changed and nothing more, so
// several are as good as one and none has to wait for a slow viewer.
type hub struct {
	mu       sync.Mutex
	watchers map[run.Ref]map[chan struct{}]bool
}

func newHub() *hub { return &hub{watchers: map[run.Ref]map[chan struct{}]bool{}} }

func (h *hub) subscribe(ref run.Ref) (<-chan struct{}, func()) {
	c := make(chan struct{}, 1)
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.watchers[ref] == nil {
		h.watchers[ref] = map[chan struct{}]bool{}
	}
	h.watchers[ref][c] = true
	return c, func() {
		h.mu.Lock()
		defer h.mu.Unlock()
		delete(h.watchers[ref], c)
		if len(h.watchers[ref]) == 0 {
			delete(h.watchers, ref)
		}
	}
}

func (h *hub) wake(ref run.Ref) {
	h.mu.Lock()
	defer h.mu.Unlock()
	for c := range h.watchers[ref] {
		nudge(c)
	}
}

func (h *hub) wakeAll() {
	h.mu.Lock()
	defer h.mu.Unlock()
	for _, list := range h.watchers {
		for c := range list {
			nudge(c)
		}
	}
}

func nudge(c chan struct{}) {
	select {
	case c <- struct{}{}:
	default:
	}
}
