package store_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/store/storetest"
)

// wishes holds what families wish for: in their order, each once a link, and no more of them than one may make.
func wishes(t *testing.T, open opener) {
	s, ctx := open(t, ticking()), t.Context()
	_, err := s.CreateEvent(ctx, once, "party", storetest.Party())
	require.NoError(t, err)
	ours, secret, err := s.CreateLink(ctx, store.Request{}, "party", store.Family, "Grandma", time.Time{})
	require.NoError(t, err)
	opened, err := s.Open(ctx, secret)
	require.NoError(t, err)
	assert.Equal(t, store.Family, opened.Role)
	theirs, _, err := s.CreateLink(ctx, store.Request{}, "party", store.Family, "Uncle", time.Time{})
	require.NoError(t, err)

	require.NoError(t, s.AddWishes(ctx, "party", ours.ID, []string{"Inês with me", "نور and I"}))
	require.NoError(t, s.AddWishes(ctx, "party", theirs.ID, []string{"Inês with me"}))
	require.NoError(t, s.AddWishes(ctx, "party", ours.ID, []string{"Inês with me", "all cousins"}))
	require.ErrorIs(t, s.AddWishes(ctx, "party", "nobody", []string{"x"}), store.ErrNotFound)
	all, err := s.Wishes(ctx, "party", "")
	require.NoError(t, err)
	assert.Len(t, all, 4)
	list, err := s.Wishes(ctx, "party", ours.ID)
	require.NoError(t, err)
	texts := []string{}
	for _, w := range list {
		texts = append(texts, w.Text)
		assert.Equal(t, store.Open, w.State)
	}
	assert.Equal(t, []string{"Inês with me", "نور and I", "all cousins"}, texts)

	require.NoError(t, s.AnswerWish(ctx, "party", list[1].ID, store.Taken))
	require.ErrorIs(t, s.AnswerWish(ctx, "party", "none", store.Taken), store.ErrNotFound)
	list, err = s.Wishes(ctx, "party", ours.ID)
	require.NoError(t, err)
	assert.Equal(t, store.Taken, list[1].State)

	var many []string
	for i := range store.MostWishes {
		many = append(many, fmt.Sprint("wish ", i))
	}
	require.ErrorIs(t, s.AddWishes(ctx, "party", ours.ID, many), store.ErrManyWishes)
	list, err = s.Wishes(ctx, "party", ours.ID)
	require.NoError(t, err)
	assert.Len(t, list, 3, "all or none")
	require.NoError(t, s.DeleteEvent(ctx, "party", 0))
	all, err = s.Wishes(ctx, "party", "")
	require.NoError(t, err)
	assert.Empty(t, all)
}
