package prose

import (
	"strings"

	"kinorder.example/server/internal/intake/names"
)

// Formal reports whether a list has a section of guests, a person a line under a heading of its own. Such lists are
// still read by package typed.
func Formal(content string) bool {
	if letterKeys.MatchString(content) {
		return false // its letters stand for people
	}
	for l := range strings.Lines(content) {
		l = strings.TrimSpace(l)
		if len(l) == 0 || len(l) > 60 {
			continue
		}
		key := names.Plain(strings.Trim(l, "#*: ：-"))
		for _, w := range words().words[key] {
			if w.class == "guests" && !asideHeadings[key] {
				return true
			}
		}
	}
	return false
}

// asideHeadings stand over people who are told of in running words.
var asideHeadings = map[string]bool{"whos who": true, "who is who": true, "names": true, "vips": true, "key": true, "key people": true, "reference": true, "family names": true, "who": true, "family info": true,
	"nomes": true, "nombres": true, "prenoms": true, "namen": true, "qui est qui": true, "quien es quien": true, "quem e quem": true, "wer ist wer": true}
