package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// FileName is the file in the data folder.
const FileName = "kinorder.db"

// OpenSQLite opens the file in a data folder and makes both where they are missing, readable by their
// owner only. A commit is on disk when it returns: the log is written ahead and synced in full.
func OpenSQLite(ctx context.Context, folder string, o Options) (*Store, error) {
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return nil, fmt.Errorf("store: %w", err)
	}
	s, err := openFile(ctx, filepath.Join(folder, FileName), o)
	if err != nil {
		return nil, err
	}
	if err := s.migrate(ctx, ofStore); err != nil {
		return nil, errors.Join(err, s.db.Close())
	}
	return s, nil
}

// openFile opens a file whatever its schema, and makes it where it is missing.
func openFile(ctx context.Context, path string, o Options) (*Store, error) {
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return nil, fmt.Errorf("store: %w", err)
	}
	if err := f.Close(); err != nil {
		return nil, fmt.Errorf("store: %w", err)
	}
	q := url.Values{"_txlock": {"immediate"}, "_pragma": {
		"busy_timeout(5000)", "journal_mode(WAL)", "synchronous(FULL)", "foreign_keys(ON)",
		// Deleted content is overwritten: guest lists do not linger in free pages.
		"secure_delete(ON)",
	}}
	dsn := (&url.URL{Scheme: "file", Opaque: url.PathEscape(path), RawQuery: q.Encode()}).String()
	db, err := sql.Open("sqlite", dsn)
	if err != nil {
		return nil, fmt.Errorf("store: %w", err)
	}
	// Opening a connection costs more than a query; each holds a file open.
	db.SetMaxIdleConns(4)
	db.SetMaxOpenConns(8)
	// Deleted content stays in the write-ahead log until that is moved into the file and emptied.
	s := newStore(db, dialect{classify: classifySQLite, used: usedOfFile, erase: `PRAGMA wal_checkpoint(TRUNCATE)`}, o)
	s.writing = make(chan struct{}, 1)
	if err := s.sound(ctx, path); err != nil {
		return nil, errors.Join(err, db.Close())
	}
	return s, nil
}

// usedOfFile leaves out the pages that are free again.
const usedOfFile = `SELECT (c.page_count - f.freelist_count) * s.page_size FROM pragma_page_count() c, pragma_freelist_count() f, pragma_page_size() s`

// sound says whether a file is whole. A page that is not would otherwise be noticed in the middle of a day.
func (s *Store) sound(ctx context.Context, path string) error {
	var found string
	_, err := s.db.ExecContext(ctx, s.dialect.erase) // what a server left that was killed
	if broken := (*sqlite.Error)(nil); err != nil && !(errors.As(err, &broken) && broken.Code()&0xff == sqlite3.SQLITE_CORRUPT) {
		return s.failed("read "+path, err)
	}
	if err == nil {
		err = s.db.QueryRowContext(ctx, `PRAGMA quick_check(1)`).Scan(&found)
	}
	if err != nil {
		found = err.Error()
	}
	if found == "ok" || ctx.Err() != nil {
		return s.failed("read "+path, ctx.Err())
	}
	return fmt.Errorf("store: %w: %s is damaged (%s): put a copy of it in its place, or move it away to start over; sqlite3 with .recover may save what can still be read", ErrUnreachable, path, found)
}

func classifySQLite(err error) error {
	var e *sqlite.Error
	if !errors.As(err, &e) {
		return err
	}
	switch e.Code() & 0xff {
	case sqlite3.SQLITE_FULL:
		return fmt.Errorf("%w: %w", ErrFull, err)
	case sqlite3.SQLITE_IOERR, sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED:
		return fmt.Errorf("%w: %w", ErrUnreachable, err)
	case sqlite3.SQLITE_CONSTRAINT:
		if e.Code() == sqlite3.SQLITE_CONSTRAINT_FOREIGNKEY {
			return fmt.Errorf("%w: %w", ErrNotFound, err)
		}
		return fmt.Errorf("%w: %w", ErrExists, err)
	case sqlite3.SQLITE_INTERRUPT:
		return fmt.Errorf("%w: %w", context.Canceled, err)
	}
	return err
}
