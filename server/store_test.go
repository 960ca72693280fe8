package server

import (
	"encoding/base64"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/planning"
)

// Ids that no database could keep are nothing that there is, on every database.
func TestIDsAreCheckedBeforeTheStore(t *testing.T) {
	stores(t, func(t *testing.T, c Config) {
		r := start(t, c, planning.Plan)
		defer r.stop(t)
		studio := r.client.WithSecret(studioKey)
		made, err := studio.CreateEvent(t.Context(), "party", party())
		require.NoError(t, err)
		l, err := studio.CreateLink(t.Context(), made.GetName(), kinorderv1.Role_ROLE_LEAD, "", time.Time{})
		require.NoError(t, err)
		ask := func(method, path, body string) int {
			q := httptest.NewRequest(method, "http://localhost/day/"+path, strings.NewReader(body))
			q.Header.Set("Content-Type", "application/json")
			q.Header.Set("Authorization", "Bearer "+l.GetSecret())
			w := httptest.NewRecorder()
			r.server.pages.Handler().ServeHTTP(w, q)
			return w.Code
		}
		for _, id := range []string{"%00", "%ff%fe", "a%00b", "A", ""} {
			assert.Equal(t, http.StatusNotFound, ask(http.MethodPost, "marks?run="+id, `{"marks": [{"id": "01a58333-2a00-78c6-9ba3-8139044196cd", "kind": "note", "at": 1, "note": "x"}]}`), id)
			assert.Equal(t, http.StatusNotFound, ask(http.MethodGet, "live?after=0&run="+id, ""), id)
		}
		assert.Equal(t, http.StatusBadRequest, ask(http.MethodPost, "begin", `{"request": "12345678\u0000"}`))
		for _, id := range []string{"a\x00", "a b", "\xff"} {
			token := base64.RawURLEncoding.EncodeToString([]byte("1." + id))
			_, err := kinorderv1.NewEventsClient(shown{r.conn, studioKey}).ListEvents(t.Context(), &kinorderv1.ListEventsRequest{PageToken: token})
			assert.Equal(t, codes.InvalidArgument, status.Code(err), "%q", id)
		}
		assert.NotContains(t, r.log.String(), "level=ERROR")
	})
}

// The log says why the store failed, on the page of the day too.
func TestTheLogSaysWhyTheStoreFailed(t *testing.T) {
	r := start(t, Config{Data: t.TempDir(), StudioKey: studioKey}, planning.Plan)
	q := httptest.NewRequest(http.MethodPost, "http://localhost/day/open", strings.NewReader("{}"))
	q.Header.Set("Content-Type", "application/json")
	q.Header.Set("Authorization", "Bearer "+studioKey+"x")
	require.NoError(t, r.server.own.store.Close())
	w := httptest.NewRecorder()
	r.server.pages.Handler().ServeHTTP(w, q)
	assert.Equal(t, http.StatusInternalServerError, w.Code)
	assert.Contains(t, r.log.String(), "level=ERROR")
	assert.Contains(t, r.log.String(), "look up a link")
	assert.NotContains(t, r.log.String(), studioKey)
	require.NoError(t, r.conn.Close())
	_ = r.server.Close(t.Context()) // the store is closed already
	require.NoError(t, <-r.served)
}
