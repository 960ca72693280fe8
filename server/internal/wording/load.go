//go:build !js

package wording

import (
	"embed"
	"fmt"
	"path"
	"strings"
	"sync"

	"github.com/BurntSushi/toml"
	"golang.org/x/text/feature/plural"
	"golang.org/x/text/language"
)

// Each language is one file, named by its BCP 47 tag: what it calls itself and how it writes dates and
// numbers, and its texts by area and id. They are in the form that go-i18n made common, with the plural
// forms of Unicode CLDR by name, so that tools for translators read them.
//
//go:embed text/*.toml
var files embed.FS

// Catalogue holds everything that sheets and pages say in one language. A text that it lacks is said
// in English. It is safe for use by several goroutines. Everything that is counted goes through Number,
// so that it has the language's digits.
type Catalogue struct {
	tag        language.Tag
	plurals    language.Tag // whose plural rules hold: those of Portugal are not those of Brazil, which are those of "pt"
	name       string       // what the language calls itself
	rightLeft  bool         // read from right to left
	digits     []rune       // the ten digits; nil means 0 to 9
	decimal    string
	quotes     string   // around what is quoted, half before and half after; empty: as the message has it
	offsetSign string   // in front of minutes after the start; empty means "+"
	hour       string   // between hours and minutes in letters; empty means ":"
	date       string   // verbs %[1]s weekday, %[2]s day, %[3]s month, %[4]s year
	firstDay   string   // of a month, where it is not written as the others are
	weekdays   []string // seven, from Sunday
	months     []string // twelve
	texts      map[Key]message
	otherwise  *Catalogue // nil for English
}

// message is one text. Forms hold what a language says otherwise for some numbers; the first number
// among the arguments of the text chooses. Other is always the plain wording.
type message struct {
	other string
	forms map[plural.Form]string
}

// UnmarshalTOML reads a text, or a table of plural forms.
func (m *message) UnmarshalTOML(v any) error {
	if s, ok := v.(string); ok {
		m.other = s
		return nil
	}
	table, ok := v.(map[string]any)
	if !ok {
		return fmt.Errorf("a text is words or a table of plural forms, not %T", v)
	}
	m.forms = map[plural.Form]string{}
	for name, v := range table {
		s, ok := v.(string)
		form, known := forms[name]
		if !ok || !known {
			return fmt.Errorf("%q is no plural form with a text", name)
		}
		if m.forms[form] = s; form == plural.Other {
			m.other = s
		}
	}
	return nil
}

// forms are the plural forms by their names in Unicode CLDR, which browsers use too.
var forms = map[string]plural.Form{"zero": plural.Zero, "one": plural.One, "two": plural.Two, "few": plural.Few, "many": plural.Many, "other": plural.Other}

// edition is a language that there is a file of. It is read when it is first asked for: a command that
// speaks English need not read the others.
type edition struct {
	tag language.Tag
	get func() *Catalogue
}

// english is the catalogue that every other one falls back to, so it is complete.
var english = load(language.English, nil)

// editions holds every language, English first: what nobody can be matched with gets it.
var editions = list()

func list() []edition {
	entries, err := files.ReadDir("text")
	if err != nil {
		panic(err)
	}
	out := []edition{{language.English, func() *Catalogue { return english }}}
	for _, e := range entries {
		tag := language.MustParse(strings.TrimSuffix(e.Name(), ".toml"))
		if tag != language.English {
			out = append(out, edition{tag, sync.OnceValue(func() *Catalogue { return load(tag, english) })})
		}
	}
	return out
}

// load reads the file of a language. Files are part of the program, so a fault in one panics; the tests
// of this package read them all.
func load(tag language.Tag, otherwise *Catalogue) *Catalogue {
	name := path.Join("text", tag.String()+".toml")
	content, err := files.ReadFile(name)
	if err != nil {
		panic(err)
	}
	var areas map[string]map[string]message
	if _, err := toml.Decode(string(content), &areas); err != nil {
		panic(name + ": " + err.Error())
	}
	about := func(key string) string { return areas["language"][key].other }
	c := &Catalogue{
		tag: tag, name: about("name"), rightLeft: about("direction") == "rtl", decimal: about("decimal"),
		quotes: about("quotes"), offsetSign: about("offsetSign"), hour: about("hour"), date: about("date"), firstDay: about("firstDay"),
		weekdays: strings.Split(about("weekdays"), "|"), months: strings.Split(about("months"), "|"),
		texts: map[Key]message{}, otherwise: otherwise,
	}
	c.plurals = tag
	if rules := about("plurals"); rules != "" {
		c.plurals = language.MustParse(rules)
	}
	if digits := about("digits"); digits != "" {
		c.digits = []rune(digits)
	}
	if len(c.weekdays) != 7 || len(c.months) != 12 {
		panic(name + ": a year has seven weekdays and twelve months")
	}
	delete(areas, "language")
	for area, texts := range areas {
		for id, m := range texts {
			c.texts[Key(area+"."+id)] = m
		}
	}
	return c
}
