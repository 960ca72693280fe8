package sheet_test

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/sheet"
)

// A sheet whose last page would be half empty is set larger, and takes no page more for that on either paper.
func TestSheetsFillTheirPages(t *testing.T) {
	print := pdfPrinter(t)
	zoom := regexp.MustCompile(`zoom: [0-9.]+`)
	set := 0
	for _, photos := range []int{8, 14, 20, 26} {
		for _, language := range []string{"en", "pt", "ar"} {
			for _, kind := range []sheet.Kind{sheet.Call, sheet.Reader, sheet.Finder, sheet.Planner} {
				e, s := lined(photos)
				s.Advice = []event.Advice{{Severity: event.Info}, {Severity: event.Info}}
				page := string(drawn(t, e, s, sheet.Options{Kind: kind, Form: sheet.HTML, Paper: sheet.Paper(1 + photos/2%2), Language: language}))
				if factor := zoom.FindString(page); factor != "" {
					set++
					pages, _ := measure(t, print([]byte(page)))
					before, _ := measure(t, print([]byte(strings.Replace(page, factor, "zoom: 1", 1))))
					assert.Equal(t, before, pages, "%d in %s, sheet %d, %s", photos, language, kind, factor)
				}
			}
		}
	}
	assert.Greater(t, set, 24, "most of them have room")
}
