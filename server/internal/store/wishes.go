package store

import (
	"cmp"
	"context"
	"errors"
	"time"

	"kinorder.example/server/internal/event"
)

// Wish is a line that a family would like to have on the list of an event.
type Wish struct {
	ID string
	// Link is the id of the link through which it came.
	Link    string
	Text    string
	State   WishState
	Created time.Time
}

// WishState is what became of a wish.
type WishState int

// What becomes of wishes.
const (
	Open WishState = iota
	Taken
	Declined
)

// ErrManyWishes says that a link made as many wishes as it may.
var ErrManyWishes = errors.New("the link made all the wishes that it may")

// MostWishes is how many wishes one link may make: a family writes a list, and nobody else's store is filled.
const MostWishes = 200

// AddWishes keeps what a family wishes for, in the order given. What its link wished for already is not kept again.
// ErrManyWishes when that would be more than MostWishes; then none of them is kept.
func (s *Store) AddWishes(ctx context.Context, eventID, link string, texts []string) error {
	now := event.Millis(s.clock())
	return s.write(ctx, "keep wishes", func(t tx) error {
		// The link stays as it is: two pages that send at once wait for each other.
		if n, err := t.exec(ctx, `UPDATE links SET role = role WHERE event_id = ? AND id = ?`, eventID, link); err != nil || n == 0 {
			return cmp.Or(err, ErrNotFound)
		}
		var have int
		if err := t.row(ctx, `SELECT COUNT(*) FROM wishes WHERE event_id = ? AND link_id = ?`, eventID, link).Scan(&have); err != nil {
			return err
		}
		for _, text := range texts {
			n, err := t.exec(ctx, `INSERT INTO wishes (event_id, id, link_id, body, state, create_ms, number) SELECT ?, ?, ?, ?, 0, ?, ?
				WHERE NOT EXISTS (SELECT 1 FROM wishes WHERE event_id = ? AND link_id = ? AND body = ?)`,
				eventID, newID(), link, listed(text), now, have+1, eventID, link, listed(text))
			if err != nil {
				return err
			}
			if have += int(n); have > MostWishes {
				return ErrManyWishes
			}
		}
		return nil
	})
}

// Wishes lists the wishes of an event in the order in which they came; of one link, or of all when it is empty.
func (s *Store) Wishes(ctx context.Context, eventID, link string) ([]Wish, error) {
	out, err := rows(ctx, s, `SELECT id, link_id, body, state, create_ms FROM wishes WHERE event_id = ? AND (link_id = ? OR ? = '') ORDER BY create_ms, link_id, number`,
		[]any{eventID, link, link}, func(scan func(...any) error) (w Wish, err error) {
			err = scan(&w.ID, &w.Link, &w.Text, &w.State, at{&w.Created})
			return w, err
		})
	return out, s.failed("list wishes", err)
}

// AnswerWish says what became of a wish. ErrNotFound when there is none.
func (s *Store) AnswerWish(ctx context.Context, eventID, id string, state WishState) error {
	return s.write(ctx, "answer a wish", func(t tx) error {
		return t.one(ctx, `UPDATE wishes SET state = ? WHERE event_id = ? AND id = ?`, int(state), eventID, id)
	})
}
