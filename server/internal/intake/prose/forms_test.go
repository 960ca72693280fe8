package prose

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/effort"
	"kinorder.example/server/internal/intake/place"
)

// photographsOf reads a list and returns the names in each of its photographs, sorted.
func photographsOf(t *testing.T, lines ...string) ([]string, place.Result) {
	t.Helper()
	got := Read(effort.New(t.Context(), 50_000_000), strings.Join(lines, "\n"), event.Event{})
	var out []string
	for _, g := range got.Event.Groupings {
		var in []string
		for _, m := range g.Members {
			for _, id := range event.Members(got.Event, m) {
				if k := slices.IndexFunc(got.Event.People, func(p event.Person) bool { return p.ID == id }); k >= 0 && !slices.Contains(g.Without, id) {
					in = append(in, got.Event.People[k].Name)
				}
			}
		}
		slices.Sort(in)
		out = append(out, strings.Join(slices.Compact(in), ", "))
	}
	return out, got
}

// Letters that a list gives its people stand for them, whatever mark stands behind the letter.
func TestLettersStandForPeople(t *testing.T) {
	for _, mark := range []string{" = ", ": ", " - ", ") "} {
		got, _ := photographsOf(t, "Wedding of Nell & Otto",
			"A"+mark+"Nell & Otto", "B"+mark+"Nell's parents (Ida, Karl)", "C"+mark+"Otto's parents: Vera, Emil", "D"+mark+"bridesmaids: Pia, Lotte",
			"", "1. A + B", "2. A + C", "3. B + C + A", "4. A, B without Karl", "5. Nell + D")
		assert.Equal(t, []string{"Ida, Karl, Nell, Otto", "Emil, Nell, Otto, Vera", "Emil, Ida, Karl, Nell, Otto, Vera", "Ida, Nell, Otto", "Lotte, Nell, Pia"}, got, mark)
	}
}
