package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"sync"
	"time"

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
	path := filepath.Join(folder, FileName)
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return nil, fmt.Errorf("store: %w", err)
	}
	if err := f.Close(); err != nil {
		return nil, fmt.Errorf("store: %w", err)
	}
	q := url.Values{"_txlock": {"immediate"}, "_pragma": {
		"busy_timeout(10000)", "journal_mode(WAL)", "synchronous(FULL)", "foreign_keys(ON)",
		// What is deleted is overwritten: guest lists do not linger in free pages.
		"secure_delete(ON)",
	}}
	dsn := (&url.URL{Scheme: "file", Opaque: url.PathEscape(path), RawQuery: q.Encode()}).String()
	db, err := sql.Open("sqlite", dsn)
	if err != nil {
		return nil, fmt.Errorf("store: %w", err)
	}
	// Opening a connection costs more than a query.
	db.SetMaxIdleConns(4)
	s := &Store{db: db, dialect: dialect{classify: classifySQLite}, now: o.Now, hub: newHub(), writing: &sync.Mutex{}}
	if s.now == nil {
		s.now = time.Now
	}
	if err := s.migrate(ctx); err != nil {
		return nil, errors.Join(err, db.Close())
	}
	return s, nil
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
