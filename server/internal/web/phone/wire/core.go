package wire

import (
	"context"
	"encoding/json"
	"fmt"
	"time"

	"kinorder.example/server/internal/caught"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/run"
)

// Budget is how long a core searches: compiled for browsers it takes four times as long as the server for what that does in
// planning.DefaultReplanBudget, and the page stays usable meanwhile.
const Budget = 150 * time.Millisecond

// Core plans a run on the phone of a lead while there is no signal, with what the server plans by.
type Core struct{ about run.Occasion }

// Asked is what a core plans by.
type Asked struct {
	Now int64 `json:"now"`
	// Told is when the last of the marks was made, or when the run began.
	Told int64 `json:"told"`
	// Plan is the one in force, if there is one, and Heeded says that it heeds all marks.
	Plan   *Plan  `json:"plan"`
	Heeded bool   `json:"heeded"`
	Marks  []Mark `json:"marks"`
	// Alone says that no other phone hears of it: what a photographer has in the plan in force stays theirs.
	Alone bool `json:"alone,omitempty"`
	// Work, if not 0, is how much it searches, whatever time it takes.
	Work int `json:"work,omitempty"`
}

// Know has the core plan for an event from now on: a run.Occasion as JSON.
func (c *Core) Know(about []byte) error {
	c.about = run.Occasion{}
	return json.Unmarshal(about, &c.about)
}

// Plan answers what is asked, both as JSON. The answer is empty when the plan in force need not be made anew.
func (c *Core) Plan(asked []byte) (answer []byte, err error) {
	defer func() {
		if broken := recover(); broken != nil {
			err = fmt.Errorf("planning panicked: %s", caught.Text(broken))
		}
	}()
	var a Asked
	if err := json.Unmarshal(asked, &a); err != nil {
		return nil, err
	}
	plan, err := c.plan(a)
	if plan == nil || err != nil {
		return nil, err
	}
	return json.Marshal(plan)
}

func (c *Core) plan(a Asked) (*Plan, error) {
	var made, fresh []run.Mark
	for _, j := range a.Marks {
		m, err := j.Mark()
		switch {
		case err != nil:
			return nil, err
		case j.Sequence > 0:
			m.Sequence = j.Sequence
			made = append(made, m)
		default:
			fresh = append(fresh, m)
		}
	}
	now := event.Instant(a.Now)
	var inForce *run.Plan
	if a.Plan != nil {
		inForce = a.Plan.inForce()
		if a.Heeded && !run.Overtaken(*inForce, append(made, fresh...), event.Instant(a.Told), now) {
			return nil, nil
		}
	}
	out, err := c.about.Heed(made, fresh, inForce, now, func(e event.Event, t planning.Today) (run.Plan, error) {
		t.Alone = a.Alone
		return planning.Replan(context.Background(), e, t, planning.Options{Work: a.Work, Budget: Budget})
	})
	if err != nil {
		return nil, err
	}
	return PlanOf(out), nil
}
