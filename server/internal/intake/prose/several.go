package prose

// several divides a line that asks for several photographs: "Bride + mom / Bride + dad", "couples: A+B, C+D".
func (r *reader) several(s *statement, terms []*term) [][]*term {
	var out [][]*term
	from := 0
	for k := 1; k < len(terms); k++ {
		if terms[k].sep == "/" && r.leads(terms[k]) && r.leads(terms[from]) && k+1 < len(terms) && (k-from > 1 || len(terms) > k+1 && terms[k].kind == terms[from].kind && !r.bothHalves(terms[from], terms[k])) {
			out = append(out, terms[from:k])
			from = k
		}
	}
	out = append(out, terms[from:])
	if len(out) == 1 && s.colon {
		if pairs := pairs(s.body); len(pairs) > 1 && len(s.head.terms) <= 1 {
			return pairs
		}
	}
	return out
}

// bothWays makes two of what is wanted "with and without partners".
func bothWays(groups [][]*term) [][]*term {
	var out [][]*term
	for _, g := range groups {
		if rest := without(g, func(t *term) bool { return t.ways }); len(rest) > 0 && len(rest) < len(g) {
			out = append(out, rest)
		}
		out = append(out, g)
	}
	return out
}

// pairs divides "A + B, C + D": each part between commas has several names.
func pairs(terms []*term) [][]*term {
	var out [][]*term
	from := 0
	for k := 1; k <= len(terms); k++ {
		if k < len(terms) && terms[k].sep != "," && terms[k].sep != ";" {
			continue
		}
		if k-from < 2 {
			return nil
		}
		out = append(out, terms[from:k])
		from = k
	}
	return out
}

func (r *reader) leads(t *term) bool {
	return t.kind == half || t.kind == couple || t.kind == person && r.HalfNamed(t.name) > 0
}

// bothHalves reports whether two terms are the two of the couple: "Hallie/Jonah with ...".
func (r *reader) bothHalves(a, b *term) bool {
	if a.kind == half && b.kind == half {
		return a.w.Sex != b.w.Sex
	}
	return a.kind == person && b.kind == person && r.HalfNamed(a.name) != r.HalfNamed(b.name)
}
