package server

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc/codes"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/needs"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/store"
)

const studioKey = "a-studio-key-of-the-tests-only"

// party is an event whose private notes hold LAPWING and whose rules and needs are not for readers.
func party() *kinorderv1.Event {
	return &kinorderv1.Event{
		Title: "Party", Date: "2027-05-15", Emphasis: kinorderv1.Emphasis_EMPHASIS_BALANCED, Fit: kinorderv1.Fit_FIT_LIKELY,
		Pace: &kinorderv1.Pace{Calling: kinorderv1.Calling_CALLING_PHOTOGRAPHER}, Weights: &kinorderv1.Weights{},
		People: []*kinorderv1.Person{
			{Id: "ann", Name: "Ann", AgeBand: kinorderv1.AgeBand_AGE_BAND_ADULT, PrivateNote: "LAPWING"},
			{Id: "bo", Name: "Bo", AgeBand: kinorderv1.AgeBand_AGE_BAND_ELDER, HeightCm: 155, Needs: []kinorderv1.Need{kinorderv1.Need_NEED_SEAT, kinorderv1.Need_NEED_STEP_FREE}},
			{Id: "cy", Name: "Cy", AgeBand: kinorderv1.AgeBand_AGE_BAND_ADULT},
		},
		Groupings: []*kinorderv1.Grouping{
			{Id: "all", Title: "All", Members: []string{"ann", "bo", "cy"}, Priority: kinorderv1.Priority_PRIORITY_MUST, PrivateNote: "LAPWING"},
			{Id: "ab", Title: "Ann and Bo", Members: []string{"ann", "bo"}, Priority: kinorderv1.Priority_PRIORITY_SHOULD},
			{Id: "c", Title: "Cy", Members: []string{"cy"}, Priority: kinorderv1.Priority_PRIORITY_NICE},
		},
		Rules: []*kinorderv1.Rule{{PrivateNote: "LAPWING", Kind: &kinorderv1.Rule_Apart{Apart: &kinorderv1.Apart{People: []string{"ann", "cy"}, Scope: kinorderv1.ApartScope_APART_SCOPE_NEIGHBOURS}}}},
	}
}

// stores are the places where a server keeps things.
func stores(t *testing.T, test func(t *testing.T, c Config)) {
	t.Run("SQLite", func(t *testing.T) { test(t, Config{Data: t.TempDir(), StudioKey: studioKey}) })
	t.Run("PostgreSQL", func(t *testing.T) { test(t, Config{Postgres: needs.Database(t), StudioKey: studioKey}) })
}

func TestEvents(t *testing.T) {
	stores(t, func(t *testing.T, c Config) {
		r := start(t, c, planning.Plan)
		defer r.stop(t)
		ctx := t.Context()
		studio := r.client.WithSecret(studioKey)
		made, err := studio.CreateEvent(ctx, "party", party())
		require.NoError(t, err)
		assert.Equal(t, "events/party", made.GetName())
		assert.True(t, proto.Equal(party(), made.GetEvent()))

		_, err = studio.CreateEvent(ctx, "party", party())
		assert.Equal(t, codes.AlreadyExists, refusal(t, err).Code)
		_, err = studio.CreateEvent(ctx, "Party!", party())
		assert.Equal(t, "event_id", refusal(t, err).Violations[0].Field)
		_, err = studio.CreateEvent(ctx, "", &kinorderv1.Event{})
		assert.Equal(t, "INVALID_EVENT", refusal(t, err).Reason)

		changed := party()
		changed.Title = "Later"
		second, err := studio.ReplaceEvent(ctx, made.GetName(), made.GetEtag(), changed)
		require.NoError(t, err)
		_, err = studio.ReplaceEvent(ctx, made.GetName(), made.GetEtag(), changed)
		assert.Equal(t, codes.Aborted, refusal(t, err).Code)
		assert.NotEqual(t, made.GetEtag(), second.GetEtag())
		old, err := studio.EventAt(ctx, made.GetName(), 1)
		require.NoError(t, err)
		assert.True(t, proto.Equal(made, old), "with the name, the time and the etag of that version")

		for range 3 {
			_, err = studio.CreateEvent(ctx, "", party())
			require.NoError(t, err)
		}
		n := 0
		for e, err := range studio.Events(ctx) {
			require.NoError(t, err)
			assert.Nil(t, e.GetEvent())
			n++
		}
		assert.Equal(t, 4, n)
		require.NoError(t, studio.DeleteEvent(ctx, made.GetName()))
		_, err = studio.Event(ctx, made.GetName())
		assert.Equal(t, codes.NotFound, refusal(t, err).Code)
		assert.NotContains(t, r.log.String(), "LAPWING")
		assert.NotContains(t, r.log.String(), studioKey)
	})
}

// A request that is sent again finds what it made. Its id with something else in it is refused.
func TestRequestsSentAgain(t *testing.T) {
	r := start(t, Config{Data: t.TempDir(), StudioKey: studioKey}, planning.Plan)
	defer r.stop(t)
	ctx := t.Context()
	events, sheets, runs := kinorderv1.NewEventsClient(shown{r.conn, studioKey}), kinorderv1.NewSheetsClient(shown{r.conn, studioKey}), kinorderv1.NewRunsClient(shown{r.conn, studioKey})
	event := func(id, title string) (*kinorderv1.StoredEvent, error) {
		e := party()
		e.Title = title
		return events.CreateEvent(ctx, &kinorderv1.CreateEventRequest{RequestId: "1", EventId: id, StoredEvent: &kinorderv1.StoredEvent{Event: e}})
	}
	reused := func(err error) {
		t.Helper()
		e := refusal(t, client.Explain(err))
		assert.Equal(t, codes.InvalidArgument, e.Code)
		assert.Equal(t, "REQUEST_ID_REUSED", e.Reason)
		assert.Equal(t, "request_id", e.Violations[0].Field)
	}
	made, err := event("party", "T")
	require.NoError(t, err)
	again, err := event("party", "T")
	require.NoError(t, err)
	assert.True(t, proto.Equal(made, again))
	_, err = event("party", "Other")
	reused(err)
	_, err = event("other", "T")
	reused(err)

	sheet := func(emphasis kinorderv1.Emphasis) (*kinorderv1.StoredSheet, error) {
		return sheets.CreateSheet(ctx, &kinorderv1.CreateSheetRequest{Parent: made.GetName(), RequestId: "1", Emphasis: emphasis})
	}
	kept, err := sheet(kinorderv1.Emphasis_EMPHASIS_BALANCED)
	require.NoError(t, err)
	same, err := sheet(kinorderv1.Emphasis_EMPHASIS_BALANCED)
	require.NoError(t, err)
	assert.Equal(t, kept.GetName(), same.GetName())
	_, err = sheet(kinorderv1.Emphasis_EMPHASIS_EARLY_RELEASE)
	reused(err)

	run := func(sheet string) error {
		_, err := runs.CreateRun(ctx, &kinorderv1.CreateRunRequest{Parent: made.GetName(), RequestId: "1", Run: &kinorderv1.Run{Sheet: sheet}})
		return err
	}
	require.NoError(t, run(kept.GetName()))
	require.NoError(t, run(kept.GetName()))
	reused(run(made.GetName() + "/sheets/another"))
}

func TestUpdateEventByMask(t *testing.T) {
	r := start(t, Config{Data: t.TempDir(), StudioKey: studioKey}, planning.Plan)
	defer r.stop(t)
	studio := r.client.WithSecret(studioKey)
	made, err := studio.CreateEvent(t.Context(), "party", party())
	require.NoError(t, err)
	events := kinorderv1.NewEventsClient(shown{r.conn, studioKey})
	update := func(paths ...string) (*kinorderv1.StoredEvent, error) {
		req := &kinorderv1.UpdateEventRequest{StoredEvent: &kinorderv1.StoredEvent{Name: made.GetName(), Event: &kinorderv1.Event{Title: "New"}}}
		req.UpdateMask = mask(paths...)
		return events.UpdateEvent(t.Context(), req)
	}
	got, err := update("event.title", "event.rules")
	require.NoError(t, err)
	want := party()
	want.Title, want.Rules = "New", nil
	assert.True(t, proto.Equal(want, got.GetEvent()), "what the mask names and the request does not have is cleared")
	_, err = update("event.colour", "name")
	assert.Len(t, refusal(t, client.Explain(err)).Violations, 2)
	_, err = update("*")
	assert.Equal(t, "INVALID_EVENT", refusal(t, client.Explain(err)).Reason, "the whole event has no groupings")
}

// Once a list is closed, a link of the role owner changes it no more, by calls either.
func TestAClosedListIsTheStudios(t *testing.T) {
	folder := t.TempDir()
	r := start(t, Config{Data: folder, StudioKey: studioKey}, planning.Plan)
	studio := r.client.WithSecret(studioKey)
	e, err := studio.CreateEvent(t.Context(), "party", party())
	require.NoError(t, err)
	l, err := studio.CreateLink(t.Context(), e.GetName(), kinorderv1.Role_ROLE_OWNER, "", time.Now().Add(time.Hour))
	require.NoError(t, err)
	for at, want := range map[string]codes.Code{"9999-12-31": codes.OK, "2020-01-31": codes.PermissionDenied} {
		r.stop(t)
		s, err := store.OpenSQLite(t.Context(), folder, store.Options{})
		require.NoError(t, err)
		now, err := s.Version(t.Context(), "party", 0)
		require.NoError(t, err)
		_, err = s.SaveStep(t.Context(), "party", now.Event.Version, 0, now.Event.Event, store.Step{Closing: &at})
		require.NoError(t, err)
		require.NoError(t, s.Close())
		r = start(t, Config{Data: folder, StudioKey: studioKey}, planning.Plan)
		for secret, want := range map[string]codes.Code{l.GetSecret(): want, studioKey: codes.OK} {
			_, err = r.client.WithSecret(secret).ReplaceEvent(t.Context(), e.GetName(), "", party())
			if want == codes.OK {
				require.NoError(t, err, at)
			} else {
				assert.Equal(t, want, refusal(t, err).Code, at)
			}
		}
	}
	r.stop(t)
}

func TestRoles(t *testing.T) {
	r := start(t, Config{Data: t.TempDir(), StudioKey: studioKey}, planning.Plan)
	defer r.stop(t)
	ctx := t.Context()
	studio := r.client.WithSecret(studioKey)
	e, err := studio.CreateEvent(ctx, "party", party())
	require.NoError(t, err)
	other, err := studio.CreateEvent(ctx, "other", party())
	require.NoError(t, err)
	holder := map[kinorderv1.Role]*client.Client{}
	names := map[kinorderv1.Role]string{}
	for _, role := range []kinorderv1.Role{kinorderv1.Role_ROLE_OWNER, kinorderv1.Role_ROLE_LEAD, kinorderv1.Role_ROLE_READER} {
		l, err := studio.CreateLink(ctx, e.GetName(), role, "x", time.Now().Add(time.Hour))
		require.NoError(t, err)
		assert.Len(t, l.GetSecret(), 22)
		holder[role], names[role] = r.client.WithSecret(l.GetSecret()), l.GetName()
	}
	owner, lead, reader := holder[kinorderv1.Role_ROLE_OWNER], holder[kinorderv1.Role_ROLE_LEAD], holder[kinorderv1.Role_ROLE_READER]
	forbidden := func(err error) {
		t.Helper()
		assert.Equal(t, codes.PermissionDenied, refusal(t, err).Code)
	}
	for _, c := range holder {
		_, err := c.CreateEvent(ctx, "", party())
		forbidden(err)
		_, err = c.Event(ctx, other.GetName())
		forbidden(err)
		_, err = c.Event(ctx, "events/none")
		forbidden(err) // whether there is one is not told
		n := 0
		for _, err := range c.Events(ctx) {
			require.NoError(t, err)
			n++
		}
		assert.Equal(t, 1, n)
	}
	sheet, err := lead.CreateSheet(ctx, e.GetName(), client.PlanOptions{})
	require.NoError(t, err)
	begun, err := lead.CreateRun(ctx, e.GetName(), sheet.GetName())
	require.NoError(t, err)
	_, err = lead.AddMarks(ctx, begun.GetName(),
		&kinorderv1.Mark{Kind: &kinorderv1.Mark_Note{Note: "LAPWING"}},
		&kinorderv1.Mark{Kind: &kinorderv1.Mark_Added{Added: &kinorderv1.Grouping{Id: "x", Members: []string{"cy"}, PrivateNote: "LAPWING"}}},
		&kinorderv1.Mark{Kind: &kinorderv1.Mark_Absent{Absent: "bo"}})
	require.NoError(t, err)
	forbidden(lead.DeleteEvent(ctx, e.GetName()))
	// Whoever plans or marries watches: they neither tick nor undo nor delete.
	forbidden(owner.DeleteEvent(ctx, e.GetName()))
	forbidden(owner.DeleteRun(ctx, begun.GetName()))
	forbidden(owner.DeleteSheet(ctx, sheet.GetName()))
	_, err = owner.AddMarks(ctx, begun.GetName(), &kinorderv1.Mark{Kind: &kinorderv1.Mark_Absent{Absent: "bo"}})
	forbidden(err)
	_, err = lead.CreateLink(ctx, e.GetName(), kinorderv1.Role_ROLE_OWNER, "", time.Time{})
	forbidden(err)
	_, err = lead.ExportEvent(ctx, e.GetName())
	forbidden(err)
	_, err = reader.AddMarks(ctx, begun.GetName(), &kinorderv1.Mark{Kind: &kinorderv1.Mark_Absent{Absent: "bo"}})
	forbidden(err)
	_, err = reader.CreateSheet(ctx, e.GetName(), client.PlanOptions{})
	forbidden(err)
	_, err = owner.ExportEvent(ctx, e.GetName())
	require.NoError(t, err)

	seen, err := reader.Event(ctx, e.GetName())
	require.NoError(t, err)
	kept, err := reader.Sheet(ctx, sheet.GetName())
	require.NoError(t, err)
	texts := protojson.Format(seen) + protojson.Format(kept)
	for u, err := range reader.WatchRun(ctx, begun.GetName(), 0) {
		require.NoError(t, err)
		texts += protojson.Format(u)
		if u.GetOutlook() != nil && len(u.GetOutlook().GetOwed()) == 4 {
			break
		}
	}
	assert.Contains(t, texts, "NEED_SEAT")
	for _, no := range []string{"LAPWING", "STEP_FREE", "ELDER", "heightCm", "apart", "reason", "author", "advice", "wait for people"} {
		assert.NotContains(t, texts, no)
	}

	// A revoked link ends what was begun with it.
	watched := make(chan error, 1)
	first := make(chan struct{})
	go func() {
		for _, err := range reader.WatchRun(ctx, begun.GetName(), 0) {
			if err != nil {
				watched <- err
				return
			}
			select {
			case <-first:
			default:
				close(first)
			}
		}
	}()
	<-first
	_, err = owner.RevokeLink(ctx, names[kinorderv1.Role_ROLE_READER])
	require.NoError(t, err)
	assert.Equal(t, "SECRET_WRONG", refusal(t, <-watched).Reason)
	_, err = reader.Event(ctx, e.GetName())
	assert.Equal(t, codes.Unauthenticated, refusal(t, err).Code)
	_, err = r.client.Event(ctx, e.GetName())
	assert.Equal(t, "SECRET_MISSING", refusal(t, err).Reason)
	assert.NotContains(t, r.log.String(), "LAPWING")
}

func TestExportHoldsEverything(t *testing.T) {
	r := start(t, Config{Data: t.TempDir(), StudioKey: studioKey}, planning.Plan)
	defer r.stop(t)
	ctx := t.Context()
	studio := r.client.WithSecret(studioKey)
	e, err := studio.CreateEvent(ctx, "party", party())
	require.NoError(t, err)
	sheet, err := studio.CreateSheet(ctx, e.GetName(), client.PlanOptions{})
	require.NoError(t, err)
	begun, err := studio.CreateRun(ctx, e.GetName(), sheet.GetName())
	require.NoError(t, err)
	_, err = studio.AddMarks(ctx, begun.GetName(), &kinorderv1.Mark{Kind: &kinorderv1.Mark_Note{Note: "LAPWING"}})
	require.NoError(t, err)
	_, err = studio.CreateLink(ctx, e.GetName(), kinorderv1.Role_ROLE_LEAD, "Aunt", time.Time{})
	require.NoError(t, err)
	_, err = studio.ReplaceEvent(ctx, e.GetName(), "", party())
	require.NoError(t, err)
	all, err := studio.ExportEvent(ctx, e.GetName())
	require.NoError(t, err)
	assert.Len(t, all.GetVersions(), 2)
	assert.Len(t, all.GetSheets(), 1)
	assert.NotNil(t, all.GetSheets()[0].GetSheet())
	assert.Len(t, all.GetRuns(), 1)
	assert.Equal(t, "LAPWING", all.GetMarks()[0].GetMarks()[0].GetNote())
	assert.Equal(t, "Aunt", all.GetLinks()[0].GetDisplayName())
	assert.Empty(t, all.GetLinks()[0].GetSecret())
	require.NoError(t, studio.DeleteSheet(ctx, sheet.GetName()))
	require.NoError(t, studio.DeleteRun(ctx, begun.GetName()))
}

func TestNothingKept(t *testing.T) {
	r := start(t, Config{}, planning.Plan)
	defer r.stop(t)
	_, err := r.client.WithSecret(studioKey).Event(t.Context(), "events/party")
	assert.Equal(t, "NOTHING_KEPT", refusal(t, err).Reason)
	for _, c := range []Config{{Data: "a", Postgres: "b"}, {Data: t.TempDir(), StudioKey: "short"}} {
		_, err := New(c)
		require.Error(t, err)
	}
}

func TestBadNames(t *testing.T) {
	r := start(t, Config{Data: t.TempDir(), StudioKey: studioKey}, planning.Plan)
	defer r.stop(t)
	studio := r.client.WithSecret(studioKey)
	for _, name := range []string{"", "party", "events/", "events/a/b", "events/a/runs/b", "events/../x", "events/" + strings.Repeat("a", 64)} {
		_, err := studio.Event(t.Context(), name)
		assert.Equal(t, "name", refusal(t, err).Violations[0].Field, name)
	}
	_, err := studio.Run(t.Context(), "events/a/runs/b")
	assert.Equal(t, codes.NotFound, refusal(t, err).Code)
}

// Of several servers on one database any serves a run: one takes the mark, the viewers of the other see
// it and the order that follows.
func TestSeveralServersOnOneDatabase(t *testing.T) {
	c := Config{Postgres: needs.Database(t), StudioKey: studioKey}
	a, b := start(t, c, planning.Plan), start(t, c, planning.Plan)
	defer a.stop(t)
	defer b.stop(t)
	ctx := t.Context()
	here, there := a.client.WithSecret(studioKey), b.client.WithSecret(studioKey)
	e, err := here.CreateEvent(ctx, "party", party())
	require.NoError(t, err)
	sheet, err := there.CreateSheet(ctx, e.GetName(), client.PlanOptions{})
	require.NoError(t, err)
	r, err := here.CreateRun(ctx, e.GetName(), sheet.GetName())
	require.NoError(t, err)
	sequence := int64(0)
	for u, err := range there.WatchRun(ctx, r.GetName(), 0) {
		require.NoError(t, err)
		if sequence == 0 {
			sequence, err = here.AddMarks(ctx, r.GetName(), &kinorderv1.Mark{Kind: &kinorderv1.Mark_Started{Started: &kinorderv1.GroupingMark{Grouping: "ab"}}})
			require.NoError(t, err)
			continue
		}
		if u.GetCoveredSequence() >= sequence {
			assert.Equal(t, "ab", u.GetOutlook().GetSheet().GetBlocks()[0].GetEntries()[0].GetGrouping())
			break
		}
	}
}
