package phone

import (
	"fmt"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
)

// twoLeads are a lead in the courtyard and one on the terrace of the castle, and who calls names in the courtyard.
func twoLeads(t *testing.T) (s *stage, lead, second, reader phoneTab) {
	s = newStage(t, castle(t, time.Now().Add(-5*time.Minute)))
	s.serve()
	_, secret, err := s.store.CreateLink(t.Context(), store.Request{}, "harbour", store.Lead, "", time.Time{})
	require.NoError(t, err)
	lead, second, reader = device(t), device(t), device(t)
	lead.visit(s, store.Lead)
	lead.press("[data-key=block-yard]")
	second.do(chromedp.Navigate("http://" + s.address + Prefix + "#" + secret))
	second.press("[data-key=block-terrace]")
	reader.visit(s, store.Reader)
	reader.press("[data-key=block-yard]")
	t.Cleanup(func() {
		for _, b := range []phoneTab{lead, second, reader} {
			assert.Empty(t, b.complaints.all())
		}
	})
	return s, lead, second, reader
}

// told has a phone of a role say something.
func (s *stage) told(by store.Role, marks ...run.Mark) run.Update {
	s.Helper()
	u := s.current()
	for i := range marks {
		marks[i].ID, marks[i].At = fmt.Sprintf("0197d0a0-0000-7000-8000-%012x", len(u.Marks)+i+1), s.now()
	}
	_, err := s.desk.Mark(s.Context(), u.Run.Ref, s.links[by], time.Time{}, marks)
	require.NoError(s, err)
	return s.planned(len(u.Marks) + len(marks) - 1)
}

// Who leaves soon is here, and everybody knows; who turns up after a photo was to be taken without them is asked about, and so
// is each photo of somebody who has left.
func TestBrowserWhoIsHere(t *testing.T) {
	s, lead, _, reader := twoLeads(t)
	s.told(store.Lead, run.Mark{Kind: run.Leaving, Person: "thatha", Until: time.Now().Add(10 * time.Minute)})
	for _, b := range []phoneTab{lead, reader} {
		b.until("document.querySelector('#leaving, .folded')?.textContent.replace(/[\\u2066-\\u2069]/g, '').includes('Leaves soon: Venkat Raman (leaves at')")
		assert.Equal(t, "false", b.js("String(Boolean(document.querySelector('#lacking')))"))
	}
	lead.tab("overview")
	lead.shows("#main", "Leaves soon")
	assert.NotContains(t, lead.text("#main"), "Not here")
	lead.tab("now")

	s.told(store.Lead, run.Mark{Kind: run.Absent, Person: "callum"}, run.Mark{Kind: run.Without, Grouping: "i-sib", People: []string{"callum"}})
	s.told(store.Reader, run.Mark{Kind: run.Arrived, Person: "callum"})
	lead.shows("#ask", "Callum Kerr is here: include in")
	lead.press("#ask")
	lead.until("!document.querySelector('#ask')?.textContent.includes('Callum')")
	m, u := s.last(4)
	assert.Equal(t, []any{run.Without, 0}, []any{m.Kind, len(m.People)})
	lead.shows(".last", "Waits for everybody")

	assert.Len(t, u.Marks, 5)
	u = s.told(store.Lead, run.Mark{Kind: run.Arrived, Person: "thatha"}, run.Mark{Kind: run.Gone, Person: "morag"})
	lead.shows("#ask", "photos are without Morag Kerr")
	lead.press("#ask")
	lead.press("dialog label.check:first-of-type")
	lead.shoot("ask-each")
	kept := lead.js("document.querySelector('dialog input:not(:checked)').value")
	lead.press("#allwithout")
	u = s.planned(len(u.Marks))
	lead.shows("#ask", "without Morag Kerr?")
	for _, m := range u.Marks[7:] {
		assert.NotEqual(t, kept, m.Grouping)
	}
	lead.tab("list")
	lead.shows("#main", "Without Morag Kerr")
	lead.shows("#main", "Morag Kerr (has left)")
}

// Undo of a photo that two have ticked opens it again; who is in the frame elsewhere is said; a time slot ends only when somebody
// has read what is not taken then; a link that is opened on another phone stands where it marked.
func TestBrowserTwoPlaces(t *testing.T) {
	s, lead, second, reader := twoLeads(t)
	u := s.told(store.Lead, run.Mark{Kind: run.Taken, Grouping: "four", Block: "yard"})
	s.told(store.Reader, run.Mark{Kind: run.Taken, Grouping: "four", Block: "yard"})
	lead.shows(".last", "Taken: All four parents")
	lead.press("#undo")
	u = s.planned(3)
	assert.NotEqual(t, run.Done, u.State.Groupings["four"].Status)

	s.told(store.Owner, run.Mark{Kind: run.Started, Grouping: "t-boyd", Block: "terrace"}, run.Mark{Kind: run.Started, Grouping: "boyd", Block: "yard"})
	for _, b := range []phoneTab{lead, reader} {
		b.shows(".alarm, .folded", "Terrace: Hamish Boyd, Elspeth Boyd, Skye Boyd, Lewis Boyd")
	}

	before := len(s.current().Marks)
	second.tab("overview")
	second.press("[data-key=block-terrace]")
	second.press("#endslot")
	second.shows("dialog", "Friends alone")
	assert.Len(t, s.current().Marks, before)
	second.pressText("End \u2068Terrace")
	s.planned(before)
	second.tab("now")
	second.shows(".last", "Closed: Terrace")
	second.shows("#main", "Go to Courtyard")
	second.press("#undo")
	s.planned(before + 1)
	second.shows(".last b", "Undone: Closed: Terrace")

	_, secret, err := s.store.CreateLink(t.Context(), store.Request{}, "harbour", store.Lead, "idris", time.Time{})
	require.NoError(t, err)
	idris := device(t)
	idris.do(chromedp.Navigate("http://" + s.address + Prefix + "#" + secret))
	idris.see("nav:not([hidden])")
	idris.until(`import("/day/state.js").then(({ app }) => app.block === "terrace")`)

	another := device(t)
	another.do(chromedp.Navigate("http://" + s.address + Prefix + "#" + s.secrets[store.Owner]))
	another.see("nav:not([hidden])")
	another.until(`import("/day/state.js").then(({ app }) => app.block === "yard")`)
}

// A day that is not today's says so, and how far it is off is no delay.
func TestBrowserSaysThatItIsAnotherDay(t *testing.T) {
	s := newStage(t, castle(t, time.Now().AddDate(0, 0, 1))) // so that it is another day at every hour
	s.serve()
	b := device(t)
	b.visit(s, store.Lead)
	b.shows("#main", "this is a rehearsal")
	b.press("#start")
	s.planned(0)
	b.shows(".where", "In progress")
	assert.NotRegexp(t, `\d{3} minutes`, b.text("#forecast"))
}
