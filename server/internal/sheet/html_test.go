package sheet_test

import (
	"fmt"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"kinorder.example/server/internal/event"
)

func TestHTMLGolden(t *testing.T) {
	e, s := quay()
	page := draw(t, e, s)
	golden(t, "quay.html", page)
}

// void elements have no end tag (HTML Living Standard, section 13.1.2; from memory).
var void = map[string]bool{"meta": true, "input": true, "br": true, "hr": true, "img": true, "link": true, "col": true}

// Every tag that is opened is closed in order, and the page takes nothing from outside and runs
// nothing.
func TestHTMLIsWellFormed(t *testing.T) {
	quayEvent, quaySheet := quay()
	quayEvent.Title = `</style><script>alert(1)</script>"; } @import url(//x.example)`
	quayEvent.People[0].Name = `<b onload="x">&amp; "Amara"`
	quayEvent.Blocks[0].Title = "a\\\"} b\n<!-- "
	crowdEvent, crowdSheet := crowd(200, 10, 30)
	for name, page := range map[string][]byte{
		"quay": draw(t, quayEvent, quaySheet), "crowd": draw(t, crowdEvent, crowdSheet), "empty": draw(t, event.Event{}, event.CallSheet{}),
	} {
		t.Run(name, func(t *testing.T) { wellFormed(t, name, string(page)) })
	}
}

// wellFormed checks a page.
func wellFormed(t *testing.T, name, page string) {
	t.Helper()
	z := html.NewTokenizer(strings.NewReader(page))
	var open []string
	ids := map[string]bool{}
	for z.Next() != html.ErrorToken {
		tok := z.Token()
		switch tok.Type {
		case html.StartTagToken:
			assert.NotContains(t, []string{"script", "iframe", "object", "embed", "link", "base", "img", "b onload"}, tok.Data, name)
			for _, a := range tok.Attr {
				assert.NotRegexp(t, `^(on.*|src|href|action|style)$`, a.Key, name)
				if a.Key == "id" {
					assert.False(t, ids[a.Val], "id %s twice in %s", a.Val, name)
					ids[a.Val] = true
				}
			}
			if !void[tok.Data] {
				open = append(open, tok.Data)
			}
		case html.EndTagToken:
			require.NotEmpty(t, open, name)
			require.Equal(t, open[len(open)-1], tok.Data, name)
			open = open[:len(open)-1]
		}
	}
	assert.Empty(t, open, name)
	assert.NotContains(t, page, "ZgotmplZ", name)
	assert.NotRegexp(t, `url\(|@import url|https?:`, strings.ReplaceAll(page, "@import url(//x.example)", ""), name)
}

// Each entry of the page holds every name that is called in it, set off against its neighbours.
func TestHTMLHoldsEveryCall(t *testing.T) {
	e, s := quay()
	names := map[string]string{}
	for _, p := range e.People {
		names[p.ID] = p.Name
	}
	parts := strings.Split(string(draw(t, e, s)), "<article")
	at := 1
	for _, b := range s.Blocks {
		for _, entry := range b.Entries {
			calls := regexp.MustCompile(`<bdi dir="auto" class="name">([^<]*)</bdi>`).FindAllStringSubmatch(parts[at], -1)
			require.Len(t, calls, len(entry.StepIn), entry.Title)
			var want, got []string
			for i, id := range entry.StepIn {
				want, got = append(want, names[id]), append(got, html.UnescapeString(calls[i][1]))
			}
			assert.ElementsMatch(t, want, got)
			at++
		}
	}
}

// Every colour of the page has at least 7:1 against white, WCAG 2.2 success criterion 1.4.6 (level
// AAA). The luminance formula is that of its definition of relative luminance (from memory); it is
// checked on three published pairs: #000000 21, #595959 7.005, #767676 4.542.
func TestContrast(t *testing.T) {
	for hex, want := range map[string]float64{"000000": 21, "595959": 7.005, "767676": 4.542} {
		assert.InDelta(t, want, contrastOnWhite(t, hex), 0.005)
	}
	var css []byte
	for _, name := range []string{"base", "pocket", "entry", "call", "reader", "finder", "cards", "chart", "standing", "planner"} {
		part, err := os.ReadFile(name + ".css")
		require.NoError(t, err)
		css = append(css, part...)
	}
	colours := regexp.MustCompile(`#([0-9a-f]{3,6})\b`).FindAllStringSubmatch(string(css), -1)
	require.NotEmpty(t, colours)
	for _, c := range colours {
		hex := c[1]
		if len(hex) == 3 {
			hex = fmt.Sprintf("%c%c%c%c%c%c", hex[0], hex[0], hex[1], hex[1], hex[2], hex[2])
		}
		if hex != "ffffff" {
			assert.GreaterOrEqual(t, contrastOnWhite(t, hex), 7.0, hex)
		}
	}
	// White is only ever the ground.
	for _, use := range regexp.MustCompile(`([a-z-]+): *#fff\b`).FindAllStringSubmatch(string(css), -1) {
		assert.Contains(t, []string{"background", "fill"}, use[1])
	}
	assert.NotRegexp(t, `rgb\(|hsl\(|opacity|var\(--[a-z]*colou?r`, string(css))
}

// contrastOnWhite returns the contrast ratio of a colour against white.
func contrastOnWhite(t *testing.T, hex string) float64 {
	t.Helper()
	luminance := 0.0
	for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
		n, err := strconv.ParseUint(hex[2*i:2*i+2], 16, 8)
		require.NoError(t, err)
		c := float64(n) / 255
		if c <= 0.04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+0.055)/1.055, 2.4)
		}
		luminance += weight * c
	}
	return 1.05 / (luminance + 0.05)
}
