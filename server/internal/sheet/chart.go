package sheet

import (
	"cmp"
	"html/template"
	"slices"
	"strconv"
	"strings"

	"kinorder.example/server/internal/sheet/fold"
	"kinorder.example/server/internal/wording"
)

// The smallest row and column in millimetres, so that type is at least 7 points.
const (
	chartType   = 2.47 // 7 points
	chartRow    = 2.7
	chartColumn = 2.8
	chartFrees  = 12.0 // for the time from which somebody is free
	chartNames  = 0.24 // share of the width
	chartHeads  = 0.28 // share of the height
	perColumn   = 0.5  // width of a character, of a size of type
)

// chartPage shows who moves when: people against groupings, a page for as many of them as can be
// read.
type chartPage struct {
	pageShell
	NoClock bool
	Panels  []panel
	Legend  legend
}

// panel is one page of the chart. Lengths are millimetres on the page.
type panel struct {
	Width, Height string
	Label         string // for those who hear the page
	Text          string // size of type
	Heads         []chartText
	Names         []chartText
	Free          []chartText
	FreeHead      chartText
	Grid          []chartLine
	Dividers      []chartLine // between blocks
	Stays         []chartLine
	Waits         []chartLine
	Ins           []chartDot
	Outs          []chartDot
	Bold, Thin    string // widths of lines
	Radius        string
}

type chartText struct{ X, Y, Text, Turn string }
type chartLine struct{ X1, Y1, X2, Y2 string }
type chartDot struct{ X, Y string }

// legend draws each mark once.
type legend struct{ In, Stay, Out, Wait string }

// chartEntry is a column: an entry with its place.
type chartEntry struct {
	number       int
	start, title string
	block        int
}

// row is a person with what they do in each column.
type row struct {
	name, free string
	at         []int // columns in which they are in the frame
}

func (b *builder) chartPage(shell pageShell, paper Paper) *chartPage {
	page := &chartPage{pageShell: shell}
	c := b.cat
	page.Legend = legend{c.Say("sheet.legendIn"), c.Say("sheet.legendStay"), c.Say("sheet.legendOut"), c.Say("sheet.legendWait")}
	entries, rows := b.chart()
	for i := range b.sheet.Blocks {
		page.NoClock = page.NoClock || b.sheet.Blocks[i].Start.IsZero() && len(b.sheet.Blocks[i].Entries) > 0
	}
	wide, high := 184.0, 227.0 // what A4 leaves between the head and the rule of safety, in the language that takes most
	if paper == Letter {
		wide, high = 189, 209
	}
	longest := 0
	for _, e := range entries {
		longest = max(longest, fold.Width(b.columnHead(e)))
	}
	upright, across := chartPages(entries, rows, wide, high), chartPages(entries, rows, high+31, wide-34)
	name := "A4"
	if paper == Letter {
		name = "Letter"
	}
	cuts := func(g chartGrid, high float64) bool {
		return int((headRoom(high, (len(rows)+g.down-1)/g.down)-2)/(chartType*perColumn)) < longest
	}
	if across.pages() < upright.pages() || across.pages() == upright.pages() && len(entries) > 30 && (!cuts(across, wide-34) || cuts(upright, high)) {
		wide, high, upright = high+31, wide-34, across
		name += " landscape"
	}
	page.Size = template.CSS(name)
	for p := range upright.down {
		part := rows[p*len(rows)/upright.down : (p+1)*len(rows)/upright.down]
		for e := range upright.across {
			page.Panels = append(page.Panels, b.panel(entries, part, e*len(entries)/upright.across, (e+1)*len(entries)/upright.across, wide, high))
		}
	}
	return page
}

// headRoom is how high the heads of a panel may be: the room that its rows leave, up to half of the panel.
func headRoom(high float64, rows int) float64 {
	return max(high*chartHeads, min(high-1-chartRow*float64(rows), high/2))
}

// chartGrid is how many pages a chart takes down and across.
type chartGrid struct{ down, across int }

func (g chartGrid) pages() int { return g.down * g.across }

// chartPages says how many pages of a size it takes to read the chart.
func chartPages(entries []chartEntry, rows []row, wide, high float64) chartGrid {
	most := func(n int, room, least float64) int { return (n + int(room/least) - 1) / int(room/least) }
	return chartGrid{most(len(rows), high*(1-chartHeads)-1, chartRow), most(len(entries), wide*(1-chartNames)-chartFrees, chartColumn)}
}

// chart returns the columns and rows: people by their first entry and then their last, so that the
// marks run down the page as the order goes.
func (b *builder) chart() ([]chartEntry, []row) {
	var entries []chartEntry
	for i := range b.sheet.Blocks {
		s := &b.sheet.Blocks[i]
		for k := range s.Entries {
			e := &s.Entries[k]
			entries = append(entries, chartEntry{b.numbers[len(entries)], b.at(s, e.Offset), b.title(e.Grouping, e.Title), i})
		}
	}
	var rows []row
	seen := map[string]bool{}
	add := func(id string) {
		at := b.in[id]
		if len(at) == 0 || seen[id] {
			return
		}
		seen[id] = true
		rows = append(rows, row{name: b.name(id), free: b.freeBy(id), at: at})
	}
	for i := range b.event.People {
		add(b.event.People[i].ID)
	}
	for _, id := range b.strangers() {
		add(id)
	}
	slices.SortStableFunc(rows, func(x, y row) int {
		return cmp.Or(cmp.Compare(x.at[0], y.at[0]), cmp.Compare(x.at[len(x.at)-1], y.at[len(y.at)-1]))
	})
	return entries, rows
}

// panel lays out the columns from first to before end for some people.
func (b *builder) panel(entries []chartEntry, rows []row, first, end int, wide, high float64) panel {
	const most = 7.0 // millimetres that a row or column takes at most
	names := wide * chartNames
	column := min((wide-names-chartFrees)/float64(end-first), most)
	longest := 10
	for _, e := range entries[first:end] {
		longest = max(longest, fold.Width(b.columnHead(e)))
	}
	// Long heads are set smaller before they are cut.
	headText := min(column*0.72, max(min((high*chartHeads-3)/(perColumn*float64(longest)), 3.2), chartType))
	headText = max(headText, chartType)
	heads := min(3+headText*perColumn*float64(longest), headRoom(high, len(rows)))
	line := min((high-heads)/float64(len(rows)), most*0.8)
	text := max(min(line*0.92, 3.4), chartType)
	x := func(v float64) string { return mm(v) }
	if b.cat.RightLeft() {
		x = func(v float64) string { return mm(wide - v) }
	}
	bottom := heads + line*float64(len(rows))
	right := names + column*float64(end-first)
	p := panel{
		Width: mm(wide), Height: mm(bottom + 1), Text: mm(text),
		Label: b.cat.Say("sheet.chartSheet"), Bold: mm(line * 0.34), Thin: mm(line * 0.12), Radius: mm(min(line, column) * 0.34),
	}
	free := b.cat.Say("sheet.columnFree")
	p.FreeHead = chartText{x(right + 1), mm(heads - 1.2), free, mm(max(chartType, min(text, (chartFrees-1.5)/(0.6*float64(fold.Width(free))))))}
	for i := first; i < end; i++ {
		at := names + column*(float64(i-first)+0.5)
		turnAt := at + headText*0.35
		if b.cat.RightLeft() {
			turnAt = at - headText*0.35
		}
		e := entries[i]
		p.Heads = append(p.Heads, chartText{x(turnAt), mm(heads - 1.2), fold.Shortened(b.columnHead(e), int((heads-2)/(headText*perColumn))), mm(headText)})
		p.Grid = append(p.Grid, chartLine{x(at), mm(heads), x(at), mm(bottom)})
		if i > first && entries[i-1].block != e.block {
			edge := at - column/2
			p.Dividers = append(p.Dividers, chartLine{x(edge), mm(heads - 2), x(edge), mm(bottom)})
		}
	}
	for k, r := range rows {
		y := heads + line*(float64(k)+0.5)
		p.Names = append(p.Names, chartText{x(0), mm(y + text*0.35), fold.Shortened(r.name, int(names/(text*0.54))), ""})
		p.Free = append(p.Free, chartText{x(right + 1), mm(y + text*0.35), r.free, ""})
		if k < len(rows)-1 { // a line leads from the name to the marks
			edge := heads + line*float64(k+1)
			p.Grid = append(p.Grid, chartLine{x(0), mm(edge), x(right), mm(edge)})
		}
		p.marks(entries, r, first, end, func(i int) string { return x(names + column*(float64(i-first)+0.5)) }, mm(y))
	}
	return p
}

// columnHead is what stands over a column.
func (b *builder) columnHead(e chartEntry) string {
	return b.cat.Row(e.number, e.start, wording.Isolate(e.title))
}

// marks draws what one person does in the columns from first to before end: a dot where they walk in,
// a bar while they stay, a ring where they walk out, a dotted line while they wait to be called again.
// Blocks have nothing between them.
func (p *panel) marks(entries []chartEntry, r row, first, end int, x func(int) string, y string) {
	shown := func(i int) bool { return i >= first && i < end }
	for k, i := range r.at {
		before := -1 // the column in which the person was last in this block
		if k > 0 && entries[r.at[k-1]].block == entries[i].block {
			before = r.at[k-1]
		}
		stays := before >= 0 && before == i-1
		if !stays && shown(i) {
			p.Ins = append(p.Ins, chartDot{x(i), y})
		}
		if from, to := max(before, first), min(i, end-1); before >= 0 && from < to {
			line := chartLine{x(from), y, x(to), y}
			switch n := len(p.Stays) - 1; {
			case !stays:
				p.Waits = append(p.Waits, line)
			case n >= 0 && p.Stays[n].Y1 == y && p.Stays[n].X2 == line.X1: // one bar for as long as somebody stays
				p.Stays[n].X2 = line.X2
			default:
				p.Stays = append(p.Stays, line)
			}
		}
		again := k+1 < len(r.at) && r.at[k+1] == i+1
		if !again && shown(i+1) && entries[i+1].block == entries[i].block {
			p.Outs = append(p.Outs, chartDot{x(i + 1), y})
		}
	}
}

// mm writes millimetres for a drawing.
func mm(v float64) string {
	s := strconv.FormatFloat(v, 'f', 2, 64)
	return strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
}
