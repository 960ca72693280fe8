package store

import (
	"context"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/run"
)

// Whole is all that is kept of an event, as an export has it.
type Whole struct {
	ID, Closes string
	Versions   []Version // in any order
	Sheets     []Sheet   // in the order of their making, as all that follows
	Runs       []run.Run
	Marks      map[string][]run.Mark // by run
	Links      []Link
	Wishes     []Wish
	Asides     []Aside
}

// putBackTime is how long it may take to keep all of an event.
const putBackTime = time.Minute

// PutBack keeps all of an event as it was elsewhere, or nothing of it. Secrets are in no export, so its links open nothing:
// they say who had one. The plans of its runs are made anew when somebody looks. ErrExists when there is an event of that
// name.
func (s *Store) PutBack(ctx context.Context, w Whole) error {
	return s.failed("put an event back", s.transact(ctx, putBackTime, func(t tx) error {
		if err := t.room(ctx, true); err != nil {
			return err
		}
		for _, put := range []func(context.Context, Whole) error{t.putEvent, t.putSheets, t.putRuns, t.putLinks, t.putAsides} {
			if err := put(ctx, w); err != nil {
				return err
			}
		}
		return nil
	}))
}

func (t tx) putEvent(ctx context.Context, w Whole) error {
	var newest Version
	for _, v := range w.Versions {
		if v.Event.Version > newest.Event.Version {
			newest = v
		}
	}
	e := newest.Event
	if err := t.crowd(ctx, w.ID, 0, e.Event); err != nil {
		return err
	}
	n, err := t.exec(ctx, `INSERT INTO events (id, version, title, date, create_ms, update_ms, made, closes) VALUES (?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT DO NOTHING`,
		w.ID, e.Version, listed(e.Event.Title), listed(e.Event.Date), event.Millis(e.Created), event.Millis(e.Updated), len(w.Sheets)+len(w.Runs), w.Closes)
	if err == nil && n == 0 {
		err = ErrExists
	}
	for i := 0; err == nil && i < len(w.Versions); i++ {
		v := w.Versions[i]
		var body string
		if body, err = encode(v.Event.Event); err == nil {
			err = t.version(ctx, w.ID, v.Event.Version, v.Event.Updated, body, v.Step)
		}
	}
	return err
}

func (t tx) putSheets(ctx context.Context, w Whole) error {
	for i, c := range w.Sheets {
		body, err := encode(c.Sheet)
		if err != nil {
			return err
		}
		if _, err := t.exec(ctx, `INSERT INTO sheets (event_id, id, number, version, create_ms, body) VALUES (?, ?, ?, ?, ?, ?)`,
			w.ID, c.ID, i+1, c.Version, event.Millis(c.Created), body); err != nil {
			return err
		}
	}
	return nil
}

func (t tx) putRuns(ctx context.Context, w Whole) error {
	for i, r := range w.Runs {
		marks := w.Marks[r.Ref.Run]
		if _, err := t.exec(ctx, `INSERT INTO runs (event_id, id, number, sheet_id, version, create_ms, sequence, plan_sequence, plan_covers, plan)
			VALUES (?, ?, ?, ?, ?, ?, ?, 0, 0, '')`, w.ID, r.Ref.Run, len(w.Sheets)+i+1, r.Sheet, r.Version, event.Millis(r.Created), max(r.Sequence, int64(len(marks)))); err != nil {
			return err
		}
		for k, m := range marks {
			body, err := encode(m)
			if err != nil {
				return err
			}
			if _, err := t.exec(ctx, `INSERT INTO marks (event_id, run_id, sequence, id, body) VALUES (?, ?, ?, ?, ?)`, w.ID, r.Ref.Run, k+1, m.ID, body); err != nil {
				return err
			}
		}
	}
	return nil
}

func (t tx) putLinks(ctx context.Context, w Whole) error {
	for _, l := range w.Links {
		if _, err := t.exec(ctx, `INSERT INTO links (event_id, id, hash, role, title, create_ms, expire_ms, revoke_ms) VALUES (?, ?, ?, ?, ?, ?, ?, ?)`,
			w.ID, l.ID, HashSecret(NewSecret()), string(l.Role), listed(l.Title), event.Millis(l.Created), event.Millis(l.Expires), event.Millis(l.Revoked)); err != nil {
			return err
		}
	}
	for i, wish := range w.Wishes {
		if _, err := t.exec(ctx, `INSERT INTO wishes (event_id, id, link_id, body, state, create_ms, number) VALUES (?, ?, ?, ?, ?, ?, ?)`,
			w.ID, newID(), wish.Link, listed(wish.Text), int(wish.State), event.Millis(wish.Created), i+1); err != nil {
			return err
		}
	}
	return nil
}

func (t tx) putAsides(ctx context.Context, w Whole) error {
	for _, a := range w.Asides {
		body, err := encode(a.Event)
		if err != nil {
			return err
		}
		settled := 0
		if a.Settled {
			settled = 1
		}
		if _, err := t.exec(ctx, `INSERT INTO event_asides (event_id, key, create_ms, made_by, label, planned, settled, body, draft) VALUES (?, ?, ?, '', '', 0, ?, ?, ?)`,
			w.ID, newID(), event.Millis(a.Created), settled, body, a.Draft); err != nil {
			return err
		}
	}
	return nil
}
