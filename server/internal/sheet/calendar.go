package sheet

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"kinorder.example/server/internal/event"
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
	w := &calendarWriter{stamp: o.Stamp}
	w.property("BEGIN", "VCALENDAR")
	w.property("VERSION", "2.0")
	w.property("PRODID", "-//kinorder.example//kinorder//EN")
	w.property("CALSCALE", "GREGORIAN")
	w.property("METHOD", "PUBLISH")
	if o.Kind == Times {
		b.personalEvents(w, o.Per)
	} else {
		b.blockEvents(w)
	}
	w.property("END", "VCALENDAR")
	return []byte(w.out.String()), nil
}

// blockEvents writes an event for each block with its order as the description.
func (b *builder) blockEvents(w *calendarWriter) {
	number := 0
	for i := range b.sheet.Blocks {
		s := &b.sheet.Blocks[i]
		if len(s.Entries) == 0 {
			continue
		}
		var lines []string
		for k := range s.Entries {
			e := &s.Entries[k]
			number++
			lines = append(lines, b.cat.Row(number, b.at(s, e.Offset), b.title(e.Grouping, e.Title)))
		}
		w.event(calendarEvent{
			uid: b.uid("block", s.Block, strconv.Itoa(i)), start: s.Start, end: s.Start.Add(s.Length),
			summary: b.summary(b.blockTitle(s)), location: b.placeOf(s), description: strings.Join(lines, "\n"),
		})
	}
}

// personalEvents writes an event for each party and block, several where they go to another between.
func (b *builder) personalEvents(w *calendarWriter, per Per) {
	if per == PerDefault {
		per = PerPerson
	}
	stints := b.stints()
	for _, p := range b.parties(stints, per) {
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
			text := &writer{cat: b.cat}
			b.inBlock(text, p, times, first, last)
			parts := []string{kind, id, s.Block, strconv.Itoa(times[first].at)}
			if n := again[times[first].at]; n > 0 {
				parts = append(parts, strconv.Itoa(n))
			}
			again[times[first].at]++
			w.event(calendarEvent{
				uid:   b.uid(parts...),
				start: s.Start.Add(ready), end: s.Start.Add(until),
				summary: b.summary(who), location: b.placeOf(s), description: strings.TrimSpace(text.out.String()),
			})
			first = last
		}
	}
}

// summary heads a calendar event.
func (b *builder) summary(of string) string {
	s := b.cat.Say("sheet.groupPhotographs")
	if t := clean(b.event.Title); t != "" {
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

// calendarEvent is one event of a calendar.
type calendarEvent struct {
	uid                            string
	start, end                     time.Time
	summary, location, description string
}

// calendarWriter writes content lines.
type calendarWriter struct {
	stamp time.Time
	out   strings.Builder
}

// event writes one event. Its start is rounded down to the minute and its end up.
func (w *calendarWriter) event(e calendarEvent) {
	end := e.end.Truncate(time.Minute)
	if !end.Equal(e.end) {
		end = end.Add(time.Minute)
	}
	start := e.start.Truncate(time.Minute)
	w.property("BEGIN", "VEVENT")
	w.property("UID", e.uid)
	w.property("DTSTAMP", utc(w.stamp))
	w.property("DTSTART", utc(start))
	if end.After(start) { // RFC 5545, 3.8.2.2: later than the start
		w.property("DTEND", utc(end))
	}
	w.property("SUMMARY", escaped(e.summary))
	if e.location != "" {
		w.property("LOCATION", escaped(e.location))
	}
	if e.description != "" {
		w.property("DESCRIPTION", escaped(e.description))
	}
	w.property("END", "VEVENT")
}

// utc writes form 2 of DATE-TIME (RFC 5545, 3.3.5).
func utc(t time.Time) string { return t.UTC().Format("20060102T150405Z") }

// escaped writes a value of type TEXT (RFC 5545, 3.3.11).
func escaped(s string) string {
	return strings.NewReplacer(`\`, `\\`, ";", `\;`, ",", `\,`, "\n", `\n`).Replace(s)
}

// property writes one content line, folded so that no line has more than 75 octets without its end,
// and none ends inside a character (RFC 5545, 3.1).
func (w *calendarWriter) property(name, value string) {
	const most = 75
	line := name + ":" + value
	used := 0
	for _, r := range line {
		n := utf8.RuneLen(r)
		if used+n > most {
			w.out.WriteString("\r\n ")
			used = 1
		}
		w.out.WriteRune(r)
		used += n
	}
	w.out.WriteString("\r\n")
}
