package server

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/store"
)

// What is exported of an event comes back equal in another place, and the day goes on there.
func TestAnExportIsPutBack(t *testing.T) {
	r := start(t, Config{Data: t.TempDir(), StudioKey: studioKey}, planning.Plan)
	defer r.stop(t)
	ctx, studio := t.Context(), r.client.WithSecret(studioKey)
	name, run := everythingKept(t, r, studio)
	var all *kinorderv1.ExportEventResponse
	require.Eventually(t, func() bool { // until its plans are made
		was := all
		var err error
		all, err = studio.ExportEvent(ctx, name)
		return err == nil && was != nil && proto.Equal(was, all) && all.GetRuns()[0].GetSequence() > int64(len(all.GetMarks()[0].GetMarks()))
	}, 20*time.Second, 300*time.Millisecond)
	content, err := protojson.Marshal(all)
	require.NoError(t, err)

	stores(t, func(t *testing.T, c Config) {
		at := Place{Data: c.Data, Postgres: c.Postgres}
		there := start(t, c, planning.Plan)
		defer there.stop(t)
		put, err := PutBack(ctx, at, "", content)
		require.NoError(t, err)
		assert.Equal(t, name, put)
		studio := there.client.WithSecret(studioKey)
		again, err := studio.ExportEvent(ctx, name)
		require.NoError(t, err)
		assert.True(t, proto.Equal(all, again), "was\n%v\nis\n%v", all, again)
		_, err = studio.AddMarks(ctx, run, &kinorderv1.Mark{Kind: &kinorderv1.Mark_Taken{Taken: &kinorderv1.GroupingMark{Grouping: "ab"}}})
		require.NoError(t, err)
		for u, err := range studio.WatchRun(ctx, run, again.GetRuns()[0].GetSequence()) {
			require.NoError(t, err)
			if u.GetOutlook() != nil {
				break
			}
		}
		_, err = PutBack(ctx, at, "", content)
		require.ErrorIs(t, err, ErrExists)
		_, err = PutBack(ctx, at, "", []byte(`{"versions": [{"name": "events/a", "event": {"title": "LAPWING", "when": 1}}]}`))
		require.ErrorIs(t, err, ErrNoExport)
		assert.NotContains(t, err.Error(), "LAPWING")
	})
}

// everythingKept makes an event of which there is something of every kind.
func everythingKept(t *testing.T, r *running, studio *client.Client) (name, run string) {
	t.Helper()
	ctx := t.Context()
	e, err := studio.CreateEvent(ctx, "party", party())
	require.NoError(t, err)
	sheet, err := studio.CreateSheet(ctx, e.GetName(), client.PlanOptions{})
	require.NoError(t, err)
	begun, err := studio.CreateRun(ctx, e.GetName(), sheet.GetName())
	require.NoError(t, err)
	_, err = studio.AddMarks(ctx, begun.GetName(),
		&kinorderv1.Mark{Kind: &kinorderv1.Mark_Started{Started: &kinorderv1.GroupingMark{Grouping: "all"}}},
		&kinorderv1.Mark{Kind: &kinorderv1.Mark_Note{Note: "LAPWING"}})
	require.NoError(t, err)
	family, err := studio.CreateLink(ctx, e.GetName(), kinorderv1.Role_ROLE_FAMILY, "Aunt", time.Now().Add(time.Hour))
	require.NoError(t, err)
	kept := r.server.own.store
	id := family.GetName()[len(e.GetName()+"/links/"):]
	require.NoError(t, kept.AddWishes(ctx, "party", id, []string{"Granny with us", "All cousins"}))
	closes := "2027-05-01"
	_, err = kept.SaveStep(ctx, "party", 1, 0, event.Event{Title: "Later"}, store.Step{What: "list", Draft: `{"Text":"Ann"}`, Closing: &closes})
	require.NoError(t, err)
	require.NoError(t, kept.SetAside(ctx, "party", "key", event.Event{Title: "Aside"}, store.Step{Draft: `{"Text":"Bo"}`}))
	return e.GetName(), begun.GetName()
}
