// Package store keeps events, call sheets, runs and links: in one SQLite file, or in PostgreSQL for
// several servers. Both are used through the same SQL. It holds no rules of the job; what it is given is
// stored, and what is committed is on disk.
//
// Methods are safe for use by several goroutines. Test their errors with errors.Is against
// ErrNotFound, ErrExists, ErrReused, ErrConflict, ErrFull, ErrManyRuns, ErrManyWishes, ErrVersion and ErrUnreachable, with errors.As
// for *QuotaError, or those of the context.
// No error quotes what is stored.
package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strings"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/run"
)

// The errors.
var (
	// ErrNotFound says that there is nothing of that name. A desk knows it too.
	ErrNotFound = run.ErrGone
	// ErrExists says that the name is taken.
	ErrExists = errors.New("already exists")
	// ErrReused says that the id of a request is that of another one.
	ErrReused = errors.New("the request asked for something else before")
	// ErrConflict says that somebody else changed it in between.
	ErrConflict = errors.New("changed in between")
	// ErrFull says that there is no room left.
	ErrFull = errors.New("no room left")
	// ErrManyRuns says that an event has as many runs as it may have.
	ErrManyRuns = errors.New("as many runs as there may be")
	// ErrVersion says that another version of the program wrote it, in a way that this one cannot read.
	ErrVersion = errors.New("written by another version of kinorder")
	// ErrUnreachable says that the database does not answer or cannot write.
	ErrUnreachable = errors.New("the database cannot be reached")
)

// Options of a store. The zero value is fine.
type Options struct {
	// Now is the clock. Nil means time.Now.
	Now func() time.Time
	// Studio is the name of one of several studios that one server hosts, in front of the secrets of its links. Empty is
	// the server's own.
	Studio string
	Limits Limits
}

// dialect is what differs between the databases.
type dialect struct {
	// numbered placeholders are $1, $2; otherwise they are ?.
	numbered bool
	// classify turns a driver's error into one of ours.
	classify func(error) error
	// lock serialises migrations of several servers, inside the transaction; empty means no need.
	lock string
	// notify tells other servers of a change of a run, inside the transaction; empty means that
	// there are none.
	notify string
	// used is a query for the bytes of what is kept.
	used string
	// erase takes off the disk what was deleted, after the transaction; empty means that the database
	// sees to that by itself.
	erase string
}

// patience is how long a call waits for the database: a phone that hears nothing for longer has been
// forgotten by whoever holds it.
const patience = 8 * time.Second

// Store keeps everything. Open one with OpenSQLite or OpenPostgres.
type Store struct {
	db      *sql.DB
	dialect dialect
	now     func() time.Time
	hub     *hub
	studio  string // its name is in front of the secrets of links
	limits  Limits
	// listen hears of the changes of other servers from the first time on that it is called; nil where there are none.
	listen func()
	// writing holds a token while a transaction runs, where the database has room for one only: waiting
	// here is fair, retrying there is not. Nil for PostgreSQL.
	writing  chan struct{}
	patience time.Duration
	stop     []func() error
	telling  chan struct{} // gets a value when there may be something to tell webhooks
}

func newStore(db *sql.DB, d dialect, o Options) *Store {
	if o.Now == nil {
		o.Now = time.Now
	}
	return &Store{db: db, dialect: d, now: o.Now, hub: newHub(), studio: o.Studio, limits: o.Limits, patience: patience, telling: make(chan struct{}, 1)}
}

// Close closes the database. What is committed is kept.
func (s *Store) Close() error {
	var errs []error
	for i := len(s.stop) - 1; i >= 0; i-- {
		errs = append(errs, s.stop[i]())
	}
	return errors.Join(append(errs, s.db.Close())...)
}

// Ping says whether the database answers.
func (s *Store) Ping(ctx context.Context) error {
	ctx, end := context.WithTimeout(ctx, s.patience)
	defer end()
	return s.failed("ping", s.db.PingContext(ctx))
}

// clock is the time in whole milliseconds, as it is stored.
func (s *Store) clock() time.Time { return s.now().UTC().Truncate(time.Millisecond) }

// failed classifies an error and names the operation.
func (s *Store) failed(operation string, err error) error {
	if err == nil {
		return nil
	}
	if errors.Is(err, context.DeadlineExceeded) && !errors.Is(err, ErrUnreachable) {
		return fmt.Errorf("store: %s: %w: no answer in time", operation, ErrUnreachable)
	}
	for _, ours := range []error{ErrNotFound, ErrExists, ErrReused, ErrConflict, ErrFull, ErrManyRuns, ErrManyWishes, ErrVersion, ErrUnreachable, context.Canceled} {
		if errors.Is(err, ours) {
			return fmt.Errorf("store: %s: %w", operation, err)
		}
	}
	if errors.Is(err, sql.ErrNoRows) {
		return fmt.Errorf("store: %s: %w", operation, ErrNotFound)
	}
	if quota := (*QuotaError)(nil); errors.As(err, &quota) {
		return fmt.Errorf("store: %s: %w", operation, err)
	}
	return fmt.Errorf("store: %s: %w", operation, s.dialect.classify(err))
}

// place writes the placeholders as the database wants them.
func (s *Store) place(query string) string {
	if !s.dialect.numbered {
		return query
	}
	var b strings.Builder
	n := 0
	for _, r := range query {
		if r != '?' {
			b.WriteRune(r)
			continue
		}
		n++
		fmt.Fprintf(&b, "$%d", n)
	}
	return b.String()
}

// single is a row that ends the waiting for it when it is read.
type single struct {
	*sql.Row
	end context.CancelFunc
}

func (r single) Scan(into ...any) error {
	defer r.end()
	return r.Row.Scan(into...)
}

func (s *Store) row(ctx context.Context, query string, args ...any) single {
	ctx, end := context.WithTimeout(ctx, s.patience)
	return single{s.db.QueryRowContext(ctx, s.place(query), args...), end}
}

// rows reads every row of a query.
func rows[T any](ctx context.Context, s *Store, query string, args []any, read func(scan func(...any) error) (T, error)) ([]T, error) {
	ctx, end := context.WithTimeout(ctx, s.patience)
	defer end()
	found, err := s.db.QueryContext(ctx, s.place(query), args...)
	if err != nil {
		return nil, err
	}
	defer found.Close()
	var out []T
	for found.Next() {
		x, err := read(found.Scan)
		if err != nil {
			return out, err
		}
		out = append(out, x)
	}
	return out, found.Err()
}

// tx is a transaction with our placeholders.
type tx struct {
	*sql.Tx
	s *Store
	// until is when the database has to have answered.
	until time.Time
}

func (t tx) exec(ctx context.Context, query string, args ...any) (int64, error) {
	ctx, end := context.WithDeadline(ctx, t.until)
	defer end()
	r, err := t.ExecContext(ctx, t.s.place(query), args...)
	if err != nil {
		return 0, err
	}
	return r.RowsAffected()
}

// one is exec for what changes something that has to be there. ErrNotFound when it is not.
func (t tx) one(ctx context.Context, query string, args ...any) error {
	n, err := t.exec(ctx, query, args...)
	if err == nil && n == 0 {
		err = ErrNotFound
	}
	return err
}

// at is where an instant is read to, which is stored in milliseconds.
type at struct{ *time.Time }

// Scan reads it.
func (a at) Scan(column any) error {
	ms, ok := column.(int64)
	if *a.Time = event.Instant(ms); !ok {
		return fmt.Errorf("a %T is no instant", column)
	}
	return nil
}

func (t tx) row(ctx context.Context, query string, args ...any) single {
	ctx, end := context.WithDeadline(ctx, t.until)
	return single{t.QueryRowContext(ctx, t.s.place(query), args...), end}
}

// write runs f in a transaction and commits it. When it returns nil, what f wrote is on disk.
func (s *Store) write(ctx context.Context, operation string, f func(tx) error) error {
	return s.failed(operation, s.transact(ctx, s.patience, f))
}

// transact is write for what may take another time.
func (s *Store) transact(ctx context.Context, most time.Duration, f func(tx) error) error {
	ctx, end := context.WithTimeout(ctx, most)
	defer end()
	if s.writing != nil {
		select {
		case s.writing <- struct{}{}:
			defer func() { <-s.writing }()
		case <-ctx.Done():
			return ctx.Err()
		}
	}
	t, err := s.db.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer t.Rollback() // after a commit it does nothing, after an error that one counts
	until, _ := ctx.Deadline()
	if err := f(tx{t, s, until}); err != nil {
		return err
	}
	return t.Commit()
}

// remove is write for what is deleted: it is taken off the disk too.
func (s *Store) remove(ctx context.Context, operation string, f func(tx) error) error {
	if err := s.write(ctx, operation, f); err != nil || s.dialect.erase == "" {
		return err
	}
	// It is deleted, whatever comes of this: somebody who reads for long leaves it to the next time.
	_, _ = s.db.ExecContext(context.WithoutCancel(ctx), s.dialect.erase)
	return nil
}
