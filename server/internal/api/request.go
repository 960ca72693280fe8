package api

import (
	"fmt"
	"time"

	"google.golang.org/protobuf/types/known/durationpb"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/check"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/wording"
)

// maxBudget is the longest search that a caller can ask for.
const maxBudget = 10 * time.Minute

// planRequest is what PlanRequest and PlanStreamRequest have in common.
type planRequest interface {
	GetEvent() *kinorderv1.Event
	GetBudget() *durationpb.Duration
	GetEmphasis() kinorderv1.Emphasis
	GetAvailable() *durationpb.Duration
}

// readPlanRequest returns *invalidRequestError for what is wrong around the event and
// *event.InvalidError for what is wrong in it.
func readPlanRequest(req planRequest) (event.Event, planning.Options, error) {
	if req.GetEvent() == nil {
		return event.Event{}, planning.Options{}, missing("event")
	}
	o, err := planOptions(req.GetBudget(), req.GetAvailable(), req.GetEmphasis())
	if err != nil {
		return event.Event{}, o, err
	}
	var within reader
	e := within.event(req.GetEvent())
	if len(within.faults) > 0 {
		// Together with the other faults, so that all can be fixed at once.
		return event.Event{}, planning.Options{}, faulty(e, "event", append(within.faults, event.Faults(check.Event(e))...))
	}
	return e, o, nil
}

// planOptions reads how an event is to be planned.
func planOptions(budget, available *durationpb.Duration, as kinorderv1.Emphasis) (planning.Options, error) {
	var r reader
	o := planning.Options{Budget: r.budget(budget), Available: r.available(available)}
	if as != kinorderv1.Emphasis_EMPHASIS_UNSPECIFIED {
		emphasis := fromEnum[event.Emphasis](&r, as, "emphasis")
		o.Emphasis = &emphasis
	}
	if len(r.faults) > 0 {
		return o, &invalidRequestError{r.faults}
	}
	return o, nil
}

func (r *reader) budget(w *durationpb.Duration) time.Duration {
	if w == nil {
		return planning.DefaultBudget
	}
	if w.CheckValid() != nil || w.AsDuration() <= 0 || w.AsDuration() > maxBudget {
		r.fault("budget", event.CodeBadBudget, fmt.Sprintf("the budget must be above 0 and at most %.0f minutes", maxBudget.Minutes()))
		return planning.DefaultBudget
	}
	return w.AsDuration()
}

// available reads the time there is in the first block; 0 means as long as the block is.
func (r *reader) available(w *durationpb.Duration) time.Duration {
	if w == nil {
		return 0
	}
	const most = 24 * time.Hour
	if w.CheckValid() != nil || w.AsDuration() <= 0 || w.AsDuration() > most {
		r.fault("available", event.CodeBadTime, fmt.Sprintf("the time available must be above 0 and at most %.0f hours", most.Hours()))
		return 0
	}
	return w.AsDuration()
}

func missing(fields ...string) error {
	return &invalidRequestError{each(fields, func(field string) event.Advice {
		return event.Advice{Code: event.CodeMissing, Severity: event.Error, Field: field, Message: wording.Said("is missing: send it")}
	})}
}

// invalidRequest says what is wrong with one field of a request.
func invalidRequest(field, code, text string) error {
	var r reader
	r.fault(field, code, text)
	return &invalidRequestError{r.faults}
}
