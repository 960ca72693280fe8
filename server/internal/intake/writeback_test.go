package intake

import (
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
)

// Every event of ours is read, written and read again, and is the same.
func TestWriteYAMLReadsBackEqual(t *testing.T) {
	var files []string
	for _, pattern := range []string{"*.yaml", "cases/*.yaml", "lists/*.event.yaml"} {
		found, err := filepath.Glob(filepath.Join("..", "..", "..", "testdata", pattern))
		require.NoError(t, err)
		files = append(files, found...)
	}
	require.NotEmpty(t, files)
	for _, name := range files {
		raw, err := os.ReadFile(name)
		require.NoError(t, err)
		e, _, err := Read(raw, Auto)
		require.NoError(t, err)
		readsBack(t, e)
	}
}

func TestWriteYAMLReadsRandomEventsBack(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 4))
	for range 200 {
		readsBack(t, RandomEvent(random))
	}
}

func TestWriteYAMLKeepsWhatIsHardToQuote(t *testing.T) {
	half, nought := 2.5, 0
	readsBack(t, event.Event{
		Title: "yes", Date: "2026-06-20", Emphasis: event.FewestSteps,
		People: []event.Person{
			{ID: "a", Name: "null", SayAs: "1", Relation: "# no comment: really", PrivateNote: "two\nlines: \"quoted\", [and] {more}\n"},
			{ID: "b", Name: "نور حداد", Nicknames: []string{"~", "0x10", "2026-01-01", "- dash", "@at", "’s"}, Needs: []event.Need{event.StepFree}},
		},
		Circles:   []event.Circle{{ID: "c", Members: []string{"a", "b"}}},
		Groupings: []event.Grouping{{ID: "1", Title: "*star", Members: []string{"c"}, Minutes: &half, Priority: event.Must, Pin: event.PinLast, NotAfter: "16:00"}},
		Rules: []event.Rule{
			{ID: "r", Apart: &event.Apart{People: []string{"a", "b"}, Scope: event.Neighbours, Until: "16:00"}},
			{Turns: &event.Turns{People: []string{"a", "b"}}}, {Seniority: &event.Seniority{People: []string{"a", "b"}}, PrivateNote: " lead"},
		},
		Pace:    event.Pace{SettleSeconds: &nought, Arrange: []event.ArrangePoint{{Newcomers: 0, Seconds: 0}, {Newcomers: 2, Seconds: 30}}},
		Weights: event.Weights{Idle: &nought},
	})
}

func readsBack(t *testing.T, e event.Event) {
	t.Helper()
	written := WriteYAML(e, nil)
	again, problems, err := Read(written, YAML)
	require.NoError(t, err)
	for _, p := range problems {
		assert.NotContains(t, []string{CodeSyntax, CodeUnknownField, CodeWrongType}, p.Code, p.Text())
	}
	assert.Equal(t, e, again, string(written))
}
