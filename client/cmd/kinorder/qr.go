package main

import (
	"image"
	"image/color"
	"strings"

	"github.com/boombuler/barcode/qr"
)

// quiet is the margin that readers of QR codes need, in modules (ISO/IEC 18004).
const quiet = 4

// qrLines draws an address for the camera of a phone, with two rows of modules in a line, black on white whatever the
// colours of the terminal. It is empty where there is no terminal, or too little room in it.
func (p *Program) qrLines(address string) string {
	code, err := qr.Encode(address, qr.M, qr.Auto)
	if err != nil || code.Bounds().Dx()+2*quiet > p.Width {
		return "" // the address is there to be typed
	}
	within := code.Bounds()
	dark := func(x, y int) bool {
		at := image.Pt(x, y).Add(within.Min)
		return at.In(within) && color.GrayModel.Convert(code.At(at.X, at.Y)) == color.Gray{}
	}
	var out strings.Builder
	for y := -quiet; y < within.Dy()+quiet; y += 2 {
		out.WriteString("\x1b[30;107m")
		for x := -quiet; x < within.Dx()+quiet; x++ {
			switch top, bottom := dark(x, y), dark(x, y+1); {
			case top && bottom:
				out.WriteRune('█')
			case top:
				out.WriteRune('▀')
			case bottom:
				out.WriteRune('▄')
			default:
				out.WriteRune(' ')
			}
		}
		out.WriteString("\x1b[0m\n")
	}
	return out.String()
}
