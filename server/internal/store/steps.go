package store

import (
	"context"
	"time"

	"kinorder.example/server/internal/event"
)

// Step is what made a version of an event on the planner's pages. The zero value is that of a version that came in
// another way.
type Step struct {
	// What was done, in a word of the pages; By is who did it, as access has it.
	What, By string
	// Label is what lists call the event when it has no title.
	Label string
	// Planned says that there is a plan of what is written.
	Planned bool
	// Back and Forth are the versions that a step back and a step forth lead to, 0 for none.
	Back, Forth int64
	// Closing is the day from which on the list is closed for links, empty to open it again; nil leaves it as it is.
	Closing *string
	// Draft is all that was written, in the form of the pages. It is left out of lists.
	Draft string
}

// Version is one version of an event with the step that made it.
type Version struct {
	Event Event
	// Closes is the day from which on the list of the event, whatever its version, is closed for links.
	Closes string
	Step
}

// mostSteps is how many steps of the pages stay with an event: what was done by hand is undone the same week.
const mostSteps = 300

// BeginEvent keeps a new event of the pages under an id that is made up.
func (s *Store) BeginEvent(ctx context.Context, e event.Event, step Step) (Version, error) {
	made, err := s.createEvent(ctx, Request{}, "", e, step)
	return Version{Event: made, Step: step}, err
}

// SaveStep makes a new version of an event, with the step that made it. ErrConflict when the newest is not the one
// given. Instead is a version that the new one stands for, 0 for none: it goes, like those that are too many, unless
// a sheet or a run is of it.
func (s *Store) SaveStep(ctx context.Context, id string, version, instead int64, e event.Event, step Step) (Version, error) {
	body, err := encode(e)
	if err != nil {
		return Version{}, s.failed("change an event", err)
	}
	now := s.clock()
	err = s.write(ctx, "change an event", func(t tx) error {
		if err := t.room(ctx, false); err != nil {
			return err
		}
		n, err := t.exec(ctx, `UPDATE events SET version = version + 1, title = ?, date = ?, update_ms = ? WHERE id = ? AND version = ?`,
			listed(e.Title), listed(e.Date), event.Millis(now), id, version)
		if err != nil {
			return err
		}
		if n == 0 {
			return t.missingOr(ctx, id, ErrConflict)
		}
		if err := t.crowd(ctx, id, version, e); err != nil {
			return err
		}
		if step.Closing != nil {
			if _, err := t.exec(ctx, `UPDATE events SET closes = ? WHERE id = ?`, *step.Closing, id); err != nil {
				return err
			}
		}
		if step.What != "" {
			if _, err := t.exec(ctx, `DELETE FROM event_versions WHERE event_id = ? AND (version = ? OR version <= ?) AND what <> ''
				AND NOT EXISTS (SELECT 1 FROM sheets s WHERE s.event_id = event_versions.event_id AND s.version = event_versions.version)
				AND NOT EXISTS (SELECT 1 FROM runs r WHERE r.event_id = event_versions.event_id AND r.version = event_versions.version)`,
				id, instead, version-mostSteps); err != nil {
				return err
			}
		}
		return t.version(ctx, id, version+1, now, body, step)
	})
	if err != nil {
		return Version{}, err
	}
	return s.Version(ctx, id, version+1)
}

// Newest returns the number of the newest version of an event.
func (s *Store) Newest(ctx context.Context, id string) (version int64, err error) {
	err = s.row(ctx, `SELECT version FROM events WHERE id = ?`, id).Scan(&version)
	return version, s.failed("read the newest version", err)
}

// Closed says that the list of an event is closed for links by now.
func (s *Store) Closed(ctx context.Context, id string) (bool, error) {
	v, err := s.Version(ctx, id, 0)
	return v.Closes != "" && v.Closes <= v.Event.Event.Today(s.clock()), err
}

// version keeps the body of a version.
func (t tx) version(ctx context.Context, id string, version int64, now time.Time, body string, step Step) error {
	planned := 0
	if step.Planned {
		planned = 1
	}
	_, err := t.exec(ctx, `INSERT INTO event_versions (event_id, version, create_ms, body, what, made_by, label, planned, back, forth, draft)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		id, version, event.Millis(now), body, step.What, step.By, listed(step.Label), planned, step.Back, step.Forth, step.Draft)
	return err
}

// Version returns a version of an event with the step that made it; version 0 is the newest.
func (s *Store) Version(ctx context.Context, id string, version int64) (Version, error) {
	var e Event
	var err error
	if version == 0 {
		e, err = s.Event(ctx, id)
	} else {
		e, err = s.EventAt(ctx, id, version)
	}
	if err != nil {
		return Version{}, err
	}
	v := Version{Event: e}
	err = s.row(ctx, `SELECT v.what, v.made_by, v.label, v.planned, v.back, v.forth, v.draft, e.closes FROM event_versions v
		JOIN events e ON e.id = v.event_id WHERE v.event_id = ? AND v.version = ?`, id, e.Version).
		Scan(&v.What, &v.By, &v.Label, &v.Planned, &v.Back, &v.Forth, &v.Draft, &v.Closes)
	return v, s.failed("read a version", err)
}

// Versions lists the newest versions of an event, the newest first, without their content.
func (s *Store) Versions(ctx context.Context, id string, most int) ([]Version, error) {
	out, err := rows(ctx, s, `SELECT version, create_ms, what, made_by, back, forth FROM event_versions WHERE event_id = ? ORDER BY version DESC LIMIT ?`,
		[]any{id, most}, func(scan func(...any) error) (Version, error) {
			v := Version{Event: Event{ID: id}}
			err := scan(&v.Event.Version, at{&v.Event.Updated}, &v.What, &v.By, &v.Back, &v.Forth)
			return v, err
		})
	return out, s.failed("list versions", err)
}

// Kept is an event as a list of work shows it.
type Kept struct {
	Event
	// Label is what to call it when it has no title.
	Label string
	// Planned says that there is a plan of what is written, Begun that a day of it has begun.
	Planned, Begun bool
	// Closes is the day from which on its list is closed for links, empty for none.
	Closes string
}

// Work lists events without their content, those that changed last first.
func (s *Store) Work(ctx context.Context, most int) ([]Kept, error) {
	out, err := rows(ctx, s, `SELECT e.id, e.version, e.create_ms, e.update_ms, e.title, e.date, e.closes, v.label,
		CASE WHEN v.planned = 1 OR v.draft = '' AND EXISTS (SELECT 1 FROM sheets s WHERE s.event_id = e.id) THEN 1 ELSE 0 END,
		CASE WHEN EXISTS (SELECT 1 FROM runs r WHERE r.event_id = e.id) THEN 1 ELSE 0 END
		FROM events e JOIN event_versions v ON v.event_id = e.id AND v.version = e.version
		ORDER BY e.update_ms DESC, e.id LIMIT ?`, []any{most}, func(scan func(...any) error) (k Kept, err error) {
		err = scan(&k.ID, &k.Version, at{&k.Created}, at{&k.Updated}, &k.Title, &k.Date, &k.Closes, &k.Label, &k.Planned, &k.Begun)
		return k, err
	})
	return out, s.failed("list events", err)
}
