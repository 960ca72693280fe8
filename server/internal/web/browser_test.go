package web

import (
	"context"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/web/browsertest"
)

func TestMain(m *testing.M) { browsertest.Main(m) }

// shots, when given, is a folder into which the browser tests draw the pages, to be looked at.
var shots = flag.String("shots", "", "draw the pages into this folder")

// browser is a tab of a real Chromium with nothing from outside.
type browser struct {
	*testing.T
	ctx context.Context
	// complaints are what the page wrote to the console as errors, such as refusals of its policy.
	complaints *[]string
}

// openBrowser opens a tab.
func openBrowser(t *testing.T, script bool) browser {
	t.Helper()
	ctx := browsertest.Start(t, 3*time.Minute)
	b := browser{t, ctx, &[]string{}}
	chromedp.ListenTarget(ctx, func(ev any) {
		if e, ok := ev.(*runtime.EventConsoleAPICalled); ok && e.Type == runtime.APITypeError {
			*b.complaints = append(*b.complaints, "console error")
		}
		if e, ok := ev.(*runtime.EventExceptionThrown); ok {
			*b.complaints = append(*b.complaints, e.ExceptionDetails.Error())
		}
	})
	// A window that nobody looks at has no focus to show.
	b.do(emulation.SetScriptExecutionDisabled(!script), emulation.SetFocusEmulationEnabled(true))
	return b
}

func (b browser) do(actions ...chromedp.Action) {
	b.Helper()
	require.NoError(b, chromedp.Run(b.ctx, actions...))
}

// press presses a button and waits for the page that comes.
func (b browser) press(selector string) {
	b.Helper()
	_, err := chromedp.RunResponse(b.ctx, chromedp.Click(selector, chromedp.ByQuery))
	require.NoError(b, err)
}

func (b browser) text(selector string) string {
	b.Helper()
	var s string
	b.do(chromedp.Text(selector, &s, chromedp.ByQuery))
	return s
}

// shoot draws the page at two widths in both colour schemes, what is seen of it and the whole, when
// pictures are asked for.
func (b browser) shoot(name string) {
	b.Helper()
	if *shots == "" {
		return
	}
	for _, width := range []int64{390, 1280} {
		for _, scheme := range []string{"light", "dark"} {
			var whole, seen []byte
			b.do(chromedp.EmulateViewport(width, 900),
				emulation.SetEmulatedMedia().WithFeatures([]*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}),
				chromedp.CaptureScreenshot(&seen), chromedp.FullScreenshot(&whole, 100))
			file := filepath.Join(*shots, fmt.Sprintf("%s-%s-%d", name, scheme, width))
			require.NoError(b, os.WriteFile(file+".png", whole, 0o600))
			require.NoError(b, os.WriteFile(file+"-seen.png", seen, 0o600))
		}
	}
	b.do(chromedp.EmulateViewport(1280, 900))
}

// A planner without script pastes a list with a mistake, mends it beside its line, plans, moves a
// photograph by hand and opens the sheet to print.
func TestBrowserWithoutScript(t *testing.T) {
	b := openBrowser(t, false)
	b.walk()
}

// The same with script.
func TestBrowserWithScript(t *testing.T) {
	b := openBrowser(t, true)
	b.walk()
	assert.Empty(t, *b.complaints)
}

// The example of a typed list becomes a plan: read, one question answered by choosing, planned.
func TestBrowserWithATypedList(t *testing.T) {
	b := openBrowser(t, true)
	b.do(chromedp.Navigate(serveTest(t) + "example"))
	b.shoot("start")
	b.press("button.main")
	b.shoot("asked")
	b.do(chromedp.Click(".asked input[type=radio]", chromedp.ByQuery))
	b.press("button[value=plan]")
	assert.Contains(t, b.text(".sums"), "in this order")
	assert.Empty(t, *b.complaints)
}

func (b browser) walk() {
	address := serveTest(b.T)
	b.do(chromedp.Navigate(address))
	faulty := strings.Replace(harbour(b.T), "members: [couple, a-grandparents]", "members: [couple, a-grandparent]", 1)
	b.do(chromedp.SetValue("#text", faulty, chromedp.ByQuery))
	b.press("button.main")
	assert.Contains(b, b.text("h1"), "to fix")
	assert.Contains(b, b.text(".lines .mend"), "a-grandparents")
	b.shoot("mend")
	var line string
	b.do(chromedp.Value(".lines .mend textarea", &line, chromedp.ByQuery))
	b.do(chromedp.SetValue(".lines .mend textarea", strings.Replace(line, "a-grandparent]", "a-grandparents]", 1), chromedp.ByQuery))
	b.press("button[value=read]:not(.unseen)")
	assert.Equal(b, "Everything in your list was understood", b.text("h1"))
	b.press("button[value=add-rule]")
	b.shoot("list")
	b.press("button[value=plan]")
	assert.Contains(b, b.text(".sums"), "in this order")
	b.shoot("plan")
	b.press("#n12 button[value^=down]")
	assert.Regexp(b, `Step-ins: [+−±]\d+, .* min compared with the best order`, b.text(".bar"))
	b.shoot("moved")
	b.press("button[value=compare]")
	assert.Contains(b, b.text("table"), "Least coming and going")
	b.shoot("compared")
}
