package sheet_test

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/sheet"
	"kinorder.example/server/internal/web/browsertest"
)

// Every sheet is valid HTML and accessible, from the left and from the right.
func TestSheetsAreValidAndAccessible(t *testing.T) {
	tab := browsertest.Start(t, 10*time.Minute)
	e, s := quay()
	pages := map[string][]byte{}
	for _, language := range []string{"en", "ar"} {
		for kind, of := range printed {
			pages[kind+"-"+language] = drawn(t, e, s, sheet.Options{Kind: of, Form: sheet.HTML, Language: language})
		}
		pages["pocket-"+language] = drawn(t, e, s, sheet.Options{Kind: sheet.Pocket, Form: sheet.HTML, Language: language})
	}
	browsertest.Valid(t, pages)
	file := filepath.Join(t.TempDir(), "page.html")
	for name, page := range pages {
		require.NoError(t, os.WriteFile(file, page, 0o600))
		require.NoError(t, chromedp.Run(tab, chromedp.Navigate(fmt.Sprintf("file://%s?%s", file, name))))
		browsertest.Accessible(t, tab, name, "light") // they have no other colours
	}
}

// On a telephone no sheet is wider than the screen, in languages with long words.
func TestSheetsFitATelephone(t *testing.T) {
	tab := browsertest.Start(t, 5*time.Minute)
	e, s := quay()
	file := filepath.Join(t.TempDir(), "page.html")
	for _, language := range []string{"en", "de", "fr", "ar"} {
		for kind, of := range printed {
			require.NoError(t, os.WriteFile(file, drawn(t, e, s, sheet.Options{Kind: of, Form: sheet.HTML, Language: language}), 0o600))
			var wide int
			require.NoError(t, chromedp.Run(tab, chromedp.EmulateViewport(390, 844), chromedp.Navigate("file://"+file+"?"+kind+language),
				chromedp.Evaluate("document.documentElement.scrollWidth", &wide)))
			assert.LessOrEqual(t, wide, 390, "%s in %s", kind, language)
		}
	}
}
