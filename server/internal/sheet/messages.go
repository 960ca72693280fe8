package sheet

import "kinorder.example/server/internal/wording"

import "strings"

// messages writes one message for each party, ready to be sent: where, when, until when. It says
// nothing else about anybody.
func (b *builder) messages(per Per) []byte {
	c := b.cat
	w := &writer{cat: c}
	stints := b.stints()
	parties := b.parties(stints, per)
	if len(parties) == 0 {
		w.line(c.Say(wording.KeyNobodyCalled))
	}
	for i, p := range parties {
		if i > 0 {
			w.line()
			w.line(strings.Repeat("-", 40))
			w.line()
		}
		w.line(c.Say(wording.KeyLabelled, c.Say(wording.KeyTo), b.addressed(w, p)))
		w.line()
		b.message(w, p, b.timesOf(p, stints))
	}
	return []byte(w.out.String())
}

// addressed names whom a message goes to: the person, or the circle with its leader in front.
func (b *builder) addressed(w *writer, p party) string {
	if p.title == "" {
		return w.isolated(b.name(p.people[0]))
	}
	title := w.isolated(p.title)
	for _, id := range p.people {
		if id == p.leader {
			return w.isolated(b.name(id)) + " (" + title + ")"
		}
	}
	return title
}

// message says where and when, block by block.
func (b *builder) message(w *writer, p party, times []timing) {
	c := b.cat
	if t := clean(b.event.Title); t != "" {
		w.line(w.isolated(t))
	}
	for first := 0; first < len(times); {
		last := first + 1
		for last < len(times) && times[last].at == times[first].at {
			last++
		}
		if first > 0 {
			w.line()
		}
		b.inBlock(w, p, times[first:last])
		first = last
	}
	if len(times) > 0 && times[0].block.Start.IsZero() {
		w.line(c.NoClock())
	}
}

// inBlock says where and when in one block: in sentences when it is the same for all of the party,
// else name by name. Somebody who is wanted at another time too is told so and not called free.
func (b *builder) inBlock(w *writer, p party, times []timing) {
	c := b.cat
	block := times[0].block
	head := c.Say(wording.KeyGroupPhotographs)
	if day := b.dayOf(block); day != "" {
		head += c.Say(wording.KeyListSeparator) + c.LongDate(clean(day))
	}
	w.line(head)
	if place := b.placeOf(block); place != "" {
		w.line(c.Say(wording.KeyLabelled, c.Say(wording.KeyPlace), w.isolated(place)))
	}
	if len(times) == 1 && len(times[0].people) == len(p.people) {
		t := times[0]
		w.line(c.Say(wording.KeyBeThere, b.at(block, t.ready)))
		w.line(c.Say(wording.KeyCalledAt, b.at(block, t.from)))
		if t.free {
			w.line(c.Say(wording.KeyFreeFrom, b.by(block, t.until)) + " " + c.Say(wording.KeyStayNear))
		} else {
			w.line(c.Say(wording.KeyHereUntil, b.by(block, t.until)))
		}
		return
	}
	free := false
	for _, t := range times {
		names := make([]string, len(t.people))
		for i, id := range t.people {
			names[i] = w.isolated(b.name(id))
		}
		span := wording.KeyFromToAgain
		if t.free {
			span, free = wording.KeyFromTo, true
		}
		w.line("- " + c.Say(wording.KeyLabelled, c.List(names), c.Say(span, b.at(block, t.ready), b.by(block, t.until))))
	}
	if free {
		w.line(c.Say(wording.KeyStayNearAll))
	}
}
