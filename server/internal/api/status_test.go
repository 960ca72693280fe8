package api

import (
	"context"
	"encoding/base64"
	"errors"
	"fmt"
	"math"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/proto"

	"kinorder.example/server/internal/api/weight"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/gate"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/wording"
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

// Nobody counts an answer to its end that is too long as JSON.
func TestAnswerTooLargeSaysSo(t *testing.T) {
	w := httptest.NewRecorder()
	answer := &refusals{ResponseWriter: w, json: true}
	answer.begun.Store(true)
	answer.WriteHeader(http.StatusTooManyRequests)
	_, err := answer.Write([]byte("{}"))
	require.NoError(t, err)
	assert.Contains(t, w.Body.String(), "the answer has more than 8454144 bytes")
	assert.NotContains(t, w.Body.String(), "size_bytes")
}

func TestStatusOf(t *testing.T) {
	faults := []event.Advice{
		{Code: "UNKNOWN_MEMBER", Severity: event.Error, Message: wording.Said("nobody has this id"), Field: "event.groupings[3].members[1]"},
		{Code: "OUT_OF_RANGE", Severity: event.Error, Message: wording.Said("write 20"), Field: "event.blocks[0].standBackCm"},
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
			"the event cannot be planned as it is: 2 faults, the first at event.groupings[3].members[1]",
			[]string{"event.groupings[3].members[1]", "event.blocks[0].stand_back_cm"}, 0,
		},
		{
			"invalid request", missing("event"), codes.InvalidArgument, "INVALID_REQUEST",
			"the request has to be fixed: 1 fault, at event", []string{"event"}, 0,
		},
		{
			"too large", &tooLargeError{what: "the file", size: 5, limit: 4}, codes.ResourceExhausted, "REQUEST_TOO_LARGE",
			"the file has 5 bytes, the most is 4: send fewer people and groupings at once", nil, 0,
		},
		{
			"no file", &tooLargeError{what: "this event in this form", limit: 4, do: "export it as YAML"}, codes.ResourceExhausted, "REQUEST_TOO_LARGE",
			"this event in this form is larger than a file that is read: export it as YAML", nil, 0,
		},
		{
			"too much", &weight.TooMuchError{Field: "event.people", Limit: 16 << 20}, codes.ResourceExhausted, "REQUEST_TOO_LARGE",
			"the request comes to more than 16 MiB once it is read; the last was in event.people: send less of that at once", nil, 0,
		},
		{
			"malformed", weight.ErrMalformed, codes.InvalidArgument, "INVALID_REQUEST",
			"the bytes are not a message of the contract: use a client of the same version", nil, 0,
		},
		{
			"slow", errSlow, codes.DeadlineExceeded, "DEADLINE_EXCEEDED", "the request did not arrive in time, which is 20 seconds: send it again", nil, 0,
		},
		{
			"crowded", gate.ErrCrowded, codes.ResourceExhausted, "BUSY", "too much is being read at once: try again in 10s", nil, 10 * time.Second,
		},
		{
			"watched", gate.ErrWatched, codes.ResourceExhausted, "BUSY",
			"as many watch runs as may at once, with this link, from this address or in all: try again in 10s", nil, 10 * time.Second,
		},
		{
			"busy", &gate.BusyError{Solves: 2, Queued: 8, Retry: 10 * time.Second}, codes.ResourceExhausted, "BUSY",
			"the server is busy (searches that run: 2, that wait: 8): try again in 10s", nil, 10 * time.Second,
		},
		{"stopping", gate.ErrStopping, codes.Unavailable, "STOPPING", "the server is stopping: try again when it is back", nil, restartDelay},
		{"unknown method", unknownMethodError{}, codes.Unimplemented, "UNKNOWN_METHOD", "the service has no such method: use a client of the same version", nil, 0},
		{
			"deadline", fmt.Errorf("plan: %w", context.DeadlineExceeded), codes.DeadlineExceeded, "DEADLINE_EXCEEDED",
			"the time ran out before there was an answer: allow more time", nil, 0,
		},
		{"cancelled", context.Canceled, codes.Canceled, "CANCELLED", "the call was cancelled before there was an answer", nil, 0},
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

// Faults with ids and texts as long as they come, and longer, in several scripts.
func manyFaults(n int) []event.Advice {
	ids := []string{"p", strings.Repeat("x", 64), strings.Repeat("ж", 64), strings.Repeat("\u202e𓀀", 400), strings.Repeat("\xff", 5000)}
	out := make([]event.Advice, n)
	for i := range out {
		id := ids[i%len(ids)]
		out[i] = event.Advice{
			Code: event.CodeUnknownID, Severity: event.Error, Field: fmt.Sprintf("event.groupings[%d].members[%d]", i, i), Message: wording.Said("refers to " + id + ", which is not there: give the id of a person or group"),
		}
	}
	return out
}

func TestStatusesStaySmall(t *testing.T) {
	long := strings.Repeat("ẞ%", 20_000)
	errs := map[string]error{
		"too large":  &tooLargeError{what: long, size: math.MaxInt, limit: math.MaxInt},
		"busy":       &gate.BusyError{Solves: math.MaxInt, Queued: math.MaxInt, Retry: math.MaxInt64},
		"broken":     &internalError{incident: newIncident()},
		"unknown":    errors.New(long),
		"long field": &invalidRequestError{[]event.Advice{{Field: long, Code: "BAD_TEXT", Message: wording.Said(long)}}},
	}
	for _, n := range []int{0, 1, 2, 5, 20, 45, 100, 5000} {
		errs[fmt.Sprint("event ", n)] = &event.InvalidError{Faults: manyFaults(n)}
		errs[fmt.Sprint("request ", n)] = &invalidRequestError{manyFaults(n)}
		errs[fmt.Sprint("marks ", n)] = &run.InvalidError{Faults: manyFaults(n)}
	}
	for _, kept := range keptErrors {
		errs[kept.reason] = kept.err
	}
	for name, err := range errs {
		t.Run(name, func(t *testing.T) {
			st := statusOf(err)
			size := proto.Size(st.Proto())
			assert.LessOrEqual(t, size, 4<<10)
			_, ok := detail[*errdetails.ErrorInfo](st)
			assert.True(t, ok, "ErrorInfo is missing")
			// gRPC over HTTP2, "Responses": Status-Message is percent-encoded, and implementations have to
			// limit trailers to 8 KiB by default. An entry of HTTP2 counts 32 bytes more (RFC 9113, 6.5.2).
			trailers := base64.RawStdEncoding.EncodedLen(size) + len("grpc-status-details-bin") + percentEncoded(st.Message()) + len("grpc-message") + len("grpc-status") + 2 + 3*32
			assert.Less(t, trailers, 8<<10)
		})
	}
}

// percentEncoded is how long a message is in a trailer.
func percentEncoded(message string) int {
	n := 0
	for _, b := range []byte(message) {
		if n++; b < ' ' || b > '~' || b == '%' {
			n += 2
		}
	}
	return n
}

func TestStatusSaysWhatIsNotListed(t *testing.T) {
	few := statusOf(&event.InvalidError{Faults: manyFaults(3)})
	bad, _ := detail[*errdetails.BadRequest](few)
	assert.Len(t, bad.GetFieldViolations(), 3)

	many := statusOf(&event.InvalidError{Faults: manyFaults(5000)})
	bad, _ = detail[*errdetails.BadRequest](many)
	listed := bad.GetFieldViolations()
	require.Greater(t, len(listed), 5)
	last := listed[len(listed)-1]
	assert.Equal(t, "MORE_NOT_LISTED", last.GetReason())
	assert.Equal(t, "event", last.GetField())
	assert.Equal(t, fmt.Sprintf("%d more not listed: fix these first", 5000-(len(listed)-1)), last.GetDescription())
	about, _ := detail[*errdetails.ErrorInfo](many)
	assert.Equal(t, map[string]string{"violations_total": "5000"}, about.GetMetadata())
	assert.Contains(t, many.Message(), "5000 faults")
}

func TestStatusSurvivesBrokenText(t *testing.T) {
	st := statusOf(&tooLargeError{what: "a\xff", size: 5, limit: 4})
	assert.Equal(t, "a\uFFFD has 5 bytes, the most is 4: send fewer people and groupings at once", st.Message())
	_, ok := detail[*errdetails.ErrorInfo](st)
	assert.True(t, ok)
}
