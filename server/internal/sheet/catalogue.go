package sheet

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"golang.org/x/text/feature/plural"
	"golang.org/x/text/language"
)

// key names one text of a sheet.
type key int

// The texts of a sheet. What each takes is said beside its English wording.
const (
	keyCallSheet key = iota
	keyPlace
	keyPhotographer
	keyFromTo
	keyNoClock
	keyMinutes
	keyHours
	keyGroupings
	keyWalkIns
	keyNumbers
	keyRequested
	keyInThisOrder
	keyFewest
	keyFloor
	keySentence
	keyProven
	keyGap
	keyNoBound
	keyAimFewest
	keyAimBalanced
	keyAimEarly
	keyReleases
	keyAfter
	keyTaken
	keyPeople
	keyFrames
	keyWalkIn
	keyNobodyNew
	keyWalkOut
	keyEveryone
	keyBackIn
	keyStay
	keyRelease
	keyAgain
	keyReady
	keyCircle
	keySay
	keySeat
	keyWheelchair
	keyStepFree
	keyInterpreter
	keyUnknown
	keyNoEntries
	keyLeftOut
	keyMust
	keyPlanner
	keyMend
	keyCheck
	keyNote
	keyCautionWaiting
	keyCautionChildren
	keyCautionSteps
	keyCautionVenue
	keyLabelled
	keyColon
	keyListSeparator
	keyCount // not a text: how many there are
)

// message is one text. Forms hold what a language says otherwise for some numbers; the first
// argument of the text is then the number. Form Other is always the plain wording.
type message struct {
	other string
	forms map[plural.Form]string
}

// catalogue holds everything that a sheet says in one language. A text that it lacks is said in
// English.
type catalogue struct {
	tag       language.Tag
	rightLeft bool // read from right to left
	decimal   string
	clock     string // layout of package time
	date      string // verbs %[1]s weekday, %[2]d day, %[3]s month, %[4]d year
	weekdays  [7]string
	months    [12]string
	texts     map[key]message
	otherwise *catalogue // nil for English
}

// say returns a text with its arguments filled in.
func (c *catalogue) say(k key, args ...any) string {
	m, ok := c.texts[k]
	if !ok {
		if c.otherwise == nil {
			return ""
		}
		return c.otherwise.say(k, args...)
	}
	pattern := m.other
	if len(m.forms) > 0 && len(args) > 0 {
		if n, isInt := args[0].(int); isInt {
			if form, ok := m.forms[plural.Cardinal.MatchPlural(c.tag, n, 0, 0, 0, 0)]; ok {
				pattern = form
			}
		}
	}
	if len(args) == 0 {
		return pattern
	}
	return fmt.Sprintf(pattern, args...)
}

// direction returns the value of the dir attribute.
func (c *catalogue) direction() string {
	if c.rightLeft {
		return "rtl"
	}
	return "ltr"
}

// longDate writes a local date of the form YYYY-MM-DD, and returns anything else as it is.
func (c *catalogue) longDate(s string) string {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		return clean(s)
	}
	return fmt.Sprintf(c.date, c.weekdays[t.Weekday()], t.Day(), c.months[t.Month()-1], t.Year())
}

// minutes writes a length to the nearest half minute, and never less than half a minute: seconds
// would claim a precision that nobody on the day can keep.
func (c *catalogue) minutes(d time.Duration) string {
	half := int64((d + 15*time.Second) / (30 * time.Second))
	half = max(half, 1)
	s := strconv.FormatInt(half/2, 10)
	if half%2 == 1 {
		s += c.decimal + "5"
	}
	return c.say(keyMinutes, s)
}

// wholeMinutes writes the length of a block, rounded up so that nobody is promised an end that comes
// too early.
func (c *catalogue) wholeMinutes(d time.Duration) string {
	m := int((max(d, 0) + time.Minute - time.Nanosecond) / time.Minute)
	if m > 120 {
		return c.say(keyHours, m/60, m%60)
	}
	return c.say(keyMinutes, strconv.Itoa(m))
}

// percent writes a share with one decimal, rounded up: it is an upper limit.
func (c *catalogue) percent(share float64) string {
	tenths := int64(share * 1000)
	if float64(tenths) < share*1000 {
		tenths++
	}
	tenths = max(tenths, 1)
	return strconv.FormatInt(tenths/10, 10) + c.decimal + strconv.FormatInt(tenths%10, 10)
}

// list joins names.
func (c *catalogue) list(names []string) string {
	return strings.Join(names, c.say(keyListSeparator))
}

// one is a text with a form of its own for the number one.
func one(single, other string) message {
	return message{other: other, forms: map[plural.Form]string{plural.One: single}}
}

// plain is a text that is the same for every number.
func plain(s string) message { return message{other: s} }

// english is the catalogue that every other one falls back to, so it is complete.
var english = &catalogue{
	tag:      language.English,
	decimal:  ".",
	clock:    "15:04",
	date:     "%[1]s %[2]d %[3]s %[4]d",
	weekdays: [7]string{"Sunday", "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday"},
	months: [12]string{"January", "February", "March", "April", "May", "June", "July", "August",
		"September", "October", "November", "December"},
	texts: map[key]message{
		keyCallSheet:    plain("Call sheet"),
		keyPlace:        plain("Place"),
		keyPhotographer: plain("Photographer"),
		// Two clock times.
		keyFromTo: plain("%[1]s to %[2]s"),
		// For blocks without a clock time.
		keyNoClock: plain("No clock time is set: +11 means 11 minutes after the start."),
		// A number as text.
		keyMinutes: plain("%[1]s min"),
		// Hours, minutes.
		keyHours:     plain("%[1]d h %[2]d min"),
		keyGroupings: one("%[1]d grouping", "%[1]d groupings"),
		keyWalkIns:   one("%[1]d walk-in", "%[1]d walk-ins"),
		// How many groupings, numbers of the first and the last.
		keyNumbers: one("number %[2]d", "numbers %[2]d to %[3]d"),
		// The next five make one sentence: keyRequested, keyInThisOrder and one of keyFewest and
		// keyFloor are listed and closed by keySentence.
		keyRequested:   one("%[1]d walk-in as requested", "%[1]d walk-ins as requested"),
		keyInThisOrder: plain("%[1]d in this order"),
		keyFewest:      plain("%[1]d is the fewest possible"),
		keyFloor:       plain("no order can need fewer than %[1]d"),
		keySentence:    plain("%[1]s."),
		// The next three take one of keyAimFewest, keyAimBalanced and keyAimEarly.
		keyProven: plain("Proven: no order is better for %[1]s."),
		// The aim, a percentage as text.
		keyGap:         plain("The best order found for %[1]s; no order can be more than %[2]s %% better."),
		keyNoBound:     plain("The best order found for %[1]s; how much better an order could be is not known."),
		keyAimFewest:   plain("the fewest walk-ins"),
		keyAimBalanced: plain("few walk-ins together with early releases"),
		keyAimEarly:    plain("early releases"),
		keyReleases:    plain("Elders, children and people with needs are free to go"),
		// Number of an entry, time at which it is over.
		keyAfter:  plain("%[2]s, after %[1]d"),
		keyTaken:  plain("Taken"),
		keyPeople: one("%[1]d person in the frame", "%[1]d people in the frame"),
		keyFrames: one("%[1]d frame", "%[1]d frames"),
		// Labels of an entry, in the order in which they are printed. Walk in heads the names that
		// are read out; the last three are for when the picture is taken.
		keyWalkIn:    plain("Walk in"),
		keyWalkOut:   plain("Walk out"),
		keyStay:      plain("Stay"),
		keyRelease:   plain("Free to go"),
		keyAgain:     plain("Still needed"),
		keyReady:     plain("Have ready"),
		keyNobodyNew: plain("Nobody new"),
		keyEveryone:  plain("everyone"),
		// Number of an entry, before names.
		keyBackIn: plain("back in %[1]d:"),
		// How many people, title of a circle.
		keyCircle:      plain("%[2]s (%[1]d)"),
		keySay:         plain("say %[1]s"),
		keySeat:        plain("seat"),
		keyWheelchair:  plain("wheelchair"),
		keyStepFree:    plain("no steps"),
		keyInterpreter: plain("interpreter"),
		keyUnknown:     plain("unknown id %[1]s"),
		keyNoEntries:   plain("No grouping is taken here."),
		keyLeftOut:     plain("Not taken"),
		keyMust:        plain("must be taken"),
		keyPlanner:     plain("For the planner; keep this part when the sheet is handed out"),
		keyMend:        plain("Mend"),
		keyCheck:       plain("Check"),
		keyNote:        plain("Note"),
		// The usual cautions, common practice; each is said only where the event gives reason.
		keyCautionWaiting:  plain("Shade, water and a seat for those who wait."),
		keyCautionChildren: plain("Children in hand near roads and water."),
		keyCautionSteps:    plain("Nobody on steps, walls or chairs against their wish."),
		keyCautionVenue:    plain("The venue's rules and the people themselves decide."),
		// A label, its content.
		keyLabelled:      plain("%[1]s: %[2]s"),
		keyColon:         plain(":"),
		keyListSeparator: plain(", "),
	},
}
