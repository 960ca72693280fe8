package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strconv"

	"kinorder.example/server/internal/gate"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/wording"
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
	errMisdirected = errors.New("asked for under a name that is not known")
	errSlow        = errors.New("the form came too slowly")
)

// refusal says in plain words what stands in the way and what to do.
type refusal struct {
	status      int
	title, text wording.Message
}

func refusalOf(err error) refusal {
	say := func(status int, title, text wording.Key, args ...any) refusal {
		return refusal{status, wording.Say(title), wording.Say(text, args...)}
	}
	var busy *gate.BusyError
	var undrawn *cannotDraw
	switch {
	case errors.As(err, &undrawn):
		return refusal{http.StatusUnprocessableEntity, wording.Say("This cannot be drawn"), wording.Sentences(undrawn.texts...)}
	case errors.As(err, &busy):
		return say(http.StatusServiceUnavailable, "Too much to do just now",
			"%d plans are being made and %d wait. Go back and try again in %d seconds; nothing that you wrote is lost.",
			busy.Solves, busy.Queued, int(busy.Retry.Seconds()))
	case errors.Is(err, errCrowded), errors.Is(err, gate.ErrCrowded):
		return say(http.StatusTooManyRequests, "Too much to do just now", "Go back and try again in a few seconds; nothing that you wrote is lost.")
	case errors.Is(err, gate.ErrStopping):
		return say(http.StatusServiceUnavailable, "The program is stopping", "Start it again, then go back and send the page once more.")
	case errors.Is(err, errTooLarge), errors.Is(err, intake.ErrTooLarge):
		return say(http.StatusRequestEntityTooLarge, "The list is too large", "A list can have 4 MiB. Hand in the list alone, without pictures or other data.")
	case errors.Is(err, errCrossOrigin):
		return say(http.StatusForbidden, "Sent from another site", "This page only takes what was written on it. Open it by its own address and start from there.")
	case errors.Is(err, errForm):
		return say(http.StatusBadRequest, "This could not be read", "What was sent is no form of these pages. Go back, load the page anew and try again.")
	case errors.Is(err, errMisdirected):
		return say(http.StatusMisdirectedRequest, "This server does not have this name",
			"Open it at an address that the program printed when it started. Whoever runs it can start it with --host and this name, so that it has it.")
	case errors.Is(err, errSlow):
		return say(http.StatusRequestTimeout, "This came too slowly", "It did not arrive within %d seconds. Go back and try again; nothing that you wrote is lost.", int(bodyTime.Seconds()))
	case errors.Is(err, errUnknown):
		return say(http.StatusNotFound, "There is no such page", "Start from the first page.")
	case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
		return say(http.StatusServiceUnavailable, "No plan in time", "The search ended before any order was found. Go back and try again.")
	default:
		return say(http.StatusInternalServerError, "Something broke inside", "That is a fault of the program, not of your list. Go back: what you wrote is still there. The log of the program says more.")
	}
}

// refusalView is the page of an error.
type refusalView struct{ Title, Text string }

// refuse makes the page of an error. An error that has no words is logged by its kind.
func (s *Server) refuse(w http.ResponseWriter, words *wording.Catalogue, err error) *response {
	r := refusalOf(err)
	var busy *gate.BusyError
	switch {
	case errors.As(err, &busy):
		w.Header().Set("Retry-After", strconv.Itoa(int(busy.Retry.Seconds())))
	case errors.Is(err, errCrowded), errors.Is(err, gate.ErrCrowded):
		w.Header().Set("Retry-After", "5")
	}
	if r.status == http.StatusInternalServerError && !errors.Is(err, errBroken) {
		s.options.Log.Error("a page broke", "error", fmt.Sprintf("%T", err))
	}
	view := refusalView{words.Render(r.title), words.Render(r.text)}
	out, err := draw(words, "refusal", shell{Title: view.Title}, view)
	if err != nil {
		panic(err) // a template that is part of the program, with data that is fixed
	}
	out.status = r.status
	return out
}

func (s *Server) unknown(*request) (*response, error) { return nil, errUnknown }
