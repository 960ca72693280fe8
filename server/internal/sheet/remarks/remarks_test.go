package remarks_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/sheet/remarks"
	"kinorder.example/server/internal/wording"
)

// Chairs are counted by who sits where, or without a standing plan by who has to sit; a wheelchair is one that is brought.
func TestChairs(t *testing.T) {
	people := map[string]*event.Person{
		"a": {Needs: []event.Need{event.Seat}}, "b": {Needs: []event.Need{event.Wheelchair, event.Seat}}, "c": {}, "d": {Needs: []event.Need{event.Seat}},
	}
	planned := event.SheetEntry{StepIn: []string{"a", "b", "c"}}
	drawn := event.SheetEntry{Standing: &event.Standing{Rows: []event.StandingRow{
		{Places: []event.StandingPlace{{Posture: event.OnChair}, {Posture: event.InWheelchair}, {Posture: event.OnChair}}}, {Places: []event.StandingPlace{{}}},
	}}}
	assert.Equal(t, 1, remarks.Chairs(&planned, people))
	assert.Equal(t, 2, remarks.Chairs(&drawn, people))
	s := event.CallSheet{Blocks: []event.SheetBlock{{Entries: []event.SheetEntry{planned}}, {Entries: []event.SheetEntry{drawn, planned}}}}
	assert.Equal(t, 2, remarks.MostChairs(&s, people), "the same chairs serve all")
}

func TestOfChildren(t *testing.T) {
	people := map[string]*event.Person{"a": {AgeBand: event.Child}, "b": {AgeBand: event.Child}, "c": {AgeBand: event.Infant}, "d": {}, "e": {}, "f": {}, "g": {}}
	for want, list := range map[bool][][]string{
		true:  {{"a", "b", "c"}, {"a", "b", "c", "d", "e", "f"}},
		false: {{"a", "b"}, {"a", "b", "d"}, {"a", "b", "c", "d", "e", "f", "g"}},
	} {
		for _, ids := range list {
			assert.Equal(t, want, remarks.OfChildren(&event.SheetEntry{StepIn: ids[:1], Stay: ids[1:]}, people), "%v", ids)
		}
	}
}

// How many photographs have no room is said apart from the notes.
func TestNotes(t *testing.T) {
	en, _ := wording.For("en")
	s := event.CallSheet{Advice: []event.Advice{
		event.Tell(event.Info, event.CodeTightBlock, "", nil, wording.Said("Tight.")),
		event.Tell(event.Warning, event.CodeOverBlock, "", nil, wording.Said("15 of your 18 photos do not fit.")),
		event.Tell(event.Warning, event.CodeNoRoom, "", nil, wording.Said("No room.")),
	}}
	short, notes := remarks.Notes(en, &s)
	assert.Equal(t, []string{"15 of your 18 photos do not fit."}, short)
	assert.Equal(t, []remarks.Note{{Kind: "Check", Text: "No room."}, {Kind: "Note", Text: "Tight."}}, notes)
}
