// Package desk keeps planners' work for the pages of package web, and says who may see it: whoever has the studio key
// or a ticket of this machine sees all events, whoever has an owner's link one. It holds no pages.
package desk

import (
	"context"
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"strconv"
	"strings"
	"sync"
	"time"

	"kinorder.example/server/internal/access"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/web/kept"
)

// Options of a Desk. Store, Guard and Runs are required.
type Options struct {
	Store *store.Store
	Guard *access.Guard
	Runs  *run.Desk
	// StudioKey signs the cookies of the studio, so that they last as long as the key. Without one they last as long
	// as the program.
	StudioKey string
	// Now is the clock. Nil means time.Now.
	Now func() time.Time
}

// Desk implements kept.Desk. It is safe for use by several goroutines.
type Desk struct {
	o   Options
	key []byte

	mu      sync.Mutex
	tickets map[string]time.Time // their hashes, and when they end
}

// New returns a desk.
func New(o Options) *Desk {
	if o.Now == nil {
		o.Now = time.Now
	}
	d := &Desk{o: o, key: []byte(o.StudioKey), tickets: map[string]time.Time{}}
	if len(d.key) == 0 {
		d.key = make([]byte, sha256.Size)
		_, _ = rand.Read(d.key) // never fails, as its documentation says
	}
	return d
}

const (
	// ticketTime is how long a ticket waits for the browser that it was made for.
	ticketTime = time.Hour
	// ofStudio and ofLink begin a cookie.
	ofStudio, ofLink = "s.", "l."
	cookieTime       = 30 * 24 * time.Hour
)

// Ticket makes a secret that signs one browser in, once, as the studio: for whoever starts the program on this machine.
func (d *Desk) Ticket() string {
	secret := store.NewSecret()
	d.mu.Lock()
	defer d.mu.Unlock()
	d.tickets[store.HashSecret(secret)] = d.o.Now().Add(ticketTime)
	return secret
}

// torn uses a ticket up, and says whether it was one.
func (d *Desk) torn(secret string) bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	ends, ok := d.tickets[store.HashSecret(secret)]
	delete(d.tickets, store.HashSecret(secret))
	return ok && d.o.Now().Before(ends)
}

// Enter lets a browser in.
func (d *Desk) Enter(ctx context.Context, from, secret string) (kept.Visitor, string, error) {
	if secret == "" {
		return kept.Visitor{}, "", kept.ErrSecret
	}
	if d.torn(secret) {
		return d.studio()
	}
	grant, err := d.o.Guard.Open(ctx, from, secret)
	switch {
	case err != nil:
		return kept.Visitor{}, "", ours(err)
	case grant.Studio:
		return d.studio()
	case !plansOrWishes(grant):
		return kept.Visitor{}, "", kept.ErrDayLink
	}
	cookie := ofLink + secret
	return visitor(grant, cookie), cookie, nil
}

func (d *Desk) studio() (kept.Visitor, string, error) {
	ends := strconv.FormatInt(d.o.Now().Add(cookieTime).Unix(), 10)
	cookie := ofStudio + ends + "." + store.NewSecret()
	cookie += "." + d.sign(cookie)
	return visitor(access.Grant{Studio: true}, cookie), cookie, nil
}

func (d *Desk) sign(text string) string {
	mac := hmac.New(sha256.New, d.key)
	mac.Write([]byte("kinorder desk\x00" + text))
	return base64.RawURLEncoding.EncodeToString(mac.Sum(nil))
}

// Visitor is who has a cookie.
func (d *Desk) Visitor(ctx context.Context, from, cookie string) (kept.Visitor, error) {
	if secret, ok := strings.CutPrefix(cookie, ofLink); ok {
		grant, err := d.o.Guard.Open(ctx, from, secret)
		if errors.Is(err, access.ErrSecret) || err == nil && (grant.Studio || !plansOrWishes(grant)) {
			return kept.Visitor{}, kept.ErrSignIn // the link has ended
		}
		return visitor(grant, cookie), ours(err)
	}
	at := strings.LastIndexByte(cookie, '.')
	if at < 0 || !strings.HasPrefix(cookie, ofStudio) || !hmac.Equal([]byte(d.sign(cookie[:at])), []byte(cookie[at+1:])) {
		return kept.Visitor{}, kept.ErrSignIn
	}
	ends, _, _ := strings.Cut(strings.TrimPrefix(cookie, ofStudio), ".")
	if n, err := strconv.ParseInt(ends, 10, 64); err != nil || d.o.Now().Unix() >= n {
		return kept.Visitor{}, kept.ErrSignIn
	}
	return visitor(access.Grant{Studio: true}, cookie), nil
}

// plansOrWishes says that a link is for the pages of what is kept, and not for the day.
func plansOrWishes(g access.Grant) bool {
	return g.Role == store.Owner || g.Wishes(g.Event) || g.Couples(g.Event)
}

func visitor(g access.Grant, cookie string) kept.Visitor {
	sum := sha256.Sum256([]byte(cookie))
	v := kept.Visitor{Studio: g.Studio, Event: g.Event, By: g.By(), Key: hex.EncodeToString(sum[:8])}
	switch {
	case g.Wishes(g.Event):
		v.Event, v.Wishes = "", g.Event
	case g.Couples(g.Event):
		v.Event, v.Couple = "", g.Event
	}
	return v
}

// allowed says whether an event is a visitor's.
func allowed(v kept.Visitor, id string) error {
	if !store.ValidID(id) {
		return kept.ErrGone
	}
	if !v.Studio && (v.Event != id || id == "") {
		return kept.ErrNotYours
	}
	return nil
}

// changes says whether a visitor may change an event: whoever plans it, and its couple on a page of its own.
func changes(v kept.Visitor, id string) error {
	if v.Couple != "" {
		v.Event = v.Couple
	}
	return allowed(v, id)
}

// ours turns errors of the store and the guard into those of the pages.
func ours(err error) error {
	var slow *access.SlowDownError
	var quota *store.QuotaError
	switch {
	case errors.As(err, &quota):
		return &kept.QuotaError{Events: quota.Events, People: quota.People}
	case errors.As(err, &slow), errors.Is(err, access.ErrSecret):
		return kept.ErrSecret
	case errors.Is(err, store.ErrConflict):
		return kept.ErrClash
	case errors.Is(err, store.ErrNotFound):
		return kept.ErrGone
	case errors.Is(err, store.ErrFull), errors.Is(err, store.ErrUnreachable), errors.Is(err, store.ErrVersion):
		return kept.ErrNotKept
	}
	return err
}
