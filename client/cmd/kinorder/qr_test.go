package main

import (
	"image"
	"image/color"
	"strings"
	"testing"

	goqr "github.com/piglig/go-qr"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What is drawn on the terminal is read back by another library.
func TestQRCodesCanBeRead(t *testing.T) {
	const address = "https://192.168.1.20:7466/day/#kL0-abcdefghijklmnopqrstuvwxyz_0123456789ABCDEF"
	p := &Program{Width: 80}
	drawn := p.qrLines(address)
	lines := strings.Split(strings.TrimSuffix(drawn, "\n"), "\n")
	const scale = 4
	seen := image.NewGray(image.Rect(0, 0, 80*scale, 2*len(lines)*scale))
	for i := range seen.Pix {
		seen.Pix[i] = 255
	}
	for y, line := range lines {
		line, black := strings.CutPrefix(line, "\x1b[30;107m")
		require.True(t, black, "whatever the colours of the terminal")
		for x, r := range []rune(strings.TrimSuffix(line, "\x1b[0m")) {
			for half, dark := range []bool{r == '█' || r == '▀', r == '█' || r == '▄'} {
				for k := range scale * scale {
					if dark {
						seen.SetGray(x*scale+k%scale, (2*y+half)*scale+k/scale, color.Gray{})
					}
				}
			}
		}
	}
	read, err := goqr.Decode(seen)
	require.NoError(t, err)
	assert.Equal(t, address, read)

	p.Width = 40
	assert.Empty(t, p.qrLines(address), "half of it is of no use")
	p.Width = 0
	assert.Empty(t, p.qrLines(address), "a file is no screen")
}
