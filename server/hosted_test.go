package server

import (
	"bufio"
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc/codes"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
)

// relisted changes the list of studios as the commands do, and waits until it is noticed.
func relisted(t *testing.T, r *running, change func(*store.Studios) error) {
	t.Helper()
	c := r.server.config
	list, err := store.Place{Data: c.Data, Postgres: c.Postgres}.Studios(t.Context(), true)
	require.NoError(t, err)
	defer list.Close()
	require.NoError(t, change(list))
	time.Sleep(2*lookTime + lookTime/2)
}

// A new key ends the old one, what was signed in with it and streams; links go on.
func TestAKeyIsRotated(t *testing.T) {
	r := start(t, Config{Data: t.TempDir(), StudioKey: studioKey}, planning.Plan)
	defer r.stop(t)
	of, other := host(t, r, "heron", store.Limits{}), host(t, r, "egret", store.Limits{})
	watched := watching(t, r, of)
	var key string
	relisted(t, r, func(l *store.Studios) (err error) {
		key, err = l.Rotate(t.Context(), of.name)
		return err
	})
	select {
	case <-watched:
	case <-time.After(10 * time.Second):
		t.Error("a stream goes on with the old key")
	}
	_, err := r.client.WithSecret(of.key).Event(t.Context(), "events/party")
	assert.Equal(t, client.ReasonSecretWrong, refusal(t, err).Reason)
	assert.Equal(t, http.StatusForbidden, ask(t, r, http.MethodGet, "/events/party", of.cookie, nil).StatusCode)
	e, err := r.client.WithSecret(key).Event(t.Context(), "events/party")
	require.NoError(t, err)
	assert.Equal(t, of.mark, e.GetEvent().GetTitle())
	_, err = r.client.WithSecret(of.links["ROLE_LEAD"]).Event(t.Context(), "events/"+of.event)
	require.NoError(t, err)
	assert.Equal(t, http.StatusOK, ask(t, r, http.MethodGet, "/events/party", other.cookie, nil).StatusCode)
}

// watching watches a run with the studio key over HTTP; the channel is closed when that ends.
func watching(t *testing.T, r *running, of *tenant) <-chan struct{} {
	t.Helper()
	pages := httptest.NewServer(r.server.pages.Handler())
	t.Cleanup(pages.Close)
	q, err := http.NewRequestWithContext(t.Context(), http.MethodGet, pages.URL+"/v1/events/"+of.event+"/runs/"+of.run+":watch", nil)
	require.NoError(t, err)
	q.Header.Set("Authorization", "Bearer "+of.key)
	q.Header.Set("Accept", "text/event-stream")
	answer, err := http.DefaultClient.Do(q)
	require.NoError(t, err)
	t.Cleanup(func() { _ = answer.Body.Close() })
	require.Equal(t, http.StatusOK, answer.StatusCode)
	lines, over := bufio.NewScanner(answer.Body), make(chan struct{})
	require.True(t, lines.Scan())
	go func() {
		defer close(over)
		for lines.Scan() {
		}
	}()
	return over
}

// A studio that is removed is gone from a server that runs, its secrets open nothing, and nothing of it is made anew.
func TestAStudioIsRemoved(t *testing.T) {
	stores(t, func(t *testing.T, c Config) {
		r := start(t, c, planning.Plan)
		defer r.stop(t)
		of := host(t, r, "heron", store.Limits{})
		watched := watching(t, r, of)
		relisted(t, r, func(l *store.Studios) error {
			_, err := l.Remove(t.Context(), of.name, false)
			return err
		})
		<-watched
		for _, secret := range []string{of.key, of.links["ROLE_LEAD"]} {
			_, err := r.client.WithSecret(secret).Event(t.Context(), "events/"+of.event)
			assert.Equal(t, client.ReasonSecretWrong, refusal(t, err).Reason)
		}
		assert.Equal(t, http.StatusForbidden, ask(t, r, http.MethodGet, "/events/party", of.cookie, nil).StatusCode)
		again := added(t, r, of.name, store.Limits{})
		_, err := r.client.WithSecret(again).Event(t.Context(), "events/party")
		assert.Equal(t, codes.NotFound, refusal(t, err).Code)
	})
}

// What a studio may have is said on the page and by calls, and changes while the server runs.
func TestQuotasOfStudios(t *testing.T) {
	r := start(t, Config{Data: t.TempDir(), StudioKey: studioKey}, planning.Plan)
	defer r.stop(t)
	of := host(t, r, "heron", store.Limits{Events: 2})
	studio := r.client.WithSecret(of.key)
	_, err := studio.CreateEvent(t.Context(), "more", party())
	e := refusal(t, err)
	assert.Equal(t, codes.ResourceExhausted, e.Code)
	assert.Equal(t, client.ReasonQuota, e.Reason)
	assert.Contains(t, e.Message, "the studio has as many events as it may (2) on this server; delete events")
	got := ask(t, r, http.MethodPost, "/new/list", of.cookie, map[string]string{"text": "Ann\nBo\n\nAnn, Bo", "act": "plan"})
	assert.Equal(t, http.StatusInsufficientStorage, got.StatusCode)
	assert.Contains(t, text(t, got), "as many events as it may have on this server (2)")

	relisted(t, r, func(l *store.Studios) error { return l.Limit(t.Context(), of.name, store.Limits{Bytes: 10_000}) })
	_, err = studio.CreateEvent(t.Context(), "more", party())
	e = refusal(t, err)
	assert.Equal(t, client.ReasonQuota, e.Reason)
	assert.Contains(t, e.Message, "10000 bytes")
	_, err = studio.AddMarks(t.Context(), "events/"+of.event+"/runs/"+of.run, &kinorderv1.Mark{Kind: &kinorderv1.Mark_Note{Note: "n"}})
	assert.NoError(t, err, "a day goes on")
	got = ask(t, r, http.MethodPost, "/new/list", of.cookie, map[string]string{"text": "Ann\nBo\n\nAnn, Bo", "act": "plan"})
	assert.Contains(t, text(t, got), "used up its storage")
	relisted(t, r, func(l *store.Studios) error { return l.Limit(t.Context(), of.name, store.Limits{People: 2}) })
	_, err = studio.CreateEvent(t.Context(), "more", party())
	assert.Equal(t, map[string]string{"quota": "people", "limit": "2"}, refusal(t, err).Metadata)
	_, err = studio.ReplaceEvent(t.Context(), "events/party", "", party())
	require.NoError(t, err, "what was there before the limit can still be changed")
	got = ask(t, r, http.MethodPost, "/new/list", of.cookie, map[string]string{"text": "Ann\nBo\nCy\n\nAnn, Bo, Cy", "act": "plan"})
	assert.Contains(t, text(t, got), "more people than the studio may have in one on this server (2)")
	relisted(t, r, func(l *store.Studios) error { return l.Limit(t.Context(), of.name, store.Limits{}) })
	_, err = studio.CreateEvent(t.Context(), "more", party())
	assert.NoError(t, err)
}

// One studio floods the server with plans. Another's replan comes before all of them, and its plan gets the next place.
func TestAFloodHoldsUpNoOther(t *testing.T) {
	var mu sync.Mutex
	var order []string
	release, began := make(chan struct{}), make(chan struct{}, 1)
	slow := func(_ context.Context, e event.Event, _ planning.Options) (event.CallSheet, error) {
		mu.Lock()
		order = append(order, e.Title)
		mu.Unlock()
		select {
		case began <- struct{}{}:
		default:
		}
		<-release
		return event.CallSheet{}, nil
	}
	r := start(t, Config{Data: t.TempDir(), StudioKey: studioKey, Solves: 1, Queue: 4}, func(ctx context.Context, e event.Event, o planning.Options) (event.CallSheet, error) {
		if strings.HasPrefix(e.Title, "MARK") { // while the test is set up
			return planning.Plan(ctx, e, o)
		}
		return slow(ctx, e, o)
	})
	defer r.stop(t)
	end := sync.OnceFunc(func() { close(release) })
	defer end()
	flood, other := host(t, r, "heron", store.Limits{}), host(t, r, "egret", store.Limits{})
	time.Sleep(time.Second) // until its replans are made
	var plans sync.WaitGroup
	plan := func(of *tenant, title string) {
		plans.Go(func() {
			e := party()
			e.Title = title
			_, err := r.client.WithSecret(of.key).Plan(t.Context(), e, client.PlanOptions{})
			if err != nil {
				assert.Equal(t, client.ReasonBusy, refusal(t, err).Reason)
			}
		})
	}
	for i := range 200 {
		plan(flood, fmt.Sprint("flood ", i))
	}
	<-began
	wait := func(n int) {
		require.Eventually(t, func() bool { _, waiting := r.server.gate.Searches(); return waiting == n }, 20*time.Second, time.Millisecond)
	}
	wait(4)
	plan(other, "other")
	time.Sleep(200 * time.Millisecond) // until it waits
	before := planCovers(t, r, other)
	_, err := r.client.WithSecret(other.links["ROLE_LEAD"]).AddMarks(t.Context(), "events/"+other.event+"/runs/"+other.run,
		&kinorderv1.Mark{Kind: &kinorderv1.Mark_Taken{Taken: &kinorderv1.GroupingMark{Grouping: "all"}}})
	require.NoError(t, err)
	wait(5)               // its replan too
	release <- struct{}{} // one place is free
	require.Eventually(t, func() bool { return planCovers(t, r, other) > before }, 20*time.Second, 10*time.Millisecond, "planned anew although plans wait")
	require.Eventually(t, func() bool { mu.Lock(); defer mu.Unlock(); return len(order) == 2 }, 20*time.Second, time.Millisecond)
	assert.Equal(t, "other", order[1], "the next place is that of the other studio")
	end()
	plans.Wait()
}

// planCovers is the sequence up to which the plan of a run heeds its marks.
func planCovers(t *testing.T, r *running, of *tenant) int64 {
	t.Helper()
	st, leave, err := r.server.hosted.find(t.Context(), of.key)
	require.NoError(t, err)
	defer leave()
	c, err := st.store.Changes(t.Context(), run.Ref{Event: of.event, Run: of.run}, 0)
	require.NoError(t, err)
	return c.Covers
}

// Studios are there again after a restart, with their keys, links and browsers.
func TestStudiosStayOverARestart(t *testing.T) {
	stores(t, func(t *testing.T, c Config) {
		r := start(t, c, planning.Plan)
		of := host(t, r, "heron", store.Limits{})
		r.stop(t)
		r = start(t, c, planning.Plan)
		defer r.stop(t)
		for _, secret := range []string{of.key, of.links["ROLE_READER"]} {
			_, err := r.client.WithSecret(secret).Event(t.Context(), "events/"+of.event)
			require.NoError(t, err)
		}
		assert.Equal(t, http.StatusOK, ask(t, r, http.MethodGet, "/events/party", of.cookie, nil).StatusCode)
	})
}

// What nobody uses is closed, and opened again when somebody asks.
func TestAnIdleStudioIsClosed(t *testing.T) {
	r := start(t, Config{Data: t.TempDir(), StudioKey: studioKey}, planning.Plan)
	defer r.stop(t)
	of := host(t, r, "heron", store.Limits{})
	h := r.server.hosted
	h.mu.Lock()
	require.Len(t, h.opened, 1)
	h.opened[of.name].used = time.Now().Add(-2 * idleTime)
	h.mu.Unlock()
	require.Eventually(t, func() bool { h.mu.Lock(); defer h.mu.Unlock(); return len(h.opened) == 0 }, 20*time.Second, 10*time.Millisecond)
	_, err := r.client.WithSecret(of.key).Event(t.Context(), "events/party")
	require.NoError(t, err)
}
