package phone

import (
	"fmt"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/store"
)

// hidden lists what of the page nobody sees without a finger.
func (b phoneTab) hidden(which string) string {
	return b.js(fmt.Sprintf(`(() => {
		const all = [...document.querySelectorAll(%q)].filter((e) => {
			const r = e.getBoundingClientRect(), x = r.x + r.width / 2;
			return ![r.top + 3, r.bottom - 3].every((y) => e.contains(document.elementFromPoint(x, y)));
		});
		return all.map((e) => e.textContent).join(", ");
	})()`, which))
}

// With three time slots to choose from, whoever holds a phone sees up to six names to call without a finger, and of few whom to
// have ready too.
func TestBrowserHaveReadyInSight(t *testing.T) {
	e := castle(t, time.Now().Add(-2*time.Minute))
	e.Blocks = append(e.Blocks, event.Block{ID: "hall", Title: "The great hall of the castle", Place: "Great Hall", Opens: e.Blocks[0].Closes, Photographer: e.Blocks[0].Photographer})
	for i, g := range e.Groupings {
		if g.ID == "fr" || g.ID == "god" {
			e.Groupings[i].Blocks = []string{"hall"}
		}
	}
	s := newStage(t, e)
	s.serve()
	lead := device(t)
	lead.visit(s, store.Lead)
	lead.press("[data-key=block-yard]")
	for n := range 12 {
		lead.see(".then")
		for _, tall := range []int64{844, 664} { // the whole screen, and with the bars of a browser
			lead.do(emulation.SetDeviceMetricsOverride(390, tall, 1, true))
			lead.js(`import("/day/views.js").then((v) => v.toTop())`)
			where := fmt.Sprintf("photo %d at %d: %s", n, tall, lead.text("#title"))
			assert.Empty(t, lead.hidden(".group.in:not(.there) li:nth-child(-n+6) .name"), "whom to call, "+where)
			if lead.js("String(document.querySelectorAll('.group.in li').length < 4 && innerHeight > 800)") == "true" {
				assert.Empty(t, lead.hidden(".then h2, .then .ready bdi"), "whom to have ready, "+where)
			}
			lead.shoot(fmt.Sprintf("ready-%d-%d", n, tall))
			lead.js("scrollTo(0, document.body.scrollHeight)")
			assert.Empty(t, lead.hidden(".then .ready bdi"), "whom to have ready, further down, "+where)
		}
		lead.until("document.querySelector('#taken').getAttribute('aria-disabled') !== 'true'")
		lead.press("#taken")
		s.planned(n)
	}
	lead.do(emulation.SetDeviceMetricsOverride(320, 568, 1, true)) // where there is room for little, those who are called come first
	lead.js(`import("/day/views.js").then((v) => v.toTop())`)
	assert.Empty(t, lead.hidden(".group.in li:first-child .name"))
	lead.shoot("ready-small")
	assert.Empty(t, lead.complaints.all())
}
