package phone

import (
	"fmt"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/store"
)

// speak has the page in a language.
func (b phoneTab) speak(language string) {
	b.Helper()
	b.do(chromedp.Evaluate(fmt.Sprintf(`(async () => {
		const { use } = await import("/day/words.js"), { paint } = await import("/day/state.js"), { stale } = await import("/day/dom.js");
		use(%q);
		stale(...document.querySelectorAll("*"));
		paint();
	})()`, language), nil))
	b.until(fmt.Sprintf("document.documentElement.lang === %q", language))
}

// firstName says whether the first name to call is in sight, and else where it is.
func (b phoneTab) firstName() string {
	return b.js(`(() => {
		const name = document.querySelector(".group .name, .inline.stay bdi"), r = name.getBoundingClientRect();
		const top = document.elementFromPoint(r.x + r.width / 2, r.top + 2), low = document.elementFromPoint(r.x + r.width / 2, r.bottom - 2);
		return top && low && name.contains(top) && name.contains(low) ? "seen" : "from " + r.top + " to " + r.bottom;
	})()`)
}

// On the smallest phones, on their side, and with text twice as large, somebody who looks sees the first name to call
// and the button, without a finger.
func TestBrowserNamesOnSmallScreens(t *testing.T) {
	s := newStage(t, quay(t, time.Now().Add(-30*time.Minute)))
	s.serve()
	for _, text := range []int{16, 32} {
		size := chromedp.Flag("blink-settings", fmt.Sprintf("defaultFontSize=%d", text))
		lead, reader := device(t, size), device(t, size)
		lead.visit(s, store.Lead)
		lead.see("#taken")
		reader.visit(s, store.Reader)
		reader.see(".call")
		screens := [][2]int64{{320, 568}, {568, 320}, {390, 844}, {844, 390}, {320, 256}} // the last is 400 % of 1280 by 1024
		if text > 16 {
			screens = [][2]int64{{320, 568}, {390, 844}}
		}
		for _, screen := range screens {
			for _, language := range []string{"en", "ar", "de"} {
				for _, b := range []phoneTab{lead, reader} {
					where := fmt.Sprintf("%s-%d-%dx%d-%s", b.js("document.body.dataset.role"), text, screen[0], screen[1], language)
					b.do(emulation.SetDeviceMetricsOverride(screen[0], screen[1], 1, true))
					b.speak(language)
					b.js(`import("/day/views.js").then((v) => v.toTop())`)
					assert.Equal(t, "seen", b.firstName(), where)
					assert.Equal(t, "true", b.js("document.documentElement.scrollWidth <= innerWidth"), "%s scrolls sideways", where)
					b.shoot("small-" + where)
				}
				if screen[1]/int64(text) < 19 {
					continue // one scrolls to the button
				}
				assert.Equal(t, "true", lead.js(`(({ top, bottom }) => top >= 0 && bottom <= innerHeight)(document.querySelector("#taken").getBoundingClientRect())`), "the button, %d, %v", text, screen)
			}
		}
		assert.Empty(t, lead.complaints.all())
	}
}

// The same on a short phone without signal, with something that is not sent yet.
func TestBrowserNamesWithoutSignal(t *testing.T) {
	s := newStage(t, quay(t, time.Now().Add(-30*time.Minute)))
	s.serve()
	lead := device(t)
	lead.visit(s, store.Lead)
	lead.do(emulation.SetDeviceMetricsOverride(320, 568, 1, true))
	lead.until("navigator.serviceWorker.controller !== null")
	lead.signal(false)
	lead.do(chromedp.Reload())
	lead.see("#contact")
	lead.press("#taken")
	lead.see("#unsent [data-unsent]")
	for _, language := range []string{"en", "ar", "de"} {
		lead.speak(language)
		lead.js(`import("/day/views.js").then((v) => v.toTop())`)
		assert.Equal(t, "seen", lead.firstName(), language)
		lead.shoot("small-no-signal-" + language)
	}
}
