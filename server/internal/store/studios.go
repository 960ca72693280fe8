package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"time"

	"kinorder.example/server/internal/event"
)

// Studio is one of several for which a server keeps things.
type Studio struct {
	// Number tells it from others where its name is not said; no other ever has it.
	Number  int64
	Name    string
	Hash    string // of its key
	Created time.Time
	Limits
}

// Studios is the list of studios of a place. It is safe for use by several goroutines and programs.
type Studios struct {
	s *Store
	p Place
}

// Close closes the list.
func (l *Studios) Close() error { return l.s.Close() }

// List lists all.
func (l *Studios) List(ctx context.Context) ([]Studio, error) {
	out, err := rows(ctx, l.s, `SELECT number, name, hash, events, bytes, searches, people, create_ms FROM studios WHERE name IS NOT NULL ORDER BY number`, nil,
		func(scan func(...any) error) (Studio, error) {
			var s Studio
			err := scan(&s.Number, &s.Name, &s.Hash, &s.Events, &s.Bytes, &s.Searches, &s.People, at{&s.Created})
			return s, err
		})
	return out, l.s.failed("list studios", err)
}

// Used is how much is kept of a studio.
func (l *Studios) Used(ctx context.Context, name string) (events, bytes int64, err error) {
	s, err := l.p.look(name)
	if err != nil {
		if errors.Is(err, ErrNotFound) { // nobody has used it yet
			err = nil
		}
		return 0, 0, err
	}
	defer s.Close()
	return s.used(ctx)
}

// Add adds a studio and returns its key, which is kept nowhere. ErrExists when the name is taken.
func (l *Studios) Add(ctx context.Context, name string, limits Limits) (key string, err error) {
	key = SecretOf(name, NewSecret())
	err = l.s.write(ctx, "add a studio", func(t tx) error {
		if l.s.dialect.lock != "" {
			if _, err := t.exec(ctx, l.s.dialect.lock); err != nil {
				return err
			}
		}
		if _, err := t.exec(ctx, `INSERT INTO studios (number, name, hash, events, bytes, searches, people, create_ms)
			SELECT COALESCE(MAX(number), 0) + 1, CAST(? AS TEXT), CAST(? AS TEXT), CAST(? AS BIGINT), CAST(? AS BIGINT), CAST(? AS BIGINT), CAST(? AS BIGINT), CAST(? AS BIGINT) FROM studios`,
			name, HashSecret(key), limits.Events, limits.Bytes, limits.Searches, limits.People, event.Millis(l.s.clock())); err != nil {
			return err
		}
		if l.p.Data != "" {
			return os.Mkdir(l.p.folder(name), 0o700)
		}
		_, err := t.exec(ctx, `CREATE SCHEMA `+quoted(schemaOf(name)))
		return err
	})
	return key, err
}

// Rotate gives a studio another key. What was signed in with the one before is not any more; links stay.
func (l *Studios) Rotate(ctx context.Context, name string) (key string, err error) {
	key = SecretOf(name, NewSecret())
	return key, l.change(ctx, "rotate a key", `UPDATE studios SET hash = ? WHERE name = ?`, HashSecret(key), name)
}

// Limit gives a studio other limits.
func (l *Studios) Limit(ctx context.Context, name string, limits Limits) error {
	return l.change(ctx, "limit a studio", `UPDATE studios SET events = ?, bytes = ?, searches = ?, people = ? WHERE name = ?`, limits.Events, limits.Bytes, limits.Searches, limits.People, name)
}

func (l *Studios) change(ctx context.Context, operation, query string, args ...any) error {
	return l.s.write(ctx, operation, func(t tx) error {
		return t.one(ctx, query, args...)
	})
}

// Remove takes a studio off the list and moves what is kept of it to where no server looks, or with purge deletes it. It
// returns where it is now.
func (l *Studios) Remove(ctx context.Context, name string, purge bool) (moved string, err error) {
	var number int64
	err = l.s.write(ctx, "remove a studio", func(t tx) error {
		if err := t.row(ctx, `UPDATE studios SET name = NULL, hash = '' WHERE name = ? RETURNING number`, name).Scan(&number); err != nil {
			if errors.Is(err, sql.ErrNoRows) {
				return ErrNotFound
			}
			return err
		}
		if l.p.Data != "" {
			return nil
		}
		from, to := quoted(schemaOf(name)), "kinorder_removed_"+strconv.FormatInt(number, 10)
		query := `DROP SCHEMA ` + from + ` CASCADE`
		if !purge {
			query, moved = `ALTER SCHEMA `+from+` RENAME TO `+quoted(to), to
		}
		_, err := t.exec(ctx, query)
		return err
	})
	if err != nil || l.p.Data == "" {
		return moved, err
	}
	from := l.p.folder(name)
	move := func() error { return os.RemoveAll(from) }
	if !purge {
		moved = filepath.Join(filepath.Dir(from), fmt.Sprintf("removed-%d.%s", number, name)) // no name of a studio has a dot
		move = func() error { return os.Rename(from, moved) }
	}
	for range removeTries { // a server may have its file open still, which Windows minds
		if err = move(); err == nil {
			return moved, nil
		}
		select {
		case <-time.After(removePause):
		case <-ctx.Done():
			return "", ctx.Err()
		}
	}
	return "", fmt.Errorf("store: %s is off the list, and its folder could not be moved: %w", name, err)
}
