package phone

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
)

// A photo is moved to another time slot and made a must-have, with signal and without; whoever calls there has it.
func TestBrowserAPhotoIsMoved(t *testing.T) {
	s := newStage(t, castle(t, time.Now()))
	s.serve()
	lead, reader := device(t), device(t)
	lead.visit(s, store.Lead)
	reader.visit(s, store.Reader)
	u := s.planned(-1)
	from, to := u.Plan.Sheet.Blocks[0], u.Plan.Sheet.Blocks[1]
	id := from.Entries[len(from.Entries)-1].Grouping
	row := "[data-key=row-" + id + "]"
	lead.tab("list")
	lead.press(row)
	lead.shoot("photo-move")
	lead.pressText("Move to ")
	m, u := s.last(len(u.Marks))
	assert.Equal(t, run.Mark{Kind: run.Changed, Grouping: id, Block: to.Block}, run.Mark{Kind: m.Kind, Grouping: m.Grouping, Block: m.Block})
	placed := func(block string) bool {
		for _, b := range u.Plan.Sheet.Blocks {
			for _, x := range b.Entries {
				if x.Grouping == id {
					return b.Block == block
				}
			}
		}
		return false
	}
	assert.True(t, placed(to.Block))
	reader.tab("list")
	in := func(block string) string {
		return `day.view.plan.blocks.find((b) => b.block === "` + block + `").entries.some((e) => e.id === "` + id + `")`
	}
	reader.watch()
	reader.until(in(to.Block))

	s.cut()
	lead.see("#contact")
	must := false
	for _, g := range s.event.Groupings {
		must = must || g.ID == id && g.Priority == event.Must
	}
	text, want := "Must have", event.Must
	if must {
		text, want = "Not a must-have", event.Should
	}
	lead.press(row)
	lead.pressText(text)
	lead.press(row)
	lead.pressText("Move to ")
	lead.watch()
	lead.until(`import("/day/state.js").then(({ model }) => model().left.blocks.find((b) => b.block === "` + from.Block + `").entries.some((e) => e.id === "` + id + `"))`)
	s.serve()
	m, u = s.last(len(u.Marks) + 1)
	assert.Equal(t, want, *m.Priority)
	assert.True(t, placed(from.Block))
	reader.until(in(from.Block))
	assert.NotContains(t, reader.js("JSON.stringify(day.view.marks)"), "priority")
	assert.Empty(t, lead.complaints.all())
	assert.Empty(t, reader.complaints.all())
}
