//go:build unix

package drawing

import (
	"context"
	"fmt"
	"log/slog"
	"testing"

	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/check"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/hostile"
	"kinorder.example/server/internal/sheet"
)

// BenchmarkHostile reports the processor time of the largest days there may be, who stands where worked out and drawn. None should
// be over two seconds.
func BenchmarkHostile(b *testing.B) {
	relations := map[string]func(i int) string{
		"nobody":   func(int) string { return "" },
		"partners": func(i int) string { return fmt.Sprintf("Name%d's wife", i+1) },
		"children": func(i int) string { return fmt.Sprintf("Name%d's son, %d", i+1, i%12) },
		"babies":   func(i int) string { return []string{"baby", "sister", "sister's daughter", "nephew, 1"}[i%4] },
	}
	enter := func(ctx context.Context) (context.Context, func(), error) { return ctx, func() {}, nil }
	for _, each := range []int{8, 15, 60, 200, 300} {
		for name, relation := range relations {
			e, s := largest(each, relation)
			for _, f := range event.Faults(check.Event(e)) {
				b.Fatal(f.Code, f.Field)
			}
			b.Run(fmt.Sprint(name, "/", each), func(b *testing.B) {
				hostile.Bench(b, func() {
					_, err := Ready(b.Context(), e, s, sheet.Options{Kind: sheet.Standing, Form: sheet.HTML}, enter, slog.New(slog.DiscardHandler))
					require.NoError(b, err)
				})
			})
		}
	}
}

// largest is a day of the most people, photographs, circles and rules, with so many people in each photograph.
func largest(each int, relation func(int) string) (event.Event, event.CallSheet) {
	var e event.Event
	for i := range event.MaxPeople {
		p := event.Person{ID: fmt.Sprint("p", i), Name: fmt.Sprint("Name", i), Relation: relation(i)}
		e.People = append(e.People, p)
	}
	some := func(from, n int) (out []string) {
		for j := range n {
			out = append(out, fmt.Sprint("p", (from+j*7)%event.MaxPeople))
		}
		return out
	}
	for i := range event.MaxCircles {
		e.Circles = append(e.Circles, event.Circle{ID: fmt.Sprint("c", i), Title: fmt.Sprint("Circle ", i), Members: some(3*i, (event.MaxNamings-event.MaxPhotographs*(each+1))/event.MaxCircles)})
	}
	for i := range event.MaxRules {
		e.Rules = append(e.Rules, event.Rule{Apart: &event.Apart{People: some(i, 14), Scope: event.Neighbours}})
	}
	b := event.SheetBlock{}
	for i := range event.MaxPhotographs {
		g := event.Grouping{ID: fmt.Sprint("g", i), Members: some(i, each)}
		e.Groupings = append(e.Groupings, g)
		b.Entries = append(b.Entries, event.SheetEntry{Grouping: g.ID, StepIn: g.Members})
	}
	return e, event.CallSheet{Blocks: []event.SheetBlock{b}}
}
