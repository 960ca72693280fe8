package store

import (
	"context"
	"errors"
)

// create runs a transaction that makes something for a request. When two calls with one request race,
// the second finds what the first has made.
func (s *Store) create(ctx context.Context, operation, request string, f func(tx) error) error {
	err := s.write(ctx, operation, f)
	if request != "" && errors.Is(err, ErrExists) {
		return s.write(ctx, operation, f)
	}
	return err
}
