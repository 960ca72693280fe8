package store

import (
	"context"
	"database/sql"
	"errors"
)

// Request tells a request to make something, so that sending it again finds what it made. The zero value
// is a request that nobody sends again.
type Request struct {
	ID string
	// Hash is one of all that it asks for; empty when that does not matter.
	Hash string
}

// create runs a transaction that makes something under an id, of an event and in a scope, and returns the id; for a request
// that was carried out before, that of what it made. When two calls with one request race, the second finds what the first
// has made.
func (s *Store) create(ctx context.Context, operation, scope, eventID, id string, r Request, f func(tx) error) (made string, err error) {
	once := func(t tx) error {
		var found bool
		if made, found, err = t.request(ctx, scope, r); err != nil || found {
			return err
		}
		made = id
		if err := f(t); err != nil || r.ID == "" {
			return err
		}
		_, err := t.exec(ctx, `INSERT INTO requests (scope, request_id, hash, event_id, made_id) VALUES (?, ?, ?, ?, ?)`, scope, r.ID, r.Hash, eventID, id)
		return err
	}
	if err = s.write(ctx, operation, once); r.ID != "" && errors.Is(err, ErrExists) {
		err = s.write(ctx, operation, once)
	}
	return made, err
}

// request looks up what a request made; nothing when it is new. ErrReused when it asked for something else.
func (t tx) request(ctx context.Context, scope string, r Request) (made string, found bool, err error) {
	if r.ID == "" {
		return "", false, nil
	}
	var hash string
	err = t.row(ctx, `SELECT made_id, hash FROM requests WHERE scope = ? AND request_id = ?`, scope, r.ID).Scan(&made, &hash)
	switch {
	case errors.Is(err, sql.ErrNoRows):
		return "", false, nil
	case err != nil:
		return "", false, err
	case hash != "" && r.Hash != "" && hash != r.Hash:
		return "", false, ErrReused
	}
	return made, true, nil
}
