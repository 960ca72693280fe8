package api

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc/codes"

	"kinorder.example/server/internal/access"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
)

var keptErrors = []struct {
	err    error
	code   codes.Code
	reason string
}{
	{errNothingKept, codes.FailedPrecondition, "NOTHING_KEPT"},
	{errNoSecret, codes.Unauthenticated, "SECRET_MISSING"},
	{access.ErrSecret, codes.Unauthenticated, "SECRET_WRONG"},
	{&access.SlowDownError{Retry: time.Second}, codes.ResourceExhausted, "SLOW_DOWN"},
	{errForbidden, codes.PermissionDenied, "FORBIDDEN"},
	{&run.InvalidError{Faults: []event.Advice{{Field: "marks[0].id"}}}, codes.InvalidArgument, "INVALID_REQUEST"},
	{run.ErrAhead, codes.OutOfRange, "SEQUENCE_AHEAD"},
	{run.ErrStopped, codes.Unavailable, "STOPPING"},
	{store.ErrToken, codes.InvalidArgument, "INVALID_REQUEST"},
	{store.ErrNotFound, codes.NotFound, "NOT_FOUND"},
	{store.ErrExists, codes.AlreadyExists, "ALREADY_EXISTS"},
	{store.ErrReused, codes.InvalidArgument, "REQUEST_ID_REUSED"},
	{store.ErrConflict, codes.Aborted, "CHANGED_IN_BETWEEN"},
	{&run.FullError{Link: true}, codes.ResourceExhausted, "RUN_FULL"},
	{store.ErrManyRuns, codes.ResourceExhausted, "TOO_MANY_RUNS"},
	{store.ErrFull, codes.ResourceExhausted, "STORE_FULL"},
	{store.ErrVersion, codes.FailedPrecondition, "OTHER_VERSION"},
	{store.ErrUnreachable, codes.Unavailable, "STORE_UNREACHABLE"},
}

func TestKeptStatus(t *testing.T) {
	for _, tt := range keptErrors {
		t.Run(tt.reason, func(t *testing.T) {
			st := statusOf(fmt.Errorf("store: keep marks: %w", tt.err))
			assert.Equal(t, tt.code, st.Code())
			var reason string
			for _, d := range st.Details() {
				if i, ok := d.(*errdetails.ErrorInfo); ok {
					reason = i.GetReason()
				}
			}
			assert.Equal(t, tt.reason, reason)
			assert.NotContains(t, st.Message(), "store:", "in words of the user")
		})
	}
}

// Every kind of mark comes through the wire as it was.
func TestConvertEveryMark(t *testing.T) {
	at := time.Date(2027, 5, 15, 12, 0, 0, 0, time.UTC)
	for kind := run.Started; kind <= run.Changed; kind++ {
		m := run.Mark{ID: "id", Kind: kind, At: at}
		switch kind {
		case run.Started, run.Taken, run.PutBack, run.Skipped, run.LeaveOut:
			m.Grouping, m.Block = "g", "b"
		case run.Changed:
			m.Grouping, m.Block, m.Priority = "g", "b", new(event.Must)
		case run.Absent, run.Arrived, run.Gone:
			m.Person = "p"
		case run.Late, run.Leaving:
			m.Person, m.Until = "p", at.Add(time.Hour)
		case run.Added:
			m.Grouped = &event.Grouping{ID: "x", Title: "X", Members: []string{"p"}, Priority: event.Must}
		case run.Without:
			m.Grouping, m.People = "g", []string{"p", "q"}
		case run.Joined:
			m.Person, m.Name, m.Groupings = "p", "Nia", []string{"g"}
		case run.Reset:
			m.Block, m.Opens, m.Closes, m.Closed, m.Place = "b", at, at.Add(time.Hour), true, "Hall"
		case run.Noted:
			m.Note = "n"
		case run.Undone:
			m.Undoes = "m"
		}
		var r reader
		assert.Equal(t, m, r.mark(0, markToWire(m)))
		assert.Empty(t, r.faults)
	}
}
