package web

import (
	"context"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/cdproto/target"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// spoken is what a reader of the screen says of an element: its role and its name.
type spoken struct{ role, name string }

// heard is the part of an answer of Accessibility.getFullAXTree that is looked at. The library's own type refuses
// properties that it does not know.
type heard struct {
	Nodes []struct {
		Ignored bool      `json:"ignored"`
		Role    heardText `json:"role"`
		Name    heardText `json:"name"`
	} `json:"nodes"`
}

type heardText struct {
	Value any `json:"value"`
}

func (h heard) at(i int) spoken {
	role, _ := h.Nodes[i].Role.Value.(string)
	name, _ := h.Nodes[i].Name.Value.(string)
	return spoken{role, name}
}

// focus returns what has the focus, as the accessibility tree says it.
func (b browser) focus() spoken {
	b.Helper()
	var out spoken
	b.do(chromedp.ActionFunc(func(ctx context.Context) error {
		object, _, err := runtime.Evaluate("document.activeElement").Do(ctx)
		if err != nil {
			return err
		}
		var tree heard
		params := map[string]any{"objectId": object.ObjectID, "fetchRelatives": false}
		if err := cdp.Execute(ctx, "Accessibility.getPartialAXTree", params, &tree); err != nil {
			return err
		}
		out = tree.at(0)
		return nil
	}))
	return out
}

// key presses keys, one after the other.
func (b browser) key(keys ...string) {
	b.Helper()
	for _, k := range keys {
		b.do(chromedp.KeyEvent(k))
	}
}

// go on presses a key that brings a new page.
func (b browser) goOn(key string) {
	b.Helper()
	_, err := chromedp.RunResponse(b.ctx, chromedp.KeyEvent(key))
	require.NoError(b, err)
	// The focus that a page asks for is set when the page is first drawn.
	b.do(chromedp.Evaluate(`new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => done(true))))`, nil,
		func(p *runtime.EvaluateParams) *runtime.EvaluateParams { return p.WithAwaitPromise(true) }))
}

// seen checks that whoever cannot use a mouse sees where they are: there is a ring around what has the focus
// (WCAG 2.2, 2.4.7), and nothing else lies over all of it (2.4.11).
func (b browser) seen(at spoken) {
	b.Helper()
	var ring, open bool
	b.do(chromedp.Evaluate(`(() => {
		const e = document.activeElement, s = getComputedStyle(e);
		return s.outlineStyle !== "none" && parseFloat(s.outlineWidth) >= 2;
	})()`, &ring), chromedp.Evaluate(`(() => {
		const e = document.activeElement, r = e.getBoundingClientRect();
		const left = Math.max(r.left, 0), right = Math.min(r.right, innerWidth), top = Math.max(r.top, 0), bottom = Math.min(r.bottom, innerHeight);
		for (const [x, y] of [[.5, .5], [.1, .1], [.9, .9], [.1, .9], [.9, .1]]) {
			const over = document.elementFromPoint(left + (right - left) * x, top + (bottom - top) * y);
			if (over && (over === e || e.contains(over) || over.contains(e) && !over.matches("body, html"))) return true;
		}
		return false;
	})()`, &open))
	assert.True(b, ring, "no ring around %v", at)
	assert.True(b, open, "something lies over %v", at)
}

// tabTo presses Tab until the focus is on an element with this role and a name like this. Everything on the way
// has a name and is seen.
func (b browser) tabTo(role, name string) {
	b.Helper()
	like := regexp.MustCompile(name)
	for range 250 {
		b.key(kb.Tab)
		at := b.focus()
		if at.role == "RootWebArea" || at.role == "none" {
			continue // past the end, on the way to the beginning
		}
		assert.NotEmpty(b, at.name, "what is at %v has no name", at)
		b.seen(at)
		if at.role == role && like.MatchString(at.name) {
			return
		}
	}
	b.Fatalf("Tab never reaches a %s called %s", role, name)
}

// focused are the roles of what can be worked.
var worked = map[string]bool{
	"button": true, "link": true, "textbox": true, "combobox": true, "radio": true, "checkbox": true, "spinbutton": true,
	"DisclosureTriangle": true, "Date": true, "InputTime": true, "listbox": true,
}

// allNamed checks that everything on the page that can be worked has a name.
func (b browser) allNamed(page string) {
	b.Helper()
	n := 0
	b.do(chromedp.ActionFunc(func(ctx context.Context) error {
		var tree heard
		err := cdp.Execute(ctx, "Accessibility.getFullAXTree", nil, &tree)
		for i, node := range tree.Nodes {
			if at := tree.at(i); !node.Ignored && worked[at.role] {
				n++
				assert.NotEmpty(b, at.name, "%s: a %s without a name", page, at.role)
			}
		}
		return err
	}))
	assert.Greater(b, n, 3, page)
}

const typedList = `Couple: Ida Berg, Per Holm

Ida's side
- Mara Lind (grandmother)
- Rosa Berg (sister)

Per's side
- Rosa Holm (aunt)
- Odd Holm (brother)

Photos
1. Everybody (must)
2. Couple + Mara
3. Couple + Rosa
4. Couple + Odd
5. Ida + Mara + Odd
`

// A planner without a mouse pastes a list, answers the question about an unclear line, plans, moves a
// photograph, leaves one out and puts it back, compares and opens the sheet to print: with Tab, Enter, Space
// and the arrows alone. What was pressed last has the focus on the page that comes.
func TestWithTheKeyboardAlone(t *testing.T) {
	b := openBrowser(t, true)
	b.do(chromedp.Navigate(serveTest(t)))
	assert.Equal(t, "textbox", b.focus().role, "the list is where the focus begins")
	b.do(input.InsertText(typedList))
	b.allNamed("start")
	b.tabTo("button", "^Read the list$")
	b.goOn(kb.Enter)

	assert.Regexp(t, "^Line 14", b.focus().name, "the first thing to mend has the focus")
	b.allNamed("list")
	b.tabTo("radio", "decide later")
	b.key(kb.ArrowUp)
	assert.Equal(t, spoken{"radio", "Rosa Holm"}, b.focus())
	b.tabTo("button", "^Plan$")
	b.goOn(kb.Enter)

	require.Contains(t, b.text(".sums"), "in this order")
	b.allNamed("plan")
	order := func() (out []string) {
		b.do(chromedp.Evaluate(`[...document.querySelectorAll(".order h3")].map((e) => e.textContent)`, &out))
		return out
	}
	best := order()
	require.Len(t, best, 5)
	first := regexp.QuoteMeta(best[0])
	b.tabTo("button", "^Move “"+first+"” down$")
	b.goOn(kb.Enter)
	assert.Equal(t, best[0], order()[1])
	assert.Regexp(t, "^Move “"+first+"” down$", b.focus().name, "the next press moves it on")
	b.seen(b.focus())
	b.goOn(" ")
	assert.Equal(t, best[0], order()[2])

	b.tabTo("DisclosureTriangle", "^More for “"+first+"”$")
	b.key(" ")
	b.tabTo("spinbutton", "^Place in the time slot, now 3$")
	b.key("5")
	b.goOn(kb.Enter) // in a field for a place it moves there
	assert.Equal(t, best[0], order()[4])
	assert.Regexp(t, "^More for “"+first+"”$", b.focus().name)

	b.key(kb.Enter)
	b.tabTo("button", "^Leave “"+first+"” out$")
	b.goOn(kb.Enter)
	assert.Len(t, order(), 4)
	assert.Equal(t, spoken{"button", "Put “" + best[0] + "” back"}, b.focus(), "what was left out can be put back at once")
	b.goOn(kb.Enter)
	assert.Len(t, order(), 5)
	assert.Regexp(t, "^More for “"+first+"”$", b.focus().name)

	b.tabTo("button", "^Compare$")
	b.goOn(kb.Enter)
	assert.Equal(t, "Compare", b.focus().name)
	b.tabTo("button", "^Use: ")
	b.goOn(kb.Enter)
	assert.Equal(t, "Compare", b.focus().name)
	b.allNamed("compared")

	b.tabTo("combobox", "^Sheet$")
	b.key(kb.ArrowDown)
	b.tabTo("button", "^Open to print$")
	opened := chromedp.WaitNewTarget(b.ctx, func(i *target.Info) bool { return strings.HasSuffix(i.URL, "/sheet") })
	b.key(kb.Enter)
	ctx, cancel := chromedp.NewContext(b.ctx, chromedp.WithTargetID(<-opened))
	defer cancel()
	var printed string
	require.NoError(t, chromedp.Run(ctx, chromedp.Text("body", &printed, chromedp.ByQuery)))
	assert.Contains(t, printed, "People · Step in", "the arrow chose the second sheet")
	assert.Contains(t, printed, "Everybody")
	assert.Empty(t, *b.complaints)
}

// The language is changed with the keyboard, and the page is read out in it.
func TestTheLanguageWithTheKeyboard(t *testing.T) {
	b := openBrowser(t, true)
	b.do(chromedp.Navigate(serveTest(t)))
	b.tabTo("combobox", "^Language$")
	b.key("d") // Deutsch
	b.tabTo("button", "^Change$")
	b.goOn(kb.Enter)
	assert.Equal(t, spoken{"button", "Wechseln"}, b.focus())
	b.allNamed("Start")
	b.tabTo("button", "^Liste lesen$")
}
