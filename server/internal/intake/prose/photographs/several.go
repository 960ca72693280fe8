package photographs

import (
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/statements"
)

// several divides a line that asks for several photographs: "Bride + mom / Bride + dad", "couples: A+B, C+D".
func (r *Reader) several(s *statements.Statement, terms []*speech.Term) [][]*speech.Term {
	var out [][]*speech.Term
	from := 0
	for k := 1; k < len(terms); k++ {
		if terms[k].Sep == "/" && r.Leads(terms[k]) && r.Leads(terms[from]) && k+1 < len(terms) && (k-from > 1 || len(terms) > k+1 && terms[k].Kind == terms[from].Kind && !r.BothHalves(terms[from], terms[k])) {
			out = append(out, terms[from:k])
			from = k
		}
	}
	out = append(out, terms[from:])
	if len(out) == 1 && s.Colon {
		if pairs := speech.Pairs(s.Body); len(pairs) > 1 && len(s.Head.Terms) <= 1 {
			return pairs
		}
	}
	return out
}

// bothWays makes two of what is wanted "with and without partners".
func bothWays(groups [][]*speech.Term) [][]*speech.Term {
	var out [][]*speech.Term
	for _, g := range groups {
		if rest := speech.Without(g, func(t *speech.Term) bool { return t.Ways }); len(rest) > 0 && len(rest) < len(g) {
			out = append(out, rest)
		}
		out = append(out, g)
	}
	return out
}
