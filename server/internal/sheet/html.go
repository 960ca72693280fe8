package sheet

import (
	"embed"
	"fmt"
	"html/template"
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/sheet/fold"
	"kinorder.example/server/internal/sheet/remarks"
	"kinorder.example/server/internal/wording"
)

//go:embed *.html.tmpl *.css
var pageFiles embed.FS

// templates are parsed once; they are part of the program, so a mistake in them shows in every test.
var templates = template.Must(template.ParseFS(pageFiles, "*.html.tmpl"))

// pageNames are the templates of the pages.
var pageNames = map[Kind]string{
	Call: "call", Reader: "reader", Finder: "finder", Cards: "cards", Chart: "chart", Standing: "standing",
	Pocket: "pocket", Planner: "planner",
}

// styleOf returns the style sheet of a kind of page: the rules that all pages share, those of the entries and the list
// that it holds, then its own.
func styleOf(kind Kind) template.CSS {
	names := []string{"base", pageNames[kind]}
	switch kind {
	case Call:
		names = []string{"base", "pocket", "entry", "call"}
	case Reader:
		names = []string{"base", "entry", "reader"}
	}
	var css []byte
	for _, name := range names {
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
		Title: b.eventTitle(), Date: b.cat.LongDate(fold.Clean(b.event.Date)), Style: styleOf(o.Kind),
		Say: &labels{Catalogue: b.cat}, Heading: b.cat.Say(headings[o.Kind]), Size: sizes[o.Paper], Cautions: b.cautions(o), Mark: b.mark(),
	}
	if o.Kind != Cards { // they take the whole page
		shell.Corners = b.corners()
	}
	shell.Say.keep(b.event.People)
	if whose := b.whose(o); whose != "" {
		shell.Heading = b.cat.Say("sheet.labelled", shell.Heading, whose)
	}
	if shell.Title == "" {
		shell.Title = shell.Heading
	}
	var page any
	switch o.Kind {
	case Reader:
		page = b.readerPage(shell, o.Paper)
	case Finder:
		page = b.finderPage(shell, o)
	case Cards:
		page = b.cardsPage(shell, o.Paper)
	case Standing:
		page = b.standingPage(shell)
	case Chart:
		page = b.chartPage(shell, o.Paper)
	case Pocket:
		page = pocketPage{shell, b.pocketOn(o.Paper, b.view(), shell.Cautions)}
	case Planner:
		v := b.view()
		notes := &plannerPage{shell, v.Short, v.Totals, v.Notes}
		notes.Style += filling("main", func(f, lower float64) float64 { return notes.pages(o.Paper, f, lower) })
		page = notes
	default:
		page = b.callPage(shell, o)
	}
	var out pieces
	if err := templates.ExecuteTemplate(&out, pageNames[o.Kind], page); err != nil {
		return nil, fmt.Errorf("draw the page: %w", err)
	}
	return slices.Concat(out...), nil
}

// pieces gather a page of tens of megabytes without copying it each time it grows.
type pieces [][]byte

func (p *pieces) Write(b []byte) (int, error) {
	last := len(*p) - 1
	if last < 0 || cap((*p)[last])-len((*p)[last]) < len(b) {
		*p = append(*p, make([]byte, 0, max(len(b), 256<<10)))
		last++
	}
	(*p)[last] = append((*p)[last], b...)
	return len(b), nil
}

// headings say what each kind of page is.
var headings = map[Kind]wording.Key{
	Call: "sheet.callSheet", Reader: "sheet.readerSheet", Finder: "sheet.finderSheet", Cards: "sheet.cardSheet", Chart: "sheet.chartSheet",
	Standing: "standing.whoStandsWhere", Pocket: "sheet.pocketSheet", Planner: "sheet.plannerSheet",
}

// sizes are the names of the papers in style sheets. Without one a page takes what the printer holds.
var sizes = [papers]template.CSS{A4: "A4", Letter: "Letter"}

// pageShell is what every page has.
type pageShell struct {
	Title, Date, Heading string
	Mark                 string
	Style, Size          template.CSS
	Say                  *labels
	Cautions             []string
	Corners              corners
}

// corners are what stands in the corners of the printed pages: the start and the end of the head, and the side and
// digits of the page number. Boxes of margins know no direction but left and right.
type corners struct {
	Start, End string
	Digits     string
}

func (b *builder) corners() corners {
	c := corners{Start: "left", End: "right", Digits: "decimal"}
	if b.cat.RightLeft() {
		c.Start, c.End = "right", "left"
	}
	if b.cat.Number(1) == "١" {
		c.Digits = "arabic-indic"
	}
	return c
}

// Running is the title of the event as it fits at the top of a page.
func (p pageShell) Running() string {
	if p.Title == p.Heading {
		return ""
	}
	return fold.Shortened(p.Title, 48) // beside the heading
}

// plannerPage is what is for the planner alone.
type plannerPage struct {
	pageShell
	Short, Totals []string
	Notes         []remarks.Note
}

// callPage is the whole call sheet: the pocket list, then each entry. What the sun does and with which lens stands in a
// table at the end, unless it is asked for at the entries.
type callPage struct {
	pageShell
	Pocket  *pocketView
	Pages   []blockPage
	Short   []string
	LeftOut []leftOutView
	Lenses  []lensLine
}

// blockPage is a block with the labels it is printed with.
type blockPage struct {
	*blockView
	Say     *labels
	Entries []entryPage
}

// entryPage is an entry with the labels it is printed with.
type entryPage struct {
	*entryView
	Say *labels
}

// lensLine is what the sun does in a block, or how the entries of these numbers are framed.
type lensLine struct {
	Numbers     []string // none for a block
	Block, Text string
}

func (b *builder) callPage(shell pageShell, o Options) *callPage {
	v := b.view()
	page := &callPage{pageShell: shell, Pocket: b.pocketOn(o.Paper, v, shell.Cautions), Short: v.Short, LeftOut: v.LeftOut}
	for i := range v.Blocks {
		block := &v.Blocks[i]
		if !o.Lenses {
			page.collect(b, i, block)
		}
		p := blockPage{blockView: block, Say: page.Say}
		for k := range block.Entries {
			p.Entries = append(p.Entries, entryPage{entryView: &block.Entries[k], Say: page.Say})
		}
		page.Pages = append(page.Pages, p)
	}
	rest := 0.0
	for _, s := range page.Short {
		rest += 13.5 * float64(fold.Rows(s, 90))
	}
	for _, l := range page.LeftOut {
		rest += 13.5 * float64(fold.Rows(l.Title+l.Reason, 90))
	}
	for _, l := range page.Lenses {
		rest += 11 * float64(fold.Rows(b.cat.List(l.Numbers)+l.Block+l.Text, 50)) / 2
	}
	page.Style += typeOf[Call].setLarger(".block, .more", page.Pages, 0, rest+30, o.Paper)
	return page
}

// collect moves light and lenses of a block to the table.
func (p *callPage) collect(b *builder, at int, block *blockView) {
	s := &b.sheet.Blocks[at]
	if text := b.sky().Light(s); text != "" {
		p.Lenses = append(p.Lenses, lensLine{Block: block.Title, Text: text})
		block.Light = ""
	}
	for k := range block.Entries {
		if text := b.sky().Lens(s.Entries[k].Lens); text != "" {
			number := b.cat.Number(block.Entries[k].Number)
			if i := slices.IndexFunc(p.Lenses, func(l lensLine) bool { return l.Text == text && l.Numbers != nil }); i >= 0 {
				p.Lenses[i].Numbers = append(p.Lenses[i].Numbers, number)
			} else {
				p.Lenses = append(p.Lenses, lensLine{Numbers: []string{number}, Text: text})
			}
			block.Entries[k].Lens = ""
		}
	}
}

// longFrom is how many names take most of a page. Such an entry may break across pages, so that no page before it is left
// half empty; one of fewer begins on a new page.
const longFrom = 60

// Long reports whether an entry may go on on the next page.
func (e *entryView) Long() bool { return len(e.Calls) >= longFrom }

// Crowd says whether the names to read out are set in one column or two.
func (e *entryView) Crowd() string {
	if len(e.Calls) > 1 {
		return "some"
	}
	return "few"
}

// Side says whether those who walk out or stay stand "beside" those who are free or to have ready, or "above" them on
// lines of full width, where that takes fewer lines.
func (e *entryView) Side() string {
	left, right, full := 35, 27, 78 // characters on a line of either side, and on a full one; by trial on paper
	if e.Large {
		left, right, full = 29, 22, 67
	}
	out, again := flat(e.Out), flat(e.Again)
	one := func(room int) int { return fold.RowsOfLists(room, out, e.Stay, e.Near) }
	other := func(room int) int { return fold.RowsOfLists(room, e.Release, again, e.Ready) }
	if max(one(left), other(right)) > one(full)+other(full) {
		return "above"
	}
	return "beside"
}

// flat lists all names of people who walk out, with room for the number of where they come back.
func flat(out []outView) []string {
	var names []string
	for _, o := range out {
		if o.Back > 0 {
			names = append(names, strings.Repeat("0", 11))
		}
		names = append(names, o.Names...)
	}
	return names
}

// labels are what the templates say by themselves.
type labels struct {
	*wording.Catalogue
	whole *strings.Replacer // keeps the names in titles together
}

// keep keeps the names of people together wherever a title has them.
func (l *labels) keep(people []event.Person) {
	var names []string
	for i := range people {
		if name := fold.Clean(people[i].Name); strings.ContainsAny(name, " -") {
			names = append(names, template.HTMLEscapeString(name))
		}
	}
	slices.SortFunc(names, func(x, y string) int { return len(y) - len(x) }) // of two that begin alike the longer
	var with []string
	for _, name := range names {
		with = append(with, name, `<span class="n">`+name+`</span>`)
	}
	l.whole = strings.NewReplacer(with...)
}

// Whole is a title in which no name of somebody is parted at the end of a line.
func (l *labels) Whole(title string) template.HTML {
	return template.HTML(l.whole.Replace(template.HTMLEscapeString(title)))
}

// Facts joins texts of the catalogue.
func (l *labels) Facts(texts []string) string { return l.Catalogue.Facts(texts...) }

// Colon is what stands between a label and what it is of: Chinese has no space there.
func (l *labels) Colon() string { return l.Say("sheet.labelled", "", "") }

// Box says what a box to tick is for.
func (l *labels) Box(number int) string { return l.Say("sheet.taken") + " " + l.Number(number) }

// item is a name, what is never parted from it in front, what separates it from the next, and the space after that.
type item struct {
	Lead, Past, Text, Tail, Gap string // Past is the space after Lead
	Strong                      bool
}

// Items sets names in a row.
func (l *labels) Items(names []string) []item {
	whole := l.Say("sheet.listSeparator")
	separator := strings.TrimRight(whole, " ")
	gap := whole[len(separator):]
	items := make([]item, len(names))
	for i, n := range names {
		items[i] = item{Text: n, Tail: separator, Gap: gap}
	}
	if len(items) > 0 {
		items[len(items)-1] = item{Text: names[len(names)-1]}
	}
	return items
}

// About lists what to know of somebody to find: how the name is said, relation and needs, whether they gather others.
func (l *labels) About(f face) []item {
	var texts []string
	if f.Say != "" {
		texts = append(texts, f.Say)
	}
	items := l.Items(append(texts, f.Notes...))
	if n := len(items); f.Leader {
		if n > 0 {
			items[n-1].Gap = " "
		}
		items = append(items, item{Text: l.Say("sheet.leader"), Strong: true})
	}
	return items
}

// OutItems sets people who walk out in a row, those who come back at one time under where they do.
func (l *labels) OutItems(out []outView) [][]item {
	list := make([][]item, len(out))
	for i, o := range out {
		list[i] = l.Items(o.Names)
		if o.Back > 0 && len(list[i]) > 0 {
			list[i][0].Lead, list[i][0].Past = l.Back(o.Back, o.People), strings.TrimLeft(l.Colon(), ":：\u00a0")
		}
	}
	return list
}
