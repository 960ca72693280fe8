package store

import (
	"context"
	"time"

	"kinorder.example/server/internal/event"
)

// Aside is what was written while somebody else changed the event. It is no version of it.
type Aside struct {
	Key     string
	Created time.Time
	// Settled says that somebody has chosen since.
	Settled bool
	Event   event.Event
	Step
}

// mostAsides is how many stay with an event.
const mostAsides = 50

// SetAside keeps what was written under a key, in the place of what was kept under it before.
func (s *Store) SetAside(ctx context.Context, id, key string, e event.Event, step Step) error {
	body, err := encode(e)
	if err != nil {
		return s.failed("set aside", err)
	}
	planned := 0
	if step.Planned {
		planned = 1
	}
	return s.write(ctx, "set aside", func(t tx) error {
		if err := t.missingOr(ctx, id, nil); err != nil {
			return err
		}
		if err := t.room(ctx, false); err != nil {
			return err
		}
		if _, err := t.exec(ctx, `INSERT INTO event_asides (event_id, key, create_ms, made_by, label, planned, settled, body, draft)
			VALUES (?, ?, ?, ?, ?, ?, 0, ?, ?) ON CONFLICT (event_id, key) DO UPDATE SET create_ms = excluded.create_ms,
			made_by = excluded.made_by, label = excluded.label, planned = excluded.planned, settled = 0, body = excluded.body, draft = excluded.draft`,
			id, key, event.Millis(s.clock()), step.By, listed(step.Label), planned, body, step.Draft); err != nil {
			return err
		}
		_, err := t.exec(ctx, `DELETE FROM event_asides WHERE event_id = ? AND key NOT IN
			(SELECT a.key FROM event_asides a WHERE a.event_id = ? ORDER BY a.create_ms DESC, a.key LIMIT ?)`, id, id, mostAsides)
		return err
	})
}

// Aside returns what was set aside under a key.
func (s *Store) Aside(ctx context.Context, id, key string) (Aside, error) {
	a := Aside{Key: key}
	var body string
	err := s.row(ctx, `SELECT create_ms, made_by, label, planned, settled, body, draft FROM event_asides WHERE event_id = ? AND key = ?`, id, key).
		Scan(at{&a.Created}, &a.By, &a.Label, &a.Planned, &a.Settled, &body, &a.Draft)
	if err == nil {
		a.Event, err = decode[event.Event](body)
	}
	return a, s.failed("read what was set aside", err)
}

// Asides lists what was set aside, the newest first, without its content.
func (s *Store) Asides(ctx context.Context, id string) ([]Aside, error) {
	out, err := rows(ctx, s, `SELECT key, create_ms, made_by, settled FROM event_asides WHERE event_id = ? ORDER BY create_ms DESC, key`,
		[]any{id}, func(scan func(...any) error) (a Aside, err error) {
			err = scan(&a.Key, at{&a.Created}, &a.By, &a.Settled)
			return a, err
		})
	return out, s.failed("list what was set aside", err)
}

// Settle says that somebody has chosen. What was set aside stays.
func (s *Store) Settle(ctx context.Context, id, key string) error {
	return s.write(ctx, "settle", func(t tx) error {
		_, err := t.exec(ctx, `UPDATE event_asides SET settled = 1 WHERE event_id = ? AND key = ?`, id, key)
		return err
	})
}
