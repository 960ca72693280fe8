package sheet

import (
	"maps"
	"slices"
	"time"

	"kinorder.example/server/internal/event"
)

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

// frame says who is in front of the camera in one entry.
type frame struct {
	start  time.Time // zero without a clock
	people map[string]bool
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
