package words

import "strings"

// Loud reports whether words are in capitals throughout, so that these say nothing.
func Loud(tokens []Token) bool {
	small, large := 0, 0
	for _, t := range tokens {
		if t.Kind != 'w' || !Cased(t.Text) {
			continue
		}
		if t.Text == strings.ToUpper(t.Text) && len(t.Text) > 2 {
			large++
		} else if !t.Capital {
			small++
		}
	}
	return large > 2 && small == 0
}
