package sheet

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"strings"

	"kinorder.example/server/internal/event"
)

//go:embed sheet.html.tmpl
var pageSource string

//go:embed sheet.css
var style string

// pageTemplate is parsed once; it is part of the program, so a mistake in it shows in every test.
var pageTemplate = template.Must(template.New("sheet").Parse(pageSource))

// HTML draws a call sheet as one page of HTML that needs nothing else: no script, no address
// outside. Printed on A4 or Letter, no entry is cut by the end of a page unless it is longer than
// one, each block begins on a page of its own, and every page bears the event, the block and its
// number. On a telephone the same page is set in large type, and an entry that is ticked folds away.
//
// An id that the event does not know is printed as such. An error means a fault in the program, not
// in the sheet.
func HTML(e event.Event, s event.CallSheet) ([]byte, error) {
	return renderHTML(english, &e, &s)
}

// renderHTML draws a sheet in one language.
func renderHTML(cat *catalogue, e *event.Event, s *event.CallSheet) ([]byte, error) {
	page := pageView{sheetView: newView(cat, e, s), Style: template.CSS(style), Say: newLabels(cat)}
	for i := range page.Blocks {
		b := &page.Blocks[i]
		name := fmt.Sprintf("block%d", i+1)
		page.LastPage = name
		page.Heads = append(page.Heads, pageHead{name, running(page.Title), running(b.Title)})
		p := blockPage{blockView: b, Page: name, Say: page.Say}
		for k := range b.Entries {
			p.Entries = append(p.Entries, entryPage{entryView: &b.Entries[k], Say: page.Say})
		}
		page.Pages = append(page.Pages, p)
	}
	page.Heads = append(page.Heads, pageHead{"planner", running(page.Title), ""})
	var out bytes.Buffer
	if err := pageTemplate.Execute(&out, &page); err != nil {
		return nil, fmt.Errorf("draw the page: %w", err)
	}
	return out.Bytes(), nil
}

// pageView is what the template draws.
type pageView struct {
	*sheetView
	Style template.CSS
	Say   *labels
	Heads []pageHead
	Pages []blockPage
	// LastPage names the pages of the last block; what follows it needs no page of its own.
	LastPage string
}

// pageHead is what stands at the top of the printed pages of a block.
type pageHead struct{ Name, Event, Block string }

// blockPage is a block on its own pages.
type blockPage struct {
	*blockView
	Page    string
	Say     *labels
	Entries []entryPage
}

// entryPage is an entry with the labels it is printed with.
type entryPage struct {
	*entryView
	Say *labels
}

// From so many names on they are set in two columns and in three; by trial on A4.
const (
	twoColumnsFrom   = 5
	threeColumnsFrom = 16
)

// Crowd says how many names there are to read out: "few", "some" or "many".
func (e entryPage) Crowd() string {
	switch n := len(e.Calls); {
	case n >= threeColumnsFrom:
		return "many"
	case n >= twoColumnsFrom:
		return "some"
	default:
		return "few"
	}
}

// Side says whether those who walk out or stay stand "beside" those who are free or to have ready,
// or, when one side has more than a handful to say, "above" them on lines of full width.
func (e entryPage) Side() string {
	const handful = 6
	left, right := len(e.Stay), len(e.Release)+len(e.Ready)
	for _, o := range e.Out {
		left += len(o.Names)
	}
	for _, o := range e.Again {
		right += len(o.Names)
	}
	if max(left, right) > handful {
		return "above"
	}
	return "beside"
}

// running shortens a title so that it fits beside another at the top of a page.
func running(title string) string {
	const room = 48 // columns
	if width(title) <= room {
		return title
	}
	pieces := breakUp(title, "", room-1)
	return pieces[0] + "…"
}

// labels are the texts that the template needs by themselves.
type labels struct {
	cat *catalogue
	Lang, Dir, CallSheet, Place, Photographer, NoClock, Releases, Taken, WalkIn, NobodyNew, WalkOut, Stay,
	Release, Again, Ready, NoEntries, LeftOut, Must, Planner, Separator, Colon string
}

// newLabels looks the labels up.
func newLabels(c *catalogue) *labels {
	return &labels{
		cat: c, Lang: c.tag.String(), Dir: c.direction(), CallSheet: c.say(keyCallSheet), Place: c.say(keyPlace),
		Photographer: c.say(keyPhotographer), NoClock: c.say(keyNoClock), Releases: c.say(keyReleases),
		Taken: c.say(keyTaken), WalkIn: c.say(keyWalkIn), NobodyNew: c.say(keyNobodyNew),
		WalkOut: c.say(keyWalkOut), Stay: c.say(keyStay), Release: c.say(keyRelease), Again: c.say(keyAgain),
		Ready: c.say(keyReady), NoEntries: c.say(keyNoEntries), LeftOut: c.say(keyLeftOut), Must: c.say(keyMust),
		Planner: c.say(keyPlanner), Separator: c.say(keyListSeparator),
		Colon: c.say(keyColon),
	}
}

// List joins texts of the catalogue.
func (l *labels) List(texts []string) string { return l.cat.list(texts) }

// item is a name and what separates it from the next.
type item struct{ Text, Tail string }

// Items sets names in a row.
func (l *labels) Items(names []string) []item {
	separator := strings.TrimRight(l.Separator, " ")
	items := make([]item, len(names))
	for i, n := range names {
		items[i] = item{Text: n, Tail: separator}
	}
	if len(items) > 0 {
		items[len(items)-1].Tail = ""
	}
	return items
}

// outItems are people who walk out, under where they come back.
type outItems struct {
	Back  string
	Items []item
}

// OutItems sets people who walk out in a row.
func (l *labels) OutItems(out []outView) []outItems {
	list := make([]outItems, len(out))
	for i, o := range out {
		list[i].Items = l.Items(o.Names)
		if o.Back > 0 {
			list[i].Back = l.cat.say(keyBackIn, o.Back)
		}
	}
	return list
}
