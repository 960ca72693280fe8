// Package browsertest starts a real Chromium for the tests of the pages.
package browsertest

import (
	"context"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/needs"
)

// Start starts a browser with storage of its own and returns its first tab. The browser ends with the test, or after limit, because one
// that hangs must not hold the tests up for ever.
func Start(t *testing.T, limit time.Duration, flags ...chromedp.ExecAllocatorOption) context.Context {
	t.Helper()
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(needs.Chromium(t)),
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
