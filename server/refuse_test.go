package server

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/types/known/durationpb"
	"google.golang.org/protobuf/types/known/timestamppb"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
)

func grpcCode(err error) codes.Code { return status.Code(err) }

func TestRefusesLargeRequests(t *testing.T) {
	r := start(t, Config{}, planning.Plan)
	defer r.stop(t)

	_, _, err := r.client.Import(t.Context(), make([]byte, client.MaxContent+1), kinorderv1.ImportFormat_IMPORT_FORMAT_YAML)
	e := refusal(t, err)
	assert.Equal(t, codes.ResourceExhausted, e.Code)
	assert.Equal(t, "REQUEST_TOO_LARGE", e.Reason)
	assert.Contains(t, e.Message, "4194305 bytes, the most is 4194304")

	large := &kinorderv1.Event{Title: strings.Repeat("x", 5<<20)}
	_, err = r.client.Check(t.Context(), large)
	assert.Equal(t, "REQUEST_TOO_LARGE", refusal(t, err).Reason)
	for _, err := range r.client.PlanStream(t.Context(), large, client.PlanOptions{}) {
		assert.Equal(t, "REQUEST_TOO_LARGE", refusal(t, err).Reason)
	}

	// So large that gRPC itself refuses it.
	_, _, err = r.client.Import(t.Context(), make([]byte, 20<<20), 0)
	assert.Equal(t, codes.ResourceExhausted, refusal(t, err).Code)
}

func TestRefusesLongLists(t *testing.T) {
	r := start(t, Config{}, planning.Plan)
	defer r.stop(t)
	long := &kinorderv1.Event{Groupings: someEvent.GetGroupings()}
	for i := range event.MaxPeople + 1 {
		long.People = append(long.People, &kinorderv1.Person{Id: fmt.Sprint("p", i), Name: "n"})
	}
	_, err := r.client.Plan(t.Context(), long, client.PlanOptions{})
	e := refusal(t, err)
	require.Len(t, e.Violations, 1)
	assert.Equal(t, "event.people", e.Violations[0].Field)
	assert.Contains(t, e.Violations[0].Text, fmt.Sprintf("at most %d are allowed", event.MaxPeople))
}

func TestRefusesFaultyRequests(t *testing.T) {
	r := start(t, Config{}, planning.Plan)
	defer r.stop(t)
	planner := kinorderv1.NewPlannerClient(r.conn)
	fields := func(err error) []string {
		t.Helper()
		e := refusal(t, client.Explain(err))
		assert.Equal(t, codes.InvalidArgument, e.Code)
		assert.NotEmpty(t, e.Reason)
		var fields []string
		for _, v := range e.Violations {
			assert.NotEmpty(t, v.Text)
			assert.NotEmpty(t, v.Code)
			fields = append(fields, v.Field)
		}
		return fields
	}
	_, err := planner.Check(t.Context(), &kinorderv1.CheckRequest{})
	assert.Equal(t, []string{"event"}, fields(err))
	_, err = planner.Plan(t.Context(), &kinorderv1.PlanRequest{})
	assert.Equal(t, []string{"event"}, fields(err))
	_, err = planner.Plan(t.Context(), &kinorderv1.PlanRequest{Event: someEvent, Budget: &durationpb.Duration{Seconds: -1}, Emphasis: 99})
	assert.Equal(t, []string{"budget", "emphasis"}, fields(err))
	_, err = planner.Plan(t.Context(), &kinorderv1.PlanRequest{Event: someEvent, Budget: &durationpb.Duration{Seconds: 601}})
	assert.Equal(t, []string{"budget"}, fields(err))
	_, err = planner.Plan(t.Context(), &kinorderv1.PlanRequest{Event: &kinorderv1.Event{
		People:    []*kinorderv1.Person{{Id: "ann", Name: "Ann", AgeBand: 77}},
		Groupings: []*kinorderv1.Grouping{{Id: "one", Members: []string{"ann", "nobody"}}},
	}})
	assert.Equal(t, []string{"event.people[0].age_band", "event.groupings[0].members[1]"}, fields(err))
	_, err = planner.Import(t.Context(), &kinorderv1.ImportRequest{Format: 99})
	assert.Equal(t, []string{"format"}, fields(err))
	_, err = planner.Render(t.Context(), &kinorderv1.RenderRequest{})
	assert.Equal(t, []string{"event", "sheet"}, fields(err))
	_, err = planner.Render(t.Context(), &kinorderv1.RenderRequest{Event: someEvent, Sheet: &kinorderv1.CallSheet{}, Width: 7, Format: 99})
	assert.Equal(t, []string{"format", "width"}, fields(err))
	_, err = planner.Render(t.Context(), &kinorderv1.RenderRequest{
		Event: someEvent, Sheet: &kinorderv1.CallSheet{}, Kind: 99, Paper: 99, Per: 99, Language: "?",
	})
	assert.Equal(t, []string{"kind", "paper", "per"}, fields(err))
	_, err = planner.Render(t.Context(), &kinorderv1.RenderRequest{
		Event: someEvent, Sheet: &kinorderv1.CallSheet{}, Kind: kinorderv1.RenderKind_RENDER_KIND_CARDS,
		Format: kinorderv1.RenderFormat_RENDER_FORMAT_CSV, Language: "?",
	})
	assert.Equal(t, []string{"format", "language"}, fields(err))
}

// A sheet that comes back to be drawn may have been changed on the way.
func TestRefusesTamperedSheets(t *testing.T) {
	r := start(t, Config{}, planning.Plan)
	defer r.stop(t)
	tests := []struct {
		name  string
		sheet *kinorderv1.CallSheet
		field string
	}{
		{"a block of another event", &kinorderv1.CallSheet{Blocks: []*kinorderv1.SheetBlock{{Block: "ballroom"}}}, "sheet.blocks[0].block"},
		{
			"a stranger walks in",
			&kinorderv1.CallSheet{Blocks: []*kinorderv1.SheetBlock{{Entries: []*kinorderv1.SheetEntry{{StepIn: []string{"ann", "zoe"}}}}}},
			"sheet.blocks[0].entries[0].step_in[1]",
		},
		{"a stranger's times", &kinorderv1.CallSheet{People: []*kinorderv1.PersonTimes{{Person: "zoe"}}}, "sheet.people[0].person"},
		{
			"time runs backwards",
			&kinorderv1.CallSheet{Blocks: []*kinorderv1.SheetBlock{{Entries: []*kinorderv1.SheetEntry{{SlotSeconds: -60}}}}},
			"sheet.blocks[0].entries[0].slot_seconds",
		},
		{
			"the end of time",
			&kinorderv1.CallSheet{Blocks: []*kinorderv1.SheetBlock{{StartTime: &timestamppb.Timestamp{Seconds: 1 << 50}}}},
			"sheet.blocks[0].start_time",
		},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			for format := range kinorderv1.RenderFormat_name {
				_, err := r.client.Render(t.Context(), someEvent, tt.sheet, client.RenderOptions{Format: kinorderv1.RenderFormat(format)})
				e := refusal(t, err)
				require.Len(t, e.Violations, 1)
				assert.Equal(t, tt.field, e.Violations[0].Field)
			}
		})
	}
}

// Clients of the C core, and those in Java, read 8 KiB of trailers and no more.
func TestManyFaultsReachClientsThatReadLittle(t *testing.T) {
	r := start(t, Config{}, planning.Plan)
	defer r.stop(t)
	conn, err := grpc.NewClient(r.conn.Target(), append(r.dial, grpc.WithMaxHeaderListSize(8<<10))...)
	require.NoError(t, err)
	defer conn.Close()
	faulty := &kinorderv1.Event{People: []*kinorderv1.Person{{Id: "ann", Name: "Ann"}}}
	for i := range 400 {
		id := fmt.Sprintf("%03d%s", i, strings.Repeat("ñ", 60))
		faulty.Groupings = append(faulty.Groupings, &kinorderv1.Grouping{Id: id, Members: []string{"ann", id + "x"}})
	}
	_, err = kinorderv1.NewPlannerClient(conn).Plan(t.Context(), &kinorderv1.PlanRequest{Event: faulty})
	e := refusal(t, client.Explain(err))
	assert.Equal(t, codes.InvalidArgument, e.Code)
	assert.Equal(t, "INVALID_EVENT", e.Reason)
	require.NotEmpty(t, e.Violations)
	assert.Equal(t, "MORE_NOT_LISTED", e.Violations[len(e.Violations)-1].Code)
}

// marker is in every text of the event that must not be in a log or an error.
const marker = "Zquorn"

func markedEvent() *kinorderv1.Event {
	return &kinorderv1.Event{
		Title: marker,
		People: []*kinorderv1.Person{
			{Id: "p1", Name: marker + " One", SayAs: marker, Relation: marker, PrivateNote: marker},
			{Id: "p2", Name: marker + ` "Two"`, PrivateNote: marker},
		},
		Circles:   []*kinorderv1.Circle{{Id: "c", Title: marker, Members: []string{"p1", "p2"}}},
		Groupings: []*kinorderv1.Grouping{{Id: "g", Title: marker, Members: []string{"c"}, PrivateNote: marker}},
		Blocks:    []*kinorderv1.Block{{Id: "b", Title: marker, Place: marker, Photographer: marker}},
	}
}

func TestPanicEndsOneCallOnly(t *testing.T) {
	broken := true
	r := start(t, Config{Solves: 1, Queue: 1}, func(_ context.Context, e event.Event, o planning.Options) (event.CallSheet, error) {
		if broken {
			if o.OnProgress != nil {
				o.OnProgress(planning.Progress{})
			}
			panic(e.People[0].Name)
		}
		return event.CallSheet{}, nil
	})
	defer r.stop(t)
	_, err := r.client.Plan(t.Context(), markedEvent(), client.PlanOptions{})
	e := refusal(t, err)
	assert.Equal(t, codes.Internal, e.Code)
	assert.Equal(t, "INTERNAL", e.Reason)
	assert.NotContains(t, e.Error(), "goroutine")
	assert.Regexp(t, `incident=[0-9a-f]{12} panic="a value of type string" stack=.*refuse_test\.go`, r.log.String())

	for message, err := range r.client.PlanStream(t.Context(), markedEvent(), client.PlanOptions{}) {
		if err != nil {
			assert.Equal(t, "INTERNAL", refusal(t, err).Reason)
		} else {
			assert.NotNil(t, message.GetProgress())
		}
	}
	broken = false
	_, err = r.client.Plan(t.Context(), markedEvent(), client.PlanOptions{})
	assert.NoError(t, err, "the place at the gate was given back")
	assert.NotContains(t, r.log.String(), marker)
}

func TestLogsAndErrorsNameNobody(t *testing.T) {
	r := start(t, Config{}, planning.Plan)
	defer r.stop(t)
	say := func(err error) {
		t.Helper()
		if err != nil {
			assert.NotContains(t, err.Error(), marker)
			assert.NotContains(t, fmt.Sprint(status.Convert(err).Proto()), marker)
		}
	}
	good, faulty := markedEvent(), markedEvent()
	faulty.Rules = []*kinorderv1.Rule{{Kind: &kinorderv1.Rule_Apart{Apart: &kinorderv1.Apart{People: []string{"p1", "p2"}}}, PrivateNote: marker}}
	faulty.People[0].PresentFrom = "15:00"
	for _, e := range []*kinorderv1.Event{good, faulty} {
		_, err := r.client.Check(t.Context(), e)
		say(err)
		sheet, err := r.client.Plan(t.Context(), e, client.PlanOptions{})
		assert.Equal(t, e == faulty, err != nil)
		say(err)
		for _, err := range r.client.PlanStream(t.Context(), e, client.PlanOptions{}) {
			say(err)
		}
		for format := range kinorderv1.RenderFormat_name {
			for kind := range kinorderv1.RenderKind_name {
				_, err = r.client.Render(t.Context(), e, sheet, client.RenderOptions{Format: kinorderv1.RenderFormat(format), Kind: kinorderv1.RenderKind(kind)})
				say(err)
			}
		}
	}
	for _, content := range []string{"title: " + marker, marker, "people: [" + marker, `{"people":[{"` + marker + `":1}]}`, "\xff" + marker} {
		for format := range kinorderv1.ImportFormat_name {
			_, _, err := r.client.Import(t.Context(), []byte(content), kinorderv1.ImportFormat(format))
			say(err)
		}
	}
	assert.NotEmpty(t, r.log.String())
	assert.NotContains(t, r.log.String(), marker)
}
