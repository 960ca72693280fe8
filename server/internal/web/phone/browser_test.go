package phone

import (
	"context"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/web/browsertest"
)

func TestMain(m *testing.M) { browsertest.Main(m) }

// shots, when given, is a folder into which the browser tests draw the pages, to be looked at.
var shots = flag.String("shots", "", "draw the pages into this folder")

// phoneTab is a tab of a real Chromium, as large as a telephone.
type phoneTab struct {
	*testing.T
	ctx context.Context
	// complaints are what the page wrote to the console as errors, such as refusals of its policy; asked are
	// the addresses that it asked for, and what it told of where they stood.
	complaints, asked *noted
}

// noted are texts that a browser tells from a goroutine of its own.
type noted struct {
	mu   sync.Mutex
	list []string
}

func (n *noted) add(texts ...string) {
	n.mu.Lock()
	defer n.mu.Unlock()
	n.list = append(n.list, texts...)
}

func (n *noted) all() []string {
	n.mu.Lock()
	defer n.mu.Unlock()
	return slices.Clone(n.list)
}

// device is a tab with storage of its own; with flags, in a browser of its own.
func device(t *testing.T, flags ...chromedp.ExecAllocatorOption) phoneTab {
	t.Helper()
	return prepared(t, browsertest.Start(t, 4*time.Minute, flags...))
}

// another opens another tab of the same device.
func (b phoneTab) another() phoneTab {
	ctx, cancel := chromedp.NewContext(b.ctx)
	b.Cleanup(cancel)
	return prepared(b.T, ctx)
}

func prepared(t *testing.T, ctx context.Context) phoneTab {
	b := phoneTab{t, ctx, &noted{}, &noted{}}
	chromedp.ListenTarget(ctx, func(ev any) {
		switch e := ev.(type) {
		case *runtime.EventConsoleAPICalled:
			if e.Type == runtime.APITypeError {
				b.complaints.add("console error")
			}
		case *runtime.EventExceptionThrown:
			b.complaints.add(e.ExceptionDetails.Error())
		case *network.EventRequestWillBeSent:
			b.asked.add(e.Request.URL, fmt.Sprint(e.Request.Headers["Referer"]))
		case *log.EventEntryAdded:
			// What the policy refuses is logged as a security error. That the network is gone is no fault.
			if e.Entry.Level == log.LevelError && e.Entry.Source != log.SourceNetwork {
				b.complaints.add(string(e.Entry.Source) + ": " + e.Entry.Text)
			}
		}
	})
	b.do(network.Enable(), log.Enable(), page.Enable(), emulation.SetDeviceMetricsOverride(390, 844, 1, true), emulation.SetTouchEmulationEnabled(true))
	return b
}

func (b phoneTab) do(actions ...chromedp.Action) {
	b.Helper()
	require.NoError(b, chromedp.Run(b.ctx, actions...))
}

// visit opens a link of a role.
func (b phoneTab) visit(s *stage, role store.Role) {
	b.Helper()
	b.do(chromedp.Navigate("http://" + s.address + Prefix + "#" + s.secrets[role]))
	b.see("nav:not([hidden])")
}

// see waits until something is there to be seen.
func (b phoneTab) see(selector string) {
	b.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, 30*time.Second)
	defer cancel()
	if err := chromedp.Run(ctx, chromedp.WaitVisible(selector, chromedp.ByQuery)); err != nil {
		b.Fatalf("%s is not to be seen: %v\n%s\n%v", selector, err, b.js("document.body.innerText"), b.complaints.all())
	}
}

// until waits until an expression of the page is true.
func (b phoneTab) until(expression string) {
	b.Helper()
	if err := b.comesTrue(expression, 30*time.Second); err != nil {
		b.Fatalf("%s does not come true: %v\n%s\n%v", expression, err, b.js("document.body.innerText"), b.complaints.all())
	}
}

func (b phoneTab) comesTrue(expression string, within time.Duration) error {
	var done bool
	return chromedp.Run(b.ctx, chromedp.Poll(expression, &done, chromedp.WithPollingInterval(50*time.Millisecond), chromedp.WithPollingTimeout(within)))
}

func (b phoneTab) js(expression string) string {
	b.Helper()
	var out any
	b.do(chromedp.Evaluate(expression, &out, func(p *runtime.EvaluateParams) *runtime.EvaluateParams { return p.WithAwaitPromise(true) }))
	return fmt.Sprint(out)
}

func (b phoneTab) text(selector string) string {
	b.Helper()
	return b.js(fmt.Sprintf("document.querySelector(%q)?.innerText ?? ''", selector))
}

// press presses where something is.
func (b phoneTab) press(selector string) {
	b.Helper()
	b.see(selector)
	b.until(fmt.Sprintf("document.querySelector(%q).getAttribute('aria-disabled') !== 'true'", selector))
	// What comes or goes above moves it: it is pressed where it has stood for a moment.
	b.until(fmt.Sprintf(`(() => {
		const e = document.querySelector(%q), was = globalThis.pressAt;
		e.scrollIntoView({ block: "center", behavior: "instant" });
		const r = e.getBoundingClientRect();
		globalThis.pressAt = { X: r.x + r.width / 2, Y: r.y + r.height / 2 };
		return was?.X === pressAt.X && was.Y === pressAt.Y;
	})()`, selector))
	var at struct{ X, Y float64 }
	b.do(chromedp.Evaluate("pressAt", &at), chromedp.Evaluate("delete globalThis.pressAt", nil))
	b.do(chromedp.MouseClickXY(at.X, at.Y))
}

// shoot draws what is seen, in both colour schemes, when pictures are asked for.
func (b phoneTab) shoot(name string) {
	b.Helper()
	if *shots == "" {
		return
	}
	for _, scheme := range []string{"light", "dark"} {
		var seen []byte
		b.do(emulation.SetEmulatedMedia().WithFeatures([]*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}), chromedp.CaptureScreenshot(&seen))
		draw(b, name+"-"+scheme+".png", seen)
	}
}

func draw(b phoneTab, name string, content []byte) {
	require.NoError(b, os.WriteFile(filepath.Join(*shots, name), content, 0o600))
}

// end closes the browser.
func (b phoneTab) end() { require.NoError(b, chromedp.Cancel(b.ctx)) }

// rows are the titles in a list of the page.
func (b phoneTab) rows(selector string) []string {
	b.Helper()
	var out []string
	b.do(chromedp.Evaluate(fmt.Sprintf("[...document.querySelectorAll(%q)].map((e) => e.innerText.trim())", selector), &out))
	return out
}

// pressText presses the button of the open dialog that says something.
func (b phoneTab) pressText(text string) {
	b.Helper()
	b.until(fmt.Sprintf(`[...document.querySelectorAll("dialog[open] button")].some((e) => e.innerText.startsWith(%q))`, text))
	b.do(chromedp.Evaluate(fmt.Sprintf(`[...document.querySelectorAll("dialog[open] button")].find((e) => e.innerText.startsWith(%q)).id = "tobepressed"`, text), nil))
	b.press("#tobepressed")
	b.until("!document.querySelector('dialog').open")
}

// tab opens a view. A line above that comes or goes moves what is below it, so that a press can miss: a
// second one may be needed, and a third is a fault.
func (b phoneTab) tab(name string) {
	b.Helper()
	selector := "[data-key=tab-" + name + "]"
	opened := fmt.Sprintf("document.querySelector(%q)?.getAttribute('aria-current') === 'page'", selector)
	for range 2 {
		b.press(selector)
		if b.comesTrue(opened, 8*time.Second) == nil {
			return
		}
	}
	b.Fatalf("%s does not open", selector)
}

// pass lets time go by, for the server and for phones.
func (s *stage) pass(d time.Duration, phones ...phoneTab) {
	s.Helper()
	ahead := s.ahead.Add(d.Milliseconds())
	for _, b := range phones {
		b.do(chromedp.Evaluate(fmt.Sprintf("localStorage.setItem('ahead', '%d')", ahead), nil))
	}
}

// storyClock puts the clock of the story into every page of a tab.
const storyClock = `{ const real = Date.now.bind(Date); Date.now = () => real() + Number(localStorage.getItem("ahead") || 0); }`

func (b phoneTab) withStoryClock() phoneTab { return b.first(storyClock) }

// first has every page of a tab begin with a script of the test.
func (b phoneTab) first(script string) phoneTab {
	b.do(chromedp.ActionFunc(func(ctx context.Context) error {
		_, err := page.AddScriptToEvaluateOnNewDocument(script).Do(ctx)
		return err
	}))
	return b
}

// typed types into a field, as fingers do.
func typed(selector, text string) chromedp.Action {
	return chromedp.Tasks{chromedp.Evaluate(fmt.Sprintf("document.querySelector(%q).value = ''", selector), nil), chromedp.SendKeys(selector, text, chromedp.ByQuery)}
}

// shows waits until something says a text, whatever marks of direction are in it.
func (b phoneTab) shows(selector, text string) {
	b.Helper()
	b.until(fmt.Sprintf(`(document.querySelector(%q)?.innerText ?? "").replace(/[\u2066-\u2069]/g, "").includes(%q)`, selector, text))
}
