package web

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
)

// What is said of a plan is true of it: which was found and which was changed by hand, which numbers are from before that,
// and whether older guests are free earlier.
func TestTheWordsOfAPlanAreTrue(t *testing.T) {
	v := visit(t, planning.Plan)
	p := v.planSmall()
	best := p.order()
	p = v.press(p, "compare", nil)
	assert.True(t, p.has("shown here"))
	assert.False(t, p.has("before your last change"))
	p = v.press(p, "down:"+idOf(best[0]), nil)
	assert.True(t, p.has("These numbers are from before your last change"))
	assert.False(t, p.has("shown here"))
	assert.True(t, p.has("This order was changed by hand."), p.text())
	assert.False(t, p.has("This is the best order"), p.text())
	p = v.press(p, "unlock:"+idOf(best[0]), nil)
	assert.True(t, p.has("This order was changed by hand."), "it still is")
	p = v.press(p, "compare", nil)
	assert.True(t, p.has("shown here"))
	p = v.press(p, "free", nil)
	assert.False(t, p.has("changed by hand"))

	// A planner whose plan for older guests first frees them later.
	v = visit(t, func(ctx context.Context, e event.Event, o planning.Options) (event.CallSheet, error) {
		s, err := planning.Plan(ctx, e, o)
		if o.Emphasis != nil && *o.Emphasis == event.EarlyRelease {
			s.Blocks[0].Start = s.Blocks[0].Start.Add(time.Hour)
		}
		return s, err
	})
	p = v.press(v.planSmall(), "compare", nil)
	assert.True(t, p.has("here the last of them is free later than with “Balanced”"))
}
