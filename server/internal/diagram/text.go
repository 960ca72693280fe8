package diagram

import (
	"html"
	"strings"
	"unicode"

	"kinorder.example/server/internal/wording"
)

// printable drops what an XML document must not hold and marks that would turn the text around it.
func printable(s string) string {
	return strings.TrimSpace(strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r):
			return ' '
		case unicode.IsControl(r), r == unicode.ReplacementChar, r == 0xFFFE, r == 0xFFFF,
			r >= 0x202A && r <= 0x202E, r >= 0x2066 && r <= 0x2069:
			return -1
		default:
			return r
		}
	}, s))
}

// width estimates how wide a text is, in units of the font size, on the safe side: no font is at hand.
func width(s string) float64 {
	w := 0.0
	for _, r := range s {
		switch {
		case unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf):
		case unicode.In(r, unicode.Han, unicode.Hiragana, unicode.Katakana, unicode.Hangul) || r >= 0x1F000:
			w += 1.02
		case strings.ContainsRune(" .,'’:;!|ilIjtfr()", r):
			w += 0.36
		case strings.ContainsRune("mwMW@", r):
			w += 0.92
		case unicode.IsUpper(r):
			w += 0.70
		default:
			w += 0.58
		}
	}
	return w
}

// fitLabels wraps the names of all figures for the largest font at which each fits below its figure. It
// returns the lines by figure, the font and the most lines, or nil when no font will do.
func fitLabels(d drawing, names []string) (labels [][]string, font float64, most int) {
	for font = largestFont; font >= smallestFont; font -= 0.45 {
		labels, most = make([][]string, len(d.figures)), 0
		fits := true
		for k, f := range d.figures {
			if f.heldBy >= 0 {
				continue // written below the holder
			}
			room := (f.labelWidth - 3) / font
			lines, ok := wrap(names[f.person], room, 3)
			for _, held := range d.figures {
				if held.heldBy == f.person {
					more, fine := wrap("+ "+names[held.person], room, 2)
					lines, ok = append(lines, more...), ok && fine
				}
			}
			labels[k] = lines
			most = max(most, len(lines))
			fits = fits && ok && len(lines) <= 4
		}
		if fits {
			return labels, font, most
		}
	}
	return nil, 0, 0
}

// wrap breaks a name between words into lines no
// wider than room. It reports false when that takes more lines than allowed or a word is too wide.
func wrap(name string, room float64, allowed int) ([]string, bool) {
	var lines []string
	line := ""
	for _, part := range breakable(name) {
		if line != "" && width(line+part) > room {
			lines = append(lines, strings.TrimSpace(line))
			line = strings.TrimLeft(part, " ")
		} else {
			line += part
		}
		if width(strings.TrimSpace(line)) > room {
			return nil, false
		}
	}
	if line = strings.TrimSpace(line); line != "" {
		lines = append(lines, line)
	}
	return lines, len(lines) <= allowed
}

// breakable splits a name where a line may end: before spaces and after hyphens.
func breakable(name string) []string {
	var out []string
	begin, last := 0, rune(0)
	for i, r := range name {
		if i > begin && (r == ' ' || last == '-') {
			out = append(out, name[begin:i])
			begin = i
		}
		last = r
	}
	if begin < len(name) {
		out = append(out, name[begin:])
	}
	return out
}

// keyLine is one line of the list by row.
type keyLine struct {
	y          float64
	head, text string
}

// key lists people by row below the picture, the number before the name.
func (p *picture) key(d drawing, top float64) []keyLine {
	room := (p.width - 8) / keyFont
	y := top + keyGap
	var out []keyLine
	for _, b := range d.bands {
		line := keyLine{head: p.captionOf(b, len(d.bands)) + p.words.Colon}
		used := width(line.head) * 1.1
		for _, f := range d.figures {
			if f.row != b.row || p.numbers[f.person] == 0 {
				continue
			}
			// A number and its name stay on one line; an entry is isolated as a whole.
			entry := wording.Isolate(p.words.Number(p.numbers[f.person]) + "\u00a0" + wording.Isolate(strings.ReplaceAll(p.names[f.person], " ", "\u00a0")))
			if f.heldBy >= 0 {
				entry = "(" + p.words.Holding + " " + entry + ")"
			}
			w := width(entry) + 1.2
			if line.text != "" && used+w > room {
				out = append(out, line)
				line, used = keyLine{}, 1.5
			}
			if line.text != "" {
				line.text += "  "
			}
			line.text += entry
			used += w
		}
		out = append(out, line)
	}
	for k := range out {
		y += keyFont * 1.35
		out[k].y = y
	}
	return out
}

func (p *picture) keyLine(l keyLine) {
	x, direction := p.startEdge()
	p.printf(`<text x="%.1f" y="%.1f" font-size="%.1f" fill="#000" stroke="none" direction="%s" xml:space="preserve">`, x, l.y, keyFont, direction)
	if l.head != "" {
		p.printf(`<tspan font-weight="600">%s</tspan> `, html.EscapeString(printable(l.head)))
	} else {
		p.printf("\u2003")
	}
	p.printf("%s</text>\n", html.EscapeString(l.text))
}
