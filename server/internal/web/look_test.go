package web

import (
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// luminance is the relative luminance of a colour of the form #rrggbb (WCAG 2.2, "relative luminance").
func luminance(t *testing.T, hex string) float64 {
	t.Helper()
	require.Len(t, hex, 7)
	sum := 0.0
	for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
		n, err := strconv.ParseUint(hex[1+2*i:3+2*i], 16, 8)
		require.NoError(t, err)
		c := float64(n) / 255
		if c <= 0.04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+0.055)/1.055, 2.4)
		}
		sum += weight * c
	}
	return sum
}

// contrast is the contrast ratio of two colours (WCAG 2.2, "contrast ratio").
func contrast(t *testing.T, a, b string) float64 {
	t.Helper()
	x, y := luminance(t, a), luminance(t, b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// Text has a contrast of 7 to 1 (WCAG 2.2, 1.4.6 at level AAA), edges of fields and the focus 3 to 1
// (1.4.11), in both schemes.
func TestContrast(t *testing.T) {
	for _, file := range []string{"assets/page.css", "phone/assets/day.css"} {
		t.Run(file, func(t *testing.T) { contrasts(t, file) })
	}
}

func contrasts(t *testing.T, file string) {
	style, err := os.ReadFile(file)
	require.NoError(t, err)
	light, dark, found := strings.Cut(string(style), "@media (prefers-color-scheme: dark)")
	require.True(t, found)
	dark, _, _ = strings.Cut(dark, "\n}\n")
	for name, part := range map[string]string{"light": light, "dark": dark} {
		colour := map[string]string{}
		for _, m := range regexp.MustCompile(`--([a-z-]+): (#[0-9a-f]{6})`).FindAllStringSubmatch(part, -1) {
			colour[m[1]] = m[2]
		}
		for _, pair := range [][2]string{
			{"ink", "ground"}, {"ink", "card"}, {"ink", "tint"}, {"ink", "mend-tint"}, {"ink", "check-tint"},
			{"soft", "ground"}, {"soft", "card"}, {"soft", "tint"}, {"deep", "ground"}, {"deep", "card"}, {"on-deep", "deep"},
			{"mend", "mend-tint"}, {"mend", "card"}, {"check", "check-tint"}, {"check", "card"},
		} {
			assert.GreaterOrEqual(t, contrast(t, colour[pair[0]], colour[pair[1]]), 7.0, "%s: %s on %s", name, pair[0], pair[1])
		}
		for _, ground := range []string{"ground", "card"} {
			assert.GreaterOrEqual(t, contrast(t, colour["edge"], colour[ground]), 3.0, "%s: edge on %s", name, ground)
			assert.GreaterOrEqual(t, contrast(t, colour["deep"], colour[ground]), 3.0, "%s: focus on %s", name, ground)
		}
	}
}
