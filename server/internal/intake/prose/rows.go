package prose

import (
	"regexp"
	"slices"
	"strings"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/couple"
	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/photographs"
	"kinorder.example/server/internal/intake/prose/words"
	"kinorder.example/server/internal/wording"
)

// ReadRows reads photographs of the table with the words of lists. base holds the people and circles of the table; its
// groupings come first. today completes days without a year. What it returns when the effort is used up is worth nothing.
func (c *Cells) ReadRows(rows []photographs.Row, base event.Event, today time.Time) place.Result {
	r := newReader(c.r.Effort, base)
	r.Today = today
	words := 0
	var titles []string
	for _, row := range rows {
		l := lines.Line{Number: row.Line, Text: halves(row.Title), Heads: 1}
		switch {
		case row.Kind == photographs.AboutRow, row.Kind == photographs.TextRow:
			l.Heads = 0
		case row.Kind == photographs.GuestRow:
			l.Heads, l.Text = 0, "" // only what it says of others is read
		case row.Kind == photographs.PhotoRow:
			l.Heads, l.Mark, l.Label, l.Text = 0, '#', row.Label, row.Words()
		}
		if _, _, ok := r.Written(row); ok {
			l.Text = "" // nothing has to be found out
		}
		if words += len(l.Text); words > place.MaxContent {
			r.Tell(row.Line, 0, event.Error, place.CodeTooLong, "", wording.Say("list.listIsLongerThanLinesOr", place.MaxLines, place.MaxContent>>10))
			return r.result()
		}
		l.Raw = l.Text
		titles = append(titles, row.Title)
		r.Lines = append(r.Lines, l)
	}
	r.clean()
	r.takeApart()
	r.Speak(c.r.Langs)
	r.Main = c.r.Main // few cells tell less than all
	couple.FindInRows(r.Speech(), titles)
	for range 2 { // names that are learned last are known to all rows the second time
		r.ParseLines()
		r.RowSections(rows)
		for range 2 {
			for _, s := range r.Statements {
				r.Learn(s)
			}
		}
	}
	r.Day()
	r.MakeRows(rows)
	r.tellTaken()
	for i := range base.People {
		g := &r.Guests[i]
		r.Build.Update(i, func(p *event.Person) {
			p.AgeBand, p.Needs, p.Absent, p.PresentFrom, p.PresentUntil, p.PrivateNote = g.AgeBand, g.Needs, g.Absent, g.PresentFrom, g.PresentUntil, g.PrivateNote
		})
	}
	r.finish(slices.ContainsFunc(rows, func(row photographs.Row) bool { return row.Kind == photographs.PhotoRow }))
	for k := range r.Problems { // places within a cell mean little: the cell is what has to be found
		p := &r.Problems[k]
		for _, row := range rows {
			if row.Line == p.Line && row.Kind == photographs.PhotoRow && p.Column > 0 {
				p.Column = row.Column
			}
		}
	}
	return r.result()
}

// halfWords is a half of the couple in brackets behind a name: "Orla (bride)".
var halfWords = regexp.MustCompile(`(?:(?:and|und|et|y|e)\s+)?([\p{L}][\p{L}'’ .-]*?)\s*\(\s*([\p{L} ]+?)\s*\)`)

// halves writes "Orla (bride) & Conor (groom)" as a list says it.
func halves(text string) string {
	return halfWords.ReplaceAllStringFunc(text, func(s string) string {
		m := halfWords.FindStringSubmatch(s)
		for _, w := range words.Find(names.Plain(m[2])) {
			if w.Class == "half" {
				return ", " + m[2] + ": " + strings.TrimSpace(m[1]) + ","
			}
		}
		return s
	})
}
