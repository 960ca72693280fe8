package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"kinorder.example/server/internal/gate"
	"kinorder.example/server/internal/intake"
)

// What stands in the way of an answer. Whatever is wrong in what a planner wrote is shown beside it
// instead.
var (
	errCrossOrigin = errors.New("a form from another site")
	errCrowded     = errors.New("too many requests at once")
	errBroken      = errors.New("something broke inside")
	errUnknown     = errors.New("no such page")
	errForm        = errors.New("not a form of these pages")
	errTooLarge    = errors.New("the form is too large")
)

// refusal says in plain words what stands in the way and what to do.
type refusal struct {
	status      int
	Title, Text string
}

func refusalOf(err error) refusal {
	var busy *gate.BusyError
	var undrawn *cannotDraw
	switch {
	case errors.As(err, &undrawn):
		return refusal{http.StatusUnprocessableEntity, "This cannot be drawn", strings.Join(undrawn.texts, " ")}
	case errors.As(err, &busy):
		return refusal{http.StatusServiceUnavailable, "Too much to do just now",
			fmt.Sprintf("%d plans are being made and %d wait. Go back and try again in %.0f seconds; nothing that you wrote is lost.",
				busy.Solves, busy.Queued, busy.Retry.Seconds())}
	case errors.Is(err, errCrowded):
		return refusal{http.StatusServiceUnavailable, "Too much to do just now",
			"Go back and try again in a few seconds; nothing that you wrote is lost."}
	case errors.Is(err, gate.ErrStopping):
		return refusal{http.StatusServiceUnavailable, "The program is stopping",
			"Start it again, then go back and send the page once more."}
	case errors.Is(err, errTooLarge), errors.Is(err, intake.ErrTooLarge):
		return refusal{http.StatusRequestEntityTooLarge, "The list is too large",
			"A list can have 4 MiB. Hand in the list alone, without pictures or other data."}
	case errors.Is(err, errCrossOrigin):
		return refusal{http.StatusForbidden, "Sent from another site",
			"This page only takes what was written on it. Open it by its own address and start from there."}
	case errors.Is(err, errForm):
		return refusal{http.StatusBadRequest, "This could not be read",
			"What was sent is no form of these pages. Go back, load the page anew and try again."}
	case errors.Is(err, errUnknown):
		return refusal{http.StatusNotFound, "There is no such page", "Start from the first page."}
	case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
		return refusal{http.StatusServiceUnavailable, "No plan in time",
			"The search ended before any order was found. Go back and try again."}
	default:
		return refusal{http.StatusInternalServerError, "Something broke inside",
			"That is a fault of the program, not of your list. Go back: what you wrote is still there. The log of the program says more."}
	}
}

// refuse makes the page of an error. An error that has no words is logged by its kind.
func (s *Server) refuse(w http.ResponseWriter, err error) *response {
	r := refusalOf(err)
	var busy *gate.BusyError
	if errors.As(err, &busy) {
		w.Header().Set("Retry-After", strconv.Itoa(int(busy.Retry.Seconds())))
	}
	if r.status == http.StatusInternalServerError && !errors.Is(err, errBroken) {
		s.options.Log.Error("a page broke", "error", fmt.Sprintf("%T", err))
	}
	out, err := draw("refusal", shell{Title: r.Title}, r)
	if err != nil {
		panic(err) // a template that is part of the program, with data that is fixed
	}
	out.status = r.status
	return out
}

func (s *Server) unknown(*request) (*response, error) { return nil, errUnknown }
