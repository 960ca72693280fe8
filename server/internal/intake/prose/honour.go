package prose

import (
	"regexp"
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/names"
)

var honourForm = regexp.MustCompile(`(?i)\b(?:mitzvah|birthday|christening|baptism|quincea|communion|confirmation|graduation|xv|taufe|geburtstag|bautizo|cumplea|batizado|anivers|baptême|anniversaire|jubil|retirement|[5-9]0th)|生日|寿宴|满月`)

// findHonour finds whom a day without a couple is about.
func (r *reader) findHonour() {
	left := 3
	for i := range r.lines {
		if len(r.tokens[i]) == 0 {
			continue
		}
		if left--; left < 0 {
			return
		}
		if !honourForm.MatchString(r.lines[i].text) {
			continue
		}
		ph := r.heads(i)
		for k := range ph {
			if !r.titleName(&ph[k]) || honourForm.MatchString(ph[k].text) {
				continue
			}
			name, _ := r.nameAt(ph, k)
			if ph[k].poss || k > 0 && (ph[k-1].has("of") || ph[k-1].key == "-") || r.onSeveralLines(name) {
				r.honour = r.enter(name, "", nil)
				return
			}
		}
	}
}

// onSeveralLines reports whether a name stands on more than two lines.
func (r *reader) onSeveralLines(name string) bool {
	key, _, _ := strings.Cut(names.Plain(name), " ")
	n := 0
	for i := range r.tokens {
		if slices.ContainsFunc(r.tokens[i], func(t token) bool { return t.key == key }) {
			n++
		}
	}
	return n > 2
}
