package api

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/encoding/protowire"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/protoadapt"
	"google.golang.org/protobuf/types/known/durationpb"

	"kinorder.example/server/internal/api/weight"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/gate"
)

// errorDomain is the domain of every ErrorInfo.
const errorDomain = "kinorder.example"

// restartDelay is about how long a restart takes.
const restartDelay = 5 * time.Second

// The most bytes of a status and of its texts. Clients read at most 8 KiB of trailers (beyond that
// the C core of gRPC and clients built on it end the call with INTERNAL), and these hold a status twice: the whole as
// base64, and its message with three bytes for each byte that is not ASCII.
const (
	maxStatus      = 4 << 10
	maxMessage     = 512
	maxField       = 256
	maxDescription = 1 << 10
	// maxRest is the room for the entry that counts what is not listed, and for the list itself.
	maxRest = 512
)

// The reasons of ErrorInfo. They are part of the contract: programs branch on them.
const (
	reasonInvalidEvent    = "INVALID_EVENT"
	reasonInvalidRequest  = "INVALID_REQUEST"
	reasonRequestTooLarge = "REQUEST_TOO_LARGE"
	reasonBusy            = "BUSY"
	reasonStopping        = "STOPPING"
	reasonCancelled       = "CANCELLED"
	reasonDeadline        = "DEADLINE_EXCEEDED"
	reasonUnknownMethod   = "UNKNOWN_METHOD"
	reasonInternal        = "INTERNAL"
	reasonNothingKept     = "NOTHING_KEPT"
	reasonNoSecret        = "SECRET_MISSING"
	reasonBadSecret       = "SECRET_WRONG"
	reasonSlowDown        = "SLOW_DOWN"
	reasonForbidden       = "FORBIDDEN"
	reasonNotFound        = "NOT_FOUND"
	reasonExists          = "ALREADY_EXISTS"
	reasonReused          = "REQUEST_ID_REUSED"
	reasonConflict        = "CHANGED_IN_BETWEEN"
	reasonRunFull         = "RUN_FULL"
	reasonManyRuns        = "TOO_MANY_RUNS"
	reasonStoreFull       = "STORE_FULL"
	reasonUnreachable     = "STORE_UNREACHABLE"
	reasonOtherVersion    = "OTHER_VERSION"
	reasonAhead           = "SEQUENCE_AHEAD"
	reasonQuota           = "QUOTA"
)

// invalidRequestError says what is wrong with a request apart from its event.
type invalidRequestError struct{ faults []event.Advice }

func (e *invalidRequestError) Error() string {
	return (&event.InvalidError{Faults: e.faults}).Error()
}

// tooLargeError says that a request, or what it asks for, has more bytes than are read or sent.
type tooLargeError struct {
	what        string
	size, limit int    // size is 0 when nobody counted to the end
	do          string // what to do instead of asking for a file that Import would not take
}

func (e *tooLargeError) Error() string {
	if e.do != "" {
		return e.what + " is larger than a file that is read"
	}
	if e.size == 0 {
		return fmt.Sprintf("%s has more than %d bytes", e.what, e.limit)
	}
	return fmt.Sprintf("%s has %d bytes, the most is %d", e.what, e.size, e.limit)
}

// unknownMethodError says that a method is not in the contract.
type unknownMethodError struct{}

func (unknownMethodError) Error() string { return "no such method" }

// internalError stands for a broken invariant. What broke is in the log, under the incident.
type internalError struct{ incident string }

func (e *internalError) Error() string { return "incident " + e.incident }

// statusOf is the only place that turns errors into statuses. A status holds an ErrorInfo always,
// a violation for each faulty field, a delay where trying again later helps, and never a path, a
// stack, a private note or the name of a guest. Unknown errors become INTERNAL without their text.
func statusOf(err error) *status.Status {
	var (
		invalidEvent   *event.InvalidError
		invalidRequest *invalidRequestError
		tooLarge       *tooLargeError
		tooMuch        *weight.TooMuchError
		busy           *gate.BusyError
		unknown        unknownMethodError
		internal       *internalError
	)
	if st := keptStatus(err); st != nil {
		return st
	}
	if st := wireStatus(err); st != nil {
		return st
	}
	switch {
	case errors.As(err, &invalidEvent):
		return refused(reasonInvalidEvent, "the event cannot be planned as it is: ", invalidEvent.Faults)
	case errors.As(err, &invalidRequest):
		return refused(reasonInvalidRequest, "the request has to be fixed: ", invalidRequest.faults)
	case errors.As(err, &tooLarge):
		sizes := map[string]string{"limit_bytes": fmt.Sprint(tooLarge.limit)}
		if tooLarge.size > 0 {
			sizes["size_bytes"] = fmt.Sprint(tooLarge.size)
		}
		return withDetails(codes.ResourceExhausted, tooLarge.Error()+": "+cmp.Or(tooLarge.do, "send fewer people and groupings at once"), info(reasonRequestTooLarge, sizes))
	case errors.As(err, &tooMuch):
		return withDetails(codes.ResourceExhausted, tooMuch.Error()+": send less of that at once",
			info(reasonRequestTooLarge, map[string]string{"field": tooMuch.Field, "limit_bytes": fmt.Sprint(tooMuch.Limit)}))
	case errors.Is(err, gate.ErrCrowded), errors.Is(err, gate.ErrWatched):
		return withDetails(codes.ResourceExhausted, fmt.Sprintf("%v: try again in %s", err, gate.RoomTime),
			info(reasonBusy, nil), &errdetails.RetryInfo{RetryDelay: durationpb.New(gate.RoomTime)})
	case errors.As(err, &busy):
		return withDetails(codes.ResourceExhausted,
			fmt.Sprintf("%s: try again in %s", busy.Error(), busy.Retry),
			info(reasonBusy, nil), &errdetails.RetryInfo{RetryDelay: durationpb.New(busy.Retry)})
	case errors.As(err, &unknown):
		return withDetails(codes.Unimplemented, "the service has no such method: use a client of the same version",
			info(reasonUnknownMethod, nil))
	case errors.As(err, &internal):
		return withDetails(codes.Internal, "something broke inside; the log of the server says more about incident "+internal.incident,
			info(reasonInternal, map[string]string{"incident": internal.incident}))
	case errors.Is(err, gate.ErrStopping):
		return withDetails(codes.Unavailable, "the server is stopping: try again when it is back",
			info(reasonStopping, nil), &errdetails.RetryInfo{RetryDelay: durationpb.New(restartDelay)})
	case errors.Is(err, context.DeadlineExceeded):
		return withDetails(codes.DeadlineExceeded, "the time ran out before there was an answer: allow more time",
			info(reasonDeadline, nil))
	case errors.Is(err, context.Canceled):
		return withDetails(codes.Canceled, "the call was cancelled before there was an answer",
			info(reasonCancelled, nil))
	default:
		return withDetails(codes.Internal, "something broke inside", info(reasonInternal, nil))
	}
}

// wireStatus is the status of a request that did not arrive as one, else nil.
func wireStatus(err error) *status.Status {
	var badJSON *jsonError
	switch {
	case errors.As(err, &badJSON):
		return withDetails(codes.InvalidArgument, err.Error()+": /openapi.yaml tells what belongs there", info(reasonInvalidRequest, nil))
	case errors.Is(err, errQuery), errors.Is(err, errPacked), errors.Is(err, weight.ErrDeep):
		return withDetails(codes.InvalidArgument, err.Error(), info(reasonInvalidRequest, nil))
	case errors.Is(err, errCrossed):
		return withDetails(codes.PermissionDenied, err.Error()+": call from a program, or from pages of the same address", info(reasonForbidden, nil))
	case errors.Is(err, weight.ErrMalformed):
		return withDetails(codes.InvalidArgument, err.Error()+": use a client of the same version", info(reasonInvalidRequest, nil))
	case errors.Is(err, errSlow):
		return withDetails(codes.DeadlineExceeded, fmt.Sprintf("%v, which is %.0f seconds: send it again", err, arrivalTime.Seconds()),
			info(reasonDeadline, nil))
	}
	return nil
}

// known reports whether statusOf has words for err.
func known(err error) bool { return statusOf(err).Code() != codes.Internal }

func withDetails(code codes.Code, message string, details ...protoadapt.MessageV1) *status.Status {
	plain := status.New(code, short(message, maxMessage))
	full, err := plain.WithDetails(details...)
	if err != nil {
		// WithDetails refuses only code OK and messages that cannot be marshalled; short sees to both.
		return plain
	}
	return full
}

func info(reason string, metadata map[string]string) *errdetails.ErrorInfo {
	return &errdetails.ErrorInfo{Reason: reason, Domain: errorDomain, Metadata: metadata}
}

// refused is the status of faulty input. It lists as many faults as fit, and says in its last violation
// how many do not; the metadata have the number of all.
func refused(reason, message string, faults []event.Advice) *status.Status {
	about := info(reason, map[string]string{"violations_total": strconv.Itoa(len(faults))})
	message += summary(faults)
	list := each(faults, func(f event.Advice) *errdetails.BadRequest_FieldViolation {
		return &errdetails.BadRequest_FieldViolation{Field: short(fieldPath(f.Field), maxField), Reason: text(f.Code), Description: short(f.Text(), maxDescription)}
	})
	if n := fitting(list, message, about); n < len(list) {
		root, _, _ := strings.Cut(list[n].GetField(), ".")
		root, _, _ = strings.Cut(root, "[")
		list = append(list[:n], &errdetails.BadRequest_FieldViolation{Field: root, Reason: event.CodeMoreNotListed, Description: unlisted(len(list) - n)})
	}
	return withDetails(codes.InvalidArgument, message, about, &errdetails.BadRequest{FieldViolations: list})
}

func unlisted(n int) string { return fmt.Sprintf("%d more not listed: fix these first", n) }

// fitting is how many parts of a list fit into a status beside its message and what it is about.
func fitting(list []*errdetails.BadRequest_FieldViolation, message string, about *errdetails.ErrorInfo) int {
	room := maxStatus - maxRest - min(len(message), maxMessage) - proto.Size(about)
	for i, part := range list {
		if room -= 1 + protowire.SizeBytes(proto.Size(part)); room < 0 {
			return i
		}
	}
	return len(list)
}

// short cuts text to at most most bytes, between two characters.
func short(s string, most int) string {
	const cut = "…"
	if s = text(s); len(s) <= most {
		return s
	}
	end := most - len(cut)
	for !utf8.RuneStart(s[end]) {
		end--
	}
	return s[:end] + cut
}

// summary counts the faults and names the first place.
func summary(faults []event.Advice) string {
	switch len(faults) {
	case 0:
		return "no fault named"
	case 1:
		return "1 fault, at " + place(faults[0])
	default:
		return fmt.Sprintf("%d faults, the first at %s", len(faults), place(faults[0]))
	}
}

func place(f event.Advice) string {
	if f.Field == "" {
		return "the whole"
	}
	return fieldPath(f.Field)
}

// fieldPath is the place of a fault as google.rpc.BadRequest wants it, by the names of the fields of the
// request. Places in events are written as in files, where these begin their words with capitals.
func fieldPath(place string) string {
	var b strings.Builder
	for _, r := range strings.TrimSuffix(place, ".") {
		if 'A' <= r && r <= 'Z' {
			b.WriteByte('_')
			r += 'a' - 'A'
		}
		b.WriteRune(r)
	}
	return b.String()
}
