package phone

import (
	"context"
	"errors"
	"math"
	"net/http"
	"strconv"
	"strings"

	"kinorder.example/server/internal/access"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
)

// refusal says by a code what stands in the way. Codes are known to the script, which has words for them
// in every language.
type refusal struct {
	Code string `json:"code"`
	// Retry is after how many seconds to try again; 0 says nothing.
	Retry  int     `json:"retry,omitempty"`
	Faults []fault `json:"faults,omitempty"`
}

// fault says what is wrong with one of the marks sent. The page has the words for its code.
type fault struct {
	Mark  int    `json:"mark"` // its index, -1 for all
	Field string `json:"field"`
	Code  string `json:"code"`
}

// codes are the plain cases.
var codes = []struct {
	err    error
	status int
	code   string
}{
	{errUnknown, http.StatusNotFound, "unknown"},
	{errCrossOrigin, http.StatusForbidden, "cross"},
	{errBusy, http.StatusServiceUnavailable, "busy"},
	{errCrowded, http.StatusTooManyRequests, "busy"},
	{errSlow, http.StatusRequestTimeout, "busy"},
	{errKind, http.StatusUnsupportedMediaType, "form"},
	{errForm, http.StatusBadRequest, "form"},
	{errTooLarge, http.StatusRequestEntityTooLarge, "large"},
	{errNoSecret, http.StatusUnauthorized, "secret"},
	{access.ErrSecret, http.StatusUnauthorized, "secret"},
	{errStudio, http.StatusForbidden, "studio"},
	{errForbidden, http.StatusForbidden, "forbidden"},
	{errMoved, http.StatusConflict, "moved"},
	{errNoSheet, http.StatusConflict, "nosheet"},
	{run.ErrAhead, http.StatusConflict, "ahead"},
	{run.ErrStopped, http.StatusServiceUnavailable, "stopping"},
	{store.ErrNotFound, http.StatusNotFound, "gone"},
	{store.ErrFull, http.StatusInsufficientStorage, "full"},
	{store.ErrManyRuns, http.StatusInsufficientStorage, "full"},
	{store.ErrUnreachable, http.StatusServiceUnavailable, "store"},
	{context.Canceled, http.StatusServiceUnavailable, "stopping"},
	{context.DeadlineExceeded, http.StatusServiceUnavailable, "busy"},
}

// retryTime is after how many seconds a place may be free.
const retryTime = 2

func refusalOf(err error) (int, refusal) {
	var slow *access.SlowDownError
	var invalid *run.InvalidError
	var full *run.FullError
	switch {
	case errors.As(err, &slow):
		return http.StatusTooManyRequests, refusal{Code: "slow", Retry: int(math.Ceil(slow.Retry.Seconds()))}
	case errors.As(err, &invalid):
		return http.StatusUnprocessableEntity, refusal{Code: "invalid", Faults: faultsOf(invalid.Faults)}
	case errors.As(err, &full):
		return http.StatusInsufficientStorage, refusal{Code: "full"}
	}
	for _, c := range codes {
		if errors.Is(err, c.err) {
			out := refusal{Code: c.code}
			if out.Code == "busy" {
				out.Retry = retryTime
			}
			return c.status, out
		}
	}
	return http.StatusInternalServerError, refusal{Code: "broken"}
}

// faultsOf sorts faults by the mark that they are about, which their field names as marks[2].person.
func faultsOf(list []event.Advice) []fault {
	out := make([]fault, 0, len(list))
	for _, a := range list {
		f := fault{Mark: -1, Field: a.Field, Code: a.Code}
		if rest, ok := strings.CutPrefix(a.Field, "marks["); ok {
			number, field, _ := strings.Cut(rest, "].")
			if i, err := strconv.Atoi(number); err == nil {
				f.Mark, f.Field = i, field
			}
		}
		out = append(out, f)
	}
	return out
}
