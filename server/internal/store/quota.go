package store

import (
	"context"
	"fmt"

	"kinorder.example/server/internal/event"
)

// Limits are how much a studio may have; 0 is as much as there is room for.
type Limits struct {
	Events, Bytes int64
	// Searches is how many run at once.
	Searches int64
	// People is how many an event may have.
	People int64
}

// QuotaError says that a studio has as many events or webhooks as it may, or as many bytes of what is kept, or more people
// in an event. The one that stands in the way is not 0.
type QuotaError struct{ Events, Bytes, People, Webhooks int64 }

func (e *QuotaError) Error() string {
	switch {
	case e.Events > 0:
		return fmt.Sprintf("the studio has as many events as it may (%d)", e.Events)
	case e.Webhooks > 0:
		return fmt.Sprintf("the studio has as many webhooks as it may (%d)", e.Webhooks)
	case e.People > 0:
		return fmt.Sprintf("the event has more people than the studio may have in one (%d)", e.People)
	}
	return fmt.Sprintf("the studio has used up its storage (%d bytes)", e.Bytes)
}

// room says whether there may be another event, or more of one. Of a running day nothing is refused: marks, runs and
// their plans don't ask.
func (t tx) room(ctx context.Context, another bool) error {
	l := t.s.limits
	if l.Events > 0 && another {
		var n int64
		if err := t.row(ctx, `SELECT COUNT(*) FROM events`).Scan(&n); err != nil {
			return err
		}
		if n >= l.Events {
			return &QuotaError{Events: l.Events}
		}
	}
	if l.Bytes > 0 {
		var n int64
		if err := t.row(ctx, t.s.dialect.used).Scan(&n); err != nil {
			return err
		}
		if n >= l.Bytes {
			return &QuotaError{Bytes: l.Bytes}
		}
	}
	return nil
}

// crowd says whether an event may have its people. Those that a version has which it takes the place of may stay, so that
// a list that was longer than a new limit allows can still be changed and made shorter; version 0 is none.
func (t tx) crowd(ctx context.Context, id string, version int64, e event.Event) error {
	most := t.s.limits.People
	if most == 0 || int64(len(e.People)) <= most {
		return nil
	}
	if version > 0 {
		var body string
		if err := t.row(ctx, `SELECT body FROM event_versions WHERE event_id = ? AND version = ?`, id, version).Scan(&body); err != nil {
			return err
		}
		was, err := decode[event.Event](body)
		if err != nil || len(e.People) <= len(was.People) {
			return err
		}
	}
	return &QuotaError{People: most}
}

// used is how much is kept.
func (s *Store) used(ctx context.Context) (events, bytes int64, err error) {
	if err = s.row(ctx, `SELECT COUNT(*) FROM events`).Scan(&events); err == nil {
		err = s.row(ctx, s.dialect.used).Scan(&bytes)
	}
	return events, bytes, s.failed("measure", err)
}
