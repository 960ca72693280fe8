package phone

import (
	"encoding/json"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
)

// Whoever is taken at another place first is called nowhere else before, and it is said until when; what should have begun by now
// begins now; who had to leave is asked about, and looked for only while they are needed.
func TestBrowserTellsWhoIsDueElsewhere(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	s.serve()
	b := device(t)
	b.do(chromedp.Navigate("http://" + s.address + Prefix))
	answer := b.js(`(async () => {
		const { left, due, dueElsewhere, isNeeded } = await import("/day/outlook.js");
		const photo = (id, ...members) => [id, { id, title: id, members }];
		const entry = (id, at, length) => ({ id, at: at * 1000, length, in: [], stay: [], out: [], near: [], released: [], standby: [] });
		const model = {
			photographs: new Map([photo("y1", "ann"), photo("y2", "ann", "bo"), photo("h1", "bo", "cy"), photo("h2", "cy")]), fresh: true, now: 100_000,
			blocks: [{ id: "yard", crew: 0 }, { id: "hall", crew: 1 }], block: "yard", people: ["ann", "bo", "cy", "di"].map((id) => ({ id })),
			state: { groupings: {}, slots: [], frames: {}, people: { cy: { presence: "leaving", until: 90_000 }, di: { presence: "leaving", until: 90_000 } } },
			plan: { owed: [], forecasts: [], blocks: [
				{ block: "yard", entries: [entry("y1", 40, 60), entry("y2", 100, 60)] },
				{ block: "hall", entries: [entry("h1", 220, 60), entry("h2", 280, 60)] },
			] },
		};
		model.left = left(model);
		const [yard, hall] = model.left.blocks;
		await (await import("/day/words.js")).loadWords("en");
		const { standstill } = await import("/day/parts.js");
		const waits = { ...model, left: { blocks: [yard, hall], waiting: [{ id: "y2", missing: ["bo"], left: false }] } };
		return JSON.stringify({
			nothing: standstill(model), waits: standstill(waits),
			at: yard.entries.map((e) => e.at), hall: dueElsewhere(model, "hall", hall.entries[0]), yard: dueElsewhere(model, "yard", yard.entries[1]),
			due: due(model), needed: ["cy", "di"].map((id) => isNeeded(model, id)),
		});
	})()`)
	var got struct {
		At         []int
		Hall, Yard []struct {
			Block string
			Who   []string
			Until int
		}
		Due []struct {
			ID     string
			Leaves bool
		}
		Needed         []bool
		Nothing, Waits string
	}
	require.NoError(t, json.Unmarshal([]byte(answer), &got))
	assert.Equal(t, []int{100_000, 160_000}, got.At)
	require.Len(t, got.Hall, 1)
	assert.Equal(t, []string{"bo"}, got.Hall[0].Who)
	assert.Equal(t, 220_000, got.Hall[0].Until)
	assert.Empty(t, got.Yard)
	require.Len(t, got.Due, 1)
	assert.Equal(t, "cy", got.Due[0].ID)
	assert.True(t, got.Due[0].Leaves)
	assert.Equal(t, []bool{true, false}, got.Needed)
	assert.Equal(t, "Nothing left here now", got.Nothing, "it is elsewhere")
	assert.Equal(t, "Everything left is waiting for somebody", got.Waits, "here too")
}

// When a photographer's phone is out of touch, whoever calls names is told so, goes on, and can come back.
func TestBrowserCallerGoesOnWithoutALead(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	s.serve()
	s.opened(store.Lead)
	s.page.leads.hear("harbour", "another", silence{since: time.Now().Add(-2 * time.Minute), who: "Mara, Lead photographer"})
	b := device(t)
	b.visit(s, store.Reader)
	b.see("#stepon")
	b.shows("#contact", "Mara, Lead photographer: out of touch since")
	b.shows(".where", "1 of")
	first := b.text("#title")
	b.press("#stepon")
	b.shows(".where", "2 of")
	time.Sleep(pulse + time.Second) // what the server says next does not bring it back
	b.shows(".where", "2 of")
	b.press("#stepback")
	b.shows(".where", "1 of")
	assert.Equal(t, first, b.text("#title"))
	assert.Empty(t, b.complaints.all())
}

// A day that is late is moved so far that nobody who is here waits for it to begin, and whoever waits is not called.
func TestBrowserALateDayBeginsNow(t *testing.T) {
	s := newStage(t, castle(t, time.Now().Add(-50*time.Minute-14*time.Second)))
	s.serve()
	lead, reader := device(t), device(t)
	lead.visit(s, store.Lead)
	reader.visit(s, store.Reader)
	lead.press("#late")
	lead.press("#alllater")
	u := s.planned(1)
	for _, m := range u.Marks {
		assert.WithinRange(t, m.Opens, time.Now().Add(-5*time.Minute), time.Now())
	}
	assert.NotContains(t, lead.text("#main"), "Wait until")

	m := u.Marks[0]
	s.told(store.Lead, run.Mark{Kind: run.Reset, Block: "yard", Opens: m.Opens.Add(20 * time.Minute), Closes: m.Closes.Add(20 * time.Minute)})
	reader.press("[data-key=block-yard]")
	reader.shows("#main", "Wait until")
	reader.shows(".group.in h2", "Next up")
	lead.press("[data-key=block-yard]")
	lead.shows("#main", "Wait until")
	lead.press("#start")
	for _, b := range []phoneTab{lead, reader} {
		b.until("!document.querySelector('#main').innerText.includes('Wait until')")
		assert.Empty(t, b.complaints.all())
	}
	reader.shows(".group.in h2", "Call now")
}

// Children are called by the adults of their household.
func TestHolders(t *testing.T) {
	held := holders(castle(t, time.Now()))
	assert.Equal(t, []string{"callum", "jo"}, held["rory"])
	assert.Equal(t, []string{"priya", "marcus"}, held["kiran"])
	assert.Empty(t, held["jo"])
	assert.Empty(t, holders(event.Event{People: []event.Person{{ID: "alone", AgeBand: event.Infant}}}))
}
