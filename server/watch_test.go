package server

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc"
	"google.golang.org/protobuf/proto"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/gate"
	"kinorder.example/server/internal/planning"
)

// begin keeps the party and begins a run of it.
func begin(t *testing.T, c *client.Client) *kinorderv1.Run {
	t.Helper()
	e, err := c.CreateEvent(t.Context(), "party", party())
	require.NoError(t, err)
	sheet, err := c.CreateSheet(t.Context(), e.GetName(), client.PlanOptions{})
	require.NoError(t, err)
	r, err := c.CreateRun(t.Context(), e.GetName(), sheet.GetName())
	require.NoError(t, err)
	return r
}

func note(text string) *kinorderv1.Mark {
	return &kinorderv1.Mark{Kind: &kinorderv1.Mark_Note{Note: text}}
}

// A stream in which nothing happens says that it is there, again and again.
func TestWatchRunHasAPulse(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := start(t, Config{Data: t.TempDir(), StudioKey: studioKey}, planning.Plan)
		begun := begin(t, r.client.WithSecret(studioKey))
		ctx, cancel := context.WithCancel(t.Context())
		stream, err := kinorderv1.NewRunsClient(shown{r.conn, studioKey}).WatchRun(ctx, &kinorderv1.WatchRunRequest{Name: begun.GetName()})
		require.NoError(t, err)
		u := &kinorderv1.RunUpdate{}
		for u.GetOutlook() == nil {
			u, err = stream.Recv()
			require.NoError(t, err)
		}
		last, sequence := time.Now(), u.GetSequence()
		for range 5 { // after two minutes the plan is overtaken
			u, err = stream.Recv()
			require.NoError(t, err)
			assert.LessOrEqual(t, time.Since(last), 15*time.Second)
			assert.True(t, proto.Equal(&kinorderv1.RunUpdate{Sequence: sequence}, u), "%v", u)
			last = time.Now()
		}
		cancel()
		r.stop(t)
	})
}

// One link is not all that watch.
func TestWatchersLeavePlacesForOthers(t *testing.T) {
	r := start(t, Config{Data: t.TempDir(), StudioKey: studioKey}, planning.Plan)
	defer r.stop(t)
	begun := begin(t, r.client.WithSecret(studioKey))
	ctx, leave := context.WithCancel(t.Context())
	defer leave()
	conn := r.conn
	watch := func() error {
		stream, err := kinorderv1.NewRunsClient(shown{conn, studioKey}).WatchRun(ctx, &kinorderv1.WatchRunRequest{Name: begun.GetName()})
		require.NoError(t, err)
		_, err = stream.Recv()
		return err
	}
	for i := range gate.MostWatching / 2 {
		if i%50 == 0 { // a connection has a limit of its own
			var err error
			conn, err = grpc.NewClient("passthrough:///test", r.dial...)
			require.NoError(t, err)
			defer conn.Close()
		}
		require.NoError(t, watch())
	}
	assert.Equal(t, client.ReasonBusy, refusal(t, client.Explain(watch())).Reason)
}

// Who watched all the time, who came late and who resumed somewhere know the same.
func TestEveryViewerComesToTheSame(t *testing.T) {
	r := start(t, Config{Data: t.TempDir(), StudioKey: studioKey}, planning.Plan)
	defer r.stop(t)
	c := r.client.WithSecret(studioKey)
	begun := begin(t, c)
	at := func(grouping string) *kinorderv1.GroupingMark { return &kinorderv1.GroupingMark{Grouping: grouping} }
	one, other, absent := note("one"), note("other"), &kinorderv1.Mark{Kind: &kinorderv1.Mark_Absent{Absent: "cy"}}
	added := &kinorderv1.Mark{Kind: &kinorderv1.Mark_Added{Added: &kinorderv1.Grouping{Id: "x", Title: "X", Members: []string{"cy"}}}}
	undoes := func(of *kinorderv1.Mark) *kinorderv1.Mark {
		return &kinorderv1.Mark{Kind: &kinorderv1.Mark_Undone{Undone: of.GetId()}}
	}
	var views []*client.RunView
	var sequence int64
	for _, next := range []func() *kinorderv1.Mark{
		func() *kinorderv1.Mark { return one },
		func() *kinorderv1.Mark { return absent },
		func() *kinorderv1.Mark { return added },
		func() *kinorderv1.Mark { return &kinorderv1.Mark{Kind: &kinorderv1.Mark_Started{Started: at("ab")}} },
		func() *kinorderv1.Mark { return other },
		func() *kinorderv1.Mark { return undoes(one) },
		func() *kinorderv1.Mark { return undoes(absent) },
		func() *kinorderv1.Mark { return &kinorderv1.Mark{Kind: &kinorderv1.Mark_Taken{Taken: at("ab")}} },
		func() *kinorderv1.Mark { return undoes(added) },
	} {
		views = append(views, &client.RunView{})
		m := next()
		var err error
		sequence, err = c.AddMarks(t.Context(), begun.GetName(), m)
		require.NoError(t, err)
		for i, v := range views {
			if i%2 == 0 && len(views)%3 != 0 {
				continue // looks rarely
			}
			follow(t, c, begun.GetName(), v, sequence)
		}
	}
	fresh := &client.RunView{}
	follow(t, c, begun.GetName(), fresh, sequence)
	require.Len(t, fresh.Notes(), 1)
	assert.Equal(t, "other", fresh.Notes()[0].GetNote())
	assert.Equal(t, kinorderv1.GroupingState_STATE_TAKEN, fresh.Groupings["ab"].GetState())
	assert.Empty(t, fresh.People)
	assert.Empty(t, fresh.Added)
	for i, v := range views {
		follow(t, c, begun.GetName(), v, sequence)
		for id, g := range v.Groupings {
			if _, told := fresh.Groupings[id]; told || g.GetState() != kinorderv1.GroupingState_STATE_OPEN {
				assert.True(t, proto.Equal(fresh.Groupings[id], g), "%d %s", i, id)
			}
		}
		assert.Equal(t, fresh.People, v.People)
		assert.Empty(t, v.Added)
		assert.Equal(t, fresh.Undoable, v.Undoable)
		require.Len(t, v.Notes(), 1, i)
		assert.Equal(t, "other", v.Notes()[0].GetNote())
		assert.True(t, proto.Equal(fresh.Outlook, v.Outlook), i)
	}
}

// follow watches until a plan heeds a sequence.
func follow(t *testing.T, c *client.Client, run string, v *client.RunView, sequence int64) {
	t.Helper()
	for v.Outlook == nil || v.Covered < sequence || v.Sequence < sequence {
		for u, err := range c.WatchRun(t.Context(), run, v.Sequence) {
			require.NoError(t, err)
			v.Apply(u)
			if v.Outlook != nil && v.Covered >= sequence {
				break
			}
		}
	}
}

// However much a link writes, the run can be watched from the beginning and exported whole, in messages
// that every client takes; and the link is stopped before it has filled the run for others.
func TestAFullRunCanBeReadAndExported(t *testing.T) {
	r := start(t, Config{Data: t.TempDir(), StudioKey: studioKey}, planning.Plan)
	defer r.stop(t)
	ctx := t.Context()
	c := r.client.WithSecret(studioKey)
	begun := begin(t, c)
	var lead *client.Client
	for range 2 {
		l, err := c.CreateLink(ctx, "events/party", kinorderv1.Role_ROLE_LEAD, "", time.Time{})
		require.NoError(t, err)
		lead = r.client.WithSecret(l.GetSecret())
		for i := 0; ; i++ {
			var marks []*kinorderv1.Mark
			for range 100 {
				marks = append(marks, note(strings.Repeat("ö", 2000)))
			}
			if _, err = lead.AddMarks(ctx, begun.GetName(), marks...); err != nil {
				assert.Equal(t, "RUN_FULL", refusal(t, err).Reason)
				assert.Greater(t, i, 2)
				break
			}
		}
	}
	for err := error(nil); err == nil; {
		_, err = c.AddMarks(ctx, begun.GetName(), note(strings.Repeat("ö", 2000)))
	}
	kept, err := c.Run(ctx, begun.GetName())
	require.NoError(t, err)

	const small = 1 << 20
	stream, err := kinorderv1.NewRunsClient(shown{r.conn, studioKey}).WatchRun(ctx, &kinorderv1.WatchRunRequest{Name: begun.GetName()}, grpc.MaxCallRecvMsgSize(small))
	require.NoError(t, err)
	marks := 0
	for sequence := int64(0); sequence < kept.GetSequence(); {
		u, err := stream.Recv()
		require.NoError(t, err)
		marks += len(u.GetMarks())
		sequence = u.GetSequence()
	}
	assert.Greater(t, marks, 800)

	parts, err := kinorderv1.NewEventsClient(shown{r.conn, studioKey}).ExportEvent(ctx, &kinorderv1.ExportEventRequest{Name: "events/party"}, grpc.MaxCallRecvMsgSize(small))
	require.NoError(t, err)
	n := 0
	for err == nil {
		_, err = parts.Recv()
		n++
	}
	assert.Greater(t, n, 10, fmt.Sprint(err))
	all, err := c.ExportEvent(ctx, "events/party")
	require.NoError(t, err)
	require.Len(t, all.GetMarks(), 1)
	assert.Len(t, all.GetMarks()[0].GetMarks(), marks)
	assert.Len(t, all.GetLinks(), 2)
}
