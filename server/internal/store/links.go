package store

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"fmt"
	"time"

	"kinorder.example/server/internal/event"
)

// Role says what somebody may do with an event.
type Role string

// The roles. Each of the first three may do what the ones after it may; a family may wish for photographs and no more, and a
// couple say who its people are and what it would like, and see nothing that is between others.
const (
	Owner  Role = "owner"
	Lead   Role = "lead"
	Reader Role = "reader"
	Family Role = "family"
	Couple Role = "couple"
)

// Link lets whoever has its secret into one event.
type Link struct {
	Event, ID string
	Role      Role
	Title     string // whose it is, as the owner wrote it
	Created   time.Time
	Expires   time.Time // zero means never
	Revoked   time.Time // zero means that it counts
}

// NewSecret makes a secret of 128 random bits, in 22 letters that a URL may hold.
func NewSecret() string {
	var b [16]byte
	_, _ = rand.Read(b[:]) // never fails, as its documentation says
	return base64.RawURLEncoding.EncodeToString(b[:])
}

// HashSecret is what is kept of a secret. Secrets are random and long, so one round of SHA-256 is
// enough: there is no dictionary of them to try.
func HashSecret(secret string) string {
	sum := sha256.Sum256([]byte(secret))
	return hex.EncodeToString(sum[:])
}

// CreateLink makes a link and returns its secret, which is kept nowhere. A request that was carried out before
// gets a new secret for the link that it made; the one before opens nothing then.
func (s *Store) CreateLink(ctx context.Context, request Request, eventID string, role Role, title string, expires time.Time) (Link, string, error) {
	l := Link{Event: eventID, ID: newID(), Role: role, Title: listed(title), Created: s.clock(), Expires: event.Instant(event.Millis(expires))}
	secret := SecretOf(s.studio, NewSecret())
	made, err := s.create(ctx, "make a link", "events/"+eventID+"/links", eventID, l.ID, request, func(t tx) error {
		_, err := t.exec(ctx, `INSERT INTO links (event_id, id, hash, role, title, create_ms, expire_ms, revoke_ms) VALUES (?, ?, ?, ?, ?, ?, ?, 0)`,
			eventID, l.ID, HashSecret(secret), string(role), listed(title), event.Millis(l.Created), event.Millis(l.Expires))
		return err
	})
	if err != nil || made == l.ID {
		return l, secret, err
	}
	err = s.write(ctx, "make a link", func(t tx) (err error) {
		l, err = scanLink(eventID, t.row(ctx, `UPDATE links SET hash = ? WHERE event_id = ? AND id = ? AND revoke_ms = 0
			RETURNING `+linkColumns, HashSecret(secret), eventID, made).Scan)
		return err
	})
	return l, secret, err
}

// Links lists the links of an event in the order of their making, revoked and expired ones too.
func (s *Store) Links(ctx context.Context, eventID string, p Page) ([]Link, string, error) {
	return paged(ctx, s, "list links", p, `SELECT `+linkColumns+` FROM links
		WHERE event_id = ? AND (create_ms > ? OR (create_ms = ? AND id > ?)) ORDER BY create_ms, id LIMIT ?`,
		func(from cursor) []any { return []any{eventID, from.at, from.at, from.id} },
		func(scan func(...any) error) (Link, error) { return scanLink(eventID, scan) },
		func(l Link) cursor { return cursor{event.Millis(l.Created), l.ID} })
}

const linkColumns = `id, role, title, create_ms, expire_ms, revoke_ms`

func scanLink(eventID string, scan func(...any) error) (Link, error) {
	l := Link{Event: eventID}
	err := scan(&l.ID, &l.Role, &l.Title, at{&l.Created}, at{&l.Expires}, at{&l.Revoked})
	return l, err
}

// RevokeLink makes a link's secret worthless from now on. Revoking again changes nothing.
func (s *Store) RevokeLink(ctx context.Context, eventID, id string) (Link, error) {
	var l Link
	err := s.write(ctx, "revoke a link", func(t tx) error {
		if _, err := t.exec(ctx, `UPDATE links SET revoke_ms = ? WHERE event_id = ? AND id = ? AND revoke_ms = 0`, event.Millis(s.clock()), eventID, id); err != nil {
			return err
		}
		var err error
		l, err = scanLink(eventID, t.row(ctx, `SELECT `+linkColumns+` FROM links WHERE event_id = ? AND id = ?`, eventID, id).Scan)
		return err
	})
	return l, err
}

// ErrEnded says that a link has expired or was revoked.
var ErrEnded = fmt.Errorf("%w: the link has ended", ErrNotFound)

// Open returns the link that a secret belongs to. ErrNotFound when there is none, and as one of these
// ErrEnded.
func (s *Store) Open(ctx context.Context, secret string) (Link, error) {
	var eventID string
	l, err := scanLink("", func(into ...any) error {
		return s.row(ctx, `SELECT event_id, `+linkColumns+` FROM links WHERE hash = ?`, HashSecret(secret)).
			Scan(append([]any{&eventID}, into...)...)
	})
	l.Event = eventID
	if err == nil && (!l.Revoked.IsZero() || !l.Expires.IsZero() && !s.clock().Before(l.Expires)) {
		err = ErrEnded
	}
	if err != nil {
		return Link{}, s.failed("look up a link", err)
	}
	return l, nil
}
