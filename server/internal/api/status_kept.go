package api

import (
	"errors"
	"fmt"
	"strconv"

	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/types/known/durationpb"

	"kinorder.example/server/internal/access"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/wording"
)

// keptStatus is statusOf for errors about what is kept; nil for others.
func keptStatus(err error) *status.Status {
	var slow *access.SlowDownError
	var marks *run.InvalidError
	var full *run.FullError
	var quota *store.QuotaError
	switch {
	case errors.Is(err, errNothingKept):
		return withDetails(codes.FailedPrecondition, "this server keeps nothing: start it with a data folder or a database", info(reasonNothingKept, nil))
	case errors.Is(err, errNoSecret):
		return withDetails(codes.Unauthenticated, "the call has no secret: send that of a link, or the studio key, as a bearer token", info(reasonNoSecret, nil))
	case errors.Is(err, access.ErrSecret):
		return withDetails(codes.Unauthenticated, "the secret opens nothing: it is wrong, has expired or was revoked; ask the owner of the event for a new link", info(reasonBadSecret, nil))
	case errors.As(err, &slow):
		return withDetails(codes.ResourceExhausted, slow.Error(), info(reasonSlowDown, nil), &errdetails.RetryInfo{RetryDelay: durationpb.New(slow.Retry)})
	case errors.Is(err, errForbidden):
		return withDetails(codes.PermissionDenied, "the secret does not allow this: it is for another event, or for a role that may do less", info(reasonForbidden, nil))
	case errors.As(err, &marks):
		return refused(reasonInvalidRequest, "no mark was kept: ", marks.Faults)
	case errors.As(err, &full):
		return withDetails(codes.ResourceExhausted, "nothing was kept: "+full.Error(), info(reasonRunFull, nil))
	case errors.As(err, &quota):
		return quotaStatus(quota)
	case errors.Is(err, run.ErrAhead):
		return withDetails(codes.OutOfRange, "the run has not come to this sequence: begin with 0", info(reasonAhead, nil))
	case errors.Is(err, run.ErrStopped):
		return withDetails(codes.Unavailable, "the server is stopping: try again when it is back",
			info(reasonStopping, nil), &errdetails.RetryInfo{RetryDelay: durationpb.New(restartDelay)})
	case errors.Is(err, store.ErrToken):
		return refused(reasonInvalidRequest, "no such page: ", []event.Advice{{
			Code: event.CodeUnknownValue, Field: "page_token", Message: wording.Said("is not one that a list gave: begin without one"),
		}})
	case errors.Is(err, store.ErrNotFound):
		return withDetails(codes.NotFound, "there is nothing of that name; it may have been deleted", info(reasonNotFound, nil))
	case errors.Is(err, store.ErrExists):
		return withDetails(codes.AlreadyExists, "the id is taken: choose another", info(reasonExists, nil))
	case errors.Is(err, store.ErrReused):
		return refused(reasonReused, "nothing was made: ", []event.Advice{{
			Code: event.CodeDuplicateID, Field: "request_id", Message: wording.Said("came before and asked for something else: make a new one for each request, and keep it only to send the same again"),
		}})
	case errors.Is(err, store.ErrConflict):
		return withDetails(codes.Aborted, "somebody else changed it meanwhile: read it again and repeat the change", info(reasonConflict, nil))
	case errors.Is(err, store.ErrFull):
		return withDetails(codes.ResourceExhausted, "nothing was kept: the server has no room left; keep it where you are and send it again when there is room", info(reasonStoreFull, nil))
	case errors.Is(err, store.ErrManyRuns):
		return withDetails(codes.ResourceExhausted, fmt.Sprintf("nothing was begun: the event has %d runs, the most there may be; delete one that is over", store.MaxRuns), info(reasonManyRuns, nil))
	case errors.Is(err, store.ErrVersion):
		return withDetails(codes.FailedPrecondition, "a newer version of kinorder wrote this, and this one cannot read it: run the newer one", info(reasonOtherVersion, nil))
	case errors.Is(err, store.ErrUnreachable):
		return withDetails(codes.Unavailable, "nothing was kept: the server's database does not answer; keep it where you are and send it again",
			info(reasonUnreachable, nil), &errdetails.RetryInfo{RetryDelay: durationpb.New(restartDelay)})
	}
	return nil
}

// quotaStatus says how much a studio may have.
func quotaStatus(quota *store.QuotaError) *status.Status {
	of, most, do := "events", quota.Events, "delete events that are over"
	switch {
	case quota.Webhooks > 0:
		of, most, do = "webhooks", quota.Webhooks, "delete one that nobody needs"
	case quota.People > 0:
		of, most, do = "people", quota.People, "leave some out"
	case quota.Bytes > 0:
		of, most = "storage", quota.Bytes
	}
	return withDetails(codes.ResourceExhausted, "nothing was kept: "+quota.Error()+" on this server; "+do+", or ask whoever runs it for more",
		info(reasonQuota, map[string]string{"quota": of, "limit": strconv.FormatInt(most, 10)}))
}
