// Package ical writes the content lines of iCalendar (RFC 5545).
package ical

import (
	"strings"
	"time"
	"unicode/utf8"
)

// Event is one event of a calendar.
type Event struct {
	UID                            string
	Start, End                     time.Time
	Summary, Location, Description string
}

// Writer writes content lines.
type Writer struct {
	Stamp time.Time
	strings.Builder
}

// Event writes one event. Its start is rounded down to the minute and its end up.
func (w *Writer) Event(e Event) {
	end := e.End.Truncate(time.Minute)
	if !end.Equal(e.End) {
		end = end.Add(time.Minute)
	}
	start := e.Start.Truncate(time.Minute)
	w.Property("BEGIN", "VEVENT")
	w.Property("UID", e.UID)
	w.Property("DTSTAMP", utc(w.Stamp))
	w.Property("DTSTART", utc(start))
	if end.After(start) { // RFC 5545, 3.8.2.2: later than the start
		w.Property("DTEND", utc(end))
	}
	w.Property("SUMMARY", escaped(e.Summary))
	if e.Location != "" {
		w.Property("LOCATION", escaped(e.Location))
	}
	if e.Description != "" {
		w.Property("DESCRIPTION", escaped(e.Description))
	}
	w.Property("END", "VEVENT")
}

// utc writes form 2 of DATE-TIME (RFC 5545, 3.3.5).
func utc(t time.Time) string { return t.UTC().Format("20060102T150405Z") }

// escaped writes a value of type TEXT (RFC 5545, 3.3.11).
func escaped(s string) string {
	return strings.NewReplacer(`\`, `\\`, ";", `\;`, ",", `\,`, "\n", `\n`).Replace(s)
}

// Property writes one content line, folded so that no line has more than 75 octets without its end,
// and none ends inside a character (RFC 5545, 3.1).
func (w *Writer) Property(name, value string) {
	const most = 75
	line := name + ":" + value
	used := 0
	for _, r := range line {
		n := utf8.RuneLen(r)
		if used+n > most {
			w.WriteString("\r\n ")
			used = 1
		}
		w.WriteRune(r)
		used += n
	}
	w.WriteString("\r\n")
}
