package store

import (
	"context"
	"embed"
	"fmt"
	"io/fs"
	"strings"
	"time"
)

// Migrations go forward only. A file that has been shipped is never edited: a change is a new file.
//
//go:embed migrations/*.sql migrations/studios/*.sql
var migrations embed.FS

// ofStore and ofStudios are where the migrations of a store are, and those of the list of studios.
const ofStore, ofStudios = "migrations", "migrations/studios"

// steps returns the migrations in a folder in their order; step i leads from schema i to i+1.
func steps(folder string) ([]string, error) {
	names, err := fs.Glob(migrations, folder+"/*.sql")
	if err != nil {
		return nil, err
	}
	var out []string
	for i, name := range names {
		if want := fmt.Sprintf("%s/%04d.sql", folder, i+1); name != want {
			return nil, fmt.Errorf("store: %s is out of sequence, want %s", name, want)
		}
		content, err := migrations.ReadFile(name)
		if err != nil {
			return nil, err
		}
		out = append(out, string(content))
	}
	return out, nil
}

// Schema is the number of the schema that this version brings a store to.
func Schema() int {
	all, err := steps(ofStore)
	if err != nil {
		panic(err) // the files are compiled in, and the tests open a store
	}
	return len(all)
}

// migrationTime is how long a migration may take, with all data in one table written anew.
const migrationTime = time.Minute

// migrate brings the schema up to date, all or nothing. Several servers may do so at once.
func (s *Store) migrate(ctx context.Context, folder string) error {
	all, err := steps(folder)
	if err != nil {
		return err
	}
	return s.failed("bring the schema up to date", s.transact(ctx, migrationTime, func(t tx) error {
		if s.dialect.lock != "" {
			if _, err := t.exec(ctx, s.dialect.lock); err != nil {
				return err
			}
		}
		if _, err := t.exec(ctx, `CREATE TABLE IF NOT EXISTS schema_version (version BIGINT NOT NULL)`); err != nil {
			return err
		}
		var at int
		if err := t.row(ctx, `SELECT COALESCE(MAX(version), 0) FROM schema_version`).Scan(&at); err != nil {
			return err
		}
		if at > len(all) {
			return fmt.Errorf("the data was written by a newer version of kinorder (schema %d, this one knows %d): use that version", at, len(all))
		}
		for i := at; i < len(all); i++ {
			for statement := range strings.SplitSeq(all[i], ";") {
				if strings.TrimSpace(statement) == "" {
					continue
				}
				if _, err := t.ExecContext(ctx, statement); err != nil {
					return fmt.Errorf("migration %d: %w", i+1, err)
				}
			}
			if _, err := t.exec(ctx, `INSERT INTO schema_version (version) VALUES (?)`, i+1); err != nil {
				return err
			}
		}
		return nil
	}))
}
