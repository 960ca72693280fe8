// Package access says who may do what: it turns secrets into grants and makes guessing slow. Calls and
// pages share it. It keeps no secret; links are in the store.
package access

import (
	"context"
	"crypto/sha256"
	"crypto/subtle"
	"errors"
	"fmt"
	"sync"
	"time"

	"kinorder.example/server/internal/store"
)

// ErrSecret says that a secret opens nothing: it is wrong, has expired or was revoked.
var ErrSecret = errors.New("the secret opens nothing")

// SlowDownError says that too many wrong secrets came from one place.
type SlowDownError struct{ Retry time.Duration }

func (e *SlowDownError) Error() string {
	return fmt.Sprintf("too many wrong secrets, try again in %s", e.Retry)
}

// Grant is what a secret allows.
type Grant struct {
	// Studio is true for the studio key, which is owner of every event and may make new ones.
	Studio bool
	// Event and Role are those of a link, Link is its id.
	Event string
	Role  store.Role
	Link  string
}

// rank orders the roles.
var rank = map[store.Role]int{store.Reader: 1, store.Lead: 2, store.Owner: 3}

// May says whether the grant covers a role in an event.
func (g Grant) May(eventID string, need store.Role) bool {
	return g.Studio || g.Event == eventID && eventID != "" && rank[g.Role] >= rank[need] && rank[need] > 0
}

// Reads says that the holder sees an event as a reader does.
func (g Grant) Reads() bool { return !g.Studio && g.Role == store.Reader }

// By is who made a mark.
func (g Grant) By() string {
	if g.Studio {
		return "studio"
	}
	return g.Link
}

// Links finds links by their secrets.
type Links interface {
	Open(ctx context.Context, secret string) (store.Link, error)
}

// Guard opens events to those who have a secret. It is safe for use by several goroutines.
type Guard struct {
	links  Links
	studio [sha256.Size]byte
	keyed  bool

	mu      sync.Mutex
	callers map[string]*caller
	waiting int
}

// caller is a place from which wrong secrets came.
type caller struct {
	wrong   int
	last    time.Time
	waiting int
}

// How wrong secrets are slowed down. Secrets have 128 bits, so this is not what makes guessing
// hopeless; it keeps a guesser from costing much.
const (
	firstDelay  = 100 * time.Millisecond
	longest     = 10 * time.Second
	forgetAfter = 15 * time.Minute
	// mostWaiting is how many calls with wrong secrets are held at once, from one place and from all.
	mostWaiting, mostWaitingOfAll = 5, 200
	mostCallers                   = 10_000
)

// New returns a guard. The studio key opens everything; an empty one means that there is none.
func New(links Links, studioKey string) *Guard {
	return &Guard{links: links, studio: sha256.Sum256([]byte(studioKey)), keyed: studioKey != "", callers: map[string]*caller{}}
}

// Open returns what a secret allows. From is where the call comes from. The answer to a wrong secret is
// held back, longer each time; one to a right secret never is. Its errors are ErrSecret,
// *SlowDownError and those of the store.
func (g *Guard) Open(ctx context.Context, from, secret string) (Grant, error) {
	sum := sha256.Sum256([]byte(secret))
	if g.keyed && subtle.ConstantTimeCompare(sum[:], g.studio[:]) == 1 {
		return Grant{Studio: true}, nil
	}
	l, err := g.links.Open(ctx, secret)
	if err == nil {
		return Grant{Event: l.Event, Role: l.Role, Link: l.ID}, nil
	}
	if !errors.Is(err, store.ErrNotFound) {
		return Grant{}, err
	}
	return Grant{}, g.hold(ctx, from)
}

// Still says whether a grant that Open gave holds.
func (g *Guard) Still(ctx context.Context, secret string) error {
	sum := sha256.Sum256([]byte(secret))
	if g.keyed && subtle.ConstantTimeCompare(sum[:], g.studio[:]) == 1 {
		return nil
	}
	_, err := g.links.Open(ctx, secret)
	if errors.Is(err, store.ErrNotFound) {
		return ErrSecret
	}
	return err
}

// hold makes a caller with a wrong secret wait.
func (g *Guard) hold(ctx context.Context, from string) error {
	delay, ok := g.begin(from)
	if !ok {
		return &SlowDownError{Retry: delay}
	}
	defer g.end(from)
	timer := time.NewTimer(delay)
	defer timer.Stop()
	select {
	case <-timer.C:
		return ErrSecret
	case <-ctx.Done():
		return ctx.Err()
	}
}

func (g *Guard) begin(from string) (time.Duration, bool) {
	g.mu.Lock()
	defer g.mu.Unlock()
	now := time.Now()
	c := g.callers[from]
	if c == nil || c.waiting == 0 && now.Sub(c.last) > forgetAfter {
		if len(g.callers) >= mostCallers {
			g.forget(now)
		}
		c = &caller{}
		g.callers[from] = c
	}
	delay := min(firstDelay<<min(c.wrong, 10), longest)
	if c.waiting >= mostWaiting || g.waiting >= mostWaitingOfAll {
		return longest, false
	}
	c.wrong++
	c.last = now
	c.waiting++
	g.waiting++
	return delay, true
}

func (g *Guard) end(from string) {
	g.mu.Lock()
	defer g.mu.Unlock()
	g.waiting--
	if c := g.callers[from]; c != nil {
		c.waiting--
	}
}

// forget makes room: first for those who were quiet, and if there are none for everybody.
func (g *Guard) forget(now time.Time) {
	for from, c := range g.callers {
		if c.waiting == 0 && now.Sub(c.last) > forgetAfter {
			delete(g.callers, from)
		}
	}
	if len(g.callers) >= mostCallers {
		for from, c := range g.callers {
			if c.waiting == 0 {
				delete(g.callers, from)
			}
		}
	}
}
