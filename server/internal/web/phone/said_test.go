package phone

import (
	"encoding/json"
	"slices"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
)

// What a stranger found said wrongly: nobody has time to spare while photos wait for somebody; a photo that a caller went past counts
// once; the line beside Undo says what was pressed; whoever holds a child is free when that is.
func TestBrowserSaysWhatIsSo(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	s.serve()
	b := device(t)
	b.do(chromedp.Navigate("http://" + s.address + Prefix))
	var got map[string]string
	require.NoError(t, json.Unmarshal([]byte(b.js(`(async () => {
		await (await import("/day/words.js")).loadWords("en");
		const { app } = await import("/day/state.js"), { count, ending, told } = await import("/day/parts.js");
		const { free } = await import("/day/outlook.js");
		const spare = { finish: "Finish 16:37", over: "23 minutes to spare", late: false };
		const text = (list) => list.filter(Boolean).map((e) => e.textContent).join("|");
		app.passed = new Set(["a", "b"]);
		const left = { count: { done: 3, owed: 3 }, waiting: [], blocks: [] }, state = { groupings: { a: { status: "done" }, e: { status: "done" }, f: { status: "done" } }, blocks: {}, people: {}, slots: ["a", "e", "f"].map((grouping) => ({ grouping, block: "yard" })), frames: {} };
		left.blocks = [{ block: "yard", entries: ["b", "c", "d"].map((id) => ({ id })) }];
		const m = {
			now: 100_000, left, state, block: "yard", blocks: [{ id: "yard", title: "Yard", crew: 0 }], photographs: new Map([["all", { title: "All" }]]),
			people: [{ id: "rory", name: "Rory" }, { id: "mum", name: "Mum" }, { id: "baby", name: "Baby", by: ["mum"] }],
			marks: [{ id: "1", kind: "absent", person: "rory" }, { id: "2", kind: "put_back", grouping: "all" }, { id: "3", kind: "block", block: "yard", at: 1, opens: 60_000 }],
		};
		const out = {
			waits: text(ending(spare, 9)), spare: text(ending(spare)), late: text(ending({ ...spare, over: "5 minutes over", late: true }, 9)), count: count(m),
			missing: told(m, { ...m.marks[1], press: ["1", "2"] }),
			shorter: told(m, { id: "4", kind: "block", block: "yard", at: 2, opens: 60_000, closes: 90_000 }),
			moved: told(m, { id: "4", kind: "block", block: "yard", at: 2, opens: 120_000 }),
		};
		m.photographs = new Map([["was", { members: ["mum"] }], ["kids", { members: ["baby"] }]]);
		state.frames = { yard: { grouping: "was", at: 90_000 } };
		const kids = { id: "kids", out: ["mum"], in: ["baby"], stay: [], released: [], near: [] };
		left.blocks = [{ block: "yard", entries: [kids] }];
		out.holds = free(m, left.blocks[0]).join();
		left.blocks = [{ block: "yard", entries: [] }];
		out.over = free(m, left.blocks[0]).join();
		return JSON.stringify(out).replace(/[\u2066-\u2069]/g, "");
	})()`)), &got))
	assert.Equal(t, map[string]string{
		"waits": "Finish 16:37|Waiting: 9", "spare": "Finish 16:37|23 minutes to spare", "late": "Finish 16:37|5 minutes over", "count": "5 of 6",
		"missing": "Missing: Rory", "shorter": got["shorter"], "moved": got["moved"], "holds": "", "over": "mum",
	}, got)
	assert.Contains(t, got["moved"], "Yard begins at")
	assert.Contains(t, got["shorter"], "Yard ends at")
}

// A caller without signal goes past photos that were taken: nobody waits then for a time that the old order has. Whoever calls says who is
// here and who leaves.
func TestBrowserCallerWaitsForNothingOver(t *testing.T) {
	s := newStage(t, quay(t, time.Now().Add(20*time.Minute)))
	s.serve()
	lead, reader := device(t), device(t)
	lead.visit(s, store.Lead)
	lead.see("#taken")
	reader.visit(s, store.Reader)
	reader.shows("#main", "Wait until")
	reader.tab("people")
	reader.press("[data-key=person-sami]")
	reader.pressText("Leaves in 10 min")
	s.planned(0)
	reader.tab("now")
	reader.until("navigator.serviceWorker.controller !== null")
	reader.signal(false)
	reader.do(chromedp.Reload())
	reader.press("#stepon")
	reader.until("!document.querySelector('#main').innerText.includes('Wait until')")
	assert.Empty(t, reader.complaints.all())
}

// Whoever is missing in a photo that is being taken is said to be, and is not among those who step in.
func TestBrowserWhoIsMissingStepsNotIn(t *testing.T) {
	s := newStage(t, castle(t, time.Now()))
	s.serve()
	b := device(t)
	b.visit(s, store.Lead)
	first := s.planned(-1).Plan.Sheet.Blocks[0]
	who := first.Entries[0].StepIn[0]
	s.told(store.Lead, run.Mark{Kind: run.Started, Grouping: first.Entries[0].Grouping, Block: first.Block}, run.Mark{Kind: run.Absent, Person: who})
	name := s.event.People[slices.IndexFunc(s.event.People, func(p event.Person) bool { return p.ID == who })].Name
	b.press("[data-key=block-" + first.Block + "]")
	b.shows("#main", "Missing")
	b.shows("#main", name)
	assert.NotContains(t, b.text(".group.in"), name)
	assert.Empty(t, b.complaints.all())
}
