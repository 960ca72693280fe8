package phone

import (
	"fmt"
	"strconv"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/wording"
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
		return top && low && name.contains(top) && name.contains(low) ? "seen" : "from " + r.top + " to " + r.bottom
			+ ", under " + [top, low].map((e) => e && e.tagName + "." + e.className).join(" and ");
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

// inSight counts the names to call, or of an open dialog, that somebody sees without a finger.
func (b phoneTab) inSight() int {
	b.Helper()
	n, err := strconv.Atoi(b.js(`String((() => {
		const d = document.querySelector("dialog[open]");
		return [...(d || document).querySelectorAll(d ? ".check span" : ".group.in .name")].filter((e) => {
			const r = e.getBoundingClientRect(), x = r.x + Math.min(20, r.width / 2);
			return [r.top + 3, r.bottom - 3].every((y) => e.contains(document.elementFromPoint(x, y)));
		}).length;
	})())`))
	require.NoError(b, err)
	return n
}

// Beside a question, a moved place and a change of the order there is room for names, on every phone however it is held.
func TestBrowserNamesBesideNotices(t *testing.T) {
	s := newStage(t, castle(t, time.Now().Add(-50*time.Minute)))
	s.serve()
	b := device(t)
	b.visit(s, store.Lead)
	b.press("[data-key=block-yard]")
	b.press("#missing")
	b.see("dialog[open] .check")
	b.do(emulation.SetDeviceMetricsOverride(844, 390, 1, true))
	assert.GreaterOrEqual(t, b.inSight(), 6, "on its side")
	b.shoot("missing-side")
	b.press("dialog .close")
	b.do(emulation.SetDeviceMetricsOverride(390, 844, 1, true))
	b.tab("overview")
	b.press("[data-key=block-yard]")
	b.press("#place")
	b.do(typed("#place", "Great hall"))
	b.press("#setplace")
	b.tab("people")
	b.press("[data-key=person-thatha]")
	b.pressText("Has left")
	b.tab("now")
	s.planned(1)
	b.see(".folded")
	b.until("document.querySelectorAll('.group.in .name').length > 2")
	for _, screen := range [][2]int64{{320, 568}, {390, 844}, {844, 390}} {
		b.do(emulation.SetDeviceMetricsOverride(screen[0], screen[1], 1, true))
		b.js(`import("/day/views.js").then((v) => v.toTop())`)
		assert.GreaterOrEqual(t, b.inSight(), 2, screen)
		assert.Equal(t, "true", b.js(askedInSight), "the question, %v", screen)
		b.shoot(fmt.Sprintf("notices-%d", screen[0]))
	}
	assert.Empty(t, b.complaints.all())
}

// askedInSight says that a question is there, in words, and can be pressed without scrolling.
const askedInSight = `(() => {
	const e = document.querySelector(".ask"), r = e?.getBoundingClientRect();
	return Boolean(e && e.innerText.trim().length > 9 && e.contains(document.elementFromPoint(r.x + 20, r.top + r.height / 2)));
})()`

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

// cut lists the words of buttons and called names in sight that are broken in the middle, and the buttons whose text is cut.
const cut = `(() => {
	const bad = [];
	for (const b of document.querySelectorAll("nav button, .blocks button, footer button, dialog[open] button, .group li")) {
		if (b.scrollWidth > b.clientWidth || b.scrollHeight > b.clientHeight) bad.push("cut: " + b.textContent);
		const walk = document.createTreeWalker(b, NodeFilter.SHOW_TEXT);
		for (let t; (t = walk.nextNode());) for (const m of t.data.matchAll(/[^\s\u2066-\u2069\u3000-\u303f\u4e00-\u9fff]+/g)) {
			const r = document.createRange();
			r.setStart(t, m.index);
			r.setEnd(t, m.index + m[0].length);
			if (new Set([...r.getClientRects()].map((x) => Math.round(x.top))).size > 1) bad.push("broken: " + m[0]);
		}
	}
	return bad.join(", ");
})()`

// At 390 px no button breaks a word or hides what tells it from another, in any language, and what is said of a name stays whole.
func TestBrowserButtonsAreWhole(t *testing.T) {
	e := castle(t, time.Now().Add(-30*time.Minute))
	e.Blocks[0].Title, e.Blocks[1].Title = "Before the meeting, Amara", "Before the meeting, Théo"
	s := newStage(t, e)
	s.serve()
	lead := device(t)
	lead.visit(s, store.Lead)
	lead.see("#taken")
	for _, language := range wording.Languages() {
		lead.speak(language)
		assert.Empty(t, lead.js(cut), language)
		lead.shoot("buttons-" + language)
		lead.tab("overview")
		lead.press("[data-key=block-" + e.Blocks[0].ID + "]")
		lead.see("dialog[open] #setplace")
		assert.Empty(t, lead.js(cut), "the dialog of a time slot, %s", language)
		lead.shoot("slot-" + language)
		lead.press("dialog .close")
		lead.tab("now")
	}
}

// A made-up title is said in the language of the phone, as on its sheet.
func TestTitlesOfPhones(t *testing.T) {
	e := quay(t, time.Now())
	e.Groupings = []event.Grouping{{ID: "made", Members: []string{e.People[0].ID, e.People[1].ID, e.People[2].ID}}, {ID: "own", Title: "All of us", Members: []string{e.People[0].ID}}}
	list := photographs(e)
	assert.Contains(t, list[0].Titles["de"], " und ")
	assert.Contains(t, list[0].Titles["ar"], "\u200f\u2068Amara Benali\u2069، \u2068Théo Lindqvist\u2069", "each name keeps its direction")
	assert.Empty(t, list[1].Titles, "the planner's own words")
}
