package store

import (
	"context"
	"time"

	"kinorder.example/server/internal/event"
)

// Sheet is a stored call sheet.
type Sheet struct {
	Event, ID string
	// Version is that of the event it was made from.
	Version int64
	Created time.Time
	// Number rises with every sheet and run of the event, whatever the clock says.
	Number int64
	// Sheet is left out of lists.
	Sheet event.CallSheet
}

// CreateSheet keeps a call sheet of a version of an event. A request that was carried out before
// returns what it made.
func (s *Store) CreateSheet(ctx context.Context, request Request, eventID string, version int64, c event.CallSheet) (Sheet, error) {
	body, err := encode(c)
	if err != nil {
		return Sheet{}, s.failed("keep a sheet", err)
	}
	id := newID()
	made, err := s.create(ctx, "keep a sheet", sheetsOf(eventID), eventID, id, request, func(t tx) error {
		if err := t.room(ctx, false); err != nil {
			return err
		}
		number, err := t.number(ctx, eventID)
		if err != nil {
			return err
		}
		if _, err = t.exec(ctx, `INSERT INTO sheets (event_id, id, number, version, create_ms, body) VALUES (?, ?, ?, ?, ?, ?)`,
			eventID, id, number, version, event.Millis(s.clock()), body); err != nil {
			return err
		}
		return t.tell(ctx, SheetMade, eventID, "sheets", id)
	})
	if err != nil {
		return Sheet{}, err
	}
	s.wakeTeller()
	return s.Sheet(ctx, eventID, made)
}

// sheetsOf is the scope of requests for sheets of an event.
func sheetsOf(eventID string) string { return "events/" + eventID + "/sheets" }

// MadeSheet returns the sheet that a request made before; ErrNotFound when it made none.
func (s *Store) MadeSheet(ctx context.Context, request Request, eventID string) (Sheet, error) {
	var id string
	err := s.write(ctx, "look up a request", func(t tx) error {
		made, found, err := t.request(ctx, sheetsOf(eventID), request)
		if err == nil && !found {
			return ErrNotFound
		}
		id = made
		return err
	})
	if err != nil {
		return Sheet{}, err
	}
	return s.Sheet(ctx, eventID, id)
}

// Sheet returns a call sheet.
func (s *Store) Sheet(ctx context.Context, eventID, id string) (Sheet, error) {
	var body string
	c, err := scanSheet(eventID, func(into ...any) error {
		return s.row(ctx, `SELECT `+sheetColumns+`, body FROM sheets WHERE event_id = ? AND id = ?`, eventID, id).Scan(append(into, &body)...)
	})
	if err == nil {
		c.Sheet, err = decode[event.CallSheet](body)
	}
	return c, s.failed("read a sheet", err)
}

const sheetColumns = `id, number, version, create_ms`

func scanSheet(eventID string, scan func(...any) error) (Sheet, error) {
	c := Sheet{Event: eventID}
	err := scan(&c.ID, &c.Number, &c.Version, at{&c.Created})
	return c, err
}

// NewestSheet returns the sheet of an event that was made last, without its content.
func (s *Store) NewestSheet(ctx context.Context, eventID string) (Sheet, error) {
	c, err := scanSheet(eventID, s.row(ctx, `SELECT `+sheetColumns+` FROM sheets WHERE event_id = ? ORDER BY number DESC LIMIT 1`, eventID).Scan)
	return c, s.failed("find the newest sheet", err)
}

// Sheets lists the sheets of an event without their content, in the order of their making.
func (s *Store) Sheets(ctx context.Context, eventID string, p Page) ([]Sheet, string, error) {
	return paged(ctx, s, "list sheets", p, `SELECT `+sheetColumns+` FROM sheets WHERE event_id = ? AND number > ? ORDER BY number LIMIT ?`,
		func(from cursor) []any { return []any{eventID, from.at} },
		func(scan func(...any) error) (Sheet, error) { return scanSheet(eventID, scan) },
		func(c Sheet) cursor { return cursor{at: c.Number} })
}

// DeleteSheet deletes a sheet. Runs that began with it go on.
func (s *Store) DeleteSheet(ctx context.Context, eventID, id string) error {
	return s.remove(ctx, "delete a sheet", func(t tx) error {
		return t.one(ctx, `DELETE FROM sheets WHERE event_id = ? AND id = ?`, eventID, id)
	})
}
