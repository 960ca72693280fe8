package desk

import (
	"context"
	"errors"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/web/kept"
)

// Crew is who has links to an event, and which plan they have.
func (d *Desk) Crew(ctx context.Context, v kept.Visitor, id string) (kept.Crew, error) {
	if err := allowed(v, id); err != nil {
		return kept.Crew{}, err
	}
	var out kept.Crew
	all, err := d.links(ctx, id)
	if err != nil {
		return out, err
	}
	for _, l := range all {
		over := !l.Expires.IsZero() && !d.o.Now().Before(l.Expires)
		out.Links = append(out.Links, kept.Link{ID: l.ID, Role: string(l.Role), Title: l.Title, Expires: l.Expires, Ended: over || !l.Revoked.IsZero()})
	}
	sent, err := d.sent(ctx, id)
	if err != nil {
		return out, err
	}
	if sent.ID != "" {
		out.Plan, out.Sent = &sent.Sheet, sent.Created
	}
	_, err = d.o.Store.NewestRun(ctx, id)
	if out.Begun = err == nil; errors.Is(err, store.ErrNotFound) {
		err = nil
	}
	return out, ours(err)
}

// Numbers are those that photos of an event go by since its day began.
func (d *Desk) Numbers(ctx context.Context, v kept.Visitor, id string, e event.Event) (map[string]int, error) {
	if err := allowed(v, id); err != nil {
		return nil, err
	}
	begun, err := d.o.Store.NewestRun(ctx, id)
	if errors.Is(err, store.ErrNotFound) {
		return nil, nil
	}
	if err != nil {
		return nil, ours(err)
	}
	numbers, err := d.o.Runs.Numbers(ctx, begun.Ref, e)
	return numbers, ours(err)
}

// sent is the plan that the crew was sent last; its id is empty when there is none.
func (d *Desk) sent(ctx context.Context, id string) (store.Sheet, error) {
	newest, err := d.o.Store.NewestSheet(ctx, id)
	if err == nil {
		newest, err = d.o.Store.Sheet(ctx, id, newest.ID)
	}
	if errors.Is(err, store.ErrNotFound) {
		return store.Sheet{}, nil
	}
	return newest, ours(err)
}

// Send gives the crew a plan. One that they have already is not sent again: phones would ask whether to change over.
func (d *Desk) Send(ctx context.Context, v kept.Visitor, w kept.Work, plan event.CallSheet) error {
	if err := allowed(v, w.ID); err != nil {
		return err
	}
	has, err := d.sent(ctx, w.ID)
	if err != nil || has.ID != "" && kept.SamePlan(has.Sheet, plan) {
		return err
	}
	_, err = d.o.Store.CreateSheet(ctx, store.Request{}, w.ID, w.Version, plan)
	return ours(err)
}

// Link makes a link and returns its secret.
func (d *Desk) Link(ctx context.Context, v kept.Visitor, id string, l kept.Link) (string, error) {
	if err := allowed(v, id); err != nil {
		return "", err
	}
	_, secret, err := d.o.Store.CreateLink(ctx, store.Request{}, id, store.Role(l.Role), l.Title, l.Expires)
	return secret, ours(err)
}

// Unlink ends a link. The studio does: whoever has one link does not switch off others.
func (d *Desk) Unlink(ctx context.Context, v kept.Visitor, id, link string) error {
	if err := allowed(v, id); err != nil {
		return err
	}
	if !v.Studio {
		return kept.ErrNotYours
	}
	if !store.ValidID(link) {
		return kept.ErrGone
	}
	_, err := d.o.Store.RevokeLink(ctx, id, link)
	return ours(err)
}

// hereFor is how long the link of a browser that began a day is good.
const hereFor = 7 * 24 * time.Hour

// Here makes a lead's link for the browser of a visitor. The same browser gets another secret for the same link, so that
// there is one in the list, unless that was ended.
func (d *Desk) Here(ctx context.Context, v kept.Visitor, id, title string) (string, error) {
	if err := allowed(v, id); err != nil {
		return "", err
	}
	if !v.Studio { // who plans does not tick
		return "", kept.ErrNotYours
	}
	expires := d.o.Now().Add(hereFor)
	l, secret, err := d.o.Store.CreateLink(ctx, store.Request{ID: "desk-" + v.Key}, id, store.Lead, title, expires)
	if errors.Is(err, store.ErrNotFound) || err == nil && !d.o.Now().Before(l.Expires) {
		_, secret, err = d.o.Store.CreateLink(ctx, store.Request{}, id, store.Lead, title, expires)
	}
	return secret, ours(err)
}
