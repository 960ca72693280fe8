package store

import (
	"context"
	"errors"
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/run"
)

// MaxRuns is how many runs an event may have: whoever may begin one must not fill the disk.
const MaxRuns = 100

// CreateRun begins a run of a sheet, with the event as it was when the sheet was made. A request that
// was carried out before returns what it made.
func (s *Store) CreateRun(ctx context.Context, request Request, eventID, sheetID string) (run.Run, error) {
	id := newID()
	made, err := s.create(ctx, "begin a run", "events/"+eventID+"/runs", eventID, id, request, func(t tx) error {
		var there int
		if err := t.row(ctx, `SELECT COUNT(*) FROM runs WHERE event_id = ?`, eventID).Scan(&there); err != nil {
			return err
		}
		if there >= MaxRuns {
			return ErrManyRuns
		}
		number, err := t.number(ctx, eventID)
		if err != nil {
			return err
		}
		if err := t.one(ctx, `INSERT INTO runs (event_id, id, number, sheet_id, version, create_ms, sequence, plan_sequence, plan_covers, plan)
			SELECT event_id, ?, CAST(? AS BIGINT), id, version, ?, 0, 0, 0, '' FROM sheets WHERE event_id = ? AND id = ?`, id, number, event.Millis(s.clock()), eventID, sheetID); err != nil {
			return err
		}
		return t.tell(ctx, RunBegun, eventID, "runs", id)
	})
	if err != nil {
		return run.Run{}, err
	}
	s.wakeTeller()
	return s.Run(ctx, run.Ref{Event: eventID, Run: made})
}

const runColumns = `event_id, id, number, sheet_id, version, create_ms, sequence`

func scanRun(scan func(...any) error) (run.Run, error) {
	var r run.Run
	err := scan(&r.Ref.Event, &r.Ref.Run, &r.Number, &r.Sheet, &r.Version, at{&r.Created}, &r.Sequence)
	return r, err
}

// NewestRun returns the run of an event that began last.
func (s *Store) NewestRun(ctx context.Context, eventID string) (run.Run, error) {
	r, err := scanRun(s.row(ctx, `SELECT `+runColumns+` FROM runs WHERE event_id = ? ORDER BY number DESC LIMIT 1`, eventID).Scan)
	return r, s.failed("find the newest run", err)
}

// Run returns a run.
func (s *Store) Run(ctx context.Context, ref run.Ref) (run.Run, error) {
	r, err := scanRun(s.row(ctx, `SELECT `+runColumns+` FROM runs WHERE event_id = ? AND id = ?`, ref.Event, ref.Run).Scan)
	return r, s.failed("read a run", err)
}

// Occasion returns what a run is about: the event in its version, and the sheet it began with.
func (s *Store) Occasion(ctx context.Context, ref run.Ref) (run.Occasion, error) {
	r, err := s.Run(ctx, ref)
	if err != nil {
		return run.Occasion{}, err
	}
	e, err := s.EventAt(ctx, ref.Event, r.Version)
	if err != nil {
		return run.Occasion{}, err
	}
	c, err := s.Sheet(ctx, ref.Event, r.Sheet)
	if err != nil && !errors.Is(err, ErrNotFound) {
		return run.Occasion{}, err
	}
	return run.Occasion{Event: e.Event, Sheet: c.Sheet}, nil
}

// Runs lists the runs of an event in the order of their beginning.
func (s *Store) Runs(ctx context.Context, eventID string, p Page) ([]run.Run, string, error) {
	return paged(ctx, s, "list runs", p, `SELECT `+runColumns+` FROM runs WHERE event_id = ? AND number > ? ORDER BY number LIMIT ?`,
		func(from cursor) []any { return []any{eventID, from.at} }, scanRun, func(r run.Run) cursor { return cursor{at: r.Number} })
}

// DeleteRun deletes a run with its marks.
func (s *Store) DeleteRun(ctx context.Context, ref run.Ref) error {
	err := s.remove(ctx, "delete a run", func(t tx) error {
		if err := t.one(ctx, `DELETE FROM runs WHERE event_id = ? AND id = ?`, ref.Event, ref.Run); err != nil {
			return err
		}
		return t.notify(ctx, ref)
	})
	if err == nil {
		s.hub.wake(ref)
	}
	return err
}

// AddMarks keeps marks and returns the sequence of the last of them. Marks whose ids the run has
// already are left as they are. It keeps all of them or none. When it returns without error they are on
// disk.
//
// The row of the run is locked first, so the sequences of a run become visible in their order: whoever
// has read up to one has missed nothing before it.
func (s *Store) AddMarks(ctx context.Context, ref run.Ref, marks []run.Mark) (int64, error) {
	var sequence int64
	bodies := make([]string, len(marks))
	for i, m := range marks {
		var err error
		if bodies[i], err = encode(m); err != nil {
			return 0, s.failed("keep marks", err)
		}
	}
	err := s.write(ctx, "keep marks", func(t tx) error {
		if err := t.row(ctx, `UPDATE runs SET sequence = sequence WHERE event_id = ? AND id = ? RETURNING sequence`, ref.Event, ref.Run).Scan(&sequence); err != nil {
			return err
		}
		added := int64(0)
		for i, m := range marks {
			n, err := t.exec(ctx, `INSERT INTO marks (event_id, run_id, sequence, id, body) VALUES (?, ?, ?, ?, ?) ON CONFLICT (event_id, run_id, id) DO NOTHING`,
				ref.Event, ref.Run, sequence+added+1, m.ID, bodies[i])
			if err != nil {
				return err
			}
			added += n
		}
		if added == 0 {
			var err error
			sequence, err = lastOf(ctx, t, ref, marks)
			return err
		}
		sequence += added
		if _, err := t.exec(ctx, `UPDATE runs SET sequence = ? WHERE event_id = ? AND id = ?`, sequence, ref.Event, ref.Run); err != nil {
			return err
		}
		return t.notify(ctx, ref)
	})
	if err != nil {
		return 0, err
	}
	s.hub.wake(ref)
	return sequence, nil
}

// lastOf is the sequence of the last of marks that a run has.
func lastOf(ctx context.Context, t tx, ref run.Ref, marks []run.Mark) (last int64, err error) {
	for _, m := range marks {
		var sequence int64
		if err := t.row(ctx, `SELECT sequence FROM marks WHERE event_id = ? AND run_id = ? AND id = ?`, ref.Event, ref.Run, m.ID).Scan(&sequence); err != nil {
			return 0, err
		}
		last = max(last, sequence)
	}
	return last, nil
}

// notify tells other servers once the transaction is committed.
func (t tx) notify(ctx context.Context, ref run.Ref) error {
	if t.s.dialect.notify == "" {
		return nil
	}
	_, err := t.exec(ctx, t.s.dialect.notify, ref.Event+"/"+ref.Run)
	return err
}

// Changes returns the run, its marks after a sequence, and its plan if that is newer than the sequence.
// They are read so that nothing up to the run's sequence is missing.
func (s *Store) Changes(ctx context.Context, ref run.Ref, after int64) (run.Changes, error) {
	var c run.Changes
	var plan string
	err := func() error {
		// The run first: what comes in between is above its sequence and left for the next time.
		r := run.Run{Ref: ref}
		if err := s.row(ctx, `SELECT number, sheet_id, version, create_ms, sequence, plan_sequence, plan_covers, CASE WHEN plan_sequence > ? THEN plan ELSE '' END,
			COALESCE((SELECT MAX(sequence) FROM marks WHERE event_id = ? AND run_id = ?), 0) FROM runs WHERE event_id = ? AND id = ?`,
			after, ref.Event, ref.Run, ref.Event, ref.Run).
			Scan(&r.Number, &r.Sheet, &r.Version, at{&r.Created}, &r.Sequence, &c.Planned, &c.Covers, &plan, &c.LastMark); err != nil {
			return err
		}
		c.Run = r
		if plan != "" {
			p, err := decode[run.Plan](plan)
			if err != nil {
				return err
			}
			c.Plan = &p
		}
		var err error
		c.Marks, err = rows(ctx, s, `SELECT sequence, body FROM marks WHERE event_id = ? AND run_id = ? AND sequence > ? AND sequence <= ? ORDER BY sequence`,
			[]any{ref.Event, ref.Run, after, r.Sequence}, func(scan func(...any) error) (run.Mark, error) {
				var sequence int64
				var body string
				if err := scan(&sequence, &body); err != nil {
					return run.Mark{}, err
				}
				m, err := decode[run.Mark](body)
				m.Sequence = sequence
				return m, err
			})
		return err
	}()
	return c, s.failed("read the changes of a run", err)
}

// SavePlan keeps a plan that heeds the marks up to covers and takes the place of the one that was kept
// at a sequence, 0 for none. One that heeds more marks stays, and so does another that heeds as many,
// because another server was first. It reports whether the plan was kept.
func (s *Store) SavePlan(ctx context.Context, ref run.Ref, covers, replaces int64, p run.Plan) (bool, error) {
	body, err := encode(p)
	if err != nil {
		return false, s.failed("keep a plan", err)
	}
	kept := false
	err = s.write(ctx, "keep a plan", func(t tx) error {
		// The sequence rises with a plan too, so that a viewer sees it as a change.
		n, err := t.exec(ctx, `UPDATE runs SET sequence = sequence + 1, plan_sequence = sequence + 1, plan_covers = ?, plan = ?
			WHERE event_id = ? AND id = ? AND (plan_covers < ? OR plan = '' OR plan_covers = ? AND plan_sequence = ?)`,
			covers, body, ref.Event, ref.Run, covers, covers, replaces)
		if err != nil || n == 0 {
			return err
		}
		kept = true
		if finished(p) {
			if err := t.tell(ctx, RunFinished, ref.Event, "runs", ref.Run); err != nil {
				return err
			}
		}
		return t.notify(ctx, ref)
	})
	if err != nil {
		return false, err
	}
	if kept {
		s.hub.wake(ref)
		s.wakeTeller()
	}
	return kept, nil
}

// finished says that a plan leaves nothing to do.
func finished(p run.Plan) bool {
	return len(p.Owed) == 0 && !slices.ContainsFunc(p.Sheet.Blocks, func(b event.SheetBlock) bool { return len(b.Entries) > 0 })
}

// Subscribe returns a channel that gets a value after each change of a run that this server makes or
// hears of. A value says only that it is worth looking. The second value ends it.
func (s *Store) Subscribe(ref run.Ref) (<-chan struct{}, func()) {
	if s.listen != nil {
		s.listen()
	}
	return s.hub.subscribe(ref)
}
