package phone

import (
	"encoding/json"
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
