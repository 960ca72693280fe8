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
	// Sheet is left out of lists.
	Sheet event.CallSheet
}

// CreateSheet keeps a call sheet of a version of an event. A request that was carried out before
// returns what it made.
func (s *Store) CreateSheet(ctx context.Context, request, eventID string, version int64, c event.CallSheet) (Sheet, error) {
	body, err := encode(c)
	if err != nil {
		return Sheet{}, s.failed("keep a sheet", err)
	}
	id, scope := newID(), "events/"+eventID+"/sheets"
	err = s.create(ctx, "keep a sheet", request, func(t tx) error {
		if made, found, err := t.request(ctx, scope, request); err != nil || found {
			id = made
			return err
		}
		if _, err := t.exec(ctx, `INSERT INTO sheets (event_id, id, version, create_ms, body) VALUES (?, ?, ?, ?, ?)`,
			eventID, id, version, millis(s.clock()), body); err != nil {
			return err
		}
		return t.keepRequest(ctx, scope, request, eventID, id)
	})
	if err != nil {
		return Sheet{}, err
	}
	return s.Sheet(ctx, eventID, id)
}

// MadeSheet returns the sheet that a request made before; ErrNotFound when it made none.
func (s *Store) MadeSheet(ctx context.Context, request, eventID string) (Sheet, error) {
	var id string
	err := s.row(ctx, `SELECT made_id FROM requests WHERE scope = ? AND request_id = ?`, "events/"+eventID+"/sheets", request).Scan(&id)
	if err != nil {
		return Sheet{}, s.failed("look up a request", err)
	}
	return s.Sheet(ctx, eventID, id)
}

// Sheet returns a call sheet.
func (s *Store) Sheet(ctx context.Context, eventID, id string) (Sheet, error) {
	c := Sheet{Event: eventID, ID: id}
	var created int64
	var body string
	err := s.row(ctx, `SELECT version, create_ms, body FROM sheets WHERE event_id = ? AND id = ?`, eventID, id).Scan(&c.Version, &created, &body)
	if err == nil {
		c.Sheet, err = decode[event.CallSheet](body)
	}
	c.Created = instant(created)
	return c, s.failed("read a sheet", err)
}

// Sheets lists the sheets of an event without their content, in the order of their making.
func (s *Store) Sheets(ctx context.Context, eventID string, p Page) ([]Sheet, string, error) {
	from, err := p.cursor()
	if err != nil {
		return nil, "", s.failed("list sheets", err)
	}
	var out []Sheet
	err = s.rows(ctx, `SELECT id, version, create_ms FROM sheets
		WHERE event_id = ? AND (create_ms > ? OR (create_ms = ? AND id > ?)) ORDER BY create_ms, id LIMIT ?`,
		[]any{eventID, from.ms, from.ms, from.id, p.Size + 1}, func(scan func(...any) error) error {
			c := Sheet{Event: eventID}
			var created int64
			err := scan(&c.ID, &c.Version, &created)
			c.Created = instant(created)
			out = append(out, c)
			return err
		})
	if err != nil {
		return nil, "", s.failed("list sheets", err)
	}
	out, next := paged(out, p, func(c Sheet) (time.Time, string) { return c.Created, c.ID })
	return out, next, nil
}

// DeleteSheet deletes a sheet. Runs that began with it go on.
func (s *Store) DeleteSheet(ctx context.Context, eventID, id string) error {
	return s.write(ctx, "delete a sheet", func(t tx) error {
		n, err := t.exec(ctx, `DELETE FROM sheets WHERE event_id = ? AND id = ?`, eventID, id)
		if err == nil && n == 0 {
			err = ErrNotFound
		}
		return err
	})
}
