package desk_test

import (
	"net/url"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/web/browsertest"
)

// A family opens its link on a phone, writes and sends; whoever plans finds it. Both pages are accessible and valid.
func TestBrowserFamiliesWish(t *testing.T) {
	for _, language := range []string{"en", "ar"} {
		s := open(t, t.TempDir())
		planner := s.signedIn()
		root := begun(t, planner).Request.URL.Path
		id := strings.TrimPrefix(root, "/events/")
		secret := s.link(store.Family, id)
		phone := s.tab(true)
		look := func(name string) {
			phone.shoot(name + "-" + language)
			browsertest.Accessible(t, phone.ctx, name+"-"+language, "light", "dark")
		}
		phone.do(chromedp.Navigate(s.server.URL+"/enter?lang="+language+"#"+secret), chromedp.WaitVisible("#wishes"))
		if language != "en" {
			phone.do(chromedp.Navigate(s.server.URL + "/wishes?lang=" + language))
		}
		phone.do(chromedp.SetValue("#wishes", "جدتي مع نور\nMara with Rosa", chromedp.ByQuery))
		phone.press("form button.main")
		look("wishes")
		family := s.browser()
		family.post("/enter", url.Values{"secret": {secret}})
		pages := map[string][]byte{"wishes": []byte(family.get("/wishes?lang=" + language).body)}

		p := planner.get(root + "/wishes?lang=" + language)
		p = planner.press(p, p.buttons("take:")[0])
		pages["families"] = []byte(p.body)
		browsertest.Valid(t, pages)
		phone.do(chromedp.Navigate(s.server.URL+"/enter?ticket="+s.desk.Ticket()), chromedp.Navigate(s.server.URL+root+"/wishes?lang="+language))
		look("families")
		assert.Empty(t, *phone.complaints)
	}
}
