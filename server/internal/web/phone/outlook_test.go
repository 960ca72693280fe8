package phone

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Without signal the page works out itself who is free after a photograph. With two photographers at once
// that is a matter of time and not of the order of the blocks, and whoever is near is wanted too.
func TestBrowserFreesByTime(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	s.serve()
	b := device(t)
	b.do(chromedp.Navigate("http://" + s.address + Prefix))
	var answer string
	b.do(chromedp.Evaluate(`(async () => {
		const { left } = await import("/day/outlook.js");
		const photo = (id, ...members) => [id, { id, title: id, members }];
		const entry = (id, length, near = []) => ({ id, at: 0, length, near });
		const model = {
			photographs: new Map([photo("y1", "ann", "bo"), photo("y2", "ann"), photo("h1", "ann", "bo"), photo("h2", "cy")]),
			blocks: [{ id: "yard" }, { id: "hall" }], fresh: false, now: 1000,
			state: { groupings: {}, people: {}, slots: [], frames: {} },
			plan: { owed: [], forecasts: [], blocks: [
				{ block: "yard", entries: [entry("y1", 60), entry("y2", 600)] },
				{ block: "hall", entries: [entry("h1", 120), entry("h2", 60, ["bo"])] },
			] },
		};
		return JSON.stringify(Object.fromEntries(left(model).blocks.flatMap((b) => b.entries.map((e) => [e.id, e.released]))));
	})()`, &answer, func(p *runtime.EvaluateParams) *runtime.EvaluateParams { return p.WithAwaitPromise(true) }))
	var got map[string][]string
	require.NoError(t, json.Unmarshal([]byte(answer), &got))
	assert.Equal(t, map[string][]string{"y1": {}, "y2": {"ann"}, "h1": {}, "h2": {"cy", "bo"}}, got)
}

// What the plan leaves out waits for nobody: the list, the overview and the paper say so, each with the reason.
func TestBrowserShowsWhatIsLeftOutForNow(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	s.serve()
	b := device(t)
	b.do(chromedp.Navigate("http://" + s.address + Prefix))
	var answer string
	b.do(chromedp.Evaluate(`(async () => {
		const { left } = await import("/day/outlook.js");
		await (await import("/day/words.js")).loadWords("en");
		const { app } = await import("/day/state.js");
		const { listView, overview } = await import("/day/lists.js");
		const { paper } = await import("/day/paper.js");
		const photo = (id, ...members) => [id, { id, title: id, members }];
		const owed = (id, why, ...missing) => ({ id, planned: false, why, missing });
		const model = {
			photographs: new Map([photo("y1", "ann"), photo("late", "bo"), photo("waits", "cy")]), names: new Map(), people: [],
			blocks: [{ id: "yard", title: "Yard" }], fresh: true, now: 1000,
			state: { groupings: {}, people: { cy: { presence: "away" } }, slots: [], frames: {}, blocks: {}, notes: [], joined: {} },
			plan: { forecasts: [], owed: [owed("late", { Key: "plan.itsTimeIsOver" }), owed("waits", null, "cy")], blocks: [
				{ block: "yard", entries: [{ id: "y1", at: 0, length: 60, near: [], in: ["ann"], out: [], stay: [], released: [], standby: [] }] },
			] },
		};
		model.left = left(model);
		app.whole = { ...app.whole, title: "Quay", role: "lead" };
		const told = (view, where) => { view(model); return document.getElementById(where).textContent; };
		return JSON.stringify([told(listView, "main"), told(overview, "main"), told(paper, "paper")]);
	})()`, &answer, func(p *runtime.EvaluateParams) *runtime.EvaluateParams { return p.WithAwaitPromise(true) }))
	var views []string
	require.NoError(t, json.Unmarshal([]byte(answer), &views))
	for _, v := range views {
		waiting, apart, found := strings.Cut(v, "Left out for now")
		require.True(t, found, v)
		assert.Contains(t, apart, "late")
		assert.NotContains(t, waiting[strings.Index(waiting, "Waiting"):], "late")
		assert.Contains(t, waiting, "waits")
	}
	assert.Contains(t, views[0], "Its time is over")
	assert.Contains(t, views[1], "Its time is over")
}

// While the first photo of a place is being taken, whether somebody pressed "Start" or not, the place is not done later with every minute;
// before it has begun it is.
func TestBrowserFinishStays(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	s.serve()
	b := device(t)
	b.do(chromedp.Navigate("http://" + s.address + Prefix))
	assert.Equal(t, "600,600,720,720", b.js(`import("/day/outlook.js").then(({ left }) => [[60, true], [240, true], [420, true], [120, false]].map(([now, begun]) => {
		const entry = { id: "y1", at: 1000, length: 300, near: [], in: ["ann"], out: [], stay: [], released: [], standby: [] };
		const [b] = left({
			photographs: new Map([["y1", { id: "y1", title: "y1", members: ["ann"] }]]), blocks: [{ id: "yard" }], fresh: true, now: 1000 + now * 1000,
			state: { groupings: {}, people: {}, slots: [], frames: begun ? { yard: { grouping: "y0", at: 1000 } } : {}, blocks: {}, joined: {} },
			plan: { owed: [], made: 1000, forecasts: [{ block: "yard", finish: 601_000, safe: 601_000, over: 0 }], blocks: [{ block: "yard", entries: [entry] }] },
		}).blocks;
		return (b.finish - 1000) / 1000;
	}).join())`))
}

// That a photographer's phone is away stays said whatever the others mark, until the server says otherwise; and what was
// marked by one press is undone by one.
func TestBrowserKeepsWhatIsKnown(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	s.serve()
	b := device(t)
	b.do(chromedp.Navigate("http://" + s.address + Prefix))
	assert.Equal(t, "7", b.js(`import("/day/state.js").then(({ app, heard, take }) => {
		heard(Date.now(), [{ at: 9, reads: true }, { at: 7 }]);
		app.view = { marks: [] };
		take({ now: Date.now(), marks: [], sequence: 1, lastMark: 0, covers: 0 });
		const away = String(app.away);
		app.view = null;
		return away;
	})`))
	assert.Equal(t, "b,c", b.js(`import("/day/fold.js").then(({ fold }) => {
		const id = (ms) => "0197d0a0" + "-" + ms + "-7000-8000-000000000000", names = {};
		const marks = [["a", "0001"], ["b", "0009"], ["c", "000a"]].map(([name, ms], i) => {
			names[id(ms)] = name;
			return { id: id(ms), kind: "left_out", grouping: name, at: i, by: "x", sequence: i + 1 };
		});
		return fold(marks).mine.x.press.map((p) => names[p]).join();
	})`))
}

// A phone that somebody looks at looks for the signal every few seconds however long it was gone, and at once when something
// is marked.
func TestBrowserLooksForTheSignal(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	s.serve()
	b := device(t)
	b.do(chromedp.Navigate("http://" + s.address + Prefix))
	assert.Equal(t, "true", b.js(`import("/day/server.js").then(async ({ Pause, hope }) => {
		const real = setTimeout, waits = [], pause = new Pause();
		globalThis.setTimeout = (f, ms) => { waits.push(ms); return real(f, 0); };
		for (let i = 0; i < 10; i++) await pause.next();
		globalThis.setTimeout = real;
		const long = pause.next(3600);
		hope();
		await long;
		return Math.max(...waits) <= 5000;
	})`))
}
