// Package qrcode draws addresses for the cameras of phones.
package qrcode

import (
	"fmt"
	"html/template"
	"image"
	"image/color"
	"strings"

	"github.com/boombuler/barcode/qr"
)

// quiet is the margin that readers of QR codes need, in modules (ISO/IEC 18004).
const quiet = 4

// SVG draws an address for the camera of a phone, black on white whatever the colours of the page. The label says what
// it is to whoever does not see it.
func SVG(address, label string) (template.HTML, error) {
	code, err := qr.Encode(address, qr.M, qr.Auto)
	if err != nil {
		return "", fmt.Errorf("qrcode: draw an address: %w", err)
	}
	within := code.Bounds()
	dark := func(x, y int) bool {
		at := image.Pt(x, y).Add(within.Min)
		return at.In(within) && color.GrayModel.Convert(code.At(at.X, at.Y)) == color.Gray{}
	}
	var path strings.Builder
	for y := range within.Dy() {
		for x := 0; x < within.Dx(); x++ {
			from := x
			for dark(x, y) {
				x++
			}
			if x > from {
				fmt.Fprintf(&path, "M%d %dh%dv1h-%dz", from+quiet, y+quiet, x-from, x-from)
			}
		}
	}
	return template.HTML(fmt.Sprintf(`<svg class="qr" viewBox="0 0 %d %d" role="img" aria-label="%s" shape-rendering="crispEdges"><path d="%s" fill="#000"/></svg>`,
		within.Dx()+2*quiet, within.Dy()+2*quiet, template.HTMLEscapeString(label), path.String())), nil
}
