// Package diagram draws a standing plan as an SVG picture that reads in black and white: who stands,
// sits, kneels or is on a step, with names below the figures where they fit and otherwise numbers
// and a list by row. It draws what it is given and plans nothing.
package diagram

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"kinorder.example/solver/standing"
)

// ErrInvalid is wrapped by every error of this package.
var ErrInvalid = errors.New("invalid diagram")

// Measures in units of the canvas; at the width of a page one unit is about a third of a millimetre.
const (
	canvasWidth  = 560.0
	captionFont  = 9.0
	largestFont  = 10.5
	smallestFont = 8.0
	lineHeight   = 1.15
	keyFont      = 9.5
	keyGap       = 6.0
	stepHeight   = 7.0
	cameraHeight = 26.0
)

// Words are the words of a picture. The zero value of a field is not replaced: start from English.
type Words struct {
	// Title names the picture for those who hear it read.
	Title string
	// OnlyRow, FrontRow and BackRow name rows; MiddleRow has one %d for the number from the front.
	OnlyRow, FrontRow, BackRow, MiddleRow string
	// Postures say how people in a row hold still, by standing.Posture.
	Postures [7]string
	// Camera marks where the camera is.
	Camera string
	// Holding joins a holder and a held infant, in a list.
	Holding string
	// RightToLeft lists names from the right in the list by row.
	RightToLeft bool
}

// English returns plain English words.
func English() Words {
	return Words{
		Title: "Where everybody stands, as the camera sees it", OnlyRow: "One row", FrontRow: "Front row", BackRow: "Back row", MiddleRow: "Row %d",
		Postures: [7]string{"standing", "on the ground", "kneeling", "on chairs", "in a wheelchair", "on the step", "on the second step"},
		Camera:   "camera",
		Holding:  "holding",
	}
}

// SVG draws a plan with a name for each person, in the order of the plan's places. Names are set in
// any script; long ones are wrapped and made smaller, and where that is not enough the figures are
// numbered from the back row on and listed below. Its error wraps ErrInvalid when the number of
// names does not fit the plan.
func SVG(plan standing.Plan, names []string, w Words) (string, error) {
	if len(names) != len(plan.Places) || len(plan.Rows) == 0 {
		return "", fmt.Errorf("%w: %d names for %d people in %d rows", ErrInvalid, len(names), len(plan.Places), len(plan.Rows))
	}
	clean := make([]string, len(names))
	for q, name := range names {
		clean[q] = printable(name)
	}
	c := standing.Canvas{Width: canvasWidth, Caption: captionFont * 1.4, Step: stepHeight}
	labels, font, lines := fitLabels(plan.Diagram(c), clean)
	p := picture{words: w, names: clean, plan: &plan}
	if labels != nil {
		c.Label = float64(lines)*font*lineHeight + 4
	} else {
		c.Label = 3
		c.Caption = captionFont * 1.2
	}
	d := plan.Diagram(c)
	height := d.Height + cameraHeight
	var keys []keyLine
	if labels == nil {
		p.numbers = numbers(d)
		keys = p.key(d, height)
		height += (float64(len(keys))+0.5)*keyFont*1.35 + keyGap
	}
	p.open(d, height)
	for _, b := range d.Bands {
		p.band(b, len(d.Bands))
	}
	for _, f := range d.Figures {
		p.figure(f)
	}
	if labels != nil {
		for k, f := range d.Figures {
			p.label(f, labels[k], font)
		}
	}
	p.camera(d)
	for _, line := range keys {
		p.keyLine(line)
	}
	p.out.WriteString("</svg>\n")
	return p.out.String(), nil
}

// picture is an SVG under way.
type picture struct {
	out   strings.Builder
	words Words
	names []string
	plan  *standing.Plan
	// numbers by person, nil when names stand below the figures.
	numbers []int
}

// numbers counts people from the back row on, from left to right; held infants count after their
// holders.
func numbers(d standing.Diagram) []int {
	out := make([]int, len(d.Figures))
	for k, f := range d.Figures {
		out[f.Person] = k + 1
	}
	return out
}

// caption says which row a band is and how people hold still in it, most of them first.
func (p *picture) caption(b standing.Band, rows int) string {
	name := p.words.OnlyRow
	switch {
	case rows == 1:
	case b.Row == 0:
		name = p.words.FrontRow
	case b.Row == rows-1:
		name = p.words.BackRow
	default:
		name = fmt.Sprintf(p.words.MiddleRow, b.Row+1)
	}
	var count [7]int
	for _, q := range p.plan.Rows[b.Row].People {
		count[p.plan.Places[q].Posture]++
	}
	order := []int{0, 1, 2, 3, 4, 5, 6}
	slices.SortStableFunc(order, func(a, b int) int { return count[b] - count[a] })
	for _, posture := range order {
		if count[posture] > 0 {
			name += ", " + p.words.Postures[posture]
		}
	}
	return name
}
