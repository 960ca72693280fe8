//go:build !js

package event

import "kinorder.example/server/internal/wording"

// TitlesIn are the words of a language.
func TitlesIn(c *wording.Catalogue) TitleWords {
	return TitleWords{
		Comma: c.Say("sheet.titleComma"), And: c.Say("sheet.titleAnd"), With: c.Say("sheet.titleWith"), Without: c.Say("sheet.titleWithout"),
		More: func(people int) string { return c.Say("sheet.titleMore", people) }, RightLeft: c.RightLeft(),
	}
}
