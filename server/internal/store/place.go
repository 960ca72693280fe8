package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"time"
)

// Place is where a server keeps things, of all its studios: a data folder, or a database.
type Place struct{ Data, Postgres string }

// nameEnd ends the name of a studio in front of a secret.
const nameEnd = "."

// names are those of studios. Cookies of the server itself begin with one letter and a dot.
var names = regexp.MustCompile(`^[a-z][a-z0-9-]{0,38}[a-z0-9]$`)

// ValidStudio says whether a studio may have a name.
func ValidStudio(name string) bool { return names.MatchString(name) }

// StudioIn is the name in front of a secret or a cookie, and empty for those of the server's own studio. That there is
// a studio of that name it does not say.
func StudioIn(secret string) string {
	for i := range len(secret) {
		if secret[i] == nameEnd[0] {
			if name := secret[:i]; ValidStudio(name) {
				return name
			}
			return ""
		}
	}
	return ""
}

// SecretOf is what a secret or a cookie of a studio is outside.
func SecretOf(studio, secret string) string {
	if studio == "" {
		return secret
	}
	return studio + nameEnd + secret
}

// Open opens what is kept of a studio. ErrNotFound when there is no such studio.
func (p Place) Open(ctx context.Context, o Options) (*Store, error) {
	if p.Data == "" {
		return OpenPostgres(ctx, p.Postgres, o)
	}
	folder := p.folder(o.Studio)
	if _, err := os.Stat(folder); o.Studio != "" && errors.Is(err, fs.ErrNotExist) {
		return nil, ErrNotFound // it was removed meanwhile, and is not made anew
	}
	return OpenSQLite(ctx, folder, o)
}

// studiosFolder is where the data folder has its studios, listFile their list.
const studiosFolder, listFile = "studios", "studios.db"

func (p Place) folder(studio string) string {
	if studio == "" {
		return p.Data
	}
	return filepath.Join(p.Data, studiosFolder, studio)
}

func (p Place) listFile() string { return filepath.Join(p.Data, studiosFolder, listFile) }

// listSchema is where a database has the list of its studios.
const listSchema = "kinorder_studios"

// Studios opens the list of studios; nil when there is none. Make makes it.
func (p Place) Studios(ctx context.Context, make bool) (*Studios, error) {
	var s *Store
	var err error
	if p.Data != "" {
		if _, missing := os.Stat(p.listFile()); missing != nil && !make {
			return nil, nil
		}
		if err = os.MkdirAll(filepath.Dir(p.listFile()), 0o700); err == nil {
			s, err = openFile(ctx, p.listFile(), Options{})
		}
	} else {
		s, err = p.listInDatabase(ctx, make)
	}
	if err != nil || s == nil {
		return nil, err
	}
	if err := s.migrate(ctx, ofStudios); err != nil {
		return nil, errors.Join(err, s.Close())
	}
	return &Studios{s, p}, nil
}

func (p Place) listInDatabase(ctx context.Context, make bool) (*Store, error) {
	s, err := openDatabase(p.Postgres, listSchema, Options{})
	if err != nil {
		return nil, err
	}
	var n int
	err = s.row(ctx, `SELECT COUNT(*) FROM pg_namespace WHERE nspname = ?`, listSchema).Scan(&n)
	if err == nil && n == 0 && make {
		_, err = s.db.ExecContext(ctx, `CREATE SCHEMA IF NOT EXISTS `+quoted(listSchema))
		n = 1
	}
	if err != nil || n == 0 {
		return nil, errors.Join(s.failed("find the studios", err), s.Close())
	}
	return s, nil
}

// look opens what is kept of a studio only to look at it: whatever its schema, and without making anything.
func (p Place) look(studio string) (*Store, error) {
	if p.Data == "" {
		return openDatabase(p.Postgres, schemaOf(studio), Options{})
	}
	path := filepath.Join(p.folder(studio), FileName)
	if _, err := os.Stat(path); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrNotFound, err)
	}
	db, err := openToRead(path)
	if err != nil {
		return nil, err
	}
	return newStore(db, dialect{classify: classifySQLite, used: usedOfFile}, Options{}), nil
}

func openToRead(path string) (*sql.DB, error) {
	q := url.Values{"mode": {"ro"}, "_pragma": {"busy_timeout(5000)"}}
	return sql.Open("sqlite", (&url.URL{Scheme: "file", Opaque: url.PathEscape(path), RawQuery: q.Encode()}).String())
}

// removeTries is how often the folder of a studio is moved away, where a server has its file open still, and how long
// it waits in between.
const (
	removeTries = 20
	removePause = 500 * time.Millisecond
)
