package sheet

import (
	"slices"
	"strings"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/kin"
	"kinorder.example/server/internal/sheet/fold"
	"kinorder.example/server/internal/wording"
)

// Message is one for a household, or for somebody: To says for whom, People are those who get it, Body is what it says.
type Message struct {
	To     string
	People []string
	Body   string
}

// Messages are the messages to all who are called, in a language: those of the text of the times.
func Messages(e event.Event, s event.CallSheet, language string) []Message {
	cat, _ := wording.For(language)
	return newBuilder(cat, &e, &s).messages(PerDefault)
}

// messages writes one message for each party, ready to be sent: where, when, until when. It says
// nothing else about anybody.
func (b *builder) messages(per Per) []Message {
	stints := b.stints()
	var out []Message
	for _, p := range b.addressees(b.toGrownUps(b.parties(stints, per, b.home), per)) {
		w := newWriter(b.cat, 0)
		m := Message{To: b.addressed(w, p)}
		for _, id := range append([]string{p.to}, p.people...) {
			if b.adult(id) && (p.to == "" || id == p.to) {
				m.People = append(m.People, id)
			}
		}
		w.Line(b.cat.Say("sheet.greeting"))
		w.Line()
		b.message(w, p, b.timesOf(p, stints))
		m.Body = w.String()
		out = append(out, m)
	}
	return out
}

// messageText is all messages as one text.
func (b *builder) messageText(per Per) []byte {
	w := newWriter(b.cat, 0)
	all := b.messages(per)
	if len(all) == 0 {
		w.Line(b.cat.Say("sheet.nobodyCalled"))
	}
	for i, m := range all {
		if i > 0 {
			w.Line()
			w.Line(strings.Repeat("-", 40))
			w.Line()
		}
		w.Line(b.cat.Say("sheet.labelled", b.cat.Say("sheet.to"), m.To))
		w.Line()
		w.WriteString(m.Body)
	}
	return []byte(w.String())
}

// adult says that somebody is known to be grown up.
func (b *builder) adult(id string) bool {
	p := b.people[id]
	return p != nil && (p.AgeBand == event.Adult || p.AgeBand == event.Elder)
}

// toGrownUps has somebody grown up told what children in no group would be: whoever is in small photos with the child, whose
// own message it is in then, and else those whom the day is about.
func (b *builder) toGrownUps(all []party, per Per) []party {
	var out, children []party
	for _, p := range all {
		if x := b.people[p.people[0]]; p.title == "" && x != nil && !b.adult(x.ID) {
			children = append(children, p)
		} else {
			out = append(out, p)
		}
	}
	for _, c := range children {
		best, near := -1, 0.0
		for i, p := range out {
			for _, id := range p.people {
				if n := b.nearness(id, c.people[0]); b.adult(id) && !b.honoured(id) && n > near {
					best, near, c.to = i, n, id
				}
			}
		}
		if best >= 0 && per != PerPerson {
			if out[best].to == "" && slices.ContainsFunc(out[best].people, b.attends) { // not of their house
				best = slices.IndexFunc(out, func(p party) bool { return p.to == c.to })
			}
			if best >= 0 {
				out[best].people, out[best].joined = append(slices.Clone(out[best].people), c.people...), true
				continue
			}
		}
		for i := range b.event.People {
			if id := b.event.People[i].ID; c.to == "" && b.honoured(id) && b.adult(id) {
				c.to = id
			}
		}
		out = append(out, c)
	}
	return out
}

// attends says that somebody comes as a friend, or with a part in the day.
func (b *builder) attends(id string) bool {
	p := b.people[id]
	if p == nil {
		return false
	}
	r, ok := kin.Read(p.Relation)
	return ok && (r.Kind == kin.Attendant || r.Kind == kin.Friend)
}

// nearness is in how many photos two are together, each the less the more people are in it; one of half of all counts nothing.
// Whoever a child is said to be of is nearest.
func (b *builder) nearness(one, other string) float64 {
	sum := 0.0
	if r, ok := kin.Read(b.people[other].Relation); ok && r.Owner != "" && r.Owner == b.name(one) {
		sum = float64(len(b.in))
	}
	for _, k := range b.in[one] {
		if f := b.frames[k].people; f[other] && 2*len(f) <= len(b.in) {
			sum += 1 / float64(len(f))
		}
	}
	return sum
}

// home reports whether a group is one whose people may know each other's times: somebody grown up, of one side, with nobody
// whom a rule keeps apart, and few enough or with a leader.
func (b *builder) home(i int) bool {
	g, sides, index := &b.groups[i], map[string]bool{}, event.NewIndex(b.event)
	for id := range g.people {
		if p := b.people[id]; p != nil && p.Side != "" && !b.honoured(id) {
			sides[p.Side] = true
		}
	}
	apart := slices.ContainsFunc(b.event.Rules, func(r event.Rule) bool {
		return r.Apart != nil && slices.ContainsFunc(r.Apart.PairsIn(index), func(x event.ApartPair) bool {
			return g.people[b.event.People[x.One].ID] && g.people[b.event.People[x.Other].ID]
		})
	})
	return !apart && len(sides) < 2 && b.grown(i) && (len(g.people) <= fewest || g.people[g.leader])
}

// addressees leaves out the people the day is about and the photographers, who get no message, and words for several people
// whom nobody has named.
func (b *builder) addressees(all []party) []party {
	var out []party
	for _, p := range all {
		p.people = slices.DeleteFunc(slices.Clone(p.people), func(id string) bool {
			if r, ok := kin.Read(b.name(id)); ok && r.Plural {
				return true
			}
			return b.honoured(id) || slices.ContainsFunc(b.event.Blocks, func(x event.Block) bool {
				return x.Photographer != "" && fold.Clean(x.Photographer) == b.name(id)
			})
		})
		if len(p.people) > 0 {
			out = append(out, p)
		}
	}
	return out
}

// honoured reports whether the day is about somebody: as the event says, else by their being in three fifths of at least
// four photographs; common practice, no source.
func (b *builder) honoured(id string) bool {
	if len(b.event.Honour) > 0 {
		return slices.Contains(b.event.Honour, id)
	}
	return len(b.frames) >= 4 && 5*len(b.in[id]) >= 3*len(b.frames)
}

// from says about when something begins, to five minutes and never too late.
func (b *builder) from(block *event.SheetBlock, d time.Duration) string {
	return b.cat.Told(b.at(block, d-b.past(block, d)))
}

// until says about when something is over, to five minutes and never too early: nobody may leave before their photograph.
func (b *builder) until(block *event.SheetBlock, d time.Duration) string {
	return b.cat.Told(b.at(block, b.late(block, d)))
}

// late is the full five minutes at which something is over for certain.
func (b *builder) late(block *event.SheetBlock, d time.Duration) time.Duration {
	if past := b.past(block, d); past > 0 {
		d += 5*time.Minute - past
	}
	return d
}

// past is how long after a full five minutes something is.
func (b *builder) past(block *event.SheetBlock, d time.Duration) time.Duration {
	if block.Start.IsZero() {
		return d % (5 * time.Minute)
	}
	at := b.local(block.Start.Add(d))
	return at.Sub(at.Truncate(5 * time.Minute))
}

// addressed names the recipient of a message: the person, or the circle with its leader or somebody grown up in front.
func (b *builder) addressed(w *writer, p party) string {
	if p.to != "" {
		names := b.namesOf(p.people)
		for i := range names {
			names[i] = w.Isolated(names[i])
		}
		return w.Isolated(b.name(p.to)) + " (" + b.cat.List(names) + ")"
	}
	if p.title == "" {
		return w.Isolated(b.name(p.people[0]))
	}
	who := p.leader
	if !slices.Contains(p.people, who) {
		i := slices.IndexFunc(p.people, b.adult)
		if i < 0 {
			return w.Isolated(p.title)
		}
		who = p.people[i]
	}
	return w.Isolated(b.name(who)) + " (" + w.Isolated(p.title) + ")"
}

// message says where and when, block by block.
func (b *builder) message(w *writer, p party, times []timing) {
	c := b.cat
	if t := b.eventTitle(); t != "" {
		w.Line(w.Isolated(t))
	}
	for first := 0; first < len(times); {
		last := first + 1
		for last < len(times) && times[last].at == times[first].at {
			last++
		}
		if first > 0 {
			w.Line()
		}
		b.inBlock(w, p, times[first:last])
		first = last
	}
	if len(times) > 0 && times[0].block.Start.IsZero() {
		w.Line(c.NoClock())
	}
}

// inBlock says where and when in one block: in sentences when it is the same for all of the party,
// else name by name. Somebody who is wanted at another time too is told from when and not called free.
func (b *builder) inBlock(w *writer, p party, times []timing) {
	c, block := b.cat, times[0].block
	head := w.Isolated(b.blockTitle(block))
	if head == "" {
		head = c.Say("sheet.groupPhotographs")
	}
	if day := b.dayOf(block); day != "" {
		head = c.Facts(head, c.LongDate(fold.Clean(day)))
	}
	w.Line(head)
	if place := b.placeOf(block); place != "" {
		w.Line(c.Say("sheet.labelled", c.Say("sheet.place"), w.Isolated(place)))
	}
	spoken := p.to == "" && !p.joined // whoever reads it is spoken to
	if spoken && len(times) == 1 && len(times[0].people) == len(p.people) {
		t, people := times[0], len(p.people) // how many are spoken to
		w.Line(c.Say("sheet.beThere", b.from(block, t.ready), people))
		w.Line(c.Say("sheet.calledAt", b.from(block, t.from)))
		switch again, atOnce := b.onward(t.stint); {
		case t.free:
			w.Line(c.Say("sheet.freeFrom", b.until(block, t.until), people))
		case atOnce:
			w.Line(c.Say("sheet.straightOn", w.Isolated(b.placeOf(t.next.block))))
		default:
			w.Line(c.Say("sheet.hereUntil", b.until(block, t.until), again, people))
		}
		return
	}
	free, names := false, map[string][]string{} // by what is said of them
	var spans []string
	for _, t := range times {
		from, until := b.from(block, t.ready), b.until(block, t.until)
		span := c.Say("sheet.fromToAbout", from, until)
		switch again, atOnce := b.onward(t.stint); {
		case atOnce && !t.free:
			span = c.Say("sheet.fromStraightOn", from, w.Isolated(b.placeOf(t.next.block)))
		case !t.free:
			span = c.Say("sheet.fromToAgain", from, until, again)
		}
		free = free || t.free
		if names[span] == nil {
			spans = append(spans, span)
		}
		for _, id := range t.people {
			names[span] = append(names[span], w.Isolated(b.name(id)))
		}
	}
	for _, span := range spans {
		w.Line("- " + c.Say("sheet.labelled", c.List(names[span]), span))
	}
	if free {
		w.Line(c.Say("sheet.stayNearAll"))
	}
}
