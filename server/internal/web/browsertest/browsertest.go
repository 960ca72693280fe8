// Package browsertest starts a real Chromium for the tests of the pages.
package browsertest

import (
	"context"
	"os/exec"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
)

// Start starts a browser with storage of its own and returns its first tab. It skips the test where no
// Chromium is installed, and with -short. The browser ends with the test, or after limit, because one
// that hangs must not hold the tests up for ever.
func Start(t *testing.T, limit time.Duration, flags ...chromedp.ExecAllocatorOption) context.Context {
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
		t.Skip("no Chromium is installed: the pages are not tried in a browser")
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(program),
		chromedp.NoSandbox, chromedp.DisableGPU, chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true))
	allocated, cancel := chromedp.NewExecAllocator(context.Background(), append(options, flags...)...)
	t.Cleanup(cancel)
	bounded, cancelBound := context.WithTimeout(allocated, limit)
	t.Cleanup(cancelBound)
	ctx, cancelTab := chromedp.NewContext(bounded)
	t.Cleanup(func() {
		if ctx.Err() == nil {
			assert.NoError(t, chromedp.Cancel(ctx)) // waits for the browser to end
		}
		cancelTab()
	})
	return ctx
}
