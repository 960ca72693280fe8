package sheet

import (
	"maps"
	"slices"
	"strings"
	"time"
	"unicode"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/kin"
	"kinorder.example/server/internal/sheet/fold"
	"kinorder.example/server/internal/sheet/remarks"
	"kinorder.example/server/internal/sheet/script"
	"kinorder.example/server/internal/wording"
)

// entryView is one grouping in its place.
type entryView struct {
	Number  int    // counted through the whole sheet
	Wait    string // for how long, until when and for whom everybody waits before; or empty
	Start   string
	Minutes string
	Title   string
	Star    string // before the title of one that must be had, where others need not
	IfTime  string // of one that is nice to have, where others are more
	Facts   []string
	Lens    string      // how it is framed; empty without a kit
	Groups  []callGroup // of a call of many
	Leaders []string    // who gathers the others of a call
	Calls   []callView
	Out     []outView
	Stay    []string
	Near    []string // at hand without being in the frame
	Release []string
	Again   []outView // only in the last entry of a block
	Ready   []string
	Next    int // number of the entry that Ready is for
	Stand   *standView
	Large   bool // for the caller, in larger type
}

// Others reports whether there is anything to say of people who do not walk in.
func (e *entryView) Others() bool {
	return len(e.Out)+len(e.Stay)+len(e.Near)+len(e.Release)+len(e.Again)+len(e.Ready) > 0
}

// callView is one name to read out.
type callView struct {
	Name  string
	Say   string   // how to say it
	Loud  bool     // in a script that readers may not know: how to say it is what they read
	Leads bool     // gathers others of the call
	Notes []string // relation, age, needs
}

// outView are people who walk out: for good, or to come back.
type outView struct {
	Back   int // number of the entry they come back in; 0 means they don't
	People int // how many come back
	Names  []string
}

// frame says who is in front of the camera in one entry.
type frame struct {
	start  time.Time // zero without a clock
	people map[string]bool
}

// readFrames gathers who is in front of the camera when.
func (b *builder) readFrames(s *event.CallSheet) {
	for _, block := range s.Blocks {
		b.first = append(b.first, len(b.frames))
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

// next returns the place of the entry in which a person is wanted next after the frame at a place,
// or -1. Blocks may run at the same time, so the clock decides where there is one.
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
	return best
}

// count gives the entries their numbers: those that photos go by already, or counted through the whole sheet.
func (b *builder) count(known map[string]int) {
	b.numbers = b.numbers[:0]
	last := 0
	for _, n := range known {
		last = max(last, n)
	}
	for _, block := range b.sheet.Blocks {
		for _, entry := range block.Entries {
			n := known[entry.Grouping]
			if n == 0 {
				last++
				n = last
			}
			b.numbers = append(b.numbers, n)
		}
	}
}

// place counts an entry through the whole sheet, from 0.
func (b *builder) place(at event.SheetPlace) int { return b.first[at.Block] + at.Entry }

// number is what an entry goes by.
func (b *builder) number(at event.SheetPlace) int { return b.numbers[b.place(at)] }

// entry puts the entry at a place of the sheet into words.
func (b *builder) entry(place event.SheetPlace) entryView {
	c := b.cat
	s, entry, at := &b.sheet.Blocks[place.Block], b.sheet.Entry(place), b.place(place)
	v := entryView{
		Number:  b.numbers[at],
		Wait:    b.wait(s, entry),
		Start:   b.at(s, entry.Offset),
		Minutes: c.Minutes(entry.Length),
		Title:   b.title(entry.Grouping, entry.Title),
		Facts:   []string{b.size(entry.Grouping, at)},
		Stay:    b.short(entry.Stay),
		Near:    b.short(entry.Near),
		Release: b.releasedNames(place),
		Lens:    b.labelled("sheet.lens", b.sky().Lens(entry.Lens)),
	}
	if p := b.worth[entry.Grouping]; b.ranked() && p == event.Must {
		v.Star = star
	} else if b.ranked() && p == event.Nice {
		v.IfTime = c.Say("sheet.ifTime")
	}
	if entry.Frames > 0 {
		v.Facts = append(v.Facts, c.Say("sheet.frames", entry.Frames))
	}
	if entry.BlinksLikely {
		v.Facts = append(v.Facts, c.Say("sheet.blinks"))
	}
	v.Facts = append(v.Facts, b.atHand(entry)...)
	for _, id := range entry.StepIn {
		v.Calls = append(v.Calls, b.call(id))
	}
	leaders := b.leadersOf(entry.StepIn)
	for i, id := range entry.StepIn {
		v.Calls[i].Leads = slices.Contains(leaders, id)
	}
	v.Groups, v.Leaders = b.callGroups(entry.StepIn), b.saidOf(leaders)
	v.Out = b.out(entry, at)
	v.Stand = b.stand(entry)
	if place.Entry == len(s.Entries)-1 {
		v.Again = b.again(entry, at)
	}
	// People who have just walked out and are wanted next are told so there.
	told := make(map[string]bool, len(entry.StepOut))
	for _, id := range entry.StepOut {
		told[id] = true
	}
	ready := slices.DeleteFunc(slices.Clone(entry.Standby), func(id string) bool { return told[id] })
	if v.Ready = b.short(ready); len(v.Ready) > 0 {
		v.Next = b.numbers[min(at+1, len(b.numbers)-1)]
	}
	return v
}

// atHand says what a photograph takes: chairs, and a camera that is low.
func (b *builder) atHand(entry *event.SheetEntry) (facts []string) {
	if n := remarks.Chairs(entry, b.people); n > 0 {
		facts = append(facts, b.cat.Say("sheet.chairs", n))
	}
	if remarks.OfChildren(entry, b.people) {
		facts = append(facts, b.cat.Say("sheet.lowCamera"))
	}
	return facts
}

// star marks a photo that must be had.
const star = "★"

// ranked reports whether the photos of the sheet are not all worth the same.
func (b *builder) ranked() bool {
	worth := map[event.Priority]bool{}
	for _, block := range b.sheet.Blocks {
		for _, entry := range block.Entries {
			worth[b.worth[entry.Grouping]] = true
		}
	}
	return len(worth) > 1
}

// size says how many people are in an entry.
func (b *builder) size(grouping string, at int) string {
	named := len(b.frames[at].people)
	if n := b.guests[grouping]; n > 0 {
		return b.cat.Say("sheet.namedAndGuests", named, n)
	}
	return b.cat.Say("sheet.personCount", named)
}

// wait says how long everybody waits before an entry, until when, and for whom if somebody of the
// entry comes just then. Waits under half a minute are not mentioned.
func (b *builder) wait(s *event.SheetBlock, entry *event.SheetEntry) string {
	if entry.Wait < 30*time.Second {
		return ""
	}
	length, until := b.cat.Minutes(entry.Wait), b.at(s, entry.Offset)
	var late []string
	if clock, err := b.event.Clock(); err == nil && !s.Start.IsZero() {
		begin := s.Start.Add(entry.Offset)
		for _, id := range slices.Concat(entry.StepIn, entry.Near) {
			if p := b.people[id]; p != nil && comesBetween(clock, p, begin.Add(-entry.Wait), begin) {
				late = append(late, id)
			}
		}
	}
	if len(late) == 0 {
		return b.cat.Say("sheet.wait", length, until)
	}
	return b.cat.Say("sheet.waitFor", length, until, b.cat.List(b.short(late)))
}

// comesBetween reports whether a person arrives after one instant and not after another.
func comesBetween(clock event.Clock, p *event.Person, after, until time.Time) bool {
	for _, span := range append([]event.Span{{From: p.PresentFrom}}, p.Presence...) {
		if span.From == "" {
			continue
		}
		if from, err := clock.Instant(span.From); err == nil && from.After(after) && !from.After(until) {
			return true
		}
	}
	return false
}

// released lists who is free to go after an entry: whom the sheet releases there, without anybody who
// is wanted until later.
func (b *builder) released(at event.SheetPlace) []string {
	return slices.DeleteFunc(slices.Clone(b.sheet.Entry(at).Released), func(id string) bool {
		last, known := b.free[id]
		return known && last != at
	})
}

// releasedNames names who is free to go after an entry; those whom the day is about are at home there. When nobody of a
// photo is wanted again, one word names them. It is "everyone" only when nobody at all is wanted later: read aloud it
// empties the lawn.
func (b *builder) releasedNames(at event.SheetPlace) []string {
	ids, entry := b.released(at), b.sheet.Entry(at)
	guest := func(id string) bool { return !slices.Contains(b.event.Honour, id) }
	var names []string
	for _, c := range b.clusters(ids) {
		if c.group == nil && guest(c.id) || c.group != nil && slices.ContainsFunc(slices.Collect(maps.Keys(c.group.people)), guest) {
			names = append(names, b.aloud(c))
		}
	}
	if len(names) < 3 || slices.ContainsFunc(entry.Wanted(), func(id string) bool { return !slices.Contains(ids, id) }) {
		return names
	}
	if !b.over(at) {
		return []string{b.cat.Say("sheet.allOfThese")}
	}
	return []string{b.cat.Say("sheet.everyone")}
}

// over reports whether all else is over before an entry is.
func (b *builder) over(at event.SheetPlace) bool {
	block := &b.sheet.Blocks[at.Block]
	for i := range b.sheet.Blocks {
		other := &b.sheet.Blocks[i]
		later := i > at.Block
		if !block.Start.IsZero() && !other.Start.IsZero() {
			later = other.Start.Add(other.Length).After(block.Start.Add(block.Length))
		}
		if later && len(other.Entries) > 0 {
			return false
		}
	}
	return at.Entry == len(block.Entries)-1
}

// call returns one name to read out, with what the reader, the finder and people who carry chairs should know.
func (b *builder) call(id string) callView {
	v := callView{Name: b.name(id), Say: b.saying(id), Loud: script.Unread(b.cat, b.name(id))}
	p := b.people[id]
	if p == nil {
		return v
	}
	relation := kin.Said(b.cat.Tag(), fold.Clean(p.Relation))
	has := func(text, word string) bool { return strings.Contains(strings.ToLower(text), strings.ToLower(word)) }
	if relation != "" && !has(v.Name, relation) { // "Aunty Sue" is somebody's aunty
		v.Notes = append(v.Notes, relation)
	}
	if k, young := ages[p.AgeBand]; young && !strings.ContainsFunc(relation, unicode.IsDigit) && !has(relation, b.cat.Say(k)) {
		v.Notes = append(v.Notes, b.cat.Say(k)) // a relation may say how old somebody is
	}
	for _, need := range p.Needs {
		if k, ok := needs[need]; ok {
			v.Notes = append(v.Notes, b.cat.Say(k))
		}
	}
	return v
}

// ages are the words for people who have to be fetched.
var ages = map[event.AgeBand]wording.Key{event.Child: "page.child", event.Infant: "page.infant"}

// needs are the words for needs to prepare for.
var needs = map[event.Need]wording.Key{
	event.Seat:        "sheet.seat",
	event.Wheelchair:  "sheet.wheelchair",
	event.StepFree:    "sheet.stepFree",
	event.Interpreter: "sheet.interpreter",
}

// out says who walks out in the entry at a place of the sheet. After a photo of many nobody calls out each name: who stays
// is said, the others step out, and of these only who is wanted next is told so.
func (b *builder) out(entry *event.SheetEntry, at int) []outView {
	out := b.byReturn(entry.StepOut, at)
	var all string
	switch many := manyOut(entry); {
	case len(entry.StepOut) > 1 && len(entry.Stay) == 0:
		all = b.cat.Say("sheet.allBefore")
	case many:
		all = b.cat.Say("sheet.circle", len(entry.StepOut), b.cat.Say("sheet.allOthers"))
	default:
		return out
	}
	out = slices.DeleteFunc(out, func(o outView) bool {
		return o.Back == 0 || len(entry.StepOut) > fewest && o.Back != b.numbers[min(at+1, len(b.numbers)-1)]
	})
	return append([]outView{{Names: []string{all}}}, out...)
}

// manyOut reports whether more people walk out than are called by name, and fewer stay.
func manyOut(entry *event.SheetEntry) bool {
	return len(entry.StepOut) > fewest && len(entry.Stay) < len(entry.StepOut)
}

// again lists who leaves the last frame of a block without being free to go.
func (b *builder) again(entry *event.SheetEntry, at int) []outView {
	var ids []string
	for _, id := range slices.Concat(entry.Stay, entry.StepIn) {
		if b.next(id, at) >= 0 {
			ids = append(ids, id)
		}
	}
	return b.byReturn(ids, at)
}

// byReturn sorts people by the entry in which they are wanted next, so that the reader can tell
// them; those who are not wanted again come first.
func (b *builder) byReturn(ids []string, at int) []outView {
	byPlace := map[int][]string{}
	for _, id := range ids {
		next := b.next(id, at)
		byPlace[next] = append(byPlace[next], id)
	}
	var out []outView
	for _, next := range slices.Sorted(maps.Keys(byPlace)) {
		v := outView{People: len(byPlace[next]), Names: b.short(byPlace[next])}
		if next >= 0 {
			v.Back = b.numbers[next]
		}
		out = append(out, v)
	}
	return out
}
