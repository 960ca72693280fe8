package web

import (
	"kinorder.example/server/internal/wording"
)

// languageNames are the languages of pages and sheets in their own words.
var languageNames = map[string]string{
	"en": "English", "pt": "Português", "es": "Español", "fr": "Français", "de": "Deutsch", "ar": "العربية", "zh": "中文",
}

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
func languageChoices(chosen string) []radioView {
	var out []radioView
	for _, tag := range wording.Languages() {
		base := tag
		if len(base) > 2 {
			base = base[:2]
		}
		out = append(out, radioView{Value: tag, Text: firstOf(languageNames[base], tag), Checked: tag == chosen})
	}
	return out
}
