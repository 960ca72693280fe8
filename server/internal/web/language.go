package web

import (
	"kinorder.example/server/internal/web/fields"
	"kinorder.example/server/internal/wording"
)

// wordsFor chooses the language of a page: the one that was chosen on it, else the one that comes nearest
// to what the browser asks for. Nothing is remembered but in the form and the links of the page.
func wordsFor(chosen, accepted string) *wording.Catalogue {
	if chosen != "" && len(chosen) <= maxTag {
		if c, ok := wording.For(chosen); ok {
			return c
		}
	}
	return wording.Accepted(accepted)
}

// maxTag is the length of a language tag that is looked at.
const maxTag = 40

// languageChoices lists the languages, with the one of the page chosen.
func languageChoices(chosen string) []fields.Choice {
	var out []fields.Choice
	for _, tag := range wording.Languages() {
		c, _ := wording.For(tag)
		out = append(out, fields.Choice{Value: tag, Text: c.Name(), Checked: tag == chosen})
	}
	return out
}
