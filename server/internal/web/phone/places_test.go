package phone

import (
	"bytes"
	"context"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/access"
	"kinorder.example/server/internal/gate"
	"kinorder.example/server/internal/store"
)

// from makes a request from an address of a network of many.
func from(address string, method, path, secret string, body io.Reader) *http.Request {
	r := httptest.NewRequest(method, Prefix+path, body)
	r.RemoteAddr = address + ":5000"
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("Authorization", "Bearer "+secret)
	return r
}

func (s *stage) answer(r *http.Request) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	s.page.Handler().ServeHTTP(w, r)
	return w
}

// After some wrong secrets from an address it is told when to come back, at once; phones that were let in
// before and other addresses notice nothing.
func TestWrongSecrets(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	open := func(address, secret string) *httptest.ResponseRecorder {
		return s.answer(from(address, http.MethodPost, "open", secret, strings.NewReader("{}")))
	}
	const guesser = "192.168.7.20"
	require.Equal(t, http.StatusOK, open(guesser, s.secrets[store.Lead]).Code)
	for range 5 {
		require.Equal(t, "secret", codeOf(t, open(guesser, "wrong")))
	}
	w := open(guesser, "wrong")
	assert.Equal(t, http.StatusTooManyRequests, w.Code)
	assert.Equal(t, "slow", codeOf(t, w))
	assert.Equal(t, "1", w.Header().Get("Retry-After"))
	assert.Equal(t, http.StatusOK, open(guesser, s.secrets[store.Lead]).Code)
	assert.Equal(t, http.StatusOK, open("192.168.7.21", s.secrets[store.Reader]).Code)
}

// stuck is a store of links in which one secret is looked up for as long as the test wants.
type stuck struct {
	*store.Store
	asked, over chan struct{}
}

func (l stuck) Open(ctx context.Context, secret string) (store.Link, error) {
	if secret == "wrong" {
		l.asked <- struct{}{}
		<-l.over
	}
	return l.Store.Open(ctx, secret)
}

// Whoever has no right secret takes nobody's place, from however many addresses.
func TestStrangersTakeNoPlaces(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	links := stuck{s.store, make(chan struct{}), make(chan struct{})}
	s.page.o.Guard = access.New(links, studioKey)
	var strangers sync.WaitGroup
	for range mostAtOnce {
		strangers.Go(func() { s.answer(from("192.168.7.20", http.MethodPost, "open", "wrong", strings.NewReader("{}"))) })
		strangers.Go(func() { s.answer(from("192.168.7.21", http.MethodGet, "live?after=0", "wrong", nil)) })
		<-links.asked
		<-links.asked
	}
	w := s.answer(from("192.168.7.22", http.MethodPost, "open", s.secrets[store.Lead], strings.NewReader("{}")))
	assert.Equal(t, http.StatusOK, w.Code, w.Body.String())
	close(links.over)
	strangers.Wait()
}

// slowly is a body that does not come; asked is closed when it is waited for.
type slowly struct {
	asked, over chan struct{}
	once        *sync.Once
}

func (b slowly) Read([]byte) (int, error) {
	b.once.Do(func() { close(b.asked) })
	<-b.over
	return 0, io.ErrUnexpectedEOF
}

// Whoever sends slowly takes up the places of that link and address only.
func TestSlowBodiesTakeTheirOwnPlaces(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	over := make(chan struct{})
	var senders sync.WaitGroup
	for range mostOfOne {
		b := slowly{make(chan struct{}), over, &sync.Once{}}
		senders.Go(func() { s.answer(from("192.168.7.20", http.MethodPost, "open", s.secrets[store.Reader], b)) })
		<-b.asked
	}
	for _, c := range []struct {
		address string
		role    store.Role
		code    string
	}{{"192.168.7.20", store.Lead, "busy"}, {"192.168.7.21", store.Reader, "busy"}, {"192.168.7.21", store.Lead, ""}} {
		w := s.answer(from(c.address, http.MethodPost, "open", s.secrets[c.role], strings.NewReader("{}")))
		if c.code == "" {
			assert.Equal(t, http.StatusOK, w.Code, w.Body.String())
			continue
		}
		assert.Equal(t, http.StatusTooManyRequests, w.Code)
		assert.Equal(t, c.code, codeOf(t, w))
		assert.Equal(t, "2", w.Header().Get("Retry-After"))
	}
	close(over)
	senders.Wait()
}

// telling is an answer that says when it begins.
type telling struct {
	header http.Header
	began  chan string
	once   sync.Once
}

func (w *telling) Header() http.Header { return w.header }
func (w *telling) WriteHeader(int)     {}
func (w *telling) Flush()              {}
func (w *telling) Write(b []byte) (int, error) {
	w.once.Do(func() { w.began <- string(bytes.Clone(b)) })
	return len(b), nil
}

// Readers, of whom there may be many, leave places for leads.
func TestReadersLeavePlacesForLeads(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	_, lead := s.opened(store.Lead)
	_, second, err := s.store.CreateLink(t.Context(), store.Request{}, "harbour", store.Reader, "", time.Time{})
	require.NoError(t, err)
	ctx, leave := context.WithCancel(t.Context())
	var streams sync.WaitGroup
	watch := func(address, secret string) string {
		w := &telling{header: http.Header{}, began: make(chan string, 1)}
		streams.Go(func() {
			s.page.Handler().ServeHTTP(w, from(address, http.MethodGet, "live?after=0&language=en&run="+lead.Run, secret, nil).WithContext(ctx))
		})
		return <-w.began
	}
	for range gate.MostWatching / 2 {
		require.Contains(t, watch("192.168.7.20", s.secrets[store.Reader]), "event: update")
	}
	assert.Contains(t, watch("192.168.7.21", s.secrets[store.Reader]), "busy", "one link")
	assert.Contains(t, watch("192.168.7.20", second), "busy", "one address")
	for range gate.MostWatching / 4 {
		require.Contains(t, watch("192.168.7.21", second), "event: update")
	}
	assert.Contains(t, watch("192.168.7.22", second), "busy", "all readers")
	assert.Contains(t, watch("192.168.7.22", s.secrets[store.Lead]), "event: update")
	leave()
	streams.Wait()
}
