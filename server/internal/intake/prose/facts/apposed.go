package facts

import (
	"slices"

	"kinorder.example/server/internal/intake/prose/speech"
)

// calledSo reports whether a name may be that of the kin before it: a plain one, or one with the kin that it is to somebody
// else, "her sister, Auntie Peggy".
func (r *Reader) calledSo(t, x *speech.Term) bool {
	return x.Word.Class == "" || x.Word.Class == "kin" && (x.Word.Arg == "aunt" || x.Word.Arg == "greataunt") && (t.Word.Arg == "sibling" || t.Word.Arg == "godparent" || t.Kind == speech.Role) || x.Word.Class == "kin" && x.Word.Arg == "grandparent" && t.Word.Arg == "parent" && t.Owner != nil && (t.Owner.Name != "" || t.Owner.Pronoun == "my" && r.WriterID() >= 0)
}

// Apposed takes names behind a comma for those of the kin before it, where the list knows nobody else as that: "his best
// man, Nobby", "os pais, Graça e Fernando".
func (r *Reader) Apposed(terms []*speech.Term, c *Scope) []*speech.Term {
	terms = slices.Clone(terms) // others hold them too
	for k := 0; k+1 < len(terms); k++ {
		t := terms[k]
		if r.describedBy(terms[:k+1], terms[k+1], c) {
			terms = slices.Delete(terms, k+1, k+2)
		}
		if t.Kind != speech.Kin && t.Kind != speech.Role || len(t.Names) > 0 || !t.Article && t.Owner == nil && !t.Qualified || t.Minus || t.Word.Arg == "family" || !r.Effort.Spend(50) {
			continue
		}
		end := k + 1
		for end < len(terms) && terms[end].Kind == speech.Person && r.calledSo(t, terms[end]) && !terms[end].Minus && r.HalfNamed(terms[end].Name) == 0 && !r.IsHonour(terms[end].Name) &&
			(end == k+1 && (terms[end].Sep == "," || terms[end].Sep == " " && terms[end].Word.Class == "kin") || end > k+1 && terms[end].Sep == "&" && t.Word.Plural) {
			end++
		}
		counted := k + 1 + t.Number // "my three sisters, Ann, Bea and Cleo"
		if t.Word.Plural && t.Number > 1 && counted <= len(terms) && terms[k+1].Sep == "," && !slices.ContainsFunc(terms[k+1:counted], func(x *speech.Term) bool {
			return x.Kind != speech.Person || x.Word.Class != "" || x.Minus || x.Sep == "+" || r.HalfNamed(x.Name) > 0
		}) && (counted == len(terms) || terms[counted].Sep != "," && terms[counted].Sep != "&") {
			end = counted
		} else if n := end - k - 1; n == 0 || t.Word.Plural && n == 1 || end < len(terms) && terms[end].Sep == "," && terms[end].Kind == speech.Person && terms[end].Word.Class == "" && !terms[end].Minus {
			continue
		}
		inner := *c
		known := r.ResolveKin(t, &inner)
		if twoOf := t.Owner != nil && t.Owner.Pronoun == "their" && t.Word.Arg == "parent" && end-k == 3; !twoOf && slices.ContainsFunc(known, func(i int) bool {
			return !slices.ContainsFunc(terms[k+1:end], func(x *speech.Term) bool { return slices.Contains(r.Find(x.Name), i) })
		}) {
			continue
		}
		t.Names = slices.Clone(terms[k+1 : end])
		terms = slices.Delete(terms, k+1, end)
	}
	return terms
}

// describedBy takes kin behind a comma for what the people before are: "Nuria, sister of the bride, with her husband", "Grandma
// Bea, Otto's mum (wheelchair)", "Norma and Hugo, my parents".
func (r *Reader) describedBy(before []*speech.Term, next *speech.Term, c *Scope) bool {
	o := next.Owner
	if next.Kind != speech.Kin || next.Sep != "," || next.Minus || len(next.Names) > 0 || o == nil || o.Half == 0 && o.Name == "" && (o.Pronoun != "my" || r.WriterID() < 0) || next.Word.Arg == "family" {
		return false
	}
	from := len(before) - 1
	for next.Word.Plural && from > 0 && before[from].Sep == "&" {
		from--
	}
	if next.Word.Plural && len(before)-from < 2 {
		return false
	}
	var ids []int
	for _, t := range before[from:] {
		if t.Kind != speech.Person || t.Word.Class != "" && (t.Word.Class != "kin" || t.Word.Arg == next.Word.Arg || t.Word.Arg != "grandparent" && t.Word.Arg != "aunt") || r.HalfNamed(t.Name) > 0 {
			return false
		}
		if ids = append(ids, r.Who(t)); ids[len(ids)-1] < 0 {
			return false
		}
	}
	inner := *c
	if slices.ContainsFunc(r.ResolveKin(next, &inner), func(j int) bool { return !slices.Contains(ids, j) }) {
		return false
	}
	for _, i := range ids {
		r.Describe(i, next.Attrs)
		r.Relate(i, next.Word, r.Owners(next, &inner))
	}
	return true
}
