package sheet

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"golang.org/x/text/feature/plural"
	"golang.org/x/text/language"
)

// message is one text. Forms hold what a language says otherwise for some numbers; the first
// argument of the text is then the number. Form Other is always the plain wording.
type message struct {
	other string
	forms map[plural.Form]string
}

// catalogue holds everything that a sheet says in one language. A text that it lacks is said in
// English. Everything that is counted goes through number, so that it has the language's digits.
type catalogue struct {
	tag        language.Tag
	rightLeft  bool   // read from right to left
	digits     []rune // the ten digits; nil means 0 to 9
	decimal    string
	offsetSign string // in front of minutes after the start; empty means "+"
	date       string // verbs %[1]s weekday, %[2]s day, %[3]s month, %[4]s year
	firstDay   string // of a month, where it is not written as the others are
	weekdays   [7]string
	months     [12]string
	texts      map[key]message
	otherwise  *catalogue // nil for English
}

// say returns a text with its arguments filled in. Arguments are texts and whole numbers.
func (c *catalogue) say(k key, args ...any) string {
	m, ok := c.texts[k]
	if !ok {
		if c.otherwise == nil {
			return ""
		}
		return c.otherwise.say(k, args...)
	}
	if len(args) == 0 {
		return m.other
	}
	pattern := m.other
	if n, isInt := args[0].(int); isInt && len(m.forms) > 0 {
		if form, ok := m.forms[plural.Cardinal.MatchPlural(c.tag, n, 0, 0, 0, 0)]; ok {
			pattern = form
		}
	}
	return c.fill(pattern, args)
}

// fill puts arguments in the places of a text, %[1]s and so on; a percent sign is written %%. Unlike
// package fmt it does not mind a text that has no use for one of its arguments, such as "one person".
func (c *catalogue) fill(pattern string, args []any) string {
	pairs := make([]string, 0, 2*len(args)+2)
	for i, a := range args {
		if n, isInt := a.(int); isInt {
			a = c.number(n)
		}
		pairs = append(pairs, "%["+strconv.Itoa(i+1)+"]s", fmt.Sprint(a))
	}
	return strings.NewReplacer(append(pairs, "%%", "%")...).Replace(pattern)
}

// number writes a whole number with the digits of the language, without separators.
func (c *catalogue) number(n int) string { return c.inDigits(strconv.Itoa(n)) }

// inDigits writes a text of ASCII digits with those of the language.
func (c *catalogue) inDigits(s string) string {
	if c.digits == nil {
		return s
	}
	return strings.Map(func(r rune) rune {
		if r >= '0' && r <= '9' {
			return c.digits[r-'0']
		}
		return r
	}, s)
}

// clock writes the hours and minutes of a day of 24 hours.
func (c *catalogue) clock(t time.Time) string { return c.inDigits(t.Format("15:04")) }

// offset writes minutes after the start of a block that has no clock time.
func (c *catalogue) offset(minutes int) string {
	sign := c.offsetSign
	if sign == "" {
		sign = "+"
	}
	return sign + c.number(minutes)
}

// noClock explains offset.
func (c *catalogue) noClock() string { return c.say(keyNoClock, c.offset(11), 11) }

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
	day := c.number(t.Day())
	if t.Day() == 1 && c.firstDay != "" {
		day = c.firstDay
	}
	return c.fill(c.date, []any{c.weekdays[t.Weekday()], day, c.months[t.Month()-1], t.Year()})
}

// minutes writes a length to the nearest half minute, and never less than half a minute: seconds
// would claim a precision that nobody on the day can keep.
func (c *catalogue) minutes(d time.Duration) string {
	half := max(d, 0)/(30*time.Second) + (max(d, 0)%(30*time.Second)+15*time.Second)/(30*time.Second)
	if half <= 1 {
		return c.say(keyHalfMinute)
	}
	s := c.number(int(half / 2))
	if half%2 == 1 {
		s += c.decimal + c.number(5)
	}
	return c.say(keyMinutes, s)
}

// wholeMinutes writes the length of a block, rounded up so that nobody is promised an end that comes
// too early.
func (c *catalogue) wholeMinutes(d time.Duration) string {
	m := minutesUp(d)
	if m > 120 {
		return c.say(keyHours, m/60, m%60)
	}
	return c.say(keyMinutes, c.number(m))
}

// minutesUp returns a length in whole minutes, rounded up; 0 for what is below 0.
func minutesUp(d time.Duration) int {
	m := max(d, 0) / time.Minute
	if max(d, 0)%time.Minute > 0 {
		m++
	}
	return int(m)
}

// percent writes a share with one decimal, rounded up: it is an upper limit.
func (c *catalogue) percent(share float64) string {
	tenths := int(share * 1000)
	if float64(tenths) < share*1000 {
		tenths++
	}
	tenths = max(tenths, 1)
	return c.number(tenths/10) + c.decimal + c.number(tenths%10)
}

// row sets a number, a time and a title side by side. Two Arabic numbers that nothing stands between
// would change places on a line from left to right, so a mark of that direction parts them.
func (c *catalogue) row(number int, start, title string) string {
	gap := "  "
	if c.digits != nil {
		gap = " \u200e "
	}
	return c.number(number) + gap + start + gap + title
}

// list joins names.
func (c *catalogue) list(names []string) string {
	return strings.Join(names, c.say(keyListSeparator))
}
