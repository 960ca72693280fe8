package store

import (
	"context"
	"strings"
	"time"

	"kinorder.example/server/internal/event"
)

// Event is a stored event. Its version begins at 1 and rises with each change.
type Event struct {
	ID      string
	Version int64
	// Created is when the event was made, Updated when this version was; zero when it is not known.
	Created, Updated time.Time
	// Event is left out of lists.
	Event event.Event
	// Title and Date are there in lists too.
	Title, Date string
}

// CreateEvent keeps an event under an id; an empty one is made up. A request that was carried out
// before is not carried out again: it returns what it made. ErrExists when the id is taken.
func (s *Store) CreateEvent(ctx context.Context, request Request, id string, e event.Event) (Event, error) {
	return s.createEvent(ctx, request, id, e, Step{})
}

func (s *Store) createEvent(ctx context.Context, request Request, id string, e event.Event, step Step) (Event, error) {
	body, err := encode(e)
	if err != nil {
		return Event{}, s.failed("create an event", err)
	}
	if id == "" {
		id = newID()
	}
	now := s.clock()
	id, err = s.create(ctx, "create an event", "events", id, id, request, func(t tx) error {
		if err := t.room(ctx, true); err != nil {
			return err
		}
		if err := t.crowd(ctx, id, 0, e); err != nil {
			return err
		}
		n, err := t.exec(ctx, `INSERT INTO events (id, version, title, date, create_ms, update_ms) VALUES (?, 1, ?, ?, ?, ?) ON CONFLICT DO NOTHING`,
			id, listed(e.Title), listed(e.Date), event.Millis(now), event.Millis(now))
		if err != nil {
			return err
		}
		if n == 0 {
			return ErrExists
		}
		return t.version(ctx, id, 1, now, body, step)
	})
	if err != nil {
		return Event{}, err
	}
	return s.Event(ctx, id)
}

// listed is a text as a column holds it: PostgreSQL refuses the character 0, which documents write as
// an escape.
func listed(s string) string { return strings.ReplaceAll(s, "\x00", "") }

// number is that of the next sheet or run of an event. It locks the row of the event, so numbers become
// visible in their order.
func (t tx) number(ctx context.Context, eventID string) (n int64, err error) {
	err = t.row(ctx, `UPDATE events SET made = made + 1 WHERE id = ? RETURNING made`, eventID).Scan(&n)
	return n, err
}

// Event returns the newest version of an event.
func (s *Store) Event(ctx context.Context, id string) (Event, error) {
	return s.event(ctx, `SELECT v.version, e.create_ms, v.create_ms, v.body FROM events e
		JOIN event_versions v ON v.event_id = e.id AND v.version = e.version WHERE e.id = ?`, id)
}

// EventAt returns one version of an event, with its own title and time.
func (s *Store) EventAt(ctx context.Context, id string, version int64) (Event, error) {
	return s.event(ctx, `SELECT v.version, e.create_ms, v.create_ms, v.body FROM events e
		JOIN event_versions v ON v.event_id = e.id WHERE e.id = ? AND v.version = ?`, id, version)
}

func (s *Store) event(ctx context.Context, query string, args ...any) (Event, error) {
	e := Event{ID: args[0].(string)}
	var body string
	err := s.row(ctx, query, args...).Scan(&e.Version, at{&e.Created}, at{&e.Updated}, &body)
	if err == nil {
		e.Event, err = decode[event.Event](body)
	}
	e.Title, e.Date = listed(e.Event.Title), listed(e.Event.Date)
	return e, s.failed("read an event", err)
}

// Events lists events without their content, in the order of their creation. The second value is the
// token of the next page, empty on the last.
func (s *Store) Events(ctx context.Context, p Page) ([]Event, string, error) {
	return paged(ctx, s, "list events", p, `SELECT id, version, create_ms, update_ms, title, date FROM events
		WHERE create_ms > ? OR (create_ms = ? AND id > ?) ORDER BY create_ms, id LIMIT ?`,
		func(from cursor) []any { return []any{from.at, from.at, from.id} },
		func(scan func(...any) error) (e Event, err error) {
			err = scan(&e.ID, &e.Version, at{&e.Created}, at{&e.Updated}, &e.Title, &e.Date)
			return e, err
		}, func(e Event) cursor { return cursor{event.Millis(e.Created), e.ID} })
}

// ReplaceEvent makes a new version of an event. ErrConflict when the newest is not the one given.
func (s *Store) ReplaceEvent(ctx context.Context, id string, version int64, e event.Event) (Event, error) {
	v, err := s.SaveStep(ctx, id, version, 0, e, Step{Back: version})
	return v.Event, err
}

// missingOr tells an event that is not there from another reason.
func (t tx) missingOr(ctx context.Context, id string, otherwise error) error {
	var one int
	if err := t.row(ctx, `SELECT 1 FROM events WHERE id = ?`, id).Scan(&one); err != nil {
		return err
	}
	return otherwise
}

// DeleteEvent deletes an event and everything that belongs to it. Version 0 means any; otherwise
// ErrConflict when the newest is another.
func (s *Store) DeleteEvent(ctx context.Context, id string, version int64) error {
	return s.remove(ctx, "delete an event", func(t tx) error {
		n, err := t.exec(ctx, `DELETE FROM events WHERE id = ? AND (? = 0 OR version = ?)`, id, version, version)
		if err != nil {
			return err
		}
		if n == 0 {
			return t.missingOr(ctx, id, ErrConflict)
		}
		return nil
	})
}
