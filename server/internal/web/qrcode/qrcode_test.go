package qrcode

import (
	"fmt"
	"image"
	"image/color"
	"regexp"
	"testing"

	goqr "github.com/piglig/go-qr"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What is drawn on a page is read back by another library.
func TestSVGCanBeRead(t *testing.T) {
	const address, scale = "https://192.168.1.20:7468/day/#kL0-abcdefghijklmnopqrs", 4
	drawn, err := SVG(address, `<a> & "b"`)
	require.NoError(t, err)
	assert.Contains(t, drawn, `aria-label="&lt;a&gt; &amp; &#34;b&#34;"`)
	var width, height int
	_, err = fmt.Sscanf(regexp.MustCompile(`viewBox="0 0 \d+ \d+"`).FindString(string(drawn)), `viewBox="0 0 %d %d"`, &width, &height)
	require.NoError(t, err)
	seen := image.NewGray(image.Rect(0, 0, width*scale, height*scale))
	for i := range seen.Pix {
		seen.Pix[i] = 255
	}
	for _, run := range regexp.MustCompile(`M\d+ \d+h\d+`).FindAllString(string(drawn), -1) {
		var x, y, long int
		_, err := fmt.Sscanf(run, "M%d %dh%d", &x, &y, &long)
		require.NoError(t, err)
		for k := range long * scale * scale {
			seen.SetGray(x*scale+k%(long*scale), y*scale+k/(long*scale), color.Gray{})
		}
	}
	read, err := goqr.Decode(seen)
	require.NoError(t, err)
	assert.Equal(t, address, read)
}
