package event

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"sync"
	"time"
	_ "time/tzdata" // the zones must be there on machines that have none installed
	"unicode"
	"unicode/utf8"

	"kinorder.example/server/internal/wording"
)

// Clock reads the times of one event. It is immutable and safe for use by several goroutines.
type Clock struct {
	loc  *time.Location
	Date time.Time // midnight UTC of the event's date; zero when the event has none
}

// Clock returns the clock of the event's date and time zone. Its error says what to change.
func (e Event) Clock() (Clock, error) {
	loc, err := e.Location()
	if err != nil {
		return Clock{}, err
	}
	c := Clock{loc: loc}
	if e.Date == "" {
		return c, nil
	}
	c.Date, err = time.Parse(time.DateOnly, e.Date)
	if err != nil {
		return Clock{}, faultOf("check.dateIsNotADateOf", Quoted(e.Date))
	}
	return c, inReach(c.Date, e.Date)
}

// inReach returns a fault of a time in a year that no sheet can have: it ends days later, and is written with four digits.
func inReach(t time.Time, written string) error {
	if y := t.Year(); y < firstYear || y > lastYear {
		return faultOf("check.yearIsOutOfReach", Quoted(written), strconv.Itoa(firstYear), strconv.Itoa(lastYear))
	}
	return nil
}

const firstYear, lastYear = 1900, 9000

// zones are the zones that there were so far, by name: to read one takes longer than all that is done with its times.
var zones sync.Map

// Location returns the event's time zone, UTC when it names none. The error says what to change.
func (e Event) Location() (*time.Location, error) {
	if e.TimeZone == "" {
		return time.UTC, nil
	}
	// "Local" and "localtime" would make the result depend on the machine that plans; "Factory" stands for none. The names of
	// zones begin with a capital, and those of what lies beside them, such as "posixrules" and "right/UTC", do not.
	if z := e.TimeZone; z != "Local" && z != "Factory" && z[0] >= 'A' && z[0] <= 'Z' {
		if loc, known := zones.Load(z); known {
			return loc.(*time.Location), nil
		}
		if loc, err := time.LoadLocation(z); err == nil {
			zones.Store(z, loc)
			return loc, nil
		}
	}
	return nil, faultOf("check.noTimeZone", Quoted(e.TimeZone))
}

// Today is the day at a moment where the event is, YYYY-MM-DD; here where it has no time zone.
func (e Event) Today(now time.Time) string {
	at, err := e.Location()
	if e.TimeZone == "" || err != nil {
		at = time.Local
	}
	return now.In(at).Format(time.DateOnly)
}

// Instant reads a time of the event: HH:MM on the event's date in its time zone, or RFC 3339. It
// returns an error that says what to change when the time cannot be read, when HH:MM is given and
// the event has no date, and when the clocks of the zone skip or repeat the time on that date.
// Use Clock to read many times.
func (e Event) Instant(s string) (time.Time, error) {
	c, err := e.Clock()
	if err != nil {
		return time.Time{}, err
	}
	return c.Instant(s)
}

// Location returns the time zone of the clock.
func (c Clock) Location() *time.Location { return c.loc }

// Instant reads a time as Event.Instant does.
func (c Clock) Instant(s string) (time.Time, error) {
	if strings.ContainsAny(s, "Tt") {
		t, err := time.Parse(time.RFC3339, strings.ToUpper(s))
		if err != nil {
			return time.Time{}, faultOf("check.timeCannotBeRead", Quoted(s))
		}
		return t.In(c.loc), inReach(t, s)
	}
	hour, minute, ok := HourMinute(s)
	if !ok {
		return time.Time{}, faultOf("check.timeCannotBeReadWriteHoursFrom", Quoted(s))
	}
	if c.Date.IsZero() {
		return time.Time{}, faultOf("check.timeNeedsADay", Quoted(s))
	}
	return c.local(hour, minute)
}

// HourMinute reads H:MM or HH:MM of a 24-hour day.
func HourMinute(s string) (hour, minute int, ok bool) {
	h, m, found := strings.Cut(s, ":")
	if !found || len(h) < 1 || len(h) > 2 || len(m) != 2 {
		return 0, 0, false
	}
	for _, r := range h + m {
		if r < '0' || r > '9' {
			return 0, 0, false
		}
	}
	for _, r := range h {
		hour = hour*10 + int(r-'0')
	}
	minute = int(m[0]-'0')*10 + int(m[1]-'0')
	return hour, minute, hour < 24 && minute < 60
}

// local finds the one instant at which the zone's clocks show the time on the date. It tries the
// offsets in force a day before, on and a day after: around a change of the clocks two of them
// differ, and then none or both may fit.
func (c Clock) local(hour, minute int) (time.Time, error) {
	y, m, d := c.Date.Date()
	wall := time.Date(y, m, d, hour, minute, 0, 0, time.UTC)
	var fits []time.Time
	for _, hours := range []time.Duration{-24, 0, 24} {
		_, offset := wall.Add(hours * time.Hour).In(c.loc).Zone()
		t := wall.Add(-time.Duration(offset) * time.Second).In(c.loc)
		same := t.Day() == d && t.Hour() == hour && t.Minute() == minute
		if same && (len(fits) == 0 || !fits[len(fits)-1].Equal(t)) {
			fits = append(fits, t)
		}
	}
	text := fmt.Sprintf("%02d:%02d", hour, minute)
	switch len(fits) {
	case 1:
		return fits[0], nil
	case 0:
		return time.Time{}, faultOf("check.timeDoesNotExistOnIn",
			text, c.Date.Format(time.DateOnly), c.loc.String())
	default:
		return time.Time{}, faultOf("check.timeComesTwiceOnInAs",
			text, c.Date.Format(time.DateOnly), c.loc.String(), fits[0].Format(time.RFC3339), fits[1].Format(time.RFC3339))
	}
}

// errNoTime says that a time was left empty. It never reaches a planner.
var errNoTime = errors.New("no time given")

// InstantOf is Instant for a field that may be empty.
func (c Clock) InstantOf(s string) (time.Time, error) {
	if s == "" {
		return time.Time{}, errNoTime
	}
	return c.Instant(s)
}

// fault is an error that can be said in every language.
type fault struct{ m wording.Message }

func faultOf(k wording.Key, args ...any) error { return fault{wording.Say(k, args...)} }

// Error returns the English sentence as errors are written, small and without a full stop.
func (f fault) Error() string {
	s := strings.TrimSuffix(f.m.String(), ".")
	r, size := utf8.DecodeRuneInString(s)
	return string(unicode.ToLower(r)) + s[size:]
}

// MessageOf returns what an error of a clock says.
func MessageOf(err error) wording.Message {
	var f fault
	if errors.As(err, &f) {
		return f.m
	}
	return wording.Said(err.Error())
}

// Millis and Instant turn times into what is stored and what phones send, milliseconds since 1970; the zero time is 0.
func Millis(t time.Time) int64 {
	if t.IsZero() {
		return 0
	}
	return t.UnixMilli()
}

// Instant is the time of Millis, in UTC.
func Instant(ms int64) time.Time {
	if ms == 0 {
		return time.Time{}
	}
	return time.UnixMilli(ms).UTC()
}
