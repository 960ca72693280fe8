package sheet

import (
	"maps"
	"slices"
	"strconv"
	"time"

	"kinorder.example/server/internal/event"
)

// sheetView is a call sheet in the words of one language. Text and HTML draw the same view.
type sheetView struct {
	Title    string
	Date     string
	Totals   []string       // sentences
	Cautions []string       // sentences
	Overview []overviewLine // of the blocks, when there are several
	Blocks   []blockView
	LeftOut  []leftOutView
	Notes    []noteView
}

// overviewLine is one block in a few words: when, what, and the numbers of its entries.
type overviewLine struct{ When, Title, Entries string }

// blockView is one block.
type blockView struct {
	Title        string
	Date         string // when it is not the date of the event
	Place        string
	Photographer string
	Hours        string // from when to when, or empty without a clock
	Facts        []string
	Releases     []releaseView
	NoClock      bool
	Entries      []entryView
}

// releaseView says who of those who should not wait long can go when.
type releaseView struct {
	When  string
	Names []string
}

// entryView is one grouping in its place.
type entryView struct {
	Number  int // counted through the whole sheet
	Start   string
	Minutes string
	Title   string
	Facts   []string
	Calls   []callView
	Out     []outView
	Stay    []string
	Release []string
	Again   []outView // only in the last entry of a block
	Ready   []string
	Next    int // number of the entry that Ready is for
}

// Others reports whether there is anything to say of people who do not walk in.
func (e *entryView) Others() bool {
	return len(e.Out)+len(e.Stay)+len(e.Release)+len(e.Again)+len(e.Ready) > 0
}

// callView is one name to read out.
type callView struct {
	Name  string
	Say   string   // how to say it
	Notes []string // relation, needs
}

// outView are people who walk out: for good, or to come back.
type outView struct {
	Back  int // number of the entry they come back in; 0 means they don't
	Names []string
}

// leftOutView is a grouping that is not taken.
type leftOutView struct {
	Title  string
	Reason string
	Must   bool // it had to be taken
}

// noteView is one advice to the planner.
type noteView struct{ Kind, Text string }

// builder makes a view.
type builder struct {
	*directory
	event  *event.Event
	zone   *time.Location   // nil means as in the sheet
	frames []frame          // of all entries, in the order of the sheet
	in     map[string][]int // places of the frames that a person is in
}

// frame says who is in front of the camera in one entry.
type frame struct {
	start  time.Time // zero without a clock
	people map[string]bool
}

// newView puts a sheet into words.
func newView(cat *catalogue, e *event.Event, s *event.CallSheet) *sheetView {
	b := &builder{directory: newDirectory(cat, e), event: e, in: map[string][]int{}}
	if e.TimeZone != "" {
		if zone, err := time.LoadLocation(e.TimeZone); err == nil {
			b.zone = zone
		}
	}
	b.readFrames(s)
	v := &sheetView{
		Title:    clean(e.Title),
		Date:     cat.longDate(e.Date),
		Totals:   b.totals(s),
		Cautions: b.cautions(),
	}
	if v.Title == "" {
		v.Title = cat.say(keyCallSheet)
	}
	first := 0
	for i := range s.Blocks {
		v.Blocks = append(v.Blocks, b.block(&s.Blocks[i], first))
		first += len(s.Blocks[i].Entries)
	}
	if len(v.Blocks) > 1 {
		v.Overview = b.overview(v.Blocks)
	}
	for _, l := range s.LeftOut {
		v.LeftOut = append(v.LeftOut, leftOutView{
			Title: b.title(l.Grouping, ""), Reason: clean(l.Reason), Must: l.Priority == event.Must,
		})
	}
	for _, severity := range []event.Severity{event.Error, event.Warning, event.Info} {
		for _, a := range s.Advice {
			if a.Severity == severity {
				v.Notes = append(v.Notes, noteView{Kind: cat.say(kindOf(severity)), Text: clean(a.Text)})
			}
		}
	}
	return v
}

// readFrames gathers who is in front of the camera when.
func (b *builder) readFrames(s *event.CallSheet) {
	for _, block := range s.Blocks {
		for _, entry := range block.Entries {
			f := frame{people: map[string]bool{}}
			if !block.Start.IsZero() {
				f.start = block.Start.Add(entry.Offset)
			}
			for _, id := range slices.Concat(entry.StepIn, entry.Stay) {
				if !f.people[id] {
					f.people[id] = true
					b.in[id] = append(b.in[id], len(b.frames))
				}
			}
			b.frames = append(b.frames, f)
		}
	}
}

// next returns the number of the entry in which a person is wanted next after the frame at a place,
// or 0. Blocks may run at the same time, so the clock decides where there is one.
func (b *builder) next(id string, at int) int {
	best, now := -1, b.frames[at].start
	for _, i := range b.in[id] {
		t := b.frames[i].start
		later := i > at
		if !now.IsZero() && !t.IsZero() {
			later = t.After(now)
		}
		if !later {
			continue
		}
		if best < 0 || (!t.IsZero() && !b.frames[best].start.IsZero() && t.Before(b.frames[best].start)) {
			best = i
		}
	}
	return best + 1
}

// kindOf says how an advice is introduced.
func kindOf(s event.Severity) key {
	switch s {
	case event.Error:
		return keyMend
	case event.Warning:
		return keyCheck
	default:
		return keyNote
	}
}

// title returns what a grouping is called: as the sheet says, else as the event says, else its id.
func (b *builder) title(id, fromSheet string) string {
	if t := clean(fromSheet); t != "" {
		return t
	}
	if t := b.titles[id]; t != "" {
		return t
	}
	return b.cat.say(keyUnknown, clean(id))
}

// totals says in sentences what the order comes to.
func (b *builder) totals(s *event.CallSheet) []string {
	t := s.Totals
	c := b.cat
	if t.Groupings == 0 {
		return nil
	}
	walkIns := []string{
		c.say(keyRequested, t.RequestedStepIns),
		c.say(keyInThisOrder, t.StepIns),
	}
	switch {
	case t.FloorReached:
		walkIns = append(walkIns, c.say(keyFewest, t.FloorStepIns))
	case t.FloorStepIns > 0:
		walkIns = append(walkIns, c.say(keyFloor, t.FloorStepIns))
	}
	aim := c.say(aimOf(b.event.Emphasis))
	best := c.say(keyNoBound, aim)
	if t.Proven {
		best = c.say(keyProven, aim)
	} else if gap := t.Gap(); t.Bound > 0 && gap >= 0 && gap < 1 {
		best = c.say(keyGap, aim, c.percent(gap))
	}
	return []string{c.say(keySentence, c.list(walkIns)), best}
}

// aimOf says what an emphasis is after.
func aimOf(e event.Emphasis) key {
	switch e {
	case event.FewestSteps:
		return keyAimFewest
	case event.EarlyRelease:
		return keyAimEarly
	default:
		return keyAimBalanced
	}
}

// cautions returns the usual cautions that this event gives reason for, and defers to the venue.
func (b *builder) cautions() []string {
	waiting, children, steps := false, false, false
	seen := map[string]bool{}
	for _, f := range b.frames {
		// From about three rows of people upwards somebody stands on something; common practice,
		// no source.
		steps = steps || len(f.people) >= 12
		for id := range f.people {
			p := b.people[id]
			if p == nil || seen[id] {
				continue
			}
			seen[id] = true
			waiting = waiting || p.AgeBand == event.Elder || len(p.Needs) > 0
			children = children || p.AgeBand == event.Child || p.AgeBand == event.Infant
		}
	}
	var out []string
	if waiting {
		out = append(out, b.cat.say(keyCautionWaiting))
	}
	if children {
		out = append(out, b.cat.say(keyCautionChildren))
	}
	if steps {
		out = append(out, b.cat.say(keyCautionSteps))
	}
	if len(out) > 0 {
		out = append(out, b.cat.say(keyCautionVenue))
	}
	return out
}

// local returns an instant on the clock of the event.
func (b *builder) local(t time.Time) time.Time {
	if b.zone != nil {
		return t.In(b.zone)
	}
	return t
}

// at says when something happens that is so far from the start of a block. The minute is the one
// that has begun: nobody is called too late.
func (b *builder) at(block *event.SheetBlock, d time.Duration) string {
	if block.Start.IsZero() {
		return "+" + strconv.FormatInt(int64(max(d, 0)/time.Minute), 10)
	}
	return b.local(block.Start.Add(d)).Format(b.cat.clock)
}

// end says when a block is over. The minute is the one that follows.
func (b *builder) end(block *event.SheetBlock) string {
	end := b.local(block.Start.Add(block.Length))
	if up := end.Truncate(time.Minute); !up.Equal(end) {
		end = up.Add(time.Minute)
	}
	return end.Format(b.cat.clock)
}

// block puts one block into words. Its entries are numbered from first+1.
func (b *builder) block(s *event.SheetBlock, first int) blockView {
	c := b.cat
	v := blockView{NoClock: s.Start.IsZero() && len(s.Entries) > 0}
	if d := b.blocks[s.Block]; d != nil {
		v.Title, v.Place, v.Photographer = clean(d.Title), clean(d.Place), clean(d.Photographer)
		if v.Title == "" {
			v.Title = clean(d.ID)
		}
	} else if s.Block != "" {
		v.Title = c.say(keyUnknown, clean(s.Block))
	}
	if !s.Start.IsZero() {
		v.Hours = c.say(keyFromTo, b.at(s, 0), b.end(s))
		if day := b.local(s.Start).Format(time.DateOnly); day != b.event.Date {
			v.Date = c.longDate(day)
		}
	}
	v.Facts = []string{
		c.wholeMinutes(s.Length),
		c.say(keyGroupings, len(s.Entries)),
		c.say(keyWalkIns, s.StepIns),
	}
	for i := range s.Entries {
		v.Entries = append(v.Entries, b.entry(s, i, first+i))
	}
	v.Releases = b.releases(s, first)
	return v
}

// overview says where the day goes.
func (b *builder) overview(blocks []blockView) []overviewLine {
	var lines []overviewLine
	for i := range blocks {
		v := &blocks[i]
		line := overviewLine{When: v.Hours, Title: v.Title}
		if line.When == "" {
			line.When = v.Facts[0]
		}
		if n := len(v.Entries); n > 0 {
			line.Entries = b.cat.say(keyNumbers, n, v.Entries[0].Number, v.Entries[n-1].Number)
		} else {
			line.Entries = b.cat.say(keyNoEntries)
		}
		lines = append(lines, line)
	}
	return lines
}

// releases lists, by time, when the elders, the children and the people with needs can go.
func (b *builder) releases(s *event.SheetBlock, first int) []releaseView {
	var out []releaseView
	for i := range s.Entries {
		entry := &s.Entries[i]
		r := releaseView{}
		for _, id := range entry.Released {
			if p := b.people[id]; p != nil && (p.AgeBand != event.Adult || len(p.Needs) > 0) {
				r.Names = append(r.Names, b.name(id))
			}
		}
		if len(r.Names) == 0 {
			continue
		}
		r.When = b.cat.say(keyAfter, first+i+1, b.at(s, entry.Offset+entry.Length))
		out = append(out, r)
	}
	return out
}

// entry puts entry i of a block, whose place in the whole sheet is at, into words.
func (b *builder) entry(s *event.SheetBlock, i, at int) entryView {
	c := b.cat
	entry := &s.Entries[i]
	v := entryView{
		Number:  at + 1,
		Start:   b.at(s, entry.Offset),
		Minutes: c.minutes(entry.Length),
		Title:   b.title(entry.Grouping, entry.Title),
		Facts:   []string{c.say(keyPeople, len(b.frames[at].people))},
		Stay:    b.short(entry.Stay),
		Release: b.released(entry, at),
	}
	if entry.Frames > 0 {
		v.Facts = append(v.Facts, c.say(keyFrames, entry.Frames))
	}
	for _, id := range entry.StepIn {
		v.Calls = append(v.Calls, b.call(id))
	}
	v.Out = b.out(entry, at)
	if i == len(s.Entries)-1 {
		v.Again = b.again(entry, at)
	}
	// Who has just walked out and is wanted next is told so there.
	told := make(map[string]bool, len(entry.StepOut))
	for _, id := range entry.StepOut {
		told[id] = true
	}
	ready := slices.DeleteFunc(slices.Clone(entry.Standby), func(id string) bool { return told[id] })
	if v.Ready = b.short(ready); len(v.Ready) > 0 {
		v.Next = at + 2
	}
	return v
}

// released says who is free to go, in one word when it is everyone and nothing shorter names them.
func (b *builder) released(entry *event.SheetEntry, at int) []string {
	names := b.short(entry.Released)
	if len(names) > 2 && len(entry.Released) == len(b.frames[at].people) {
		return []string{b.cat.say(keyEveryone)}
	}
	return names
}

// call returns one name to read out with what the reader, the finder and whoever carries a chair
// should know.
func (b *builder) call(id string) callView {
	v := callView{Name: b.name(id)}
	p := b.people[id]
	if p == nil {
		return v
	}
	if say := clean(p.SayAs); say != "" {
		v.Say = b.cat.say(keySay, say)
	}
	if r := clean(p.Relation); r != "" {
		v.Notes = append(v.Notes, r)
	}
	for _, need := range p.Needs {
		if k, ok := needs[need]; ok {
			v.Notes = append(v.Notes, b.cat.say(k))
		}
	}
	return v
}

// needs are the words for what to be ready for.
var needs = map[event.Need]key{
	event.Seat:        keySeat,
	event.Wheelchair:  keyWheelchair,
	event.StepFree:    keyStepFree,
	event.Interpreter: keyInterpreter,
}

// out says who walks out in the entry at a place of the sheet.
func (b *builder) out(entry *event.SheetEntry, at int) []outView {
	out := b.byReturn(entry.StepOut, at)
	if len(entry.StepOut) > 1 && len(entry.Stay) == 0 {
		if out[0].Back == 0 {
			out = out[1:]
		}
		everyone := outView{Names: []string{b.cat.say(keyEveryone)}}
		out = append([]outView{everyone}, out...)
	}
	return out
}

// again lists who leaves the last frame of a block without being free to go.
func (b *builder) again(entry *event.SheetEntry, at int) []outView {
	var ids []string
	for _, id := range slices.Concat(entry.Stay, entry.StepIn) {
		if b.next(id, at) > 0 {
			ids = append(ids, id)
		}
	}
	return b.byReturn(ids, at)
}

// byReturn sorts people by the entry in which they are wanted next, so that the reader can tell
// them; those who are not wanted again come first.
func (b *builder) byReturn(ids []string, at int) []outView {
	byNumber := map[int][]string{}
	for _, id := range ids {
		n := b.next(id, at)
		byNumber[n] = append(byNumber[n], id)
	}
	var out []outView
	for _, n := range slices.Sorted(maps.Keys(byNumber)) {
		out = append(out, outView{Back: n, Names: b.short(byNumber[n])})
	}
	return out
}
