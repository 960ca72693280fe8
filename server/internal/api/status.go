package api

import (
	"context"
	"errors"
	"fmt"
	"time"

	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/protoadapt"
	"google.golang.org/protobuf/types/known/durationpb"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/gate"
)

// errorDomain is the domain of every ErrorInfo.
const errorDomain = "kinorder.example"

// restartDelay is about how long a restart takes.
const restartDelay = 5 * time.Second

// maxViolations keeps a status inside what clients read as trailers.
const maxViolations = 100

// The reasons of ErrorInfo. They are part of the contract: programs branch on them.
const (
	reasonInvalidEvent    = "INVALID_EVENT"
	reasonInvalidRequest  = "INVALID_REQUEST"
	reasonRequestTooLarge = "REQUEST_TOO_LARGE"
	reasonInfeasible      = "NO_PLAN_KEEPS_ALL_WISHES"
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
	reasonConflict        = "CHANGED_IN_BETWEEN"
	reasonStoreFull       = "STORE_FULL"
	reasonUnreachable     = "STORE_UNREACHABLE"
	reasonAhead           = "SEQUENCE_AHEAD"
)

// invalidRequestError says what is wrong with a request apart from its event.
type invalidRequestError struct{ faults []event.Advice }

func (e *invalidRequestError) Error() string {
	return (&event.InvalidError{Faults: e.faults}).Error()
}

// tooLargeError says that a request has more bytes than are read.
type tooLargeError struct {
	what        string
	size, limit int
}

func (e *tooLargeError) Error() string {
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
// stack, a private note or the name of a guest. Errors it does not know become INTERNAL with nothing of their text.
func statusOf(err error) *status.Status {
	var (
		invalidEvent   *event.InvalidError
		invalidRequest *invalidRequestError
		infeasible     *event.InfeasibleError
		tooLarge       *tooLargeError
		busy           *gate.BusyError
		unknown        unknownMethodError
		internal       *internalError
	)
	if st := keptStatus(err); st != nil {
		return st
	}
	switch {
	case errors.As(err, &invalidEvent):
		return withDetails(codes.InvalidArgument, "the event cannot be planned as it is: "+summary(invalidEvent.Faults),
			info(reasonInvalidEvent, nil), violations("event.", invalidEvent.Faults))
	case errors.As(err, &invalidRequest):
		return withDetails(codes.InvalidArgument, "the request has to be mended: "+summary(invalidRequest.faults),
			info(reasonInvalidRequest, nil), violations("", invalidRequest.faults))
	case errors.As(err, &infeasible):
		return withDetails(codes.FailedPrecondition, infeasible.Text,
			info(reasonInfeasible, nil), preconditions(infeasible))
	case errors.As(err, &tooLarge):
		return withDetails(codes.ResourceExhausted, tooLarge.Error()+": send fewer people and groupings at once",
			info(reasonRequestTooLarge, map[string]string{
				"size_bytes": fmt.Sprint(tooLarge.size), "limit_bytes": fmt.Sprint(tooLarge.limit),
			}))
	case errors.As(err, &busy):
		return withDetails(codes.ResourceExhausted,
			fmt.Sprintf("%s already: try again in %s", busy.Error(), busy.Retry),
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
		return withDetails(codes.DeadlineExceeded, "the time ran out before any order was found: allow more time",
			info(reasonDeadline, nil))
	case errors.Is(err, context.Canceled):
		return withDetails(codes.Canceled, "the call was cancelled before any order was found",
			info(reasonCancelled, nil))
	default:
		return withDetails(codes.Internal, "something broke inside", info(reasonInternal, nil))
	}
}

// known reports whether statusOf has words for err.
func known(err error) bool { return statusOf(err).Code() != codes.Internal }

func withDetails(code codes.Code, message string, details ...protoadapt.MessageV1) *status.Status {
	plain := status.New(code, text(message))
	full, err := plain.WithDetails(details...)
	if err != nil {
		// WithDetails refuses only code OK and messages that cannot be marshalled; text sees to both.
		return plain
	}
	return full
}

func info(reason string, metadata map[string]string) *errdetails.ErrorInfo {
	return &errdetails.ErrorInfo{Reason: reason, Domain: errorDomain, Metadata: metadata}
}

func violations(prefix string, faults []event.Advice) *errdetails.BadRequest {
	faults = faults[:min(len(faults), maxViolations)]
	return &errdetails.BadRequest{FieldViolations: each(faults, func(f event.Advice) *errdetails.BadRequest_FieldViolation {
		return &errdetails.BadRequest_FieldViolation{Field: text(prefix + f.Field), Reason: text(f.Code), Description: text(f.Text)}
	})}
}

func preconditions(e *event.InfeasibleError) *errdetails.PreconditionFailure {
	return &errdetails.PreconditionFailure{Violations: each(e.Subjects, func(id string) *errdetails.PreconditionFailure_Violation {
		return &errdetails.PreconditionFailure_Violation{Type: reasonInfeasible, Subject: text(id), Description: "is one of the wishes that clash"}
	})}
}

// summary counts the faults and names the first place; the violations hold up to maxViolations.
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
	return f.Field
}
