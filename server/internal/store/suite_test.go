package store_test

import (
	"fmt"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/store/storetest"
)

// opener opens a store on the data of the test, which are the same each time it is called.
type opener func(t *testing.T, o store.Options) *store.Store

// once is a request that is not sent again.
var once store.Request

// every runs what every store has to do, against the real thing. fresh makes empty data and returns how to open it; shared says that several
// stores may be open on the same data and hear of each other.
func every(t *testing.T, shared bool, fresh func(t *testing.T) opener) {
	many := func(t *testing.T, open opener) { manyMarkers(t, shared, open) }
	for _, c := range []struct {
		name string
		test func(t *testing.T, open opener)
	}{
		{"events", events}, {"steps", steps}, {"pages", pages}, {"requests", requests}, {"sheets and runs", sheetsAndRuns}, {"clock put back", clockPutBack},
		{"links", links}, {"wishes", wishes}, {"marks", marks}, {"plans", plans}, {"delete all", deleteAll},
		{"many markers", many}, {"wake", wake}, {"missing", missing}, {"cancelled", cancelled},
	} {
		t.Run(c.name, func(t *testing.T) { c.test(t, fresh(t)) })
	}
}

// clock is a clock that moves by a second each time it is read.
type clock struct {
	mu  sync.Mutex
	now time.Time
}

func (c *clock) read() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.now = c.now.Add(time.Second)
	return c.now
}

func ticking() store.Options { return store.Options{Now: (&clock{now: storetest.Noon}).read} }

func events(t *testing.T, open opener) {
	ctx := t.Context()
	s := open(t, ticking())
	made, err := s.CreateEvent(ctx, once, "party", storetest.Party())
	require.NoError(t, err)
	assert.Equal(t, int64(1), made.Version)
	assert.Equal(t, storetest.Party(), made.Event)
	assert.Equal(t, storetest.Noon.Add(time.Second), made.Created)

	_, err = s.CreateEvent(ctx, once, "party", event.Event{})
	require.ErrorIs(t, err, store.ErrExists)
	other, err := s.CreateEvent(ctx, once, "", event.Event{Title: "Other"})
	require.NoError(t, err)
	assert.Regexp(t, "^[a-z2-7]{16}$", other.ID)

	changed := storetest.Party()
	changed.Title = "Later"
	got, err := s.ReplaceEvent(ctx, "party", 1, changed)
	require.NoError(t, err)
	assert.Equal(t, int64(2), got.Version)
	assert.Equal(t, changed, got.Event)
	assert.True(t, got.Updated.After(got.Created))
	_, err = s.ReplaceEvent(ctx, "party", 1, changed)
	require.ErrorIs(t, err, store.ErrConflict)
	require.ErrorIs(t, s.DeleteEvent(ctx, "party", 1), store.ErrConflict)

	old, err := s.EventAt(ctx, "party", 1)
	require.NoError(t, err)
	assert.Equal(t, storetest.Party(), old.Event)
	assert.Equal(t, made, old, "with the title and the time of that version")

	require.NoError(t, s.Close())
	s = open(t, ticking())
	again, err := s.Event(ctx, "party")
	require.NoError(t, err)
	assert.Equal(t, got, again, "it is there after the store was closed")
}

func pages(t *testing.T, open opener) {
	ctx := t.Context()
	s := open(t, store.Options{Now: func() time.Time { return storetest.Noon }}) // ties are split by id
	want := map[string]bool{}
	for i := range 7 {
		e, err := s.CreateEvent(ctx, once, "", event.Event{Title: fmt.Sprint(i), Date: "2027-05-15"})
		require.NoError(t, err)
		want[e.ID] = true
	}
	seen := map[string]bool{}
	p := store.Page{Size: 3}
	for n := 0; ; n++ {
		list, next, err := s.Events(ctx, p)
		require.NoError(t, err)
		for _, e := range list {
			assert.False(t, seen[e.ID], "listed twice")
			seen[e.ID] = true
			assert.Equal(t, "2027-05-15", e.Date)
		}
		if p.Token = next; next == "" {
			assert.Equal(t, 2, n)
			break
		}
	}
	assert.Equal(t, want, seen)
	for _, token := range []string{"nonsense!", "bm9uc2Vuc2U"} {
		_, _, err := s.Events(ctx, store.Page{Size: 3, Token: token})
		require.ErrorIs(t, err, store.ErrToken)
	}
}

func requests(t *testing.T, open opener) {
	ctx := t.Context()
	s := open(t, ticking())
	request := store.Request{ID: "request-1", Hash: "1"}
	ids := make([]string, 8)
	var wg sync.WaitGroup
	for i := range ids {
		wg.Go(func() {
			e, err := s.CreateEvent(ctx, request, "", storetest.Party())
			assert.NoError(t, err)
			ids[i] = e.ID
		})
	}
	wg.Wait()
	for _, id := range ids {
		assert.Equal(t, ids[0], id, "one request makes one event")
	}
	sheet, err := s.CreateSheet(ctx, request, ids[0], 1, event.CallSheet{})
	require.NoError(t, err)
	again, err := s.CreateSheet(ctx, request, ids[0], 1, event.CallSheet{Totals: event.Totals{Cost: 9}})
	require.NoError(t, err)
	assert.Equal(t, sheet, again)
	made, err := s.MadeSheet(ctx, request, ids[0])
	require.NoError(t, err)
	assert.Equal(t, sheet, made)
	r, err := s.CreateRun(ctx, request, ids[0], sheet.ID)
	require.NoError(t, err)
	same, err := s.CreateRun(ctx, request, ids[0], sheet.ID)
	require.NoError(t, err)
	assert.Equal(t, r, same)

	other := store.Request{ID: "request-1", Hash: "2"}
	_, err = s.CreateEvent(ctx, other, "", storetest.Party())
	require.ErrorIs(t, err, store.ErrReused)
	_, err = s.CreateSheet(ctx, other, ids[0], 1, event.CallSheet{})
	require.ErrorIs(t, err, store.ErrReused)
	_, err = s.MadeSheet(ctx, other, ids[0])
	require.ErrorIs(t, err, store.ErrReused)
	_, err = s.CreateRun(ctx, other, ids[0], sheet.ID)
	require.ErrorIs(t, err, store.ErrReused)
	link, first, err := s.CreateLink(ctx, request, ids[0], store.Lead, "Aunt", time.Time{})
	require.NoError(t, err)
	twin, second, err := s.CreateLink(ctx, request, ids[0], store.Lead, "Aunt", time.Time{})
	require.NoError(t, err)
	assert.Equal(t, link, twin)
	_, err = s.Open(ctx, first)
	require.ErrorIs(t, err, store.ErrNotFound, "nobody heard of it")
	opened, err := s.Open(ctx, second)
	require.NoError(t, err)
	assert.Equal(t, link, opened)
	_, _, err = s.CreateLink(ctx, other, ids[0], store.Owner, "", time.Time{})
	require.ErrorIs(t, err, store.ErrReused)

	e, err := s.CreateEvent(ctx, store.Request{ID: "request-1"}, "", storetest.Party())
	require.NoError(t, err, "nothing to compare with")
	assert.Equal(t, ids[0], e.ID)
}

func links(t *testing.T, open opener) {
	ctx := t.Context()
	c := &clock{now: storetest.Noon}
	s := open(t, store.Options{Now: c.read})
	_, err := s.CreateEvent(ctx, once, "party", storetest.Party())
	require.NoError(t, err)
	l, secret, err := s.CreateLink(ctx, once, "party", store.Reader, "Aunt", storetest.Noon.Add(time.Hour))
	require.NoError(t, err)
	assert.Len(t, secret, 22, "128 bits in letters of 6")
	got, err := s.Open(ctx, secret)
	require.NoError(t, err)
	assert.Equal(t, l, got)
	_, err = s.Open(ctx, store.NewSecret())
	require.ErrorIs(t, err, store.ErrNotFound)
	require.NotErrorIs(t, err, store.ErrEnded)

	forever, other, err := s.CreateLink(ctx, once, "party", store.Lead, "", time.Time{})
	require.NoError(t, err)
	revoked, err := s.RevokeLink(ctx, "party", forever.ID)
	require.NoError(t, err)
	again, err := s.RevokeLink(ctx, "party", forever.ID)
	require.NoError(t, err)
	assert.Equal(t, revoked, again)
	_, err = s.Open(ctx, other)
	require.ErrorIs(t, err, store.ErrEnded, "revoked")
	_, err = s.RevokeLink(ctx, "party", "none")
	require.ErrorIs(t, err, store.ErrNotFound)

	c.mu.Lock()
	c.now = storetest.Noon.Add(time.Hour)
	c.mu.Unlock()
	_, err = s.Open(ctx, secret)
	require.ErrorIs(t, err, store.ErrEnded, "expired")
	list, _, err := s.Links(ctx, "party", store.Page{Size: 5})
	require.NoError(t, err)
	assert.Equal(t, []store.Link{l, revoked}, list)
}

func deleteAll(t *testing.T, open opener) {
	ctx := t.Context()
	s := open(t, ticking())
	ref := storetest.Begin(t, s)
	_, err := s.AddMarks(ctx, ref, []run.Mark{storetest.Note("LAPWING")})
	require.NoError(t, err)
	_, secret, err := s.CreateLink(ctx, once, ref.Event, store.Owner, "", time.Time{})
	require.NoError(t, err)
	require.NoError(t, s.DeleteEvent(ctx, ref.Event, 0))
	require.ErrorIs(t, s.DeleteEvent(ctx, ref.Event, 0), store.ErrNotFound)
	_, err = s.Changes(ctx, ref, 0)
	require.ErrorIs(t, err, store.ErrNotFound)
	_, err = s.Open(ctx, secret)
	require.ErrorIs(t, err, store.ErrNotFound)
	_, err = s.EventAt(ctx, ref.Event, 1)
	require.ErrorIs(t, err, store.ErrNotFound)
	_, _, err = s.CreateLink(ctx, once, ref.Event, store.Owner, "", time.Time{})
	require.ErrorIs(t, err, store.ErrNotFound)
}
