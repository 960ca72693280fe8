package server

import (
	"io"
	"net/http"
	"net/http/httptest"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc/codes"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/types/known/structpb"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/planning"
)

// A studio has an address told of a sheet and of a day from its beginning to its end, and nobody else may.
func TestWebhooks(t *testing.T) {
	arrived := make(chan string, 20)
	hears := httptest.NewServer(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
		body, _ := io.ReadAll(r.Body)
		var m structpb.Struct
		if assert.NoError(t, protojson.Unmarshal(body, &m)) {
			arrived <- m.AsMap()["type"].(string) + " " + m.AsMap()["data"].(map[string]any)["name"].(string)
		}
	}))
	defer hears.Close()
	stores(t, func(t *testing.T, c Config) {
		c.WebhooksPrivate = true
		r := start(t, c, planning.Plan)
		defer r.stop(t)
		ctx, studio := t.Context(), r.client.WithSecret(studioKey)
		made, err := studio.CreateWebhook(ctx, hears.URL, client.WithRequestID("one"))
		require.NoError(t, err)
		again, err := studio.CreateWebhook(ctx, hears.URL, client.WithRequestID("one"))
		require.NoError(t, err)
		assert.Equal(t, made.GetSecret(), again.GetSecret(), "what a request made")
		_, err = studio.CreateWebhook(ctx, hears.URL+"/other", client.WithRequestID("one"))
		assert.Equal(t, client.ReasonRequestIDReused, refusal(t, err).Reason)
		_, err = studio.CreateWebhook(ctx, "mailto:ann@studio.example")
		assert.Equal(t, "webhook.url", refusal(t, err).Violations[0].Field)

		next := func() string {
			select {
			case got := <-arrived:
				return got
			case <-time.After(20 * time.Second):
				return "nothing"
			}
		}
		e, err := studio.CreateEvent(ctx, "party", party())
		require.NoError(t, err)
		sheet, err := studio.CreateSheet(ctx, e.GetName(), client.PlanOptions{})
		require.NoError(t, err)
		assert.Equal(t, "sheet.created "+sheet.GetName(), next())
		run, err := studio.CreateRun(ctx, e.GetName(), sheet.GetName())
		require.NoError(t, err)
		assert.Equal(t, "run.begun "+run.GetName(), next())
		for _, id := range []string{"all", "ab", "c"} {
			_, err := studio.AddMarks(ctx, run.GetName(), &kinorderv1.Mark{Kind: &kinorderv1.Mark_Taken{Taken: &kinorderv1.GroupingMark{Grouping: id}}})
			require.NoError(t, err)
		}
		assert.Equal(t, "run.finished "+run.GetName(), next())

		link, err := studio.CreateLink(ctx, e.GetName(), kinorderv1.Role_ROLE_OWNER, "", time.Time{})
		require.NoError(t, err)
		_, err = r.client.WithSecret(link.GetSecret()).CreateWebhook(ctx, hears.URL)
		assert.Equal(t, codes.PermissionDenied, refusal(t, err).Code)
		for range 9 {
			_, err = studio.CreateWebhook(ctx, hears.URL)
			require.NoError(t, err)
		}
		_, err = studio.CreateWebhook(ctx, hears.URL)
		assert.Equal(t, map[string]string{"quota": "webhooks", "limit": "10"}, refusal(t, err).Metadata)
		n := 0
		for w, err := range studio.Webhooks(ctx) {
			require.NoError(t, err)
			assert.Empty(t, w.GetSecret())
			require.NoError(t, studio.DeleteWebhook(ctx, w.GetName()))
			n++
		}
		assert.Equal(t, 10, n)
		assert.Equal(t, codes.NotFound, refusal(t, studio.DeleteWebhook(ctx, made.GetName())).Code)
		assert.NotContains(t, r.log.String(), hears.URL)
		assert.Empty(t, arrived)
	})
}

// A server reaches no network that is not public unless it may.
func TestWebhooksArePublic(t *testing.T) {
	r := start(t, Config{Data: t.TempDir(), StudioKey: studioKey}, planning.Plan)
	defer r.stop(t)
	for _, address := range []string{"http://studio.example/", "https://192.168.1.20/", "https://[::1]/"} {
		_, err := r.client.WithSecret(studioKey).CreateWebhook(t.Context(), address)
		assert.Equal(t, "BAD_ADDRESS", refusal(t, err).Violations[0].Code, address)
	}
}
