package facts

import (
	"slices"

	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/speech"
)

// calledSo reports whether a name may be that of the kin before it: a plain one, or one with the kin that it is to somebody
// else, "her sister, Auntie Peggy", "grandmother Grammy Lou".
func (r *Reader) calledSo(t, x *speech.Term) bool {
	return x.Word.Class == "" || x.Word.Arg == "grandparent" && (t.Word.Arg == "greatgrandparent" || t.Word.Arg == "grandparent" && !t.Word.Plural && x.Sep == " ") || x.Word.Class == "kin" && x.Word.Arg == "child" && t.Word.Arg == "child" && t.Owner != nil || x.Word.Class == "kin" && (x.Word.Arg == "aunt" || x.Word.Arg == "greataunt") && (t.Word.Arg == "sibling" || t.Word.Inlaw || t.Word.Arg == "godparent" || t.Kind == speech.Role) || x.Word.Class == "kin" && x.Word.Arg == "grandparent" && t.Word.Arg == "parent" && t.Owner != nil && (t.Owner.Name != "" || t.Owner.Pronoun == "my" && r.WriterID() >= 0)
}

// Apposed takes names behind a comma for those of the kin before it, where the list knows nobody else as that: "his best
// man, Nobby", "os pais, Graça e Fernando", "the bridesmaid and best man, Ann and Bob", "the two lads, Cal and Dan".
func (r *Reader) Apposed(terms []*speech.Term, c *Scope) []*speech.Term {
	terms = slices.Clone(terms) // others hold them too
	if len(terms) > 0 {
		r.bracketOfAll(terms, c)
	}
	for k := 0; k+1 < len(terms); k++ {
		r.bracketOfAll(terms[:k+1], c)
		ends := k+2 == len(terms) || terms[k+2].Sep == "+" || terms[k+2].Sep == "."
		if (ends || !ofSubject(terms[k+1])) && r.DescribedBy(terms[:k+1], terms[k+1], c) {
			terms = slices.Delete(terms, k+1, k+2)
		}
		t := terms[k]
		if t.Kind != speech.Kin && t.Kind != speech.Role && t.Kind != speech.Label || len(t.Names) > 0 || t.Minus || t.Word.Arg == "family" || !r.Effort.Spend(50) {
			continue
		}
		if n := eachNamed(terms, k); n > 0 {
			for i, x := range terms[k+1 : k+1+n] {
				terms[k+1-n+i].Names = []*speech.Term{x}
			}
			terms = slices.Delete(terms, k+1, k+1+n)
			continue
		}
		end := r.namesBehind(terms, k)
		few := !(t.Word.Arg == "godparent" && t.Word.Plural && end == k+3) && !(speech.Elder(t.Word.Arg) && !t.Word.Plural && terms[k+1].Sep == " ") // "Baby with godparents, Ann and Bob", "great-grandmother Nana Ida"
		if end == k+1 || few && end < k+4 && !t.Article && t.Owner == nil && !t.Qualified && t.Number < 2 && !(t.Kind == speech.Role && terms[k+1].Sep == " ") && !(k == 0 && c.Side > 0 && end == 2 && r.unrelated(terms[1])) {
			continue
		}
		inner := *c
		for _, x := range terms[:k] { // "my sister + her husband, Joe": hers
			if ids := r.Find(x.Name); x.Kind == speech.Person && len(ids) == 1 && r.Guests[ids[0]].Half == 0 {
				inner.Last = ids[0]
			}
		}
		var known []int
		if t.Kind != speech.Label {
			known = r.ResolveKin(t, &inner)
		}
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

// bracketOfAll takes words for several in a bracket for what the people joined before it are: "Ann and Bob (Tom's parents)", "Ann, Bob
// (Tom's sister & brother)".
func (r *Reader) bracketOfAll(before []*speech.Term, c *Scope) {
	t := before[len(before)-1]
	if last := len(before) - 1; last > 0 && len(t.Names) == 2 && t.Kind == speech.Kin && !t.Word.Plural && t.Owner == nil && plainly(t.Names) && r.IsHonour(before[last-1].Name) && len(before[last-1].Names) == 0 {
		g := &r.Guests[r.Honour] // "Mum + Dad (Marcia & Trevor)", on her birthday
		g.Name, g.Given = t.Names[0].Name, t.Names[0].Name
		r.Call(r.Honour, g.Name)
		before[last-1].Name, t.Names = g.Name, t.Names[1:]
		return
	}
	if n := len(t.Names); n > 1 && n <= len(before) && eachKin(t.Names, c) && plainly(before[len(before)-n:]) {
		for k := range n {
			kin := *t.Names[k]
			if kin.Sep = ","; kin.Owner == nil {
				kin.Owner = t.Names[0].Owner
			}
			if kin.Owner == nil {
				kin.Owner = &speech.Owner{Name: r.Guests[r.Couple[c.Side-1]].Given} // below "Ann's family"
			}
			r.DescribedBy(before[:len(before)-n+k+1], &kin, c)
		}
		t.Names = nil
		return
	}
	if t.Kind != speech.Person || len(t.Names) != 1 || !t.Names[0].Word.Plural {
		return
	}
	if w := t.Names[0]; w.Kind == speech.Role && len(w.Names) == 0 {
		from := len(before) - 1
		for from > 0 && before[from].Sep != "+" && plainly(before[from-1:from]) && len(before[from-1].Names) == 0 && r.HalfNamed(before[from-1].Name) == 0 {
			from--
		}
		for _, x := range before[from:] { // "Jake (best man), Ann, Bob (ushers)"
			if i := r.Who(x); i >= 0 && len(before)-from > 1 {
				r.Give(i, w.Word, w.Owner, c)
				t.Names = nil
			}
		}
	}
	if len(t.Names) == 0 || t.Names[0].Kind != speech.Kin {
		return
	}
	kin := *t.Names[0]
	if kin.Sep = ","; r.DescribedBy(before, &kin, c) {
		t.Names = nil
	}
}

// eachKin reports whether words of a bracket are for one person each, of one kind of kin: "the bride's brother & sister", and not "her
// aunt and godmother", who are one.
func eachKin(terms []*speech.Term, c *Scope) bool {
	return (terms[0].Owner != nil || c.Side > 0) && !slices.ContainsFunc(terms, func(t *speech.Term) bool {
		return t.Kind != speech.Kin || t.Word.Plural || t.Word.Arg != terms[0].Word.Arg || len(t.Names) > 0 || t.Minus
	})
}

// plainly reports whether terms are names of people, none of them added to the others.
func plainly(terms []*speech.Term) bool {
	return !slices.ContainsFunc(terms, func(t *speech.Term) bool { return t.Kind != speech.Person || t.Word.Class != "" || t.Minus }) &&
		!slices.ContainsFunc(terms[1:], func(t *speech.Term) bool { return t.Sep == "+" })
}

// unrelated reports whether the list says nothing else of whom a term names, so that "Mum, Carol" below "Bride's side" may name
// her mum.
func (r *Reader) unrelated(t *speech.Term) bool {
	return !slices.ContainsFunc(r.Find(t.Name), func(i int) bool {
		return slices.ContainsFunc(r.Guests[i].Relations, func(x people.Relation) bool { return x.Word.Arg != "parent" })
	})
}

// namesBehind is where the names end that may be those of the words at k: as many as the words say, else one of one, or two of
// several, or three and more with "and" before the last: "the ushers, Ed, Toby and Max". It is k+1 where none are.
func (r *Reader) namesBehind(terms []*speech.Term, k int) int {
	t := terms[k]
	if counted := k + 1 + t.Number; (t.Word.Plural || t.Kind == speech.Label) && t.Number > 1 && named(terms, k+1, counted) {
		return counted
	}
	all := k + 1
	for all < len(terms) && terms[all].Sep != "+" && terms[all].Sep != "." && plainly(terms[all:all+1]) && r.HalfNamed(terms[all].Name) == 0 {
		all++
	}
	if all > k+3 && (t.Word.Plural && t.Word.Arg != "parent" || t.Kind == speech.Label) && terms[k+1].Sep == "," && terms[all-1].Sep == "&" && (all == len(terms) || terms[all].Sep == "+") {
		return all
	}
	end := k + 1
	for end < len(terms) && terms[end].Kind == speech.Person && r.calledSo(t, terms[end]) && !terms[end].Minus && r.HalfNamed(terms[end].Name) == 0 && !r.IsHonour(terms[end].Name) &&
		(end == k+1 && (terms[end].Sep == "," || terms[end].Sep == " " && terms[end].Word.Class == "kin") || end > k+1 && (terms[end].Sep == "&" || terms[end].Sep == " ") && t.Word.Plural) {
		end++
	}
	if t.Kind == speech.Label || t.Word.Plural && end == k+2 || end < len(terms) && terms[end].Sep == "," && terms[end].Kind == speech.Person && terms[end].Word.Class == "" && !terms[end].Minus {
		return k + 1
	}
	return end
}

// named reports whether plain names stand behind a comma at from, and end before end.
func named(terms []*speech.Term, from, end int) bool {
	return end <= len(terms) && terms[from].Sep == "," && !slices.ContainsFunc(terms[from:end], func(x *speech.Term) bool {
		return x.Kind != speech.Person || x.Word.Class != "" || x.Minus || x.Sep == "+"
	}) && (end == len(terms) || terms[end].Sep != "," && terms[end].Sep != "&" || terms[end].Kind != speech.Person)
}

// eachNamed is how many words for one, joined up to k, have as many names behind a comma: each has one of them.
func eachNamed(terms []*speech.Term, k int) int {
	n := 1
	for one := func(t *speech.Term) bool {
		return (t.Kind == speech.Kin || t.Kind == speech.Role) && !t.Word.Plural && len(t.Names) == 0 && !t.Minus
	}; k-n >= 0 && one(terms[k]) && one(terms[k-n]) && terms[k-n+1].Sep == "&"; {
		n++
	}
	if first := terms[k-n+1]; n == 1 || !first.Article && first.Owner == nil || !named(terms, k+1, k+1+n) || terms[k+n].Sep != "&" {
		return 0
	}
	return n
}

// ofSubject reports whether kin is one of whom a line is about, and may be what the person named before is to them: "Nell with Auntie
// Bea, her godmother".
func ofSubject(t *speech.Term) bool {
	return t.Owner != nil && (t.Owner.Pronoun == "her" || t.Owner.Pronoun == "his") && !t.Word.Plural && t.Word.Arg != "partner" && t.Word.Arg != "child"
}

// DescribedBy takes kin behind a comma for what the people before are: "Nuria, sister of the bride, with her husband", "Grandma
// Bea, Otto's mum (wheelchair)", "Norma and Hugo, my parents".
func (r *Reader) DescribedBy(before []*speech.Term, next *speech.Term, c *Scope) bool {
	o := next.Owner
	if next.Kind != speech.Kin || next.Sep != "," && next.Sep != " " || next.Minus || len(next.Names) > 0 || o == nil || next.Word.Arg == "family" {
		return false
	}
	last := len(before) - 1
	beside := (o.Pronoun == "her" || o.Pronoun == "his" || o.Pronoun == "their" && next.Word.Lang != "en") && next.Word.Arg == "partner" && last > 0 && (before[last].Sep == "&" || next.Sep == " ") && oneNamed(before[last-1]) != "" && r.HalfNamed(oneNamed(before[last-1])) == 0 // "Ann and Bob, her husband", "Ann et Bob son mari"
	young := o.Pronoun == "their" && (next.Word.Arg == "grandchild" || next.Word.Arg == "greatgrandchild" || next.Word.Arg == "godchild")                                                                                                                                            // "with Elsie, their first grandchild"
	parents := (o.Pronoun == "her" || o.Pronoun == "his") && next.Word.Arg == "parent" && next.Word.Plural                                                                                                                                                                           // "Ann & Bob (his parents)"
	if next.Sep == " " && !beside {
		return false
	}
	if o.Half == 0 && o.Name == "" && (o.Pronoun != "my" || r.WriterID() < 0) && !young && !beside && !parents && !(ofSubject(next) && c.subject() > 0) {
		return false
	}
	from := last
	for next.Word.Plural && from > 0 && before[from].Sep == "&" {
		from--
	}
	if next.Word.Plural && len(before)-from < 2 {
		return false
	}
	var ids []int
	for _, t := range before[from:] {
		if t.Kind != speech.Person || t.Word.Class != "" && (t.Word.Class != "kin" || t.Word.Arg == next.Word.Arg && (t.Owner != nil || o.Pronoun != "") || t.Word.Arg != "grandparent" && t.Word.Arg != "aunt") || r.HalfNamed(t.Name) > 0 {
			return false
		}
		if ids = append(ids, r.Who(t)); ids[len(ids)-1] < 0 {
			return false
		}
	}
	inner := *c
	if beside { // that of whom is named before them
		of := *next
		of.Owner = &speech.Owner{Name: oneNamed(before[last-1])}
		next = &of
	}
	if slices.ContainsFunc(r.ResolveKin(next, &inner), func(j int) bool { return !slices.Contains(ids, j) }) {
		return false
	}
	inner.Last = -1
	of := r.Owners(next, &inner)
	for _, i := range ids {
		r.Describe(i, next.Attrs)
		r.Relate(i, next.Word, of)
	}
	return true
}

// oneNamed is the name of the one whom a term names, also in brackets: "papa de Luc (Éric)".
func oneNamed(t *speech.Term) string {
	if t.Kind == speech.Kin && !t.Word.Plural && len(t.Names) == 1 {
		t = t.Names[0]
	}
	if t.Kind != speech.Person {
		return ""
	}
	return t.Name
}
