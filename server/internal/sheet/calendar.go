package sheet

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strconv"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/sheet/fold"
	"kinorder.example/server/internal/sheet/ical"
	"kinorder.example/server/internal/wording"
)

// calendar writes iCalendar (RFC 5545): an event for each block, for those who work there, or for
// Times one for each person or circle and block. Times are in UTC, which every calendar turns into
// the time of the place it is in. Identifiers are made of ids alone and stay the same when the sheet
// is drawn again, so that a new sheet takes the place of the old one.
func (b *builder) calendar(o Options) ([]byte, error) {
	var faults []event.Advice
	for i := range b.sheet.Blocks {
		s := &b.sheet.Blocks[i]
		if len(s.Entries) == 0 {
			continue
		}
		field := fmt.Sprintf("sheet.blocks[%d].startTime", i)
		if s.Start.IsZero() {
			faults = append(faults, event.Tell(event.Error, "NO_CLOCK", field, nil,
				wording.Say("sheet.calendarNeedsTimesOfDay")))
		} else if y := s.Start.Year(); y < 1000 || y > 9000 { // years of four digits, whatever is added
			faults = append(faults, event.Tell(event.Error, event.CodeOutOfRange, field, nil,
				wording.Say("sheet.calendarHasYearsFrom1000To")))
		}
	}
	if len(faults) > 0 {
		return nil, &InvalidError{Faults: faults}
	}
	w := &ical.Writer{Stamp: o.Stamp}
	w.Property("BEGIN", "VCALENDAR")
	w.Property("VERSION", "2.0")
	w.Property("PRODID", "-//kinorder.example//kinorder//EN")
	w.Property("CALSCALE", "GREGORIAN")
	w.Property("METHOD", "PUBLISH")
	if o.Kind == Times {
		b.personalEvents(w, o.Per)
	} else {
		b.blockEvents(w)
	}
	w.Property("END", "VCALENDAR")
	return []byte(w.String()), nil
}

// blockEvents writes an event for each block with its order as the description.
func (b *builder) blockEvents(w *ical.Writer) {
	for i := range b.sheet.Blocks {
		s := &b.sheet.Blocks[i]
		if len(s.Entries) == 0 {
			continue
		}
		var lines []string
		for k := range s.Entries {
			e := &s.Entries[k]
			lines = append(lines, b.cat.Row(b.number(event.SheetPlace{Block: i, Entry: k}), b.at(s, e.Offset), b.title(e.Grouping, e.Title)))
		}
		w.Event(ical.Event{
			UID: b.uid("block", s.Block, strconv.Itoa(i)), Start: s.Start, End: s.Start.Add(s.Length),
			Summary: b.summary(b.blockTitle(s)), Location: b.placeOf(s), Description: strings.Join(lines, "\n"),
		})
	}
}

// personalEvents writes an event for each party and block, several where they go to another between.
func (b *builder) personalEvents(w *ical.Writer, per Per) {
	if per == PerDefault {
		per = PerPerson
	}
	stints := b.stints()
	for _, p := range b.parties(stints, per, b.grown) {
		who, kind, id := p.title, "circle", p.id
		if who == "" {
			who, kind, id = b.name(p.people[0]), "person", p.people[0]
		}
		times := b.timesOf(p, stints)
		again := map[int]int{} // how often a party was in a block before
		for first := 0; first < len(times); {
			last := first + 1
			ready, until := times[first].ready, times[first].until
			for last < len(times) && times[last].at == times[first].at {
				ready, until = min(ready, times[last].ready), max(until, times[last].until)
				last++
			}
			s := times[first].block
			text := newWriter(b.cat, 0)
			b.inBlock(text, p, times[first:last])
			parts := []string{kind, id, s.Block, strconv.Itoa(times[first].at)}
			if n := again[times[first].at]; n > 0 {
				parts = append(parts, strconv.Itoa(n))
			}
			again[times[first].at]++
			w.Event(ical.Event{
				UID:   b.uid(parts...),
				Start: s.Start.Add(ready), End: s.Start.Add(until),
				Summary: b.summary(who), Location: b.placeOf(s), Description: strings.TrimSpace(text.String()),
			})
			first = last
		}
	}
}

// summary heads a calendar event.
func (b *builder) summary(of string) string {
	s := b.cat.Say("sheet.groupPhotographs")
	if t := fold.Clean(b.event.Title); t != "" {
		s = t + " – " + s
	}
	if of != "" {
		s += " – " + of
	}
	return s
}

// uid makes an identifier that is the same for the same parts of the same event and that tells nothing
// about them.
func (b *builder) uid(parts ...string) string {
	h := sha256.New()
	for _, part := range append([]string{b.event.Title, b.event.Date, b.event.TimeZone}, parts...) {
		fmt.Fprintf(h, "%d:%s", len(part), part)
	}
	return hex.EncodeToString(h.Sum(nil)[:16]) + "@kinorder.example"
}
