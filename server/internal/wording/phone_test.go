package wording

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"golang.org/x/text/feature/plural"
)

// sameOnPhone are the texts of the page of the day that a language really writes as English does.
var sameOnPhone = map[string][]string{
	"fr": {"told.note", "notes"},
	"de": {},
}

// No word of the page is missing from any language or left in English, all take what the English one
// takes, and what counts has the forms that the language needs.
func TestPhoneTextsAreComplete(t *testing.T) {
	for name, in := range phoneTexts {
		for i, c := range catalogues {
			tag := c.tag.String()
			m, en := in[i], in[0]
			assert.NotEmpty(t, m.other, "%s, %s", tag, name)
			assert.Equal(t, arguments(en.other), arguments(m.other), "%s, arguments of %q", tag, m.other)
			assert.NotContains(t, verb.ReplaceAllString(m.other, ""), "%", "%s, %q", tag, m.other)
			if i > 0 {
				same := false
				for _, allowed := range sameOnPhone[tag] {
					same = same || allowed == name
				}
				assert.Equal(t, same, m.other == en.other, "%s, %s: %q", tag, name, m.other)
			}
			if len(en.forms) == 0 {
				continue
			}
			for n := range 200 {
				if form := plural.Cardinal.MatchPlural(c.tag, n, 0, 0, 0, 0); form != plural.Other {
					assert.Contains(t, m.forms, form, "%s, %s", tag, name)
				}
			}
		}
	}
	words := PhoneTexts()
	assert.Len(t, words, len(catalogues))
	assert.Equal(t, "rtl", words["ar"].Direction)
	assert.Equal(t, "%[1]s minutes over", words["en"].Texts["over"].Other)
	assert.Equal(t, "%[1]s minute over", words["en"].Texts["over"].Forms["one"])
	assert.Len(t, words["ar"].Texts["over"].Forms, 5)
	for name := range sharedTexts {
		assert.NotContains(t, phoneTexts, name, "named twice")
	}
}
