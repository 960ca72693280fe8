package phone

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/web/browsertest"
)

// Every view of the page of the day is valid HTML and accessible, for whoever photographs, looks on, calls or fetches, in both
// colour schemes, in a language that is written from the left and one from the right.
func TestBrowserViewsAreValidAndAccessible(t *testing.T) {
	s := newStage(t, castle(t, time.Now().Add(-50*time.Minute)))
	s.serve()
	b := device(t)
	pages := map[string][]byte{}
	for _, link := range []string{s.secrets[store.Lead], s.secrets[store.Owner], s.secrets[store.Reader], s.secrets[store.Reader] + "&as=finder"} { // the lead begins the day
		b.do(chromedp.Navigate("about:blank"), chromedp.Navigate("http://"+s.address+Prefix+"#"+link))
		b.see("nav:not([hidden])")
		for _, language := range []string{"en", "ar"} {
			b.speak(language)
			for view := range strings.SplitSeq(b.js("[...document.querySelectorAll('[data-key^=tab-]')].map((e) => e.dataset.key.slice(4)).join()"), ",") {
				name := fmt.Sprintf("%d-%s-%s", len(pages), view, language)
				b.tab(view)
				pages[name] = []byte("<!DOCTYPE html>\n" + b.js("document.documentElement.outerHTML"))
				browsertest.Accessible(t, b.ctx, name, "light", "dark")
			}
		}
	}
	browsertest.Valid(t, pages)
	assert.Empty(t, b.complaints.all())
}
