package store

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"strings"
	"sync"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/pgx/v5/stdlib"

	"kinorder.example/server/internal/run"
)

// channel is where servers tell each other of changes.
const channel = "kinorder_runs"

// OpenPostgres opens the database that a connection string (URL or keyword=value) names. Several
// servers may use one database: each hears of the changes of the others. A studio has a schema of its own there.
func OpenPostgres(ctx context.Context, dsn string, o Options) (*Store, error) {
	s, err := openDatabase(dsn, schemaOf(o.Studio), o)
	if err != nil {
		return nil, err
	}
	if err := s.migrate(ctx, ofStore); err != nil {
		return nil, errors.Join(err, s.db.Close())
	}
	return s, nil
}

// openDatabase opens a schema of a database, the usual one for an empty name, whatever is in it.
func openDatabase(dsn, schema string, o Options) (*Store, error) {
	config, err := pgx.ParseConfig(dsn)
	if err != nil {
		// Its text may hold the password.
		return nil, errors.New("store: the connection string of PostgreSQL cannot be read: write it as postgres://user@host/database")
	}
	// Acknowledged means on disk, whatever the server's own setting.
	config.RuntimeParams["synchronous_commit"] = "on"
	if config.ConnectTimeout == 0 {
		config.ConnectTimeout = 10 * time.Second
	}
	here, most := channel, 16
	if schema != "" { // one of many, which share the connections that the database has
		config.RuntimeParams["search_path"] = quoted(schema)
		here, most = quoted(schema), 4
	}
	db := stdlib.OpenDB(*config)
	db.SetMaxOpenConns(most)
	db.SetMaxIdleConns(most / 2)
	if schema != "" {
		db.SetConnMaxIdleTime(time.Minute)
	}
	s := newStore(db, dialect{
		numbered: true,
		classify: classifyPostgres,
		lock:     `SELECT pg_advisory_xact_lock(7465)`,
		notify:   `SELECT pg_notify('` + strings.Trim(here, `"`) + `', ?)`,
		used:     usedOfDatabase,
	}, o)
	listening, cancel := context.WithCancel(context.Background())
	var done sync.WaitGroup
	s.listen = sync.OnceFunc(func() { done.Go(func() { s.hear(listening, config, here) }) })
	s.stop = append(s.stop, func() error { cancel(); done.Wait(); return nil })
	return s, nil
}

// schemaOf is where a studio's data are.
func schemaOf(studio string) string {
	if studio == "" {
		return ""
	}
	return "kinorder_studio_" + studio
}

func quoted(name string) string { return pgx.Identifier{name}.Sanitize() }

// usedOfDatabase leaves out what is deleted and not yet given back.
const usedOfDatabase = `SELECT CAST(COALESCE((SELECT SUM(OCTET_LENGTH(body) + OCTET_LENGTH(draft)) FROM event_versions), 0)
	+ COALESCE((SELECT SUM(OCTET_LENGTH(body) + OCTET_LENGTH(draft)) FROM event_asides), 0) + COALESCE((SELECT SUM(OCTET_LENGTH(body)) FROM sheets), 0)
	+ COALESCE((SELECT SUM(OCTET_LENGTH(plan)) FROM runs), 0) + COALESCE((SELECT SUM(OCTET_LENGTH(body)) FROM marks), 0) AS BIGINT)`

// hear wakes viewers of runs that other servers change. After every new connection it wakes all:
// what was said in between was not heard. Without connection viewers still look by themselves.
func (s *Store) hear(ctx context.Context, config *pgx.ConnConfig, channel string) {
	pause := 100 * time.Millisecond
	for ctx.Err() == nil {
		err := func() error {
			conn, err := pgx.ConnectConfig(ctx, config)
			if err != nil {
				return err
			}
			defer conn.Close(context.WithoutCancel(ctx))
			if _, err := conn.Exec(ctx, "LISTEN "+channel); err != nil {
				return err
			}
			pause = 100 * time.Millisecond
			s.hub.wakeAll()
			for {
				n, err := conn.WaitForNotification(ctx)
				if err != nil {
					return err
				}
				if id, rest, ok := strings.Cut(n.Payload, "/"); ok {
					s.hub.wake(run.Ref{Event: id, Run: rest})
				}
			}
		}()
		if err == nil || ctx.Err() != nil {
			return
		}
		select {
		case <-ctx.Done():
		case <-time.After(pause):
			pause = min(2*pause, 5*time.Second)
		}
	}
}

func classifyPostgres(err error) error {
	var e *pgconn.PgError
	if errors.As(err, &e) {
		switch {
		case e.Code == "23505": // unique_violation
			return fmt.Errorf("%w: %w", ErrExists, redacted(e))
		case e.Code == "23503": // foreign_key_violation
			return fmt.Errorf("%w: %w", ErrNotFound, redacted(e))
		case e.Code == "53100" || e.Code == "54000": // disk_full, program_limit_exceeded
			return fmt.Errorf("%w: %w", ErrFull, redacted(e))
		case strings.HasPrefix(e.Code, "53"), strings.HasPrefix(e.Code, "57P"), strings.HasPrefix(e.Code, "08"),
			strings.HasPrefix(e.Code, "58"), e.Code == "25006": // no resources, shutting down, no connection, system error, read only
			return fmt.Errorf("%w: %w", ErrUnreachable, redacted(e))
		}
		return redacted(e)
	}
	var network net.Error
	var connect *pgconn.ConnectError
	if errors.As(err, &network) || errors.As(err, &connect) || errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, net.ErrClosed) ||
		strings.Contains(err.Error(), "conn closed") || strings.Contains(err.Error(), "bad connection") {
		return fmt.Errorf("%w: %T", ErrUnreachable, err)
	}
	return err
}

// redacted keeps what quotes no stored value: not the detail, and not the message of data exceptions.
func redacted(e *pgconn.PgError) error {
	if strings.HasPrefix(e.Code, "22") {
		return fmt.Errorf("SQLSTATE %s", e.Code)
	}
	return fmt.Errorf("%s (SQLSTATE %s)", e.Message, e.Code)
}
