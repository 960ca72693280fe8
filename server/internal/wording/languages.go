//go:build !js

package wording

import "golang.org/x/text/language"

// matcher finds the language that comes nearest to what is asked for.
var matcher = language.NewMatcher(tags())

func tags() []language.Tag {
	var out []language.Tag
	for _, e := range editions {
		out = append(out, e.tag)
	}
	return out
}

// Languages lists the languages of sheets and pages, as BCP 47 tags.
func Languages() []string {
	var out []string
	for _, e := range editions {
		out = append(out, e.tag.String())
	}
	return out
}

// For returns the catalogue for a BCP 47 tag, English for the empty one and for languages
// that nothing is known of. The second value is false when the tag cannot be read.
func For(tag string) (*Catalogue, bool) {
	if tag == "" {
		return english, true
	}
	t, err := language.Parse(tag)
	if err != nil {
		return nil, false
	}
	_, i, confidence := matcher.Match(t)
	if confidence == language.No {
		return english, true
	}
	c := editions[i].get()
	if base, _ := c.tag.Base(); base.String() == "ar" && latinDigits(t) {
		western := *c
		western.digits, western.decimal = nil, ","
		return &western, true
	}
	return c, true
}

// Accepted returns the catalogue that comes nearest to what a browser asks for in an Accept-Language header
// (RFC 9110, 12.5.4), English when nothing does or the header cannot be read.
func Accepted(header string) *Catalogue {
	tags, _, err := language.ParseAcceptLanguage(header)
	if err != nil || len(tags) == 0 {
		return english
	}
	_, i, confidence := matcher.Match(tags...)
	if confidence == language.No {
		return english
	}
	for _, t := range tags { // the one that was matched says which digits are used
		if _, k, _ := matcher.Match(t); k == i {
			c, _ := For(t.String())
			return c
		}
	}
	return editions[i].get()
}

// latinDigits reports whether Arabic is written with the digits 0 to 9 where the tag is from: a tag
// can say so (-u-nu-latn), else the default numbering systems of Unicode CLDR decide.
func latinDigits(t language.Tag) bool {
	switch t.TypeForKey("nu") {
	case "latn":
		return true
	case "arab":
		return false
	}
	region, confidence := t.Region()
	if confidence < language.High {
		return false
	}
	switch region.String() {
	case "AE", "DZ", "EH", "LY", "MA", "TN":
		return true
	}
	return false
}
