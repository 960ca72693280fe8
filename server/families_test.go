package server

import (
	"path"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/store"
)

// A family's and a couple's link open no call, and an export has what families wished for.
func TestFamiliesAndCalls(t *testing.T) {
	folder := t.TempDir()
	r := start(t, Config{Data: folder, StudioKey: studioKey}, planning.Plan)
	studio := r.client.WithSecret(studioKey)
	begun := begin(t, studio)
	link, err := studio.CreateLink(t.Context(), "events/party", kinorderv1.Role_ROLE_FAMILY, "Grandma", time.Time{})
	require.NoError(t, err)
	couple, err := studio.CreateLink(t.Context(), "events/party", kinorderv1.Role_ROLE_COUPLE, "Ann and Bo", time.Time{})
	require.NoError(t, err)
	for _, m := range calls() {
		if service := m.Parent().Name(); service == "Planner" {
			continue // which keeps nothing and asks for no secret
		}
		for _, secret := range []string{link.GetSecret(), couple.GetSecret()} {
			err := send(t, r.conn, m, secret, about(m, begun, party()))
			assert.NotEqual(t, codes.OK, status.Code(err), m.FullName())
			assert.NotEqual(t, codes.NotFound, status.Code(err), m.FullName())
		}
	}
	stored, err := store.OpenSQLite(t.Context(), folder, store.Options{})
	require.NoError(t, err)
	day, written := "2026-06-01", store.Step{What: "list", Draft: `{"Text":"Couple with Ann"}`}
	written.Closing = &day
	kept, err := stored.Version(t.Context(), "party", 0)
	require.NoError(t, err)
	kept, err = stored.SaveStep(t.Context(), "party", kept.Event.Version, 0, kept.Event.Event, written)
	require.NoError(t, err)
	aside := kept.Event.Event
	aside.Title = "Beside"
	require.NoError(t, stored.SetAside(t.Context(), "party", "window", aside, store.Step{Draft: `{"Text":"Couple with Bo"}`}))
	require.NoError(t, stored.AddWishes(t.Context(), "party", path.Base(link.GetName()), []string{"me with Ann"}))
	require.NoError(t, stored.Close())
	all, err := studio.ExportEvent(t.Context(), "events/party")
	require.NoError(t, err)
	require.Len(t, all.GetWishes(), 1)
	assert.Equal(t, link.GetName(), all.GetWishes()[0].GetLink())
	assert.Equal(t, "me with Ann", all.GetWishes()[0].GetWishes()[0].GetText())
	assert.Equal(t, day, all.GetCloses())
	require.Len(t, all.GetDrafts(), 1)
	assert.Equal(t, kept.Event.Version, all.GetDrafts()[0].GetVersion())
	assert.JSONEq(t, written.Draft, all.GetDrafts()[0].GetDraft())
	require.Len(t, all.GetAsides(), 1)
	assert.Equal(t, "Beside", all.GetAsides()[0].GetEvent().GetTitle())
	assert.JSONEq(t, `{"Text":"Couple with Bo"}`, all.GetAsides()[0].GetDraft())
	r.stop(t)
}
