package desk

import (
	"context"
	"time"

	"kinorder.example/server/internal/access"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/web/kept"
)

const (
	// mostListed is how many events a list has, mostSteps how many versions of one.
	mostListed, mostSteps = 2000, 100
)

// List lists what a visitor may see.
func (d *Desk) List(ctx context.Context, v kept.Visitor) ([]kept.Listed, error) {
	all, err := d.o.Store.Work(ctx, mostListed)
	if err != nil {
		return nil, ours(err)
	}
	var out []kept.Listed
	for _, k := range all {
		if !v.Studio && v.Event != k.ID {
			continue
		}
		l := kept.Listed{
			ID: k.ID, Title: k.Title, Label: k.Label, Date: k.Date, Updated: k.Updated, Planned: k.Planned, Begun: k.Begun, Closes: k.Closes,
		}
		if day, err := time.Parse(time.DateOnly, k.Closes); err == nil && time.Since(day).Abs() < 48*time.Hour {
			row, err := d.o.Store.Event(ctx, k.ID) // the day is another one elsewhere
			if err != nil {
				return nil, ours(err)
			}
			l.Zone = row.Event.TimeZone
		}
		out = append(out, l)
	}
	return out, nil
}

// Work is a version of an event as it was left.
func (d *Desk) Work(ctx context.Context, v kept.Visitor, id string, version int64) (kept.Work, error) {
	if err := changes(v, id); err != nil {
		return kept.Work{}, err
	}
	row, err := d.o.Store.Version(ctx, id, version)
	if err != nil {
		return kept.Work{}, ours(err)
	}
	names, err := d.names(ctx, id)
	w := workOf(row, names)
	w.Mine = row.By == v.By
	return w, err
}

// Newest is the number of the newest version.
func (d *Desk) Newest(ctx context.Context, v kept.Visitor, id string) (int64, error) {
	if err := allowed(v, id); err != nil {
		return 0, err
	}
	n, err := d.o.Store.Newest(ctx, id)
	return n, ours(err)
}

func workOf(row store.Version, names map[string]string) kept.Work {
	return kept.Work{
		ID: row.Event.ID, Version: row.Event.Version, At: row.Event.Updated, What: row.What, By: names[row.By], Studio: row.By == "" || row.By == access.Grant{Studio: true}.By(), Label: row.Label,
		Back: row.Back, Forth: row.Forth, Planned: row.Planned, Closes: row.Closes, Event: row.Event.Event, Draft: row.Draft,
	}
}

// links lists the links to an event.
func (d *Desk) links(ctx context.Context, id string) (all []store.Link, _ error) {
	for token := ""; ; {
		list, next, err := d.o.Store.Links(ctx, id, store.Page{Size: 500, Token: token})
		if all = append(all, list...); err != nil || next == "" {
			return all, ours(err)
		}
		token = next
	}
}

// names are those of the people who have links to an event, by what their steps are kept under.
func (d *Desk) names(ctx context.Context, id string) (map[string]string, error) {
	all, err := d.links(ctx, id)
	out := map[string]string{}
	for _, l := range all {
		out[access.Grant{Event: id, Link: l.ID}.By()] = l.Title
	}
	return out, err
}

func stepOf(v kept.Visitor, w kept.Work) store.Step {
	return store.Step{What: w.What, By: v.By, Label: w.Label, Planned: w.Planned, Back: w.Back, Forth: w.Forth, Closing: w.Closing, Draft: w.Draft}
}

// Begin keeps a new event.
func (d *Desk) Begin(ctx context.Context, v kept.Visitor, w kept.Work) (kept.Work, error) {
	if !v.Studio {
		return kept.Work{}, kept.ErrNotYours
	}
	row, err := d.o.Store.BeginEvent(ctx, w.Event, stepOf(v, w))
	return workOf(row, nil), ours(err)
}

// Save keeps a new version of an event.
func (d *Desk) Save(ctx context.Context, v kept.Visitor, w kept.Work) (kept.Work, error) {
	if err := changes(v, w.ID); err != nil {
		return kept.Work{}, err
	}
	var instead int64
	if w.Instead {
		instead = w.Version
	}
	row, err := d.o.Store.SaveStep(ctx, w.ID, w.Version, instead, w.Event, stepOf(v, w))
	return workOf(row, nil), ours(err)
}

// Steps lists the newest versions of an event.
func (d *Desk) Steps(ctx context.Context, v kept.Visitor, id string) ([]kept.Work, error) {
	if err := allowed(v, id); err != nil {
		return nil, err
	}
	list, err := d.o.Store.Versions(ctx, id, mostSteps)
	if err != nil {
		return nil, ours(err)
	}
	names, err := d.names(ctx, id)
	var out []kept.Work
	for _, row := range list {
		out = append(out, workOf(row, names))
	}
	return out, err
}

// Delete deletes an event with all that belongs to it.
func (d *Desk) Delete(ctx context.Context, v kept.Visitor, id string) error {
	if err := allowed(v, id); err != nil {
		return err
	}
	if !v.Studio {
		return kept.ErrNotYours
	}
	if err := d.o.Store.DeleteEvent(ctx, id, 0); err != nil {
		return ours(err)
	}
	d.o.Runs.Forget(run.Ref{Event: id})
	return nil
}

// SetAside keeps what was written while somebody else changed an event.
func (d *Desk) SetAside(ctx context.Context, v kept.Visitor, key string, w kept.Work) error {
	if err := allowed(v, w.ID); err != nil {
		return err
	}
	return ours(d.o.Store.SetAside(ctx, w.ID, key, w.Event, stepOf(v, w)))
}

// Aside is what was set aside under a key.
func (d *Desk) Aside(ctx context.Context, v kept.Visitor, id, key string) (kept.Aside, error) {
	if err := allowed(v, id); err != nil {
		return kept.Aside{}, err
	}
	a, err := d.o.Store.Aside(ctx, id, key)
	if err != nil {
		return kept.Aside{}, ours(err)
	}
	names, err := d.names(ctx, id)
	return asideOf(id, a, names), err
}

// Asides lists what was set aside.
func (d *Desk) Asides(ctx context.Context, v kept.Visitor, id string) ([]kept.Aside, error) {
	if err := allowed(v, id); err != nil {
		return nil, err
	}
	list, err := d.o.Store.Asides(ctx, id)
	if err != nil || len(list) == 0 {
		return nil, ours(err)
	}
	names, err := d.names(ctx, id)
	var out []kept.Aside
	for _, a := range list {
		out = append(out, asideOf(id, a, names))
	}
	return out, err
}

func asideOf(id string, a store.Aside, names map[string]string) kept.Aside {
	return kept.Aside{Key: a.Key, Settled: a.Settled, Work: kept.Work{
		ID: id, At: a.Created, By: names[a.By], Label: a.Label, Planned: a.Planned, Event: a.Event, Draft: a.Draft,
	}}
}

// Settle says that somebody has chosen.
func (d *Desk) Settle(ctx context.Context, v kept.Visitor, id, key string) error {
	if err := allowed(v, id); err != nil {
		return err
	}
	return ours(d.o.Store.Settle(ctx, id, key))
}
