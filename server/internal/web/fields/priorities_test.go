package fields

import (
	"net/url"
	"testing"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
)

// A priority goes with who is in the photo, and with its title when that changes; it stays while its line is being changed.
func TestPrioritiesGoWithTheirPhotos(t *testing.T) {
	e := event.Event{Groupings: []event.Grouping{{ID: "rosa", Title: "Couple with Rosa"}, {ID: "tom", Title: "Couple with Tom", Priority: event.Must}}}
	read := func(act string, chosen []Priority) []Priority {
		p := Posted{Values: url.Values{"act": {act}}}
		for _, f := range HiddenPriorities(chosen) {
			p.Values.Set(f.Name, f.Value)
		}
		return ReadPriorities(p)
	}
	chosen := ApplyPriorities(&e, read("priority:nice:tom", read("priority:must:rosa", nil)))
	assert.Equal(t, []Priority{{"rosa", "Couple with Rosa", "must"}, {"tom", "Couple with Tom", "nice"}}, chosen)
	assert.Equal(t, event.Must, e.Groupings[0].Priority)
	assert.Equal(t, event.Nice, e.Groupings[1].Priority)

	other := event.Event{Groupings: []event.Grouping{{ID: "rosa-ida", Title: "Couple with Rosa"}}}
	chosen = ApplyPriorities(&other, read("read", chosen))
	assert.Equal(t, event.Must, other.Groupings[0].Priority)
	assert.Equal(t, []Priority{{"rosa-ida", "Couple with Rosa", "must"}, {"tom", "Couple with Tom", "nice"}}, chosen)
	assert.Empty(t, read("priority:much:rosa-ida", chosen[:1]), "what is no priority takes the choice back")
}
