package run

import (
	"encoding/json"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
)

// kept is a state of a day as testdata/days holds it.
type kept struct {
	Event event.Event
	Sheet event.CallSheet
	Marks []Mark
	Plan  *Plan
	Now   int64 // milliseconds since 1970
}

func TestStatesOfDays(t *testing.T) {
	for _, name := range []string{"blocks-over", "replan-broken"} {
		t.Run(name, func(t *testing.T) {
			content, err := os.ReadFile("../../../testdata/days/" + name + ".json")
			require.NoError(t, err)
			var k kept
			require.NoError(t, json.Unmarshal(content, &k))
			o := Occasion{Event: k.Event, Sheet: k.Sheet}
			today := o.today(Fold(k.Marks), k.Plan, time.UnixMilli(k.Now))
			got, err := planning.Replan(t.Context(), k.Event, today, planning.Options{})
			require.NoError(t, err)
			for _, x := range got.Owed {
				require.Equal(t, len(x.Missing) == 0, x.Planned, "%s: %s", x.Grouping, x.Why)
			}
		})
	}
}
