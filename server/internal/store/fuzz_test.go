package store_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/store/storetest"
)

// A page token of strangers begins a page or is none, in every list.
func FuzzPageTokens(f *testing.F) {
	s, err := store.OpenSQLite(f.Context(), f.TempDir(), store.Options{})
	require.NoError(f, err)
	defer func() { assert.NoError(f, s.Close()) }()
	e, err := s.CreateEvent(f.Context(), store.Request{}, "party", storetest.Party())
	require.NoError(f, err)
	_, err = s.CreateEvent(f.Context(), store.Request{}, "another", storetest.Party())
	require.NoError(f, err)
	_, next, err := s.Events(f.Context(), store.Page{Size: 1})
	require.NoError(f, err)
	for _, token := range []string{"", next, "LTEuYQ", "OTk5OTk5OTk5OTk5OTk5OTk5OTkuYQ", "MS4nIE9SIDE9MQ", "====", "\x00"} {
		f.Add(token, 1)
	}
	f.Fuzz(func(t *testing.T, token string, size int) {
		p := store.Page{Size: 1 + int(uint(size)%1000), Token: token}
		for _, list := range []func() error{
			func() error { _, _, err := s.Events(t.Context(), p); return err },
			func() error { _, _, err := s.Links(t.Context(), e.ID, p); return err },
			func() error { _, _, err := s.Sheets(t.Context(), e.ID, p); return err },
			func() error { _, _, err := s.Runs(t.Context(), e.ID, p); return err },
		} {
			if err := list(); err != nil {
				require.ErrorIs(t, err, store.ErrToken)
			}
		}
	})
}
