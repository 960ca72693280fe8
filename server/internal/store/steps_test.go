package store_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/store/storetest"
)

func draft(text string) store.Step {
	return store.Step{What: "read", By: "studio", Label: "Inês & نور", Draft: `{"Text":"` + text + `"}`}
}

// steps holds what the planner's pages keep: each step with what was written, in one history with changes that came in
// another way.
func steps(t *testing.T, open opener) {
	s, ctx := open(t, ticking()), t.Context()
	made, err := s.BeginEvent(ctx, event.Event{}, draft("one"))
	require.NoError(t, err)
	id := made.Event.ID
	second := draft("two \\u0000")
	second.Back, second.Planned = 1, true
	_, err = s.SaveStep(ctx, id, 1, 0, event.Event{Title: "Two"}, second)
	require.NoError(t, err)
	_, err = s.SaveStep(ctx, id, 1, 0, event.Event{}, draft("lost"))
	require.ErrorIs(t, err, store.ErrConflict)
	got, err := s.Version(ctx, id, 0)
	require.NoError(t, err)
	assert.Equal(t, second, got.Step)
	assert.Equal(t, "Two", got.Event.Title)
	work, err := s.Work(ctx, 9)
	require.NoError(t, err)
	require.Len(t, work, 1)
	assert.True(t, work[0].Planned)
	assert.False(t, work[0].Begun)
	assert.Equal(t, "Inês & نور", work[0].Label)

	closing := "2027-05-01"
	closed := second
	closed.Closing = &closing
	got, err = s.SaveStep(ctx, id, 2, 0, event.Event{Title: "Two"}, closed)
	require.NoError(t, err)
	assert.Equal(t, closing, got.Closes)
	work, err = s.Work(ctx, 9)
	require.NoError(t, err)
	assert.Equal(t, closing, work[0].Closes)
	got, err = s.SaveStep(ctx, id, 3, 3, event.Event{Title: "Two"}, second)
	require.NoError(t, err)
	assert.Equal(t, closing, got.Closes, "it stays closed whatever is changed")
	asides(t, s, id)
	require.NoError(t, s.DeleteEvent(ctx, id, 0))
	_, err = s.Aside(ctx, id, "window")
	require.ErrorIs(t, err, store.ErrNotFound)

	made, err = s.BeginEvent(ctx, event.Event{}, draft("one"))
	require.NoError(t, err)
	_, err = s.SaveStep(ctx, made.Event.ID, 1, 0, event.Event{Title: "Two"}, second)
	require.NoError(t, err)
	forgotten(t, s, made.Event.ID)
}

// asides holds that what is set aside is no version, takes the place of what the same window wrote, and stays.
func asides(t *testing.T, s *store.Store, id string) {
	ctx := t.Context()
	for _, text := range []string{"a", "ab"} {
		require.NoError(t, s.SetAside(ctx, id, "window", event.Event{Title: text}, draft(text)))
	}
	require.ErrorIs(t, s.SetAside(ctx, "nobody", "window", event.Event{}, draft("")), store.ErrNotFound)
	require.NoError(t, s.Settle(ctx, id, "window"))
	a, err := s.Aside(ctx, id, "window")
	require.NoError(t, err)
	assert.True(t, a.Settled)
	assert.Equal(t, "ab", a.Event.Title)
	assert.Equal(t, draft("ab").Draft, a.Draft)
	for i := range 55 {
		require.NoError(t, s.SetAside(ctx, id, fmt.Sprint(i), event.Event{}, draft("")))
	}
	list, err := s.Asides(ctx, id)
	require.NoError(t, err)
	assert.Len(t, list, 50)
	assert.Equal(t, "54", list[0].Key)
}

// forgotten holds which of the two versions of an event that there are, and of those that come, stay.
func forgotten(t *testing.T, s *store.Store, id string) {
	ctx := t.Context()
	pushed, err := s.ReplaceEvent(ctx, id, 2, storetest.Party())
	require.NoError(t, err)
	assert.Equal(t, int64(3), pushed.Version)
	list, err := s.Versions(ctx, id, 9)
	require.NoError(t, err)
	require.Len(t, list, 3)
	assert.Equal(t, int64(3), list[0].Event.Version)
	assert.Equal(t, int64(2), list[0].Back, "what came in another way is undone like the rest")

	_, err = s.SaveStep(ctx, id, 3, 2, event.Event{}, draft("instead"))
	require.NoError(t, err)
	_, err = s.Version(ctx, id, 2)
	require.ErrorIs(t, err, store.ErrNotFound, "another one stands for it")
	_, err = s.SaveStep(ctx, id, 4, 3, event.Event{}, draft("more"))
	require.NoError(t, err)
	_, err = s.Version(ctx, id, 3)
	require.NoError(t, err, "versions of others stay")
	_, err = s.CreateSheet(ctx, once, id, 5, event.CallSheet{})
	require.NoError(t, err)
	_, err = s.SaveStep(ctx, id, 5, 5, event.Event{}, draft("last"))
	require.NoError(t, err)
	_, err = s.Version(ctx, id, 5)
	require.NoError(t, err, "a sheet is of it")

	later, err := s.BeginEvent(ctx, event.Event{}, draft("other"))
	require.NoError(t, err)
	work, err := s.Work(ctx, 1)
	require.NoError(t, err)
	require.Len(t, work, 1)
	assert.Equal(t, later.Event.ID, work[0].ID, "what changed last comes first")
	require.NoError(t, s.DeleteEvent(ctx, id, 0))
	_, err = s.Version(ctx, id, 0)
	require.ErrorIs(t, err, store.ErrNotFound)
	_, err = s.SaveStep(ctx, id, 6, 0, event.Event{}, draft("gone"))
	require.ErrorIs(t, err, store.ErrNotFound)
}
