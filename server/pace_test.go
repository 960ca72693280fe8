package server

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc/codes"
	"google.golang.org/protobuf/types/known/timestamppb"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/planning"
)

// lived is a run of many photographs of two people in turn, each of which took so many seconds.
func lived(photographs, seconds int) *kinorderv1.FinishedRun {
	e := &kinorderv1.Event{People: []*kinorderv1.Person{{Id: "ann", Name: "Ann"}, {Id: "bo", Name: "Bo", PrivateNote: "LAPWING"}}}
	r := &kinorderv1.FinishedRun{Event: e}
	at := time.Date(2026, 6, 20, 12, 0, 0, 0, time.UTC)
	for i := range photographs {
		id := fmt.Sprintf("g%d", i)
		e.Groupings = append(e.Groupings, &kinorderv1.Grouping{Id: id, Members: []string{[]string{"ann", "bo"}[i%2]}, Frames: int32(2 + i%5)})
		which := &kinorderv1.GroupingMark{Grouping: id}
		r.Marks = append(r.Marks, &kinorderv1.Mark{Id: client.NewID(), HappenTime: timestamppb.New(at), Kind: &kinorderv1.Mark_Started{Started: which}})
		at = at.Add(time.Duration(seconds-1+i%7) * time.Second)
		r.Marks = append(r.Marks, &kinorderv1.Mark{Id: client.NewID(), HappenTime: timestamppb.New(at), Kind: &kinorderv1.Mark_Taken{Taken: which}})
		at = at.Add(time.Second) // marks of one time would have no order of their own
	}
	return r
}

func TestFitAndApplyPace(t *testing.T) {
	r := start(t, Config{}, planning.Plan)
	defer r.stop(t)
	found, err := r.client.FitPace(t.Context(), []*kinorderv1.FinishedRun{lived(30, 150), lived(25, 150)})
	require.NoError(t, err)
	assert.EqualValues(t, 53, found.GetPace().GetPhotographs())
	assert.EqualValues(t, 2, found.GetPace().GetHeldOut())
	assert.Less(t, found.GetPace().GetAfter().GetPhotographSeconds(), found.GetPace().GetBefore().GetPhotographSeconds())
	assert.Greater(t, found.GetPace().GetPace().GetSettleSeconds(), int32(24), "everything took longer than usual")
	assert.NotContains(t, string(found.GetContent()), "LAPWING")

	three := int32(3)
	e := party()
	e.Pace = &kinorderv1.Pace{SettleSeconds: &three}
	applied, err := r.client.ApplyPace(t.Context(), e, found.GetContent())
	require.NoError(t, err)
	assert.Empty(t, applied.GetProblems())
	assert.EqualValues(t, 3, applied.GetEvent().GetPace().GetSettleSeconds(), "the event's own goes before")
	assert.Equal(t, found.GetPace().GetPace().GetPerFrameSeconds(), applied.GetEvent().GetPace().GetPerFrameSeconds())
	assert.EqualValues(t, 53, applied.GetPace().GetPhotographs())

	applied, err = r.client.ApplyPace(t.Context(), e, []byte("pace: {perFrameSeconds: -1}"))
	require.NoError(t, err)
	require.Len(t, applied.GetProblems(), 1)
	assert.Nil(t, applied.GetEvent().GetPace().PerFrameSeconds, "a faulty file changes nothing")

	few, err := r.client.FitPace(t.Context(), []*kinorderv1.FinishedRun{lived(12, 150)})
	require.NoError(t, err)
	assert.Empty(t, few.GetContent())
	assert.EqualValues(t, 20, few.GetPace().GetLeastPhotographs())
	assert.Contains(t, few.GetPace().GetText(), "The usual pace stays.")
}

func TestFitPaceRefuses(t *testing.T) {
	r := start(t, Config{}, planning.Plan)
	defer r.stop(t)
	faulty := lived(3, 100)
	faulty.Event.Groupings[0].Members = []string{"LAPWING"}
	for field, ask := range map[string]func() error{
		"runs": func() error { _, err := r.client.FitPace(t.Context(), nil); return err },
		"runs[1].event": func() error {
			_, err := r.client.FitPace(t.Context(), []*kinorderv1.FinishedRun{lived(1, 100), {}})
			return err
		},
		"runs[0].event.groupings[0].members[0]": func() error { _, err := r.client.FitPace(t.Context(), []*kinorderv1.FinishedRun{faulty}); return err },
		"event":                                 func() error { _, err := r.client.ApplyPace(t.Context(), nil, []byte("pace: {}")); return err },
		"content":                               func() error { _, err := r.client.ApplyPace(t.Context(), party(), nil); return err },
	} {
		e := refusal(t, ask())
		assert.Equal(t, codes.InvalidArgument, e.Code, field)
		require.NotEmpty(t, e.Violations, field)
		assert.Equal(t, field, e.Violations[0].Field)
		assert.NotContains(t, e.Error(), "LAPWING", "names stay out of statuses")
	}
	_, err := r.client.ApplyPace(t.Context(), party(), make([]byte, 70<<10))
	assert.Equal(t, codes.ResourceExhausted, refusal(t, err).Code)
}
