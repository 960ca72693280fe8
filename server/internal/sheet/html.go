package sheet

import (
	"bytes"
	"embed"
	"fmt"
	"html/template"
	"kinorder.example/server/internal/wording"
	"strings"
)

//go:embed *.html.tmpl *.css
var pageFiles embed.FS

// templates are parsed once; they are part of the program, so a mistake in them shows in every test.
var templates = template.Must(template.ParseFS(pageFiles, "*.html.tmpl"))

// pageNames are the templates of the pages, each with a style of the same name.
var pageNames = map[Kind]string{
	Call: "call", Reader: "reader", Finder: "finder", Cards: "cards", Chart: "chart", Standing: "standing",
}

// styleOf returns the style sheet of a kind of page: the rules that all pages share, then its own.
func styleOf(kind Kind) template.CSS {
	var css []byte
	for _, name := range []string{"base", pageNames[kind]} {
		part, err := pageFiles.ReadFile(name + ".css")
		if err != nil {
			panic(err) // a file that is part of the program
		}
		css = append(css, part...)
	}
	return template.CSS(css)
}

// html draws a page of HTML that needs nothing else: no script, no address outside. Printed, no
// entry is cut by the end of a page unless it is longer than one, and every page bears the event and
// its number. On a telephone the same page is set in large type.
func (b *builder) html(o Options) ([]byte, error) {
	shell := pageShell{
		Title: clean(b.event.Title), Date: b.cat.LongDate(clean(b.event.Date)), Style: styleOf(o.Kind),
		Say: newLabels(b.cat), Heading: b.cat.Say(headings[o.Kind]), Size: sizes[o.Paper],
	}
	if shell.Title == "" {
		shell.Title = shell.Heading
	}
	var page any
	switch o.Kind {
	case Reader:
		page = b.readerPage(shell)
	case Finder:
		page = b.finderPage(shell)
	case Cards:
		page = b.cardsPage(shell, o.Paper)
	case Standing:
		page = b.standingPage(shell)
	case Chart:
		page = b.chartPage(shell, o.Paper)
	default:
		page = b.callPage(shell)
	}
	var out bytes.Buffer
	if err := templates.ExecuteTemplate(&out, pageNames[o.Kind], page); err != nil {
		return nil, fmt.Errorf("draw the page: %w", err)
	}
	return out.Bytes(), nil
}

// headings say what each kind of page is.
var headings = map[Kind]wording.Key{
	Call: wording.KeyCallSheet, Reader: wording.KeyReaderSheet, Finder: wording.KeyFinderSheet, Cards: wording.KeyCardSheet, Chart: wording.KeyChartSheet,
	Standing: "standing.whoStandsWhere",
}

// sizes are the names of the papers in style sheets. Without one a page takes what the printer holds.
var sizes = [papers]template.CSS{A4: "A4", Letter: "Letter"}

// pageShell is what every page has.
type pageShell struct {
	Title, Date, Heading string
	Style, Size          template.CSS
	Say                  *labels
	Heads                []pageHead
}

// pageHead is what stands at the top of the printed pages of a block.
type pageHead struct{ Name, Event, Block, Foot string }

// addHead gives block i, or what is called so, printed pages with a head of its own.
func (p *pageShell) addHead(name, block string) {
	p.Heads = append(p.Heads, pageHead{Name: name, Event: running(p.Title), Block: running(block)})
}

// callPage is the whole call sheet. Each block begins on a page of its own.
type callPage struct {
	pageShell
	*sheetView
	Title string
	Date  string
	Pages []blockPage
	// LastPage names the pages of the last block; what follows it needs no page of its own.
	LastPage string
}

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

func (b *builder) callPage(shell pageShell) *callPage {
	page := &callPage{pageShell: shell, sheetView: b.view(), Title: shell.Title, Date: shell.Date}
	for i := range page.Blocks {
		block := &page.Blocks[i]
		page.LastPage = fmt.Sprintf("block%d", i+1)
		page.addHead(page.LastPage, block.Title)
		p := blockPage{blockView: block, Page: page.LastPage, Say: page.Say}
		for k := range block.Entries {
			p.Entries = append(p.Entries, entryPage{entryView: &block.Entries[k], Say: page.Say})
		}
		page.Pages = append(page.Pages, p)
	}
	page.addHead("planner", "")
	return page
}

// The numbers of names from which they are set in two, three and four columns, found by trial on A4. On the call sheet
// four come earlier, so that a large first entry still fits under the heads of the first page.
const (
	twoColumnsFrom         = 5
	threeColumnsFrom       = 16
	fourColumnsFrom        = 31
	fourColumnsForReadFrom = 46
)

// longFrom is how many names take more than what is left of a page under its heads, however they are
// set. Such an entry begins where it is called and goes on on the next page.
const longFrom = 76

// Long reports whether an entry is too large for a page.
func (e *entryView) Long() bool { return len(e.Calls) >= longFrom }

// Crowd says how many names there are to read out: "few", "some", "many" or "most".
func (e *entryView) Crowd() string { return crowd(len(e.Calls), fourColumnsFrom) }

// crowd says in how many columns n names are set; four is the number from which there are four.
func crowd(n, four int) string {
	switch {
	case n >= four:
		return "most"
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
func (e *entryView) Side() string {
	const handful = 6
	left, right := len(e.Stay)+len(e.Near), len(e.Release)+len(e.Ready)
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
	return balanced(pieces[0]) + "…"
}

// labels are the texts that the templates need by themselves.
type labels struct {
	cat *wording.Catalogue
	Lang, Dir, Place, Photographer, NoClock, Releases, Taken, WalkIn, NobodyNew, WalkOut, Stay,
	Near, Release, Again, Ready, NoEntries, LeftOut, Must, Planner, Separator, Colon, NobodyCalled,
	Leader, In, Staying, Out, Waits, Where, ChangePlace, NoStanding, AsSeen string
}

// newLabels looks the labels up.
func newLabels(c *wording.Catalogue) *labels {
	return &labels{
		cat: c, Lang: c.Tag(), Dir: c.Direction(), Place: c.Say(wording.KeyPlace),
		Photographer: c.Say(wording.KeyPhotographer), NoClock: c.NoClock(), Releases: c.Say(wording.KeyReleases),
		Taken: c.Say(wording.KeyTaken), WalkIn: c.Say(wording.KeyWalkIn), NobodyNew: c.Say(wording.KeyNobodyNew),
		WalkOut: c.Say(wording.KeyWalkOut), Stay: c.Say(wording.KeyStay), Near: c.Say(wording.KeyNear), Release: c.Say(wording.KeyRelease),
		Again: c.Say(wording.KeyAgain), Ready: c.Say(wording.KeyReady), NoEntries: c.Say(wording.KeyNoEntries),
		LeftOut: c.Say(wording.KeyLeftOut), Must: c.Say(wording.KeyMust), Planner: c.Say(wording.KeyPlanner),
		Separator: c.Say(wording.KeyListSeparator), Colon: c.Say(wording.KeyColon), NobodyCalled: c.Say(wording.KeyNobodyCalled),
		Leader: c.Say(wording.KeyLeader), In: c.Say(wording.KeyLegendIn), Staying: c.Say(wording.KeyLegendStay),
		Out: c.Say(wording.KeyLegendOut), Waits: c.Say(wording.KeyLegendWait),
		Where: c.Say("standing.whoStandsWhere"), ChangePlace: c.Say("standing.changePlace"),
		NoStanding: c.Say("standing.noStandingPlanHasBeenMade"), AsSeen: c.Say("standing.leftAndRightAreAsThe"),
	}
}

// List joins texts of the catalogue.
func (l *labels) List(texts []string) string { return l.cat.List(texts) }

// Count writes a whole number.
func (l *labels) Count(n int) string { return l.cat.Number(n) }

// item is a name, what separates it from the next, and the space after that.
type item struct{ Text, Tail, Gap string }

// Items sets names in a row.
func (l *labels) Items(names []string) []item {
	separator := strings.TrimRight(l.Separator, " ")
	gap := l.Separator[len(separator):]
	items := make([]item, len(names))
	for i, n := range names {
		items[i] = item{Text: n, Tail: separator, Gap: gap}
	}
	if len(items) > 0 {
		items[len(items)-1] = item{Text: names[len(names)-1]}
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
			list[i].Back = l.cat.Say(wording.KeyBackIn, o.Back)
		}
	}
	return list
}
