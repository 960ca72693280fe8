package store

import (
	"bytes"
	"context"
	"crypto/rand"
	"encoding/base32"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// Bodies are the JSON of the domain types. A field may be added; one that is renamed or loses its
// meaning needs a migration, and the tests read bodies of every shipped schema to notice.

func encode(v any) (string, error) {
	text, err := json.Marshal(v)
	if err != nil {
		return "", fmt.Errorf("a %T cannot be stored", v) // the cause may quote it
	}
	return string(text), nil
}

// decode refuses fields it does not know: a newer server wrote them, and to drop them loses data.
func decode[T any](text string) (T, error) {
	var v T
	d := json.NewDecoder(bytes.NewReader([]byte(text)))
	d.DisallowUnknownFields()
	if err := d.Decode(&v); err != nil {
		return v, fmt.Errorf("a stored %T cannot be read: %w", v, ErrVersion)
	}
	return v, nil
}

// newID makes the id of a resource: 80 random bits.
func newID() string {
	var b [10]byte
	_, _ = rand.Read(b[:]) // never fails, as its documentation says
	return strings.ToLower(base32.StdEncoding.EncodeToString(b[:]))
}

var ids = regexp.MustCompile(`^[a-z0-9-]{1,63}$`)

// ValidID says whether something that is kept can have an id. Databases differ in what they make of others.
func ValidID(id string) bool { return ids.MatchString(id) }

// Page asks for a part of a list.
type Page struct {
	// Size is the most entries, at least 1.
	Size int
	// Token is where the page before ended; empty begins at the start.
	Token string
}

// cursor is the last entry of a page. Sheets and runs are sorted by number; events and links by the
// milliseconds of their creation, then id.
type cursor struct {
	at int64
	id string
}

func (c cursor) token() string {
	return base64.RawURLEncoding.EncodeToString([]byte(strconv.FormatInt(c.at, 10) + "." + c.id))
}

// ErrToken says that a page token is not one that a list gave.
var ErrToken = fmt.Errorf("%w: no such page", ErrNotFound)

func (p Page) cursor() (cursor, error) {
	if p.Token == "" {
		return cursor{at: -1}, nil
	}
	text, err := base64.RawURLEncoding.DecodeString(p.Token)
	at, id, ok := strings.Cut(string(text), ".")
	n, bad := strconv.ParseInt(at, 10, 64)
	if err != nil || !ok || bad != nil || id != "" && !ValidID(id) {
		return cursor{}, ErrToken
	}
	return cursor{n, id}, nil
}

// paged reads a page of a list and the token of the next one. What is asked for is made from where the page before ended;
// the query ends with how many are read, one more than the page holds.
func paged[T any](ctx context.Context, s *Store, operation string, p Page, query string, asked func(from cursor) []any,
	read func(scan func(...any) error) (T, error), at func(T) cursor,
) ([]T, string, error) {
	from, err := p.cursor()
	if err != nil {
		return nil, "", s.failed(operation, err)
	}
	list, err := rows(ctx, s, query, append(asked(from), p.Size+1), read)
	if err != nil {
		return nil, "", s.failed(operation, err)
	}
	if len(list) <= p.Size {
		return list, "", nil
	}
	list = list[:p.Size]
	return list, at(list[p.Size-1]).token(), nil
}
