package api

import (
	"context"
	"errors"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/gate"
)

// detail returns the first detail of a type.
func detail[T any](st *status.Status) (T, bool) {
	for _, d := range st.Details() {
		if d, ok := d.(T); ok {
			return d, true
		}
	}
	var zero T
	return zero, false
}

func TestStatusOf(t *testing.T) {
	faults := []event.Advice{
		{Code: "UNKNOWN_MEMBER", Severity: event.Error, Text: "nobody has this id", Field: "groupings[3].members[1]"},
		{Code: "BAD_TIME", Severity: event.Error, Text: "write 15:30", Field: "blocks[0].opens"},
	}
	tests := []struct {
		name    string
		err     error
		code    codes.Code
		reason  string
		message string
		fields  []string
		retry   time.Duration
	}{
		{
			"invalid event", fmt.Errorf("plan: %w", &event.InvalidError{Faults: faults}), codes.InvalidArgument, "INVALID_EVENT",
			"the event cannot be planned as it is: 2 faults, the first at groupings[3].members[1]",
			[]string{"event.groupings[3].members[1]", "event.blocks[0].opens"}, 0,
		},
		{
			"invalid request", missing("event"), codes.InvalidArgument, "INVALID_REQUEST",
			"the request has to be mended: 1 fault, at event", []string{"event"}, 0,
		},
		{
			"infeasible", &event.InfeasibleError{Text: "the first must come after the last", Subjects: []string{"g1"}},
			codes.FailedPrecondition, "NO_PLAN_KEEPS_ALL_WISHES", "the first must come after the last", nil, 0,
		},
		{
			"too large", &tooLargeError{what: "the file", size: 5, limit: 4}, codes.ResourceExhausted, "REQUEST_TOO_LARGE",
			"the file has 5 bytes, the most is 4: send fewer people and groupings at once", nil, 0,
		},
		{
			"busy", &gate.BusyError{Solves: 2, Queued: 8, Retry: 10 * time.Second}, codes.ResourceExhausted, "BUSY",
			"2 searches run and 8 wait already: try again in 10s", nil, 10 * time.Second,
		},
		{"stopping", gate.ErrStopping, codes.Unavailable, "STOPPING", "the server is stopping: try again when it is back", nil, restartDelay},
		{"unknown method", unknownMethodError{}, codes.Unimplemented, "UNKNOWN_METHOD", "the service has no such method: use a client of the same version", nil, 0},
		{
			"deadline", fmt.Errorf("plan: %w", context.DeadlineExceeded), codes.DeadlineExceeded, "DEADLINE_EXCEEDED",
			"the time ran out before any order was found: allow more time", nil, 0,
		},
		{"cancelled", context.Canceled, codes.Canceled, "CANCELLED", "the call was cancelled before any order was found", nil, 0},
		{
			"broken", &internalError{incident: "0a1b2c"}, codes.Internal, "INTERNAL",
			"something broke inside; the log of the server says more about incident 0a1b2c", nil, 0,
		},
		{"anything else", errors.New("/home/x: Auntie Ngozi"), codes.Internal, "INTERNAL", "something broke inside", nil, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			st := statusOf(tt.err)
			assert.Equal(t, tt.code, st.Code())
			assert.Equal(t, tt.message, st.Message())
			info, ok := detail[*errdetails.ErrorInfo](st)
			require.True(t, ok, "ErrorInfo is missing")
			assert.Equal(t, tt.reason, info.GetReason())
			assert.Equal(t, "kinorder.example", info.GetDomain())
			// AIP-193: "reason must match [A-Z][A-Z0-9_]+[A-Z0-9], at most 63 characters".
			assert.Regexp(t, `^[A-Z][A-Z0-9_]{1,61}[A-Z0-9]$`, info.GetReason())
			bad, _ := detail[*errdetails.BadRequest](st)
			assert.Equal(t, tt.fields, each(bad.GetFieldViolations(), (*errdetails.BadRequest_FieldViolation).GetField))
			retry, _ := detail[*errdetails.RetryInfo](st)
			assert.Equal(t, tt.retry, retry.GetRetryDelay().AsDuration())
		})
	}
}

func TestStatusBoundsViolations(t *testing.T) {
	st := statusOf(&event.InvalidError{Faults: make([]event.Advice, 5000)})
	bad, _ := detail[*errdetails.BadRequest](st)
	assert.Len(t, bad.GetFieldViolations(), maxViolations)
	assert.Contains(t, st.Message(), "5000 faults")
}

func TestStatusSurvivesBrokenText(t *testing.T) {
	st := statusOf(&event.InfeasibleError{Text: "a\xff", Subjects: []string{"\xfe"}})
	assert.Equal(t, "a\uFFFD", st.Message())
	_, ok := detail[*errdetails.ErrorInfo](st)
	assert.True(t, ok)
}

func TestPanicTextQuotesNothing(t *testing.T) {
	assert.Equal(t, "a value of type string", panicText("Auntie Ngozi"))
	assert.Equal(t, "a value of type *errors.errorString", panicText(errors.New("Auntie Ngozi")))
	func() {
		defer func() { assert.Contains(t, panicText(recover()), "index out of range [3]") }()
		var empty []int
		i := 3
		_ = empty[i]
	}()
}
