// Package browsertest has a real Chromium for the tests of pages. A package that uses it hands its tests
// to Main:
//
//	func TestMain(m *testing.M) { browsertest.Main(m) }
package browsertest

import (
	"context"
	"os"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/target"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/needs"
)

// shared is the browser that tests open their tabs in, nil until the first does: starting one takes more
// than most tests. Tests with a browser do not run in parallel.
var shared context.Context

// Main runs the tests of a package and ends the browser that they shared.
func Main(m *testing.M) {
	code := m.Run()
	if shared != nil {
		_ = chromedp.Cancel(shared) // the tests have been judged
	}
	os.Exit(code)
}

// Start opens a tab with storage of its own, as on another device. It is closed with the test, or after
// limit, because one that hangs must not hold the tests up for ever. With flags the tab is in a browser of
// its own, which ends with it.
func Start(t *testing.T, limit time.Duration, flags ...chromedp.ExecAllocatorOption) context.Context {
	t.Helper()
	program := needs.Chromium(t)
	if len(flags) > 0 {
		bounded, cancel := context.WithTimeout(context.Background(), limit)
		t.Cleanup(cancel)
		ctx := launched(bounded, program, flags...)
		t.Cleanup(func() {
			if ctx.Err() == nil {
				assert.NoError(t, chromedp.Cancel(ctx)) // waits for the browser to end
			}
		})
		return ctx
	}
	if shared == nil {
		browser := launched(context.Background(), program)
		require.NoError(t, chromedp.Run(browser))
		shared = browser
	}
	bounded, cancel := context.WithTimeout(shared, limit)
	t.Cleanup(cancel)
	ctx, closeTab := chromedp.NewContext(bounded, chromedp.WithExistingBrowserContext(storage(t)))
	t.Cleanup(closeTab)
	return ctx
}

// storage makes a browser context in the shared browser, with a window: since Chromium 156 tabs are not opened
// where there is none.
func storage(t *testing.T) cdp.BrowserContextID {
	t.Helper()
	browser := cdp.WithExecutor(shared, chromedp.FromContext(shared).Browser)
	id, err := target.CreateBrowserContext().Do(browser)
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, target.DisposeBrowserContext(id).Do(browser)) })
	_, err = target.CreateTarget("about:blank").WithBrowserContextID(id).WithNewWindow(true).Do(browser)
	require.NoError(t, err)
	return id
}

// launched is a browser that starts with the first thing that it has to do.
func launched(ctx context.Context, program string, flags ...chromedp.ExecAllocatorOption) context.Context {
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(program),
		chromedp.NoSandbox, chromedp.DisableGPU, chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true))
	allocated, _ := chromedp.NewExecAllocator(ctx, append(options, flags...)...)
	browser, _ := chromedp.NewContext(allocated)
	return browser
}
