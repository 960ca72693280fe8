// Package access says who may do what: it turns secrets into grants and makes guessing slow. Calls and
// pages share it. It keeps no secret, only hashes; links are in the store.
package access

import (
	"context"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/hex"
	"errors"
	"fmt"
	"maps"
	"sync"
	"time"

	"kinorder.example/server/internal/store"
)

// ErrSecret says that a secret opens nothing: it is wrong, has expired or was revoked.
var ErrSecret = errors.New("the secret opens nothing")

// SlowDownError says that too many wrong secrets came from one place, so that this one was not tried.
type SlowDownError struct{ Retry time.Duration }

func (e *SlowDownError) Error() string {
	return fmt.Sprintf("too many wrong secrets, try again in %s", e.Retry)
}

// Grant is what a secret allows.
type Grant struct {
	// Studio is true for the studio key, which is owner of every event and may make new ones.
	Studio bool
	// Event and Role are those of a link, Link is its id and Title whose it is.
	Event string
	Role  store.Role
	Link  string
	Title string
}

// rank orders the roles. A family and a couple have none: they have pages of their own.
var rank = map[store.Role]int{store.Reader: 1, store.Lead: 2, store.Owner: 3}

// May says whether the grant covers a role in an event.
func (g Grant) May(eventID string, need store.Role) bool {
	return g.Studio || g.Event == eventID && eventID != "" && rank[g.Role] >= rank[need] && rank[need] > 0
}

// Marks says that the holder may say what happens on the day of an event: the crew, and not the planner or the
// couple, who watch.
func (g Grant) Marks(eventID string) bool {
	return g.Studio || g.May(eventID, store.Lead) && g.Role == store.Lead
}

// Reads says that the holder sees an event as a reader does.
func (g Grant) Reads() bool { return !g.Studio && g.Role == store.Reader }

// Wishes says that the holder may wish for photographs of an event.
func (g Grant) Wishes(eventID string) bool {
	return !g.Studio && g.Role == store.Family && g.Event == eventID && eventID != ""
}

// Couples says that the holder is the couple of an event, or somebody for it.
func (g Grant) Couples(eventID string) bool {
	return !g.Studio && g.Role == store.Couple && g.Event == eventID && eventID != ""
}

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
	callers map[string]caller
	// known are hashes of secrets that have opened something.
	known map[[sha256.Size]byte]bool
}

// caller is a place from which wrong secrets came.
type caller struct {
	wrong int
	last  time.Time
	until time.Time // when the next secret is tried that has not opened anything before
}

// How wrong secrets are slowed down. Secrets have 128 bits, so this is not what makes guessing
// hopeless; it keeps a guesser from costing much. Nobody is held: whoever waits takes up a place.
const (
	free        = 5 // many phones can have one address
	firstDelay  = time.Second
	longest     = 10 * time.Second
	forgetAfter = 15 * time.Minute
	mostCallers = 10_000
	mostKnown   = 10_000
)

// New returns a guard. The studio key opens everything; an empty one means that there is none.
func New(links Links, studioKey string) *Guard {
	if studioKey == "" {
		return NewHashed(links, "")
	}
	return NewHashed(links, store.HashSecret(studioKey))
}

// NewHashed is New for a key of which only the hash is kept.
func NewHashed(links Links, hash string) *Guard {
	var sum [sha256.Size]byte
	n, err := hex.Decode(sum[:], []byte(hash[:min(len(hash), 2*sha256.Size)]))
	return &Guard{
		links: links, studio: sum, keyed: err == nil && n == sha256.Size,
		callers: map[string]caller{}, known: map[[sha256.Size]byte]bool{},
	}
}

// Open returns what a secret allows. From is where the call comes from, as gate.From has it. After some wrong
// secrets from one place, others are tried only now and then; those that opened something before always
// are, and a link that has ended is no guess. Its errors are ErrSecret, *SlowDownError and those of the
// store.
func (g *Guard) Open(ctx context.Context, from, secret string) (Grant, error) {
	sum := sha256.Sum256([]byte(secret))
	if g.IsKey(secret) {
		return Grant{Studio: true}, nil
	}
	if wait := g.slowed(from, sum); wait > 0 {
		return Grant{}, &SlowDownError{Retry: wait}
	}
	l, err := g.links.Open(ctx, secret)
	switch {
	case err == nil:
		g.remember(sum)
		return Grant{Event: l.Event, Role: l.Role, Link: l.ID, Title: l.Title}, nil
	case errors.Is(err, store.ErrEnded):
		return Grant{}, ErrSecret
	case errors.Is(err, store.ErrNotFound):
		g.count(from)
		return Grant{}, ErrSecret
	}
	return Grant{}, err
}

// IsKey says whether a secret is the studio key.
func (g *Guard) IsKey(secret string) bool {
	sum := sha256.Sum256([]byte(secret))
	return g.keyed && subtle.ConstantTimeCompare(sum[:], g.studio[:]) == 1
}

// Still says whether a grant that Open gave holds.
func (g *Guard) Still(ctx context.Context, secret string) error {
	if g.IsKey(secret) {
		return nil
	}
	_, err := g.links.Open(ctx, secret)
	if errors.Is(err, store.ErrNotFound) {
		return ErrSecret
	}
	return err
}

// slowed is how long a secret from a place is not tried; 0 means that it is.
func (g *Guard) slowed(from string, sum [sha256.Size]byte) time.Duration {
	g.mu.Lock()
	defer g.mu.Unlock()
	if g.known[sum] {
		return 0
	}
	return max(time.Until(g.callers[from].until), 0)
}

func (g *Guard) remember(sum [sha256.Size]byte) {
	g.mu.Lock()
	defer g.mu.Unlock()
	if len(g.known) >= mostKnown {
		clear(g.known)
	}
	g.known[sum] = true
}

// count counts a wrong secret.
func (g *Guard) count(from string) {
	g.mu.Lock()
	defer g.mu.Unlock()
	now := time.Now()
	c, ok := g.callers[from]
	if !ok && len(g.callers) >= mostCallers {
		maps.DeleteFunc(g.callers, func(_ string, c caller) bool { return now.Sub(c.last) > forgetAfter })
		if len(g.callers) >= mostCallers {
			clear(g.callers)
		}
	}
	if now.Sub(c.last) > forgetAfter {
		c = caller{}
	}
	c.wrong++
	c.last = now
	if over := c.wrong - free; over >= 0 {
		c.until = now.Add(min(firstDelay<<min(over, 10), longest))
	}
	g.callers[from] = c
}
