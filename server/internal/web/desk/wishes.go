package desk

import (
	"context"
	"errors"

	"kinorder.example/server/internal/access"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/web/kept"
)

// Wish keeps the wishes of a family.
func (d *Desk) Wish(ctx context.Context, v kept.Visitor, lines []string) error {
	if v.Wishes == "" {
		return kept.ErrNotYours
	}
	err := d.o.Store.AddWishes(ctx, v.Wishes, v.By, lines)
	if errors.Is(err, store.ErrManyWishes) {
		return kept.ErrManyWishes
	}
	return ours(err)
}

// Wishes lists what a family wished for, or all for whoever plans.
func (d *Desk) Wishes(ctx context.Context, v kept.Visitor, id string) ([]kept.Wish, error) {
	link := ""
	if v.Wishes != "" {
		id, link = v.Wishes, v.By
	} else if err := allowed(v, id); err != nil {
		return nil, err
	}
	list, err := d.o.Store.Wishes(ctx, id, link)
	if err != nil || len(list) == 0 {
		return nil, ours(err)
	}
	names, err := d.names(ctx, id)
	var out []kept.Wish
	for _, w := range list {
		by := access.Grant{Event: id, Link: w.Link}.By()
		out = append(out, kept.Wish{ID: w.ID, Text: w.Text, From: names[by], Taken: w.State == store.Taken, Declined: w.State == store.Declined})
	}
	return out, err
}

// Answer says what became of a wish.
func (d *Desk) Answer(ctx context.Context, v kept.Visitor, id, wish string, taken bool) error {
	if err := allowed(v, id); err != nil {
		return err
	}
	if !store.ValidID(wish) {
		return kept.ErrGone
	}
	state := store.Declined
	if taken {
		state = store.Taken
	}
	return ours(d.o.Store.AnswerWish(ctx, id, wish, state))
}

// About is what a family may know of the event.
func (d *Desk) About(ctx context.Context, v kept.Visitor) (kept.About, error) {
	if v.Wishes == "" {
		return kept.About{}, kept.ErrNotYours
	}
	row, err := d.o.Store.Version(ctx, v.Wishes, 0)
	return kept.About{Title: row.Event.Title, Date: row.Event.Date, Closes: row.Closes, Zone: row.Event.Event.TimeZone}, ours(err)
}
