package wording

import (
	"fmt"
	"time"
)

// Key is the id of a text: its area and its name there, as in the files of the languages. What each takes
// is said beside its English wording, in text/en.toml. An id outlives a change of the words, so what was
// stored is said in the words of today. A key without letters, such as "%s: %s", stands for itself.
type Key string

// Message is a text that is not yet in a language: what it says and what it says it of. The zero value
// says nothing. Messages are values; they can be compared and written as JSON.
type Message struct {
	Key  Key   `json:",omitempty"`
	Args []Arg `json:",omitempty"`
}

// ArgKind says how an argument is written in a language.
type ArgKind int

// The kinds of arguments.
const (
	PlainArg     ArgKind = iota // Text as it stands: a name, a place
	QuotedArg                   // Text between quotation marks; in English "straight" ones
	CurlyArg                    // the same; in English “curly” ones
	NumberArg                   // Number in the digits of the language
	ClockArg                    // Text is 15:04, in the digits of the language
	MessageArg                  // List[0] filled into Key: a message inside of another
	CommaArg                    // List, joined by commas
	AndArg                      // List, joined by commas and "and"
	OrArg                       // List, joined by commas and "or"
	SemicolonArg                // List, joined by semicolons
)

// Arg is one argument of a message.
type Arg struct {
	Kind   ArgKind `json:",omitempty"`
	Text   string  `json:",omitempty"`
	Number int     `json:",omitempty"`
	Key    Key     `json:",omitempty"` // of a MessageArg, whose arguments are List
	List   []Arg   `json:",omitempty"`
}

// Say makes a message. Arguments are strings, whole numbers, lists of strings (joined by commas),
// messages and what the functions of this package make; anything else panics.
func Say(k Key, args ...any) Message { return Message{k, argsOf(args)} }

// Said makes a message of a text that is in a language already, such as one of the planner's own.
func Said(text string) Message { return Say("%s", text) }

func argsOf(args []any) []Arg {
	var out []Arg
	for _, a := range args {
		out = append(out, argOf(a))
	}
	return out
}

func argOf(a any) Arg {
	switch a := a.(type) {
	case string:
		return Arg{Text: a}
	case int:
		return Arg{Kind: NumberArg, Number: a}
	case Arg:
		return a
	case Message:
		return Arg{Kind: MessageArg, Key: a.Key, List: a.Args}
	case []string:
		return Comma(a...)
	}
	panic(fmt.Sprintf("wording: an argument of type %T", a))
}

// Quoted is a text between quotation marks.
func Quoted(s string) Arg { return Arg{Kind: QuotedArg, Text: s} }

// Curly is Quoted with “curly” marks in English.
func Curly(s string) Arg { return Arg{Kind: CurlyArg, Text: s} }

// Clock is a time of day.
func Clock(t time.Time) Arg { return Arg{Kind: ClockArg, Text: t.Format("15:04")} }

// ClockText is a time of day as an event has it: HH:MM, or with its date.
func ClockText(s string) Arg { return Arg{Kind: ClockArg, Text: s} }

// Comma lists texts; And and Or put a word before the last.
func Comma[T string | Message | Arg](items ...T) Arg { return listOf(CommaArg, items) }

// And lists texts with "and" before the last.
func And[T string | Message | Arg](items ...T) Arg { return listOf(AndArg, items) }

// Few lists the first texts, as many as given, and counts the others. One more is listed instead of counted.
func Few(most int, items []Message) Arg {
	if more := len(items) - most; more > 1 {
		return And(Say("%s", Comma(items[:most]...)), Say("sheet.more", more))
	}
	return Comma(items...)
}

// Or lists texts with "or" before the last.
func Or[T string | Message | Arg](items ...T) Arg { return listOf(OrArg, items) }

func listOf[T string | Message | Arg](kind ArgKind, items []T) Arg {
	out := Arg{Kind: kind}
	for _, i := range items {
		out.List = append(out.List, argOf(i))
	}
	return out
}

// Empty reports whether the message says nothing.
func (m Message) Empty() bool { return m.Key == "" }

// Sentences sets messages one after the other; empty ones are passed over.
func Sentences(list ...Message) Message {
	var out Message
	for _, m := range list {
		switch {
		case m.Empty():
		case out.Empty():
			out = m
		default:
			out = Say("sheet.sentences", out, m)
		}
	}
	return out
}

// Semicolons lists texts that hold commas themselves.
func Semicolons[T string | Message | Arg](items ...T) Arg { return listOf(SemicolonArg, items) }

// Bytes returns how long the texts of a message are together.
func (m Message) Bytes() int { return len(m.Key) + bytesOf(m.Args) }

func bytesOf(args []Arg) int {
	n := 0
	for _, a := range args {
		n += len(a.Text) + len(a.Key) + bytesOf(a.List)
	}
	return n
}

// MinutesUp returns a length in whole minutes, rounded up; 0 for what is below 0.
func MinutesUp(d time.Duration) int {
	m := max(d, 0) / time.Minute
	if max(d, 0)%time.Minute > 0 {
		m++
	}
	return int(m)
}
