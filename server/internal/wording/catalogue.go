//go:build !js

package wording

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"golang.org/x/text/feature/plural"
)

// Say returns a text with its arguments filled in. They are those of the function Say; strings are
// taken as they are, so whoever prints names isolates them.
func (c *Catalogue) Say(k Key, args ...any) string {
	given := argsOf(args)
	texts := make([]string, len(given))
	for i, a := range given {
		texts[i] = a.Text
		if a.Kind != PlainArg {
			texts[i] = c.arg(a)
		}
	}
	return fill(c.pattern(k, given), texts)
}

// pattern returns the wording of a key, in the form for the first of its arguments that is a number.
func (c *Catalogue) pattern(k Key, args []Arg) string {
	m, ok := c.texts[k]
	if !ok {
		if c.otherwise == nil {
			return string(k)
		}
		return c.otherwise.pattern(k, args)
	}
	if len(m.forms) == 0 {
		return m.other
	}
	counts := func(a Arg) bool { return a.Kind == NumberArg }
	if at := slices.IndexFunc(args, counts); at >= 0 {
		if form, ok := m.forms[plural.Cardinal.MatchPlural(c.plurals, abs(args[at].Number), 0, 0, 0, 0)]; ok {
			return form
		}
	}
	return m.other
}

func abs(n int) int { return max(n, -n) }

// verb is a place for an argument: the next one, or one by its number.
var verb = regexp.MustCompile(`%(?:\[([0-9])\])?([sd%])`)

// fill puts arguments in the places of a wording; a percent sign is written %%. Unlike package fmt it
// does not mind a wording that has no use for one of its arguments, such as "one person".
func fill(pattern string, args []string) string {
	next := 0
	return verb.ReplaceAllStringFunc(pattern, func(v string) string {
		if v == "%%" {
			return "%"
		}
		at := next
		if v[1] == '[' {
			at = int(v[2] - '1')
		} else {
			next++
		}
		if at < 0 || at >= len(args) {
			return v
		}
		return args[at]
	})
}

// Number writes a whole number with the digits of the language, without separators.
func (c *Catalogue) Number(n int) string { return c.inDigits(strconv.Itoa(n)) }

// inDigits writes a text of ASCII digits with those of the language.
func (c *Catalogue) inDigits(s string) string {
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

// Clock writes the hours and minutes of a day of 24 hours.
func (c *Catalogue) Clock(t time.Time) string { return c.inDigits(t.Format("15:04")) }

// Told writes a time of day as letters do, where that is not as on a clock.
func (c *Catalogue) Told(clock string) string {
	if c.hour == "" {
		return clock
	}
	return strings.Replace(clock, ":", c.hour, 1)
}

// Offset writes minutes after the start of a block that has no clock time.
func (c *Catalogue) Offset(minutes int) string {
	sign := c.offsetSign
	if sign == "" {
		sign = "+"
	}
	return sign + c.Number(minutes)
}

// NoClock explains offset.
func (c *Catalogue) NoClock() string { return c.Say("sheet.noClock", c.Offset(11), 11) }

// Tag returns the language as a BCP 47 tag.
func (c *Catalogue) Tag() string { return c.tag.String() }

// Name returns what the language calls itself.
func (c *Catalogue) Name() string { return c.name }

// Signed writes a number with a sign before it, in the order in which the language is read. In Arabic a mark of
// its direction goes before the sign, as in the number symbols of Unicode CLDR (from memory).
func (c *Catalogue) Signed(sign, number string) string {
	if c.rightLeft {
		return "\u061c" + sign + number
	}
	return sign + number
}

// Halves writes a number of halves that is not below 0: 3 is "1.5".
func (c *Catalogue) Halves(n int) string {
	s := c.Number(n / 2)
	if n%2 == 1 {
		s += c.decimal + c.Number(5)
	}
	return s
}

// RightLeft reports whether the language is read from right to left.
func (c *Catalogue) RightLeft() bool { return c.rightLeft }

// Direction returns the value of the dir attribute.
func (c *Catalogue) Direction() string {
	if c.rightLeft {
		return "rtl"
	}
	return "ltr"
}

// LongDate writes a local date of the form YYYY-MM-DD, and returns anything else as it is.
func (c *Catalogue) LongDate(s string) string {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		return s
	}
	day := c.Number(t.Day())
	if t.Day() == 1 && c.firstDay != "" {
		day = c.firstDay
	}
	return fill(c.date, []string{c.weekdays[t.Weekday()], day, c.months[t.Month()-1], c.Number(t.Year())})
}

// Minutes writes a length to the nearest half minute, and never less than half a minute: seconds
// would claim a precision that nobody on the day can keep.
func (c *Catalogue) Minutes(d time.Duration) string {
	half := max(d, 0)/(30*time.Second) + (max(d, 0)%(30*time.Second)+15*time.Second)/(30*time.Second)
	if half <= 1 {
		return c.Say("sheet.halfMinute")
	}
	return c.Say("sheet.minutes", c.Halves(int(half)))
}

// WholeMinutes writes the length of a block, rounded up so that nobody is promised an end that comes
// too early.
func (c *Catalogue) WholeMinutes(d time.Duration) string {
	m := MinutesUp(d)
	if m > 120 {
		return c.Say("sheet.hours", m/60, m%60)
	}
	return c.Say("sheet.minutes", c.Number(m))
}

// Tenths writes a figure of at least 0 with one decimal, and without it where that is 0.
func (c *Catalogue) Tenths(v float64) string {
	n := int(math.Round(min(max(v, 0), 1e6) * 10))
	if n%10 == 0 {
		return c.Number(n / 10)
	}
	return c.Number(n/10) + c.decimal + c.Number(n%10)
}

// Row sets a number, a time and a title side by side. Two Arabic numbers that nothing stands between
// would change places on a line from left to right, so a mark of that direction parts them.
func (c *Catalogue) Row(number int, start, title string) string {
	gap := "  "
	if c.digits != nil {
		gap = " \u200e "
	}
	return c.Number(number) + gap + start + gap + title
}

// Back says in which entry so many people come back.
func (c *Catalogue) Back(number, people int) string {
	return c.Say("sheet.backIn", c.Number(number), people)
}

// List joins names.
func (c *Catalogue) List(names []string) string {
	return strings.Join(names, c.Say("sheet.listSeparator"))
}

// Facts joins what is said of one thing. Where words that are alike have a comma of their own, it is not that one.
func (c *Catalogue) Facts(facts ...string) string {
	facts = slices.DeleteFunc(slices.Clone(facts), func(s string) bool { return s == "" })
	return strings.Join(facts, c.Say("sheet.factSeparator"))
}
