package drawing

import (
	"context"
	"fmt"
	"log/slog"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/placing"
	"kinorder.example/server/internal/sheet"
)

// looked ends after so many looks at it, so that an end can come at any moment of the work.
type looked struct {
	context.Context
	left, after int
}

func (l *looked) Err() error {
	if l.left--; l.left >= 0 {
		return nil
	}
	l.after++
	return context.DeadlineExceeded
}

// A wrong plan costs its picture: the sheet is drawn, and the log says so in numbers.
func TestWrongPlansAreLogged(t *testing.T) {
	var said strings.Builder
	log := slog.New(slog.NewTextHandler(&said, nil))
	require.NoError(t, told(t.Context(), &placing.WrongPlansError{Plans: 2}, log))
	assert.Contains(t, said.String(), "plans=2")
	require.Error(t, told(t.Context(), context.Canceled, log))
	require.NoError(t, told(t.Context(), nil, log))
}

// Whenever the time runs out, the drawing is there at once, with every photograph and the pictures that were
// finished.
func TestDrawingKeepsWhatItHas(t *testing.T) {
	const photographs = 3
	var e event.Event
	var b event.SheetBlock
	for i := range photographs {
		g := event.Grouping{ID: fmt.Sprint("g", i), Title: fmt.Sprint("Title", i)}
		for k := range 12 { // more than are placed exactly
			p := event.Person{ID: fmt.Sprintf("p%dx%d", i, k), Name: fmt.Sprintf("Name %d %d", i, k)}
			e.People, g.Members = append(e.People, p), append(g.Members, p.ID)
		}
		e.Groupings = append(e.Groupings, g)
		b.Entries = append(b.Entries, event.SheetEntry{Grouping: g.ID, StepIn: g.Members})
	}
	draw := func(most int) (pictures, looks int) {
		ctx := &looked{Context: t.Context(), left: most}
		s := event.CallSheet{Blocks: []event.SheetBlock{{Entries: slices.Clone(b.Entries)}}}
		d, err := Ready(ctx, e, s, sheet.Options{Form: sheet.HTML}, func(context.Context) (context.Context, func(), error) { return ctx, func() {}, nil }, slog.New(slog.DiscardHandler))
		require.NoError(t, err)
		for _, g := range e.Groupings {
			assert.Contains(t, string(d.Content), g.Title)
		}
		assert.LessOrEqual(t, ctx.after, 8*photographs, "it goes on after the end")
		return strings.Count(string(d.Content), "<svg"), most - ctx.left
	}
	all, looks := draw(1 << 30)
	assert.Equal(t, photographs, all)
	for n := range photographs { // in the middle of each, as they take about as long each
		pictures, _ := draw(looks * (2*n + 1) / (2 * photographs))
		assert.Equal(t, n, pictures)
	}
}
