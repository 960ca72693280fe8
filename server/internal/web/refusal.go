package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strconv"

	"kinorder.example/server/internal/gate"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/web/fields"
	"kinorder.example/server/internal/web/kept"
	"kinorder.example/server/internal/wording"
)

// The reasons for having no answer. A fault in what the planner wrote is shown beside it instead.
var (
	errCrossOrigin = errors.New("a form from another site")
	errBroken      = errors.New("something broke inside")
	errUnknown     = errors.New("no such page")
	errMisdirected = errors.New("asked for under a name that is not known")
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
	var quota *kept.QuotaError
	switch {
	case errors.As(err, &undrawn):
		return refusal{http.StatusUnprocessableEntity, wording.Say("page.cannotBeDrawn"), wording.Sentences(undrawn.texts...)}
	case errors.As(err, &busy):
		return say(http.StatusServiceUnavailable, "page.tooMuchToDoJustNow", "page.plansAreBeingMadeAndWait",
			busy.Solves, busy.Queued, int(busy.Retry.Seconds()))
	case errors.Is(err, fields.ErrCrowded), errors.Is(err, gate.ErrCrowded):
		return say(http.StatusTooManyRequests, "page.tooMuchToDoJustNow", "page.goBackAndTryAgainIn")
	case errors.Is(err, gate.ErrStopping):
		return say(http.StatusServiceUnavailable, "page.programIsStopping", "page.startItAgainThenGoBack")
	case errors.Is(err, fields.ErrTooLarge), errors.Is(err, intake.ErrTooLarge):
		return say(http.StatusRequestEntityTooLarge, "page.listIsTooLarge", "page.listCanHave4Mib")
	case errors.Is(err, errCrossOrigin):
		return say(http.StatusForbidden, "page.sentFromAnotherSite", "page.pageOnlyTakesWhatWasWritten")
	case errors.Is(err, fields.ErrForm):
		return say(http.StatusBadRequest, "page.couldNotBeRead", "page.whatWasSentIsNoForm")
	case errors.Is(err, errMisdirected):
		return say(http.StatusMisdirectedRequest, "page.serverDoesNotHaveThisName", "page.openItAtAnAddressThat")
	case errors.Is(err, fields.ErrSlow):
		return say(http.StatusRequestTimeout, "page.cameTooSlowly", "page.didNotArriveWithinSeconds", int(bodyTime.Seconds()))
	case errors.Is(err, kept.ErrSignIn):
		return say(http.StatusForbidden, "page.signInFirst", "page.signInFirstSays")
	case errors.Is(err, kept.ErrNotYours):
		return say(http.StatusForbidden, "page.notYours", "page.notYoursSays")
	case errors.Is(err, kept.ErrGone):
		return say(http.StatusNotFound, "page.noSuchEvent", "page.noSuchEventSays")
	case errors.Is(err, kept.ErrClash):
		return say(http.StatusConflict, "page.changedElsewhereTitle", "page.changedElsewhere")
	case errors.Is(err, kept.ErrClosed):
		return say(http.StatusConflict, "page.stepClosed", "page.closedForYou")
	case errors.As(err, &quota) && quota.Events > 0:
		return say(http.StatusInsufficientStorage, "page.couldNotBeKept", "page.asManyEventsAsMayBe", int(quota.Events))
	case errors.As(err, &quota) && quota.People > 0:
		return say(http.StatusInsufficientStorage, "page.couldNotBeKept", "page.morePeopleThanMayBe", int(quota.People))
	case errors.As(err, &quota):
		return say(http.StatusInsufficientStorage, "page.couldNotBeKept", "page.asMuchStorageAsMayBe")
	case errors.Is(err, kept.ErrNotKept):
		return say(http.StatusServiceUnavailable, "page.couldNotBeKept", "page.couldNotBeKeptSays")
	case errors.Is(err, errUnknown):
		return say(http.StatusNotFound, "page.noSuchPage", "page.startFromTheFirstPage")
	case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
		return say(http.StatusServiceUnavailable, "page.noPlanInTime", "page.searchEndedBeforeAnyOrderWas")
	default:
		return say(http.StatusInternalServerError, "page.somethingBrokeInside", "page.thatIsAFaultOfThe")
	}
}

// refusalView is the page of an error.
type refusalView struct {
	Title, Text string
	// SignIn says that signing in helps.
	SignIn bool
}

// refuse makes the page of an error. An error that has no words is logged by its kind.
func (s *Server) refuse(w http.ResponseWriter, words *wording.Catalogue, err error) *response {
	r := refusalOf(err)
	var busy *gate.BusyError
	switch {
	case errors.As(err, &busy):
		w.Header().Set("Retry-After", strconv.Itoa(int(busy.Retry.Seconds())))
	case errors.Is(err, fields.ErrCrowded), errors.Is(err, gate.ErrCrowded):
		w.Header().Set("Retry-After", "5")
	}
	if r.status == http.StatusInternalServerError && !errors.Is(err, errBroken) {
		s.options.Log.Error("a page broke", "error", fmt.Sprintf("%T", err))
	}
	view := refusalView{words.Render(r.title), words.Render(r.text), errors.Is(err, kept.ErrSignIn)}
	out, err := draw(words, "refusal", shell{Title: view.Title}, view)
	if err != nil {
		panic(err) // a template that is part of the program, with data that is fixed
	}
	out.status = r.status
	return out
}

func (s *Server) unknown(*request) (*response, error) { return nil, errUnknown }
