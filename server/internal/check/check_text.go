package check

import (
	"cmp"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
)

// Of an id and of a note, in characters.
const (
	maxID   = 64
	maxNote = 2000
)

// textFault says what is wrong with a printed text, or nothing.
func textFault(s string, most int) wording.Message {
	if !utf8.ValidString(s) {
		return wording.Say("check.notValidUtf8")
	}
	if n := utf8.RuneCountInString(s); n > most {
		return wording.Say("check.hasCharacters", n, most)
	}
	for _, r := range s {
		if r == utf8.RuneError {
			return wording.Say("check.holdsTheSignForACharacter")
		}
		if event.Forbidden(r) {
			return wording.Say("check.holdsTheInvisibleCharacter", fmt.Sprintf("U+%04X", r))
		}
	}
	return wording.Message{}
}

// noteFault is textFault for a note, which may have several lines.
func noteFault(s string) wording.Message {
	return textFault(strings.NewReplacer("\n", " ", "\r", " ", "\t", " ").Replace(s), maxNote)
}

// idFault says what is wrong with an id that is not empty, or nothing.
func idFault(s string) wording.Message {
	if utf8.RuneCountInString(s) > maxID {
		return wording.Say("check.longerThanCharacters", maxID)
	}
	if !utf8.ValidString(s) {
		return wording.Say("check.notValidUtf8")
	}
	for _, r := range s {
		if !unicode.IsLetter(r) && !unicode.IsMark(r) && !unicode.IsDigit(r) && r != '-' && r != '_' && r != '.' {
			return wording.Say("check.holdsUseOnlyLettersDigitsAnd", event.Quoted(string(r)))
		}
	}
	return wording.Message{}
}

// person writes a person for a sentence: by name, else by id.
func (c *checker) person(i int) wording.Message {
	p := c.e.People[i]
	switch {
	case event.Visible(p.Name):
		return p.Named()
	case p.ID != "":
		return wording.Say("%s", event.Quoted(p.ID))
	}
	return wording.Say("check.person4", i+1)
}

// personAtStart is person for the beginning of a sentence.
func (c *checker) personAtStart(i int) wording.Message {
	if p := c.e.People[i]; !event.Visible(p.Name) && p.ID == "" {
		return wording.Say("check.person", i+1)
	}
	return c.person(i)
}

// photo writes a photograph for a sentence: by its title, also one that was made up, else by its id.
func (c *checker) photo(p event.Photograph) wording.Message {
	title := c.e.Groupings[p.Source].Title
	if title == "" || !p.Portrait {
		return wording.Say("%s", event.Quoted(cmp.Or(title, p.Title, p.ID)))
	}
	whose := strings.TrimPrefix(p.ID, event.GroupingID(c.e, p.Source)+".")
	return wording.Say("%s (%s)", event.Quoted(title), c.named(whose))
}

// groupOf writes a circle for a sentence in the same way.
func groupOf(x event.Circle) wording.Arg { return event.Quoted(cmp.Or(x.Title, x.ID)) }

// named writes the person or circle that an id stands for, or the id itself if it is unknown.
func (c *checker) named(id string) wording.Message {
	if p, ok := c.r.People[id]; ok {
		return c.person(p)
	}
	if x, ok := c.r.Circles[id]; ok {
		return wording.Say("%s", groupOf(c.e.Circles[x]))
	}
	return wording.Say("%s", event.Quoted(id))
}
