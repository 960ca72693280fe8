package place

import (
	"cmp"
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
)

// The most that is read of a list.
const (
	MaxContent = 256 << 10 // bytes
	MaxLines   = 4000
	MaxLine    = 2000 // characters; a longer line is no entry of a list
	maxAsked   = 300  // problems that are listed
	MostNamed  = 20   // candidates that a question names
)

// Codes of what is asked and reported about a list.
const (
	CodeWhichOne      = "WHICH_ONE"       // error: several people or circles may be meant
	CodeNotKnown      = "NOT_KNOWN"       // error: nobody is known by these words
	CodeNobody        = "NOBODY"          // error: a line has nobody in it who is known
	CodeReadAs        = "READ_AS"         // warning: words with a slip were read as somebody
	CodeStandsFor     = "STANDS_FOR_SOME" // warning: words for several people count as one
	CodeAddedPerson   = "ADDED_PERSON"    // warning: somebody is not among the guests and was added
	CodeLookAlike     = "LOOK_ALIKE"      // warning: two names may be one person
	CodeNotUsed       = "NOT_USED"        // warning: words are not used
	CodeKeptAsNote    = "KEPT_AS_NOTE"    // info: words are kept as a private note
	CodeCountDiffers  = "COUNT_DIFFERS"   // warning: the line says another number of people
	CodeDoubted       = "DOUBTED"         // warning: the words of a line and who came out cannot both be right
	CodeTakenAs       = "TAKEN_AS"        // info: what a word was taken to mean
	CodeTooLong       = "TOO_LONG"        // error: a list or line is too long
	CodeNoPhotographs = "NO_PHOTOGRAPHS"  // error: there is no line that asks for a photograph
)

// Result is what a list comes to.
type Result struct {
	Event    event.Event
	Problems []Problem // in the order of the lines
	Lines    []Line    // every line that is not blank
	Language string    // that the list is mostly in: "fr"
}

// Notes are what there is to say of a list: its problems, and what became of each line. The zero value is empty.
type Notes struct {
	Problems []Problem
	Uses     map[int]*Line // by number
	count    int           // of problems, the unlisted among them
}

// Use notes what became of a line. What is asked or reported stays so.
func (n *Notes) Use(line int, use Use, fields ...string) {
	u := n.Uses[line]
	if u == nil {
		if n.Uses == nil {
			n.Uses = make(map[int]*Line)
		}
		u = &Line{Number: line, Use: use}
		n.Uses[line] = u
	}
	switch {
	case use == Asked, u.Use == Reported && use == Used, u.Use == Ruler:
		u.Use = use
	}
	u.Fields = append(u.Fields, fields...)
}

// Report adds a problem at a line and column.
func (n *Notes) Report(line, column int, severity event.Severity, code, written string, m wording.Message, candidates ...string) {
	if severity == event.Error && column > 0 {
		n.Use(line, Asked)
	}
	if n.count++; n.count > maxAsked {
		return
	}
	n.Problems = append(n.Problems, Problem{
		Advice: event.Tell(severity, code, "", nil, m),
		Line:   line, Column: column, Written: Clip(written), Candidates: candidates[:min(MostNamed, len(candidates))],
	})
}

// Result puts everything into the order of the lines that are given, those that are not blank.
func (n *Notes) Result(e event.Event, lines []int) Result {
	slices.SortStableFunc(n.Problems, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	if more := n.count - len(n.Problems); more > 0 {
		n.Problems = append(n.Problems, Problem{Advice: event.Tell(event.Error, event.CodeMoreNotListed, "", nil,
			wording.Say("list.moreQuestionsAreNotListed", more))})
	}
	var out []Line
	for _, line := range lines {
		u := n.Uses[line]
		if u == nil {
			u = &Line{Number: line, Use: Reported}
		}
		out = append(out, *u)
	}
	return Result{Event: e, Problems: n.Problems, Lines: out}
}

// Invisible reports whether a character cannot be a part of a list: control characters and those that turn the
// direction of what follows.
func Invisible(c rune) bool {
	return c < ' ' && c != '\t' || c >= 0x7f && c < 0xa0 || c == '\u2028' || c == '\u2029' ||
		c >= '\u202a' && c <= '\u202e' || c >= '\u2066' && c <= '\u2069' || c == '\ufffd' || c == '\ufeff'
}

// Clip shortens words of the list to 60 characters.
func Clip(s string) string { return Shortened(s, 60) }

// Shortened cuts a text after so many characters.
func Shortened(s string, most int) string {
	if c := []rune(s); len(c) > most {
		return string(c[:most]) + "…"
	}
	return s
}

// Quoted puts words of the list into a sentence; the isolates keep a name's direction to itself.
func Quoted(s string) wording.Arg { return wording.Curly(Clip(s)) }
