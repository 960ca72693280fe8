package phone

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
)

// last waits for a mark beyond a number of them and returns it, with the state.
func (s *stage) last(more int) (run.Mark, run.Update) {
	s.Helper()
	u := s.planned(more)
	return u.Marks[len(u.Marks)-1], u
}

// Every mark that a lead can make arrives as what it was meant to be.
func TestBrowserEveryMark(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	s.serve()
	b := device(t)
	b.visit(s, store.Lead)
	b.see("#taken")
	u := s.planned(-1)
	first := order(u)[0]
	step := func(kind run.Kind) run.Mark {
		t.Helper()
		var m run.Mark
		m, u = s.last(len(u.Marks))
		assert.Equal(t, kind, m.Kind)
		return m
	}

	b.press("#start")
	assert.Equal(t, first, step(run.Started).Grouping)
	assert.Equal(t, "quay", u.Marks[0].Block)
	b.shows("#start", "Not yet")
	b.press("#start")
	step(run.PutBack)
	b.shows("#start", "Start")
	first = order(u)[0]
	b.shows("#title", s.title(u, first))
	b.press("#later")
	assert.Equal(t, first, step(run.Skipped).Grouping)
	b.shows("#title", s.title(u, order(u)[0]))
	undone := u.Marks[len(u.Marks)-1].ID
	b.press("#undo")
	assert.Equal(t, undone, step(run.Undone).Undoes)

	// From the list: put off, and back.
	b.tab("list")
	b.press("[data-key=row-a-mother]")
	b.pressText("Later")
	step(run.Skipped)
	b.shows("[data-key=row-a-mother]", "put off")
	b.press("[data-key=row-a-mother]")
	b.pressText("Put back")
	step(run.PutBack)
	b.press("[data-key=row-a-mother]")
	b.pressText("Taken")
	step(run.Taken)
	b.see(".done [data-key=row-a-mother]")
	b.press("[data-key=row-a-mother]")
	b.pressText("Put back")
	step(run.PutBack)

	// Somebody comes later: in 20 minutes, or at a time.
	b.tab("people")
	b.press("[data-key=person-sami]")
	b.press("dialog summary")
	b.pressText("in 20 min")
	late := step(run.Late)
	assert.InDelta(t, 20*60, late.Until.Sub(late.At).Seconds(), 61)
	b.shows("[data-key=person-sami]", "comes at")
	b.press("[data-key=person-sami]")
	at := time.Now().UTC().Add(time.Hour).Truncate(time.Minute)
	b.press("dialog summary")
	b.do(chromedp.Evaluate(fmt.Sprintf("document.querySelector('#until').value = '%s'", at.Format("15:04")), nil))
	b.pressText("Set")
	assert.Equal(t, at, step(run.Late).Until)
	b.press("[data-key=person-sami]")
	b.pressText("Is here now")
	assert.Equal(t, "sami", step(run.Arrived).Person)

	b.tab("more")
	b.press("[data-key=note]")
	b.see("#notetext")
	b.do(typed("#notetext", "LAPWING: flash is with Omar"))
	b.pressText("Save")
	assert.Equal(t, "LAPWING: flash is with Omar", step(run.Noted).Note)
	b.tab("overview")
	b.shows("#main", "flash is with Omar")

	// Who is missing is asked; nobody chosen is no answer.
	b.tab("now")
	b.press("#missing")
	b.press("#wait")
	b.shows("dialog .alarm", "Choose somebody first.")
	shown := order(u)[0]
	b.press("dialog label.check:nth-of-type(3)")
	b.press("#without")
	without := step(run.Without)
	assert.Equal(t, shown, without.Grouping)
	assert.Len(t, without.People, 1)
	assert.Equal(t, run.Absent, u.Marks[len(u.Marks)-2].Kind)
	assert.Equal(t, shown, order(u)[0], "it is still next, without")
	assert.NotContains(t, s.log.String(), lapwing)
	assert.Empty(t, b.complaints.all())
}

// When the list was changed after it began, the lead can begin anew with it: it is said what goes before it is used, and then
// on all phones, and the old list can be had again. Numbers stay those of the paper.
func TestBrowserBeginsAnew(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	s.serve()
	lead := device(t)
	lead.visit(s, store.Lead)
	reader := device(t)
	reader.visit(s, store.Reader)
	lead.press("#taken")
	u := s.planned(0)
	reader.shows(".where", "2 of")
	next := order(u)[0]
	number := fmt.Sprintf("No. %d", u.Plan.Numbers[next])
	reader.shows(".where", number)
	e := s.event
	e.Title = "Once more"
	k := slices.IndexFunc(e.Groupings, func(g event.Grouping) bool {
		return g.Priority == event.Must && g.ID != next && u.State.Groupings[g.ID].Status == run.Open
	})
	gone := s.title(u, e.Groupings[k].ID)
	e.Groupings = slices.Delete(slices.Clone(e.Groupings), k, k+1)
	kept, err := s.store.ReplaceEvent(t.Context(), "harbour", 1, e)
	require.NoError(t, err)
	sheet, err := planning.Plan(t.Context(), e, planning.Options{Work: 1})
	require.NoError(t, err)
	_, err = s.store.CreateSheet(t.Context(), store.Request{}, "harbour", kept.Version, sheet)
	require.NoError(t, err)
	lead.see("#newer") // nobody opens another view on the day, or loads the page again
	lead.shows("#newer", "The list was changed after this started")
	lead.shoot("newer-list")
	lead.press("#newer")
	lead.shows("#swaps", "Must-haves gone from the list: “"+gone+"”")
	lead.shoot("newer-asked")
	lead.pressText("Use the new list")
	lead.until("document.title === 'Once more'")
	reader.until("document.title === 'Once more'")
	reader.shows(".where", "2 of") // what was taken stays so
	assert.NotEqual(t, u.Run.Ref, s.current().Run.Ref)
	for _, b := range []phoneTab{lead, reader} {
		b.shows("#title", s.title(u, next))
		b.shows(".where", number)
		b.until(`document.querySelector("#main").textContent.includes("` + gone + `")`)
	}
	reader.shoot("newer-reader")
	lead.tab("more")
	lead.press("#oldlist")
	lead.pressText("Use the old list again")
	lead.until("document.title !== 'Once more'")
	lead.tab("list")
	lead.shows("#main", gone)
	reader.until("document.title !== 'Once more'")
	reader.shows(".where", "2 of")
	assert.Empty(t, lead.complaints.all())
	assert.Empty(t, reader.complaints.all())
}
