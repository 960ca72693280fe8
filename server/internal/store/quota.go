package store

import (
	"context"
	"fmt"
)

// Limits are how much a studio may have; 0 is as much as there is room for.
type Limits struct {
	Events, Bytes int64
	// Searches is how many run at once.
	Searches int64
}

// QuotaError says that a studio has as many events as it may, or as many bytes of what is kept.
type QuotaError struct{ Events, Bytes int64 }

func (e *QuotaError) Error() string {
	if e.Events > 0 {
		return fmt.Sprintf("the studio has %d events, the most that it may", e.Events)
	}
	return fmt.Sprintf("the studio has %d bytes, the most that it may", e.Bytes)
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

// used is how much is kept.
func (s *Store) used(ctx context.Context) (events, bytes int64, err error) {
	if err = s.row(ctx, `SELECT COUNT(*) FROM events`).Scan(&events); err == nil {
		err = s.row(ctx, s.dialect.used).Scan(&bytes)
	}
	return events, bytes, s.failed("measure", err)
}
