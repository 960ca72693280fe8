package store

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5/pgconn"
)

// OpenSQLiteLimited opens a store whose file may have so many pages of 4 KiB at most.
func OpenSQLiteLimited(ctx context.Context, folder string, pages int) (*Store, error) {
	s, err := OpenSQLite(ctx, folder, Options{})
	if err != nil {
		return nil, err
	}
	// The limit is one of each connection.
	s.db.SetMaxOpenConns(1)
	_, err = s.db.ExecContext(ctx, fmt.Sprintf("PRAGMA max_page_count = %d", pages))
	return s, err
}

// Exec runs a statement as it is.
func (s *Store) Exec(ctx context.Context, statement string) error {
	_, err := s.db.ExecContext(ctx, statement)
	return err
}

// ClassifyPostgres classifies an error with a code of PostgreSQL.
func ClassifyPostgres(code string) error {
	return classifyPostgres(errors.Join(&pgconn.PgError{Code: code, Message: "message", Detail: "LAPWING"}))
}

// WaitAtMost sets how long a call waits for the database.
func (s *Store) WaitAtMost(d time.Duration) { s.patience = d }

// MostConnections is how many connections there are at once.
func (s *Store) MostConnections() int { return s.db.Stats().MaxOpenConnections }

// Steps are the migrations.
var Steps = func() ([]string, error) { return steps(ofStore) }
