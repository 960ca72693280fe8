package webhook

import (
	"encoding/json"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/store/storetest"
)

// told is what arrived at an address.
type told struct {
	header http.Header
	body   []byte
}

// listener is an address that answers with a code.
func listener(t *testing.T, code *atomic.Int32) (address string, arrived <-chan told) {
	t.Helper()
	out := make(chan told, 20)
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		body, _ := io.ReadAll(r.Body)
		w.WriteHeader(int(code.Load()))
		out <- told{r.Header, body}
	}))
	t.Cleanup(s.Close)
	return s.URL, out
}

func next(t *testing.T, arrived <-chan told) told {
	t.Helper()
	select {
	case got := <-arrived:
		return got
	case <-time.After(20 * time.Second):
		require.Fail(t, "nothing arrives")
		return told{}
	}
}

// What happens is told, signed, in whichever order, and again until it arrives, also by a server that is started later.
func TestTells(t *testing.T) {
	var ahead atomic.Int64
	clock := func() time.Time { return time.Now().Add(time.Duration(ahead.Load())) }
	s, err := store.OpenSQLite(t.Context(), t.TempDir(), store.Options{Now: clock})
	require.NoError(t, err)
	defer s.Close()
	var code, log = new(atomic.Int32), new(strings.Builder)
	code.Store(http.StatusServiceUnavailable)
	address, arrived := listener(t, code)
	w, err := s.CreateWebhook(t.Context(), store.Request{}, address+"/LAPWING")
	require.NoError(t, err)

	o := Options{Store: s, Private: true, Log: slog.New(slog.NewTextHandler(log, nil))}
	teller := New(o)
	ref := storetest.Begin(t, s)
	first := []told{next(t, arrived), next(t, arrived)}
	require.Eventually(t, func() bool {
		list, err := s.Webhooks(t.Context())
		return err == nil && !list[0].Failed.IsZero() && list[0].Failure == "the answer was 503" && list[0].Secret == ""
	}, 10*time.Second, 10*time.Millisecond)
	teller.Stop()
	assert.NotContains(t, log.String(), "LAPWING")

	code.Store(http.StatusNoContent)
	ahead.Store(int64(time.Hour))
	teller = New(o)
	names := map[string]string{}
	for range 2 {
		got := next(t, arrived)
		assert.Equal(t, Sign(w.Secret, got.header.Get("Webhook-Id"), got.header.Get("Webhook-Timestamp"), got.body), got.header.Get("Webhook-Signature"))
		var m message
		require.NoError(t, json.Unmarshal(got.body, &m))
		names[m.Type] = m.Data.Name
		assert.Contains(t, []string{first[0].header.Get("Webhook-Id"), first[1].header.Get("Webhook-Id")}, got.header.Get("Webhook-Id"), "under the same id")
	}
	assert.Equal(t, "events/"+ref.Event+"/runs/"+ref.Run, names[store.RunBegun])
	assert.True(t, strings.HasPrefix(names[store.SheetMade], "events/"+ref.Event+"/sheets/"), names)
	require.Eventually(t, func() bool {
		list, err := s.Webhooks(t.Context())
		return err == nil && list[0].Failed.IsZero()
	}, 10*time.Second, 10*time.Millisecond)

	kept, err := s.SavePlan(t.Context(), ref, 0, 0, run.Plan{})
	require.NoError(t, err)
	require.True(t, kept)
	var m message
	require.NoError(t, json.Unmarshal(next(t, arrived).body, &m))
	assert.Equal(t, store.RunFinished, m.Type)
	require.Eventually(t, func() bool { // a server that stops before it knows tells it again
		_, next, err := s.DueNotices(t.Context(), 1, time.Minute)
		return err == nil && next.IsZero()
	}, 10*time.Second, 10*time.Millisecond)
	teller.Stop()
	ahead.Store(int64(2 * time.Hour))
	teller = New(o)
	defer teller.Stop()
	select {
	case got := <-arrived:
		assert.Fail(t, "told twice", string(got.body))
	case <-time.After(300 * time.Millisecond):
	}
}

// What does not arrive for days is given up.
func TestGivesUp(t *testing.T) {
	var days time.Duration
	s, err := store.OpenSQLite(t.Context(), t.TempDir(), store.Options{Now: func() time.Time { return time.Now().Add(days) }})
	require.NoError(t, err)
	defer s.Close()
	_, err = s.CreateWebhook(t.Context(), store.Request{}, "http://127.0.0.1:1/")
	require.NoError(t, err)
	storetest.Begin(t, s)
	teller := &Teller{o: Options{Store: s, Log: slog.New(slog.DiscardHandler)}, client: clientOf(true)}
	for try := 1; try <= len(pauses)+1; try++ {
		due, _, err := s.DueNotices(t.Context(), 9, time.Minute)
		require.NoError(t, err)
		require.Len(t, due, 2, "try %d", try)
		for _, n := range due {
			assert.Equal(t, try, n.Tries)
			teller.tell(t.Context(), n)
		}
		days += 2 * 24 * time.Hour
	}
	_, next, err := s.DueNotices(t.Context(), 9, time.Minute)
	require.NoError(t, err)
	assert.True(t, next.IsZero(), "nothing is left to tell")
}

// No name and no address leads into a network that is not public.
func TestOnlyThePublicInternet(t *testing.T) {
	for address, want := range map[string]bool{
		"93.184.216.34": true, "2606:2800:220:1:248:1893:25c8:1946": true, "127.0.0.1": false, "10.1.2.3": false, "172.20.0.1": false, "192.168.1.1": false,
		"169.254.169.254": false, "100.64.0.1": false, "0.0.0.0": false, "224.0.0.1": false, "255.255.255.255": false, "198.18.0.1": false, "::1": false,
		"fe80::1": false, "fd00:ec2::254": false, "::ffff:127.0.0.1": false, "::ffff:93.184.216.34": true, "64:ff9b::7f00:1": false, "2002:7f00:1::": false, "::127.0.0.1": false, "ff02::1": false,
	} {
		assert.Equal(t, want, public(netip.MustParseAddr(address)), address)
	}
	for address, says := range map[string]string{
		"": "is no address", "studio.example": "is no address", "ftp://studio.example": "is no address", "https://": "is no address",
		"http://studio.example/": "without encryption", "https://a:b@studio.example/": "name or password", "https://studio.example/#x": "behind #",
		"https://127.0.0.1/": "not public", "https://[::1]:8080/": "not public", "https://" + strings.Repeat("a", 1000) + ".example": "is no address",
	} {
		assert.ErrorContains(t, Check(address, false), says, address)
	}
	assert.NoError(t, Check("https://studio.example/told?by=kinorder", false))
	assert.NoError(t, Check("http://127.0.0.1:8080/", true))

	var code atomic.Int32
	code.Store(http.StatusOK)
	address, arrived := listener(t, &code)
	teller := &Teller{client: clientOf(false)}
	for _, at := range []string{address, strings.Replace(address, "127.0.0.1", "localhost", 1)} {
		failure := teller.send(t.Context(), store.Notice{Webhook: store.Webhook{URL: at, Secret: "whsec_"}})
		assert.Equal(t, errPrivate.Error(), failure)
	}
	assert.Empty(t, arrived)
}
