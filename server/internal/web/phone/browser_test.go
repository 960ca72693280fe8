package phone

import (
	"context"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/store"
)

// shots, when given, is a folder into which the browser tests draw the pages, to be looked at.
var shots = flag.String("shots", "", "draw the pages into this folder")

// phoneTab is a tab of a real Chromium, as large as a telephone.
type phoneTab struct {
	*testing.T
	ctx        context.Context
	complaints *[]string
}

// device starts a browser with storage of its own, or skips the test where there is none.
func device(t *testing.T, flags ...chromedp.ExecAllocatorOption) phoneTab {
	t.Helper()
	if testing.Short() {
		t.Skip("a browser takes seconds: left out with -short")
	}
	program := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			program = path
			break
		}
	}
	if program == "" {
		t.Skip("no Chromium is installed: the page is not tried in a browser")
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(program),
		chromedp.NoSandbox, chromedp.DisableGPU, chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true))
	allocated, cancel := chromedp.NewExecAllocator(context.Background(), append(options, flags...)...)
	t.Cleanup(cancel)
	// A browser that hangs must not hold the tests up for ever.
	bounded, cancelBound := context.WithTimeout(allocated, 4*time.Minute)
	t.Cleanup(cancelBound)
	ctx, cancelTab := chromedp.NewContext(bounded)
	t.Cleanup(func() {
		assert.NoError(t, chromedp.Cancel(ctx))
		cancelTab()
	})
	return prepared(t, ctx)
}

// another opens another tab of the same device.
func (b phoneTab) another() phoneTab {
	ctx, cancel := chromedp.NewContext(b.ctx)
	b.Cleanup(cancel)
	return prepared(b.T, ctx)
}

func prepared(t *testing.T, ctx context.Context) phoneTab {
	b := phoneTab{t, ctx, &[]string{}}
	chromedp.ListenTarget(ctx, func(ev any) {
		switch e := ev.(type) {
		case *runtime.EventConsoleAPICalled:
			if e.Type == runtime.APITypeError {
				*b.complaints = append(*b.complaints, "console error")
			}
		case *runtime.EventExceptionThrown:
			*b.complaints = append(*b.complaints, e.ExceptionDetails.Error())
		case *log.EventEntryAdded:
			// What the policy refuses is logged as a security error. That the network is gone is no fault.
			if e.Entry.Level == log.LevelError && e.Entry.Source != log.SourceNetwork {
				*b.complaints = append(*b.complaints, string(e.Entry.Source)+": "+e.Entry.Text)
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
		b.Fatalf("%s is not to be seen: %v\n%s\n%v", selector, err, b.js("document.body.innerText"), *b.complaints)
	}
}

// until waits until an expression of the page is true.
func (b phoneTab) until(expression string) {
	b.Helper()
	var done bool
	err := chromedp.Run(b.ctx, chromedp.Poll(expression, &done, chromedp.WithPollingInterval(50*time.Millisecond), chromedp.WithPollingTimeout(30*time.Second)))
	if err != nil {
		b.Fatalf("%s does not come true: %v\n%s\n%v", expression, err, b.js("document.body.innerText"), *b.complaints)
	}
}

func (b phoneTab) js(expression string) string {
	b.Helper()
	var out any
	b.do(chromedp.Evaluate(expression, &out))
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
	var at struct{ X, Y float64 }
	b.do(chromedp.Evaluate(fmt.Sprintf(`(() => {
		const e = document.querySelector(%q);
		e.scrollIntoView({ block: "center", behavior: "instant" });
		const r = e.getBoundingClientRect();
		return { X: r.x + r.width / 2, Y: r.y + r.height / 2 };
	})()`, selector), &at))
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
		require.NoError(b, os.WriteFile(filepath.Join(*shots, name+"-"+scheme+".png"), seen, 0o600))
	}
}

func TestBrowserLead(t *testing.T) {
	s := newStage(t, quay(t, time.Now().Add(-2*time.Minute)))
	s.serve()
	b := device(t)
	b.visit(s, store.Lead)
	b.see("#taken")
	b.shoot("lead")
	assert.NotContains(t, b.js("location.href"), s.secrets[store.Lead])
	b.press("#taken")
	b.until("document.querySelector('.last')?.innerText.includes('Taken')")
	b.shoot("lead-second")
	b.press("#missing")
	b.see("dialog[open]")
	b.shoot("missing")
	b.press("dialog .close")
	for _, tab := range []string{"list", "overview", "people", "more"} {
		b.press("[data-key=tab-" + tab + "]")
		b.shoot("lead-" + tab)
	}
	b.press("[data-key=add]")
	b.see("#newtitle")
	b.shoot("add")
	assert.Empty(t, *b.complaints)
}

// A reader sees whom to call and nothing private; an owner sees the whole.
func TestBrowserReaderAndOwner(t *testing.T) {
	s := newStage(t, quay(t, time.Now().Add(-2*time.Minute)))
	s.serve()
	lead := device(t)
	lead.visit(s, store.Lead) // begins the run
	lead.see("#taken")
	reader := device(t)
	reader.visit(s, store.Reader)
	reader.see(".call")
	reader.shoot("reader")
	lead.press("#taken")
	reader.until("document.querySelector('.where').innerText.includes('2 of')")
	lead.press("#taken")
	reader.until("document.querySelector('.where').innerText.includes('3 of')")
	reader.shoot("reader-third")
	for _, tab := range []string{"list", "more"} {
		reader.press("[data-key=tab-" + tab + "]")
		reader.shoot("reader-" + tab)
	}
	owner := device(t)
	owner.visit(s, store.Owner)
	owner.see("progress")
	owner.shoot("owner")
	lead.do(chromedp.Evaluate("document.querySelector('[data-key=tab-more]').click()", nil))
	lead.do(chromedp.SetValue("#language", "ar", chromedp.ByQuery), chromedp.Evaluate("document.querySelector('#language').dispatchEvent(new Event('change'))", nil))
	lead.press("[data-key=tab-now]")
	lead.shoot("lead-ar")
	lead.press("[data-key=tab-overview]")
	lead.shoot("overview-ar")
	assert.NotContains(t, reader.js("document.documentElement.innerHTML"), lapwing)
	for _, b := range []phoneTab{lead, reader, owner} {
		assert.Empty(t, *b.complaints)
	}
}

// Without signal the page opens, takes marks and says so; with it they arrive, each once.
func TestBrowserOffline(t *testing.T) {
	s := newStage(t, quay(t, time.Now().Add(-2*time.Minute)))
	s.serve()
	b := device(t)
	b.visit(s, store.Lead)
	b.see("#taken")
	b.until("navigator.serviceWorker.controller !== null")
	s.cut()
	b.see("#contact")
	for i := range 3 {
		b.press("#taken")
		b.until(fmt.Sprintf("document.querySelector('[data-unsent]')?.dataset.unsent === '%d'", i+1))
	}
	b.shoot("offline")
	b.do(chromedp.Reload())
	b.see("#taken")
	b.until("document.querySelector('[data-unsent]')?.dataset.unsent === '3'")
	b.until("document.querySelector('.where').innerText.includes('4 of')")
	b.press("#undo")
	b.until("document.querySelector('.where').innerText.includes('3 of')")
	s.serve()
	b.until("document.querySelector('#unsent').hidden")
	u := s.current()
	assert.Len(t, u.Marks, 4)
	assert.Empty(t, *b.complaints)
}
