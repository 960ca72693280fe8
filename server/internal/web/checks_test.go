package web

import (
	"testing"

	"github.com/chromedp/chromedp"

	"kinorder.example/server/internal/needs"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/web/browsertest"
)

// Every page of the planner is valid HTML, in a language that is written from the left and one from the right.
func TestPagesAreValid(t *testing.T) {
	needs.Alone(t)
	pages := map[string][]byte{}
	for _, language := range []string{"en", "ar"} {
		v := visit(t, planning.Plan)
		keep := func(name string, p page) page {
			pages[name+"-"+language] = p.Body.Bytes()
			return p
		}
		p := keep("start", v.get("/?lang="+language))
		keep("asked", v.press(v.get("/example?lang="+language), "read", nil))
		p = keep("list", v.press(p, "read", map[string]string{"text": small}))
		p = keep("plan", v.press(p, "plan", nil))
		keep("compared", v.press(p, "compare", nil))
		keep("trust", v.get("/trust?lang="+language))
		keep("nowhere", v.get("/nowhere?lang="+language))
	}
	browsertest.Valid(t, pages)
}

// They are accessible in both colour schemes.
func TestPagesAreAccessible(t *testing.T) {
	for _, language := range []string{"en", "ar"} {
		b := openBrowser(t, true)
		look := func(name string) { browsertest.Accessible(t, b.ctx, name+"-"+language, "light", "dark") }
		root := serveTest(t)
		for _, page := range []string{"trust", "nowhere", ""} {
			b.do(chromedp.Navigate(root + page + "?lang=" + language))
			look("start" + page)
		}
		b.do(chromedp.SetValue("#text", small, chromedp.ByQuery))
		b.press("button.main")
		look("list")
		b.press("button[value=plan]")
		look("plan")
		b.press("button[value=compare]")
		look("compared")
	}
}
