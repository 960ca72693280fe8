package desk_test

import (
	"context"
	"flag"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	navigation "github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/web/browsertest"
)

// shots, when given, is a folder into which the browser tests draw the pages, to be looked at.
var shots = flag.String("shots", "", "draw the pages into this folder")

// tab is one of a real Chromium.
type tab struct {
	*testing.T
	ctx        context.Context
	complaints *[]string
}

func (s *studio) tab(script bool) tab {
	s.Helper()
	b := tab{s.T, browsertest.Start(s.T, time.Minute), &[]string{}}
	chromedp.ListenTarget(b.ctx, func(ev any) {
		if e, ok := ev.(*runtime.EventConsoleAPICalled); ok && e.Type == runtime.APITypeError {
			*b.complaints = append(*b.complaints, "console error")
		}
		if e, ok := ev.(*runtime.EventExceptionThrown); ok {
			*b.complaints = append(*b.complaints, e.ExceptionDetails.Error())
		}
	})
	b.do(emulation.SetScriptExecutionDisabled(!script), emulation.SetFocusEmulationEnabled(true))
	b.do(chromedp.Navigate(s.server.URL + "/enter?ticket=" + s.desk.Ticket()))
	return b
}

// deaf lets the pages of the tab hear of no change in other windows, as where a proxy holds streams back.
// Otherwise a page with nothing typed on it follows, at some moment, and is behind no more.
func (b tab) deaf() {
	b.Helper()
	b.do(chromedp.ActionFunc(func(ctx context.Context) error {
		_, err := navigation.AddScriptToEvaluateOnNewDocument(`window.EventSource = class extends EventTarget { close() {} }`).Do(ctx)
		return err
	}))
}

func (b tab) do(actions ...chromedp.Action) {
	b.Helper()
	require.NoError(b, chromedp.Run(b.ctx, actions...))
}

func (b tab) press(selector string) {
	b.Helper()
	_, err := chromedp.RunResponse(b.ctx, chromedp.Click(selector, chromedp.ByQuery))
	require.NoError(b, err)
}

func (b tab) text(selector string) string {
	b.Helper()
	var s string
	b.do(chromedp.Text(selector, &s, chromedp.ByQuery))
	return s
}

func (b tab) address() string {
	var s string
	b.do(chromedp.Location(&s))
	return s
}

// goBy goes back or forth in what the tab has shown. A page that the browser has kept whole is not loaded again.
func (b tab) goBy(n int64) {
	b.Helper()
	assert.Equal(b, b.turn(n), b.address())
}

// turn does, and returns the address that was there.
func (b tab) turn(n int64) string {
	b.Helper()
	var there int64
	var entries []*navigation.NavigationEntry
	b.do(chromedp.NavigationEntries(&there, &entries))
	b.do(navigation.NavigateToHistoryEntry(entries[there+n].ID))
	// The protocol has no word for when a page is there that was kept whole, and the script may be loading it anew.
	require.Eventually(b, func() bool {
		ctx, cancel := context.WithTimeout(b.ctx, 5*time.Second)
		defer cancel()
		return chromedp.Run(ctx, chromedp.Sleep(300*time.Millisecond), chromedp.Reload()) == nil
	}, 30*time.Second, 100*time.Millisecond)
	return entries[there+n].URL
}

// broken lists the words of buttons, labels and the header that stand on two lines.
const broken = `[...document.querySelectorAll(".top *, button, label, summary")].flatMap((e) => [...e.childNodes])
	.filter((n) => n.nodeType === 3).flatMap((n) => [...n.data.matchAll(/[^\s-]{2,20}/g)].filter((word) => {
		const r = document.createRange();
		r.setStart(n, word.index);
		r.setEnd(n, word.index + word[0].length);
		return new Set([...r.getClientRects()].map((at) => Math.round(at.top))).size > 1;
	}).map((word) => word[0]))`

// shoot draws the page on a phone and on a desk. It is never wider than the window, and breaks no word.
func (b tab) shoot(name string) {
	b.Helper()
	for _, width := range []int64{360, 390, 1280} {
		var wide int64
		b.do(chromedp.EmulateViewport(width, 900), chromedp.Evaluate(`document.documentElement.scrollWidth`, &wide))
		assert.LessOrEqual(b, wide, width, "%s is wider than the window", name)
		var words []string
		b.do(chromedp.Evaluate(broken, &words))
		assert.Empty(b, words, "%s breaks words at %d", name, width)
		if *shots != "" && width > 360 {
			var whole []byte
			b.do(chromedp.FullScreenshot(&whole, 100))
			require.NoError(b, os.WriteFile(filepath.Join(*shots, name+"-"+strconv.FormatInt(width, 10)+".png"), whole, 0o600))
		}
	}
}

// walk is a planner who pastes a list, plans, moves, goes back and reloads, and looks at everything.
func (b tab) walk(s *studio, look func(page string)) {
	look("events-empty")
	b.press("a.main")
	look("new")
	b.do(chromedp.SetValue("#text", list, chromedp.ByQuery))
	b.press("button.main")
	look("read")
	b.press("button[value=plan]")
	planned := b.address()
	b.press("#n2 button[value^=down]")
	moved := b.text("#n3 h3")
	look("plan")
	b.do(chromedp.Reload())
	assert.Equal(b, moved, b.text("#n3 h3"))
	b.goBy(-1)
	b.goBy(1)
	assert.Equal(b, moved, b.text("#n3 h3"))
	versions := len(s.versions())
	b.do(chromedp.Navigate(planned), chromedp.Reload())
	assert.Equal(b, moved, b.text("#n3 h3"))
	assert.Len(b, s.versions(), versions, "looking is no step")
	b.press("button[formaction$=undo]")
	assert.NotEqual(b, moved, b.text("#n3 h3"))
	b.press("button[formaction$=redo]")
	assert.Equal(b, moved, b.text("#n3 h3"))
	b.press(".kept a[href*=history]")
	look("history")
	b.press(".mark a")
	look("events")
	b.press(".events .actions a")
	look("delete")
	b.press(".mark a")
	b.press(".foot button")
	look("enter")
}

// Nothing is lost or sent twice, with and without script.
func TestBrowserKeeps(t *testing.T) {
	for _, script := range []bool{true, false} {
		s := open(t, t.TempDir())
		b := s.tab(script)
		look := b.shoot
		if !script {
			look = func(string) {}
		}
		b.walk(s, look)
		assert.Empty(t, *b.complaints)
	}
}

// The pages of what is kept are accessible in both colour schemes, and valid HTML, in languages of both directions.
func TestPagesAreAccessible(t *testing.T) {
	for _, language := range []string{"en", "ar"} {
		s := open(t, t.TempDir())
		b := s.tab(true)
		pages := map[string][]byte{}
		b.do(chromedp.Navigate(s.server.URL + "/?lang=" + language))
		b.walk(s, func(name string) {
			b.shoot(name + "-" + language)
			browsertest.Accessible(t, b.ctx, name+"-"+language, "light", "dark")
			path := strings.TrimPrefix(b.address(), s.server.URL)
			pages[name+"-"+language] = []byte(s.signedIn().get(path).body)
		})
		browsertest.Valid(t, pages)
	}
}

func (s *studio) versions() []int64 {
	all, err := s.store.Work(s.Context(), 9)
	require.NoError(s, err)
	require.Len(s, all, 1)
	list, err := s.store.Versions(s.Context(), all[0].ID, 99)
	require.NoError(s, err)
	var out []int64
	for _, v := range list {
		out = append(out, v.Event.Version)
	}
	return out
}

// Two windows type in one list: the one behind is told, goes on typing, and a reload shows both.
func TestBrowserTypesBehindAnotherWindow(t *testing.T) {
	s := open(t, t.TempDir())
	root := begun(t, s.signedIn()).Request.URL.Path
	one, two := s.tab(true), s.tab(true)
	two.deaf()
	for _, b := range []tab{one, two} {
		b.do(chromedp.Navigate(s.server.URL+root), chromedp.Evaluate(`document.querySelector("#text").closest("details").open = true`, nil))
	}
	one.do(chromedp.SendKeys("#text", "\nCouple with Uma", chromedp.ByQuery))
	require.Eventually(t, func() bool { return slices.Max(s.versions()) > 1 }, 10*time.Second, 50*time.Millisecond, s.log)
	two.do(chromedp.SendKeys("#text", "\nCouple with Per", chromedp.ByQuery), chromedp.WaitVisible("#both", chromedp.ByQuery))
	assert.Contains(t, two.text("#saved"), "kept separately")
	two.do(chromedp.SendKeys("#text", " and Ida", chromedp.ByQuery), chromedp.Reload()) // before a moment has passed
	assert.Contains(t, two.text("h1"), "another window")
	require.Eventually(t, func() bool { return strings.Contains(two.again("body"), "Couple with Per and Ida") }, 10*time.Second, 100*time.Millisecond)
	assert.Contains(t, two.text("body"), "Couple with Uma")
	two.shoot("clash-typed")
	browsertest.Accessible(t, two.ctx, "clash", "light", "dark")
	browsertest.Valid(t, map[string][]byte{"clash": []byte(s.signedIn().get(strings.TrimPrefix(two.address(), s.server.URL)).body)})
	two.press("button[value=mine]")
	var text string
	two.do(chromedp.Value("#text", &text, chromedp.ByQuery))
	assert.Contains(t, text, "Couple with Per and Ida")
	assert.NotContains(t, text, "Uma")
	assert.Empty(t, *one.complaints)
	assert.Empty(t, *two.complaints)
}

// again loads the page again and returns a text of it.
func (b tab) again(selector string) string {
	b.do(chromedp.Reload())
	return b.text(selector)
}

// What is typed and not sent is kept when the window is closed, and so is a new event that was never read.
func TestBrowserKeepsWhatIsTyped(t *testing.T) {
	s := open(t, t.TempDir())
	b := s.tab(true)
	b.press("a.main")
	b.do(chromedp.SendKeys("#text", "Couple with Rosa", chromedp.ByQuery))
	require.Eventually(t, func() bool { return strings.Contains(b.address(), "/events/") }, 20*time.Second, 50*time.Millisecond)
	address := b.address()
	b.do(chromedp.SendKeys("#text", "\nCouple with Karim", chromedp.ByQuery))
	b.do(chromedp.Navigate("about:blank")) // before a moment has passed
	require.Eventually(t, func() bool { return slices.Max(s.versions()) > 1 }, 10*time.Second, 50*time.Millisecond, s.log)
	b.do(chromedp.Navigate(address))
	var text string
	b.do(chromedp.Value("#text", &text, chromedp.ByQuery))
	assert.Equal(t, "Couple with Rosa\nCouple with Karim", text)

	// A link that is pressed at once waits for it.
	b.do(chromedp.Click("details summary", chromedp.ByQuery), chromedp.SendKeys("#text", "\nCouple with Vera", chromedp.ByQuery))
	b.press(".mark a")
	b.press(".events h2 a")
	b.do(chromedp.Value("#text", &text, chromedp.ByQuery))
	assert.Contains(t, text, "Couple with Vera")
	b.press("button[value=read]:not(.unseen)")
	assert.NotContains(t, b.text("h1"), "another window")

	// Two windows: whoever comes second sees both.
	other := s.tab(true)
	other.deaf()
	other.do(chromedp.Navigate(b.address()))
	b.do(chromedp.SetValue("#title", "Mara & Ilyas", chromedp.ByQuery))
	b.press("button[value=read]:not(.unseen)")
	other.do(chromedp.SetValue("#title", "Ilyas & Mara", chromedp.ByQuery))
	other.press("button[value=read]:not(.unseen)")
	assert.Contains(t, other.text("h1"), "another window")
	other.shoot("clash")
	other.do(chromedp.Reload())
	other.press("button.main")
	chosen, _, _ := strings.Cut(other.address(), "?")
	other.turn(-1)
	back, _, _ := strings.Cut(other.address(), "?")
	assert.Equal(t, chosen, back, "the way back sends no form, and leads to what was chosen")
	other.do(chromedp.Value("#title", &text, chromedp.ByQuery))
	assert.Equal(t, "Ilyas & Mara", text)
	assert.Empty(t, *b.complaints)
}

// What is to be looked at in the whole list stands in lines that are as wide as the page.
func TestBrowserMessagesAreWhole(t *testing.T) {
	s := open(t, t.TempDir())
	root := begun(t, s.signedIn()).Request.URL.Path
	p := s.signedIn().get(root)
	s.signedIn().press(p, "read", "block.0.opens", "15:00", "block.0.closes", "14:00")
	b := s.tab(true)
	b.do(emulation.SetDeviceMetricsOverride(390, 844, 2, true), chromedp.Navigate(s.server.URL+root), chromedp.WaitVisible("ul.whole li", chromedp.ByQuery))
	var wraps bool
	b.do(chromedp.Evaluate(`getComputedStyle(document.querySelector("ul.whole")).whiteSpace === "normal"`, &wraps))
	assert.True(t, wraps)
	assert.Empty(t, *b.complaints)
}
