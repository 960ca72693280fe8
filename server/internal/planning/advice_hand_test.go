package planning_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
)

// A lock that costs what must be taken is named, with what it costs.
func TestCaseLockCosts(t *testing.T) {
	e := readCase(t, "lock-costs")
	s := planned(t, e, planning.Options{})
	require.Equal(t, []string{"im"}, leftOut(s, event.Must))
	assert.Contains(t, adviceOf(t, s, event.CodeHandBreaks), "Your lock on “All parents” leaves no time for “Ilse's mother”")
	e.Order[0].Locked = false
	assert.Empty(t, leftOut(planned(t, e, planning.Options{}), event.Must))
}

// An order by hand of which nothing is locked is where the search begins. That it is not kept is said, with the steps of both.
func TestOrderWithoutLocks(t *testing.T) {
	e := readCase(t, "lock-costs")
	e.Blocks[0].Closes, e.Order[0].Locked = "11:50", false
	e.Order[0], e.Order[1] = e.Order[1], e.Order[0]
	e.Order[1], e.Order[2] = e.Order[2], e.Order[1]
	e.Order[0].Block = "steps"
	s := planned(t, e, planning.Options{})
	assert.Contains(t, adviceOf(t, s, event.CodeHandBreaks), "Your order is not kept. Step-ins: 6 in yours, 5 in this one.")
	for i, entry := range s.Blocks[0].Entries {
		e.Order[i] = event.HandPlace{Grouping: entry.Grouping, Block: "steps"}
	}
	for _, a := range planned(t, e, planning.Options{}).Advice {
		assert.NotEqual(t, event.CodeHandBreaks, a.Code, "it is kept")
	}
}

// When a firm closing is not sure to hold, the photographs that fall are said before the day.
func TestFirmEndSaysWhatFalls(t *testing.T) {
	e := readCase(t, "lock-costs")
	e.Order, e.Blocks[0].Closes = nil, "11:42"
	s := planned(t, e, planning.Options{})
	last := s.Blocks[0].Entries[len(s.Blocks[0].Entries)-1].Title
	assert.Contains(t, adviceOf(t, s, event.CodeTightBlock), "must end at 11:42. If it runs late, these fall: “"+last+"”.")
	e.Blocks[0].Closes = "12:30"
	for _, a := range planned(t, e, planning.Options{}).Advice {
		assert.NotEqual(t, event.CodeTightBlock, a.Code)
	}
}
