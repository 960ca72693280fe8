package planning

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
)

// Whoever comes late holds up nobody else: not when a little late, not past the end of the block, and not where the
// photograph was to open it.
func TestOthersAreTakenMeanwhile(t *testing.T) {
	for name, c := range map[string]struct {
		closes, late int // minutes from now
		pin          event.Pin
	}{
		"ten minutes": {closes: 60, late: 10}, "two hours": {closes: 60, late: 120}, "past the end": {closes: -30, late: 120},
		"near the end": {closes: 5, late: 10}, "first": {closes: 60, late: 20, pin: event.PinFirst},
	} {
		e := event.Event{Date: "2027-05-15", Blocks: []event.Block{{ID: "garden", Opens: at(-60).Format(time.RFC3339), Closes: at(float64(c.closes)).Format(time.RFC3339)}}}
		for _, id := range []string{"a", "b", "c", "d"} {
			e.People = append(e.People, event.Person{ID: id, Name: id})
		}
		for _, id := range []string{"ab", "ac", "cd", "bd"} {
			e.Groupings = append(e.Groupings, event.Grouping{ID: id, Members: []string{id[:1], id[1:]}})
		}
		e.Groupings[0].Pin = c.pin
		today := Today{Now: at(0), Told: true, Away: map[string]time.Time{"a": at(float64(c.late))}, Orders: map[string][]string{"garden": {"ab", "ac", "cd", "bd"}}}
		o := replan(t, e, today)
		require.Len(t, order(o), 4, name)
		require.Len(t, o.Changes, 1, name)
		assert.Contains(t, o.Changes[0].String(), "Later, once everybody in it is here", name)
		assert.ElementsMatch(t, []string{"cd", "bd"}, order(o)[:2], name)
		assert.Less(t, o.Sheet.Blocks[0].Entries[0].Offset, time.Minute, name)
	}
}

// A minute is waited: the order on paper is worth that.
func TestAMinuteIsWaited(t *testing.T) {
	e := gardenList()
	was := order(replan(t, e, Today{Now: at(0)}))
	o := replan(t, e, Today{Now: at(0), Away: map[string]time.Time{"rosa": at(0.5)}, Orders: map[string][]string{"garden": was}})
	assert.Equal(t, was, order(o))
}
