package phone

import (
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
)

// Questions stand one at a time where they are read, with how many there are, and the next is one touch away. Whoever comes later
// or leaves earlier by the list is asked about when the time comes, until somebody says what is so.
func TestBrowserAsksOneAfterTheOther(t *testing.T) {
	now := time.Now()
	e := castle(t, now.Add(-5*time.Minute))
	for i, p := range e.People {
		switch p.ID {
		case "callum":
			e.People[i].PresentFrom = now.Add(-time.Minute).UTC().Format(time.RFC3339)
		case "omid":
			e.People[i].PresentUntil = now.Add(-time.Minute).UTC().Format(time.RFC3339)
		case "tara":
			e.People[i].PresentFrom = now.Add(time.Hour).UTC().Format(time.RFC3339)
		}
	}
	s := newStage(t, e)
	s.serve()
	lead, reader := device(t), device(t)
	lead.visit(s, store.Lead)
	reader.visit(s, store.Reader)
	for _, screen := range [][2]int64{{320, 568}, {390, 844}} {
		lead.do(emulation.SetDeviceMetricsOverride(screen[0], screen[1], 1, true))
		lead.shows("#nextask", "of 2")
		assert.Equal(t, "true", lead.js(askedInSight), screen)
		lead.shoot("ask-in-turn")
	}
	lead.shows("#ask", "Is Callum Kerr here?")
	lead.press("#nextask")
	lead.shows("#nextask", "2 of 2")
	lead.shows("#ask", "Has Omid Shah left?")
	lead.press("#nextask")
	lead.shows("#nextask", "1 of 2")
	lead.press("#ask")
	lead.shows("dialog", "comes at")
	lead.pressText("Is here now")
	m, u := s.last(0)
	assert.Equal(t, run.Arrived, m.Kind)
	lead.shows("#ask", "Has Omid Shah left?")
	lead.until("!document.querySelector('#nextask')")
	lead.press("#ask")
	lead.pressText("Has left, not coming back")
	u = s.planned(len(u.Marks))
	lead.shows("#ask", "without Omid Shah")
	lead.press("#ask")
	lead.pressText("Take it without")
	s.planned(len(u.Marks))
	lead.until("!document.querySelector('#ask')")
	lead.tab("people")
	lead.shows("[data-key=person-tara]", "comes at")
	assert.Equal(t, "false", reader.js("String(Boolean(document.querySelector('#ask')))"))
	for _, b := range []phoneTab{lead, reader} {
		assert.Empty(t, b.complaints.all())
	}
}

// What one press did has one name, whatever it was about; somebody is found by how the name is said.
func TestBrowserNamesWhatWasDone(t *testing.T) {
	e := castle(t, time.Now().Add(-48*time.Minute))
	for i := range e.Blocks {
		e.Blocks[i].Closing = event.FirmClosing
	}
	s := newStage(t, e)
	s.serve()
	b := device(t)
	b.visit(s, store.Lead)
	b.press("#late")
	b.press("#alllater")
	s.planned(1)
	b.shows(".last", "All time slots moved")
	assert.Contains(t, b.js("document.querySelector('#undo').ariaLabel"), "All time slots moved")
	b.press("#undo")
	s.planned(3)
	b.shows(".last b", "Undone: All time slots moved")

	b.tab("list")
	b.press("#addnew")
	b.do(typed("#search", "kah"))
	b.until("[...document.querySelectorAll('dialog label.check')].filter((e) => e.checkVisibility() && e.textContent.includes('கமலா')).length === 1")
	require.Equal(t, "1", b.js("[...document.querySelectorAll('dialog .scroll label.check')].filter((e) => e.checkVisibility()).length"))
	assert.Empty(t, b.complaints.all())
}
