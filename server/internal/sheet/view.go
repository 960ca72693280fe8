package sheet

import (
	"cmp"
	"hash/fnv"
	"slices"
	"strconv"
	"strings"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/family"
	"kinorder.example/server/internal/sheet/fold"
	"kinorder.example/server/internal/sheet/remarks"
	"kinorder.example/server/internal/sheet/sky"
	"kinorder.example/server/internal/wording"
)

// sheetView is a call sheet in the words of one language. Text and HTML draw the same view.
type sheetView struct {
	Title   string
	Date    string
	Short   []string // sentences: how many photographs have no room, where time is short
	Totals  []string // sentences
	Legend  string   // of the star, where there is one
	Blocks  []blockView
	LeftOut []leftOutView
	Notes   []remarks.Note
}

// blockView is one block.
type blockView struct {
	Late         string // a sentence, when the safe finish is past the end of the time slot
	Title        string
	Date         string // when it is not the date of the event
	Place        string
	Photographer string
	Hours        string // from when to when, or empty without a clock
	Facts        []string
	Trust        []string // sentences: until when it likely and safely lasts
	Light        string   // where the sun stands, when it sets; or empty
	Releases     []releaseView
	NoClock      bool
	Entries      []entryView
}

// releaseView says who of those who should not wait long can go when.
type releaseView struct {
	When  string
	Names []string
}

// leftOutView is a grouping that is not taken.
type leftOutView struct {
	Title  string
	Reason string
	Must   bool // it had to be taken
}

// builder puts a sheet into words.
type builder struct {
	*directory
	event  *event.Event
	sheet  *event.CallSheet
	zone   *time.Location // nil, when the event names none that there is, means as in the sheet
	frames []frame        // of all entries, in the order of the sheet
	first  []int          // place of the first frame of each block
	// numbers are those that the entries have, in the order of the sheet.
	numbers []int
	free    map[string]event.SheetPlace
	in      map[string][]int // places of the frames that a person is in
}

// newBuilder reads an event and a sheet that are not oversize; it says in the event whom the day is about.
func newBuilder(cat *wording.Catalogue, e *event.Event, s *event.CallSheet) *builder {
	e.Honour = family.About(e)
	b := &builder{directory: newDirectory(cat, e), event: e, sheet: s, in: map[string][]int{}, free: s.Frees()}
	if zone, err := e.Location(); err == nil {
		b.zone = zone
	}
	b.readFrames(s)
	b.count(nil)
	return b
}

// view puts the whole sheet into words.
func (b *builder) view() *sheetView {
	cat, e, s := b.cat, b.event, b.sheet
	v := &sheetView{
		Title:  b.eventTitle(),
		Date:   cat.LongDate(fold.Clean(e.Date)),
		Totals: remarks.Totals(cat, e, s),
	}
	if v.Title == "" {
		v.Title = cat.Say("sheet.callSheet")
	}
	for i := range s.Blocks {
		v.Blocks = append(v.Blocks, b.block(i))
	}
	if slices.ContainsFunc(v.Blocks, func(v blockView) bool {
		return slices.ContainsFunc(v.Entries, func(e entryView) bool { return e.Star != "" })
	}) {
		v.Legend = star + " " + cat.Say("sheet.must")
	}
	for _, l := range s.LeftOut {
		v.LeftOut = append(v.LeftOut, leftOutView{
			Title: b.title(l.Grouping, ""), Reason: fold.Clean(cat.Render(l.Why)), Must: l.Priority == event.Must,
		})
	}
	v.Short, v.Notes = remarks.Notes(cat, s)
	return v
}

// mark tells sheets of one order from those of another, in which the numbers of photos mean something else. Digits and
// letters take turns, so that it is no word in any language.
func (b *builder) mark() string {
	const digits, letters = "2346789", "CDFHJKLMNPRTVWXZ"
	h := fnv.New64a()
	for i, block := range b.sheet.Blocks {
		for k, entry := range block.Entries {
			h.Write([]byte(entry.Grouping + "\n"))
			if at := b.first[i] + k; b.numbers[at] != at+1 {
				h.Write([]byte(strconv.Itoa(b.numbers[at]) + "\n"))
			}
		}
		h.Write([]byte("\n"))
	}
	mark := ""
	for n := h.Sum64(); len(mark) < 4; n /= 7 * 16 {
		mark += digits[n%7:][:1] + letters[n/7%16:][:1]
	}
	return b.cat.Say("sheet.orderMark", mark)
}

// eventTitle is the title of the event, else the names of those whom it is about.
func (b *builder) eventTitle() string {
	return cmp.Or(fold.Clean(b.event.Title), strings.Join(b.short(b.event.Honour), b.cat.Say("sheet.titleAnd")))
}

// title returns what a grouping is called: as the sheet says, else as the event says, else its id. A
// sheet has made-up titles in English; they are said in the language of what is drawn.
func (b *builder) title(id, fromSheet string) string {
	if t := fold.Clean(fromSheet); t != "" && t != b.english[id] {
		return t
	}
	if t := b.titles[id]; t != "" {
		return t
	}
	return b.cat.Say("sheet.unknown", fold.Clean(id))
}

// cautions are the one rule of safety, on the call sheet with what needs somebody skilled, how many chairs to bring, and
// what the sun asks for.
// In a terminal, where they push the names out of sight, only what may be needed is said of them: where there are steps.
func (b *builder) cautions(o Options) []string {
	rule := []string{b.cat.Say("sheet.safety")}
	height := slices.ContainsFunc(b.event.Blocks, func(d event.Block) bool { return d.Space.Steps > 0 })
	if o.Kind == Call && (o.Form != Text || height) {
		rule[0] = b.cat.Say("sheet.sentences", rule[0], b.cat.Say("sheet.safetySkilled"))
	}
	if n := remarks.MostChairs(b.sheet, b.people); n > 0 && (o.Kind == Call || o.Kind == Pocket) {
		rule = append(rule, b.cat.Say("sheet.chairsToBring", n))
	}
	if sky.Glare(b.sheet) {
		rule = append(rule, b.cat.Say("sheet.cautionSun"))
	}
	return rule
}

// local returns an instant on the clock of the event.
func (b *builder) local(t time.Time) time.Time {
	if b.zone != nil {
		return t.In(b.zone)
	}
	return t
}

// sky puts into words what the sun does and how photographs are framed.
func (b *builder) sky() sky.Words {
	return sky.Words{Catalogue: b.cat, At: func(t time.Time) string { return b.cat.Clock(b.local(t)) }}
}

// at says when something happens that is so far from the start of a block. The minute is the one
// that has begun: nobody is called too late.
func (b *builder) at(block *event.SheetBlock, d time.Duration) string {
	if block.Start.IsZero() {
		return b.cat.Offset(int(max(d, 0) / time.Minute))
	}
	return b.cat.Clock(b.local(block.Start.Add(d)))
}

// by says when something is over that is so far from the start of a block. The minute is the one that
// follows: nobody is let go too early.
func (b *builder) by(block *event.SheetBlock, d time.Duration) string {
	if block.Start.IsZero() {
		return b.cat.Offset(wording.MinutesUp(d))
	}
	end := b.local(block.Start.Add(d))
	if up := end.Truncate(time.Minute); !up.Equal(end) {
		end = up.Add(time.Minute)
	}
	return b.cat.Clock(end)
}

// block puts the block at a place of the sheet into words.
func (b *builder) block(at int) blockView {
	c, s := b.cat, &b.sheet.Blocks[at]
	v := blockView{Title: b.blockTitle(s), NoClock: s.Start.IsZero() && len(s.Entries) > 0}
	if d := b.blocks[s.Block]; d != nil {
		v.Place, v.Photographer = fold.Clean(d.Place), fold.Clean(d.Photographer)
	}
	if !s.Start.IsZero() {
		v.Hours = c.Say("sheet.fromTo", b.at(s, 0), b.by(s, s.Length))
		if day := b.local(s.Start).Format(time.DateOnly); day != b.event.Date {
			v.Date = c.LongDate(fold.Clean(day))
		}
	}
	v.Facts = []string{
		c.WholeMinutes(s.Length),
		c.Say("sheet.groupings", len(s.Entries)),
		c.Say("sheet.walkIns", s.StepIns),
	}
	v.Trust = b.trust(s)
	if end, late := b.slotEnd(s); end != "" {
		v.Facts, v.Late = append(v.Facts, c.Say("sheet.slotUntil", end)), late
	}
	v.Light = b.labelled("sheet.light", b.sky().Light(s))
	for i := range s.Entries {
		v.Entries = append(v.Entries, b.entry(event.SheetPlace{Block: at, Entry: i}))
	}
	v.Releases = b.releases(at)
	return v
}

// labelled puts a label before what there is to say, or says nothing.
func (b *builder) labelled(k wording.Key, text string) string {
	if text == "" {
		return ""
	}
	return b.cat.Say("sheet.labelled", b.cat.Say(k), text)
}

// trust says how late a block may begin and end.
func (b *builder) trust(s *event.SheetBlock) []string {
	if s.SafeLength <= 0 || len(s.Entries) == 0 {
		return nil
	}
	say := wording.Key("sheet.safe")
	if s.Start.IsZero() {
		say = "sheet.safeLength"
	}
	out := []string{b.cat.Say(say, b.ends(s, s.Length), b.ends(s, s.SafeLength), b.cat.Number(b.event.Sureness()))}
	if first := &s.Entries[0]; first.SafeOffset >= first.Offset+time.Minute {
		out = append(out, b.cat.Say("sheet.slip", b.by(s, first.SafeOffset)))
	}
	return out
}

// slotEnd says when the time slot of a block ends, where that is known, and in a sentence that it may be too early.
func (b *builder) slotEnd(s *event.SheetBlock) (end, late string) {
	d := b.blocks[s.Block]
	if d == nil || d.Closes == "" || s.Start.IsZero() {
		return "", ""
	}
	closes, err := b.event.Instant(d.Closes)
	if err != nil {
		return "", ""
	}
	end, safe := b.at(s, closes.Sub(s.Start)), max(s.Length, s.SafeLength)
	if len(s.Entries) > 0 && s.Start.Add(safe).After(closes) {
		late = b.cat.Say("sheet.slotShort", b.by(s, safe), end)
	}
	return end, late
}

// ends says when a block is over that takes so long, or how long that is when it has no clock.
func (b *builder) ends(s *event.SheetBlock, d time.Duration) string {
	if s.Start.IsZero() {
		return b.cat.WholeMinutes(d)
	}
	return b.by(s, d)
}

// releases lists, by time, when the elders, the children and the people with needs can go.
func (b *builder) releases(at int) []releaseView {
	s := &b.sheet.Blocks[at]
	var out []releaseView
	for i := range s.Entries {
		place := event.SheetPlace{Block: at, Entry: i}
		r := releaseView{}
		for _, id := range b.released(place) {
			if p := b.people[id]; p != nil && (p.AgeBand != event.Adult || len(p.Needs) > 0) {
				r.Names = append(r.Names, b.name(id))
			}
		}
		if len(r.Names) == 0 {
			continue
		}
		r.When = b.cat.Say("sheet.after", b.number(place), b.freeAfter(place))
		out = append(out, r)
	}
	return out
}
