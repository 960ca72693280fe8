package prose

import (
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/effort"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// Cells reads what cells of a table of guests say of a person.
type Cells struct{ r *reader }

// NewCells looks at the texts of a table to know what languages they are in, at no more than a list may have.
func NewCells(m *effort.Meter, texts []string) *Cells {
	r := newReader(m, event.Event{})
	seen := 0
	for i, t := range texts[:min(len(texts), place.MaxLines)] {
		if seen += len(t); seen > place.MaxContent {
			break
		}
		r.Lines = append(r.Lines, lines.Line{Number: i + 1, Raw: t, Text: t})
	}
	r.takeApart()
	return &Cells{r}
}

// Language is the one that the texts are mostly in.
func (c *Cells) Language() string { return c.r.Main }

// longestRemark is how many characters of a remark on somebody are read; the rest is kept as it is.
const longestRemark = 2000

// parse reads a cell: what is said beside people, and the people it names.
func (c *Cells) parse(text string) speech.Parsed {
	if r := []rune(text); len(r) > longestRemark {
		text = string(r[:longestRemark])
	}
	c.r.Line = &lines.Line{Number: 1, Raw: text, Text: text}
	if !c.r.Effort.Spend(500 + 60*words.Weight(text)) {
		return speech.Parsed{}
	}
	return c.r.Parse(c.r.Phrases(words.Tokenize(text)), false)
}

// Describe takes age, needs, absence and times out of a remark on a person. It returns the remark when it says more
// than that, else nothing.
func (c *Cells) Describe(text string, p *event.Person) string {
	if speaksOnly.MatchString(text) {
		if !slices.Contains(p.Needs, event.Interpreter) {
			p.Needs = append(p.Needs, event.Interpreter)
		}
		return text // which language is worth keeping
	}
	in := c.parse(text)
	more, said := len(in.Unknown)+len(in.Terms) > 0 || utf8.RuneCountInString(text) > longestRemark, in.Said()
	before := *p
	c.keep(p, said)
	timed := before.PresentFrom != p.PresentFrom || before.PresentUntil != p.PresentUntil
	for _, a := range said {
		if !speech.Personal[a.Class] && a.Class != "number" && a.Class != "time" || (a.Class == "from" || a.Class == "until" || a.Class == "time") && !timed {
			more = true
		}
	}
	if more || len(said) == 0 {
		return text
	}
	return ""
}

// speaksOnly is a remark on somebody who needs an interpreter.
var speaksOnly = regexp.MustCompile(`(?i)^(?:only speaks|speaks only|speaks (?:little|no)|no english|spricht nur|spricht kein|ne parle que|ne parle pas|solo habla|no habla|só fala|não fala|只会说|只讲|不会说|يتكلم .* فقط|تتكلم .* فقط)|^speaks \pL+ only$`)

// keep gives a person what is said.
func (c *Cells) keep(p *event.Person, said []speech.Attribute) {
	r := c.r
	r.Guests = []people.Guest{{Person: *p, Age: -1}}
	if len(said) == 1 {
		years(said)
	}
	notes, problems := p.PrivateNote, r.Problems
	r.Describe(0, said)
	*p = r.Guests[0].Person
	p.PrivateNote, r.Problems, r.Guests = notes, problems, nil
}

// Relation reads what somebody is: "grandma 82", "Nephew (5)", "Mei's fiancé". It returns whether it is kin or a role,
// and the words without an age.
func (c *Cells) Relation(text string, p *event.Person) (bool, string) {
	in := c.parse(text)
	said, known := in.Said(), false
	for _, t := range in.Terms {
		known = known || t.Word.Class != ""
		if (t.Word.Arg == "grandparent" || t.Word.Arg == "greatgrandparent") && !t.Word.Plural && len(in.Terms) == 1 {
			p.AgeBand = event.Elder
		}
		if t.Count > 0 && t.Count <= 110 && !t.Word.Plural {
			said = append(said, speech.Attribute{Class: "years", Num: t.Count})
		}
	}
	years(said)
	c.keep(p, said)
	if at := strings.IndexAny(text, "0123456789"); at > 0 && len(said) > 0 {
		text = strings.TrimRight(text[:at], " (,-–aged")
	}
	return known, text
}

// years takes the numbers of a cell for ages.
func years(said []speech.Attribute) {
	for k := range said {
		if said[k].Class == "number" && said[k].Num <= 110 {
			said[k].Class = "years"
		}
	}
}

// bands are the ages for which a cell may hold a word that stands alone, by their lists.
var bands = map[string]event.AgeBand{"adult": event.Adult, "elder": event.Elder, "child": event.Child, "infant": event.Infant}

// Age reads a cell that holds an age: in years, or words for one.
func (c *Cells) Age(text string, p *event.Person) bool {
	for name, band := range bands {
		if words.Listed("age "+name, names.Plain(text)) {
			p.AgeBand = band
			return true
		}
	}
	in := c.parse(text)
	said := in.Said()
	for _, t := range in.Terms {
		if t.Word.Arg == "child" {
			said = append(said, speech.Attribute{Class: "child"})
		}
	}
	years(said)
	n := 0
	for _, a := range said {
		switch a.Class {
		case "years", "months", "weeks", "elder", "child", "infant":
			n++
		}
	}
	c.keep(p, said)
	return n > 0
}
