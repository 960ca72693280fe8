package diagram

import (
	"fmt"
	"html"
	"math"

	"kinorder.example/server/internal/event"
)

func (p *picture) printf(format string, args ...any) { fmt.Fprintf(&p.out, format, args...) }

func (p *picture) open(d drawing, height float64) {
	p.printf(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %.0f %.1f" width="100%%" role="img" direction="ltr" font-family="system-ui, 'Noto Sans', sans-serif" fill="none" stroke="#000" stroke-width="1" stroke-linejoin="round" stroke-linecap="round">`+"\n",
		d.width, height)
	p.printf("<title>%s</title>\n", html.EscapeString(printable(p.words.Title)))
	for _, b := range d.bands {
		p.printf(`<path d="M%.1f %.1fV%.1f" stroke="#999" stroke-width="0.6" stroke-dasharray="2 4"/>`+"\n", d.middle, b.top, b.base)
	}
}

// startEdge is where lines begin, and in which direction they go.
func (p *picture) startEdge() (x float64, direction string) {
	if p.words.RightToLeft {
		return p.width - 4, "rtl"
	}
	return 4, "ltr"
}

// band draws the caption of a row, the line its people are on and the step under it.
func (p *picture) band(b band, rows int) {
	x, direction := p.startEdge()
	caption, narrowed := printable(p.captionOf(b, rows)), ""
	if captionWidth(caption, p.caption) > p.width-8 {
		narrowed = fmt.Sprintf(` textLength="%.1f" lengthAdjust="spacingAndGlyphs"`, p.width-8)
	}
	if !p.plan.plain() {
		p.printf(`<text x="%.1f" y="%.1f" font-size="%.1f"%s fill="#000" stroke="none" font-weight="600" direction="%s">%s</text>`+"\n",
			x, b.captionY, p.caption, narrowed, direction, html.EscapeString(caption))
	}
	if b.steps == 0 {
		p.printf(`<path d="M%.1f %.1fH%.1f" stroke="#999" stroke-width="0.6"/>`+"\n", b.left, b.base, b.right)
		return
	}
	for k := range b.steps {
		y := b.base + float64(k)*stepHeight
		p.printf(`<rect x="%.1f" y="%.1f" width="%.1f" height="%.1f" fill="#fff" stroke-width="1.2"/>`+"\n", b.left, y, b.right-b.left, stepHeight)
		for x := b.left + 5; x < b.right; x += 6 {
			p.printf(`<path d="M%.1f %.1fl%.1f %.1f" stroke-width="0.5"/>`, x, y, -stepHeight*0.6, stepHeight)
		}
		p.printf("\n")
	}
}

// figure draws one person: the posture is told by the shape below the shoulders.
func (p *picture) figure(f figure) {
	p.printf(`<g fill="#fff">`)
	if f.posture != event.Held {
		p.body(f)
	}
	stroke := 1.3
	if f.posture == event.Held {
		stroke = 1
	}
	p.printf(`<circle cx="%.1f" cy="%.1f" r="%.1f" stroke-width="%.1f"/>`, f.x, f.y, f.r, stroke)
	if p.numbers != nil && p.numbers[f.person] > 0 {
		size, number := p.numberSize, p.words.Number(p.numbers[f.person])
		y := f.y + 0.36*size
		if p.below {
			y = f.labelY + size
		} else if !f.holds(number, size) { // a child's head
			if y = f.y + 1.15*f.r + 0.8*size; f.above > size {
				y = f.y - 1.25*f.r
			}
		}
		if p.below && f.heldBy >= 0 {
			f.x, y = f.labelX, f.labelY+2.05*size
		}
		// White around the digits keeps them clear of lines.
		p.printf(`<text x="%.1f" y="%.1f" font-size="%.1f" fill="#000" stroke="#fff" stroke-width="2" paint-order="stroke" text-anchor="middle">%s</text>`,
			f.x, y, size, html.EscapeString(number))
	}
	p.printf("</g>\n")
}

func (p *picture) body(f figure) {
	shoulder := f.y + 1.15*f.r
	s, base := f.shoulders, f.base
	// torso is a rounded pair of shoulders that narrows to a line.
	torso := func(bottom, share float64) {
		p.printf(`<path d="M%.1f %.1fC%.1f %.1f %.1f %.1f %.1f %.1fS%.1f %.1f %.1f %.1fZ"/>`,
			f.x-share*s, bottom, f.x-s, shoulder-0.2*f.r, f.x-s, shoulder, f.x, shoulder,
			f.x+s, shoulder-0.2*f.r, f.x+share*s, bottom)
	}
	switch f.posture {
	case event.OnChair: // shoulders, a lap, two shins, and the legs of a chair on either side
		s = min(s, 1.5*f.r)
		seat, lap := base-1.35*f.r, 0.45*f.r
		p.printf(`<path d="M%.1f %.1fV%.1fM%.1f %.1fV%.1f" stroke-width="2"/>`, f.x-1.1*s, seat+lap, base, f.x+1.1*s, seat+lap, base)
		for _, leg := range []float64{-0.45, 0.45} {
			p.printf(`<rect x="%.1f" y="%.1f" width="%.1f" height="%.1f" stroke-width="0.8"/>`, f.x+(leg-0.17)*s, seat+lap, 0.34*s, base-seat-lap)
		}
		torso(seat, 0.7)
		p.printf(`<rect x="%.1f" y="%.1f" width="%.1f" height="%.1f" rx="%.1f"/>`, f.x-0.75*s, seat, 1.5*s, lap, 0.4*lap)
		p.printf(`<path d="M%.1f %.1fH%.1f" stroke-width="2.4"/>`, f.x-1.15*s, seat+lap, f.x+1.15*s)
	case event.InWheelchair:
		seat := base - 1.3*f.r
		torso(seat, 0.8)
		wheel := 1.25 * f.r
		p.printf(`<circle cx="%.1f" cy="%.1f" r="%.1f" stroke-width="2"/><circle cx="%.1f" cy="%.1f" r="1.6" fill="#000"/>`, f.x, base-wheel, wheel, f.x, base-wheel)
		p.printf(`<path d="M%.1f %.1fH%.1f" stroke-width="1.6"/><circle cx="%.1f" cy="%.1f" r="%.1f" stroke-width="1.4"/>`,
			f.x-s, seat, f.x+s, f.x+s, base-0.35*f.r, 0.35*f.r)
	case event.Kneeling:
		torso(base-0.45*f.r, 0.6)
		p.printf(`<rect x="%.1f" y="%.1f" width="%.1f" height="%.1f" rx="%.1f" fill="#000"/>`, f.x-0.6*s, base-0.45*f.r, 1.5*s, 0.45*f.r, 0.22*f.r)
	case event.OnGround:
		torso(base-0.6*f.r, 0.7)
		p.printf(`<ellipse cx="%.1f" cy="%.1f" rx="%.1f" ry="%.1f"/><path d="M%.1f %.1fL%.1f %.1fM%.1f %.1fL%.1f %.1f"/>`,
			f.x, base-0.5*f.r, 1.15*s, 0.5*f.r, f.x-0.7*s, base-0.8*f.r, f.x+0.7*s, base-0.2*f.r, f.x+0.7*s, base-0.8*f.r, f.x-0.7*s, base-0.2*f.r)
	default:
		torso(base, 0.5)
		p.printf(`<path d="M%.1f %.1fV%.1f" stroke-width="0.8"/>`, f.x, math.Max(shoulder+1.2*f.r, base-1.3*f.r), base)
	}
}

// label writes the lines of a name below a figure. Each line finds its own direction.
func (p *picture) label(f figure, lines []string, font float64) {
	for k, line := range lines {
		p.printf(`<text x="%.1f" y="%.1f" font-size="%.2f" fill="#000" stroke="none" text-anchor="middle" unicode-bidi="plaintext">%s</text>`+"\n",
			f.labelX, f.labelY+3.5+font*(0.85+lineHeight*float64(k)), font, html.EscapeString(line))
	}
}
