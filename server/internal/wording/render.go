//go:build !js

package wording

import (
	"strings"
	"unicode"
)

// String returns the message in English.
func (m Message) String() string { return english.Render(m) }

// Known reports whether the catalogue has a wording for a message and for all that is inside of it.
func (c *Catalogue) Known(m Message) bool {
	if _, ok := c.texts[m.Key]; !ok && hasLetters(string(m.Key)) {
		return false
	}
	return !m.Empty() && c.knownArgs(m.Args)
}

func (c *Catalogue) knownArgs(args []Arg) bool {
	for _, a := range args {
		if a.Kind == MessageArg && !c.Known(Message{a.Key, a.List}) || a.Kind != MessageArg && !c.knownArgs(a.List) {
			return false
		}
	}
	return true
}

// hasLetters reports whether a wording has anything to translate.
func hasLetters(pattern string) bool {
	return strings.ContainsFunc(verb.ReplaceAllString(pattern, ""), unicode.IsLetter)
}

// Render writes a message in the language of the catalogue.
func (c *Catalogue) Render(m Message) string {
	if m.Empty() {
		return ""
	}
	texts := make([]string, len(m.Args))
	for i, a := range m.Args {
		texts[i] = c.arg(a)
	}
	return fill(c.pattern(m.Key, m.Args), texts)
}

func (c *Catalogue) arg(a Arg) string {
	switch a.Kind {
	case QuotedArg:
		marks := c.quotes
		if marks == "" {
			marks = `""`
		}
		return c.between(marks, a.Text)
	case CurlyArg:
		marks := c.quotes
		if marks == "" {
			marks = "“”"
		}
		return c.between(marks, a.Text)
	case NumberArg:
		return c.Number(a.Number)
	case ClockArg:
		return c.inDigits(a.Text)
	case MessageArg:
		return c.Render(Message{a.Key, a.List})
	case CommaArg:
		return c.join(a.List, "sheet.listSeparator", "sheet.listSeparator")
	case AndArg:
		return c.join(a.List, "sheet.listSeparator", "sheet.and")
	case OrArg:
		return c.join(a.List, "sheet.listSeparator", "sheet.or")
	case SemicolonArg:
		return c.join(a.List, "sheet.semicolon", "sheet.semicolon")
	default:
		return c.Isolated(a.Text)
	}
}

// between puts a text between quotation marks: the first half of marks before it, the rest after it.
func (c *Catalogue) between(marks, s string) string {
	r := []rune(marks)
	half := len(r) / 2
	return string(r[:half]) + c.Isolated(s) + string(r[half:])
}

// join lists arguments with a separator between them and another before the last.
func (c *Catalogue) join(list []Arg, between, last Key) string {
	var b strings.Builder
	for i, a := range list {
		switch {
		case i == 0:
		case i == len(list)-1:
			b.WriteString(c.pattern(last, nil))
		default:
			b.WriteString(c.pattern(between, nil))
		}
		b.WriteString(c.arg(a))
	}
	return b.String()
}

// Isolated keeps a text that runs against the language from turning the words around it.
func (c *Catalogue) Isolated(s string) string {
	against := RightToLeft
	if c.rightLeft {
		against = LeftToRight
	}
	if against(s) {
		return Isolate(s)
	}
	return s
}
