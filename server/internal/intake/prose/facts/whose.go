package facts

import (
	"slices"

	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// Scope is what a line says of whose kin its words are.
type Scope struct {
	Side       int // of the heading
	Halves     [3]bool
	Couple     bool
	Last       int           // who was named last, not of the couple; -1 nobody
	Carry      *speech.Owner // whose kin was said last in this line
	Definition bool
	Default    []int
	Set        []int // who is in the photograph so far
	her, his   []int // whom the words before kin meant first: "her mum, her dad and her sisters"
	Chain      bool  // each is a child of the next, as of "three generations"
	kid        int   // who was named last as somebody's child, one more than the guest: "my son Max, his wife Zoe"
	nameless   byte  // the sex of kin without a name before: "her husband" is that sister's
	elders     int   // how many parents of the couple were named
	of         *speech.Owner
	whose      []int // whom that owner meant: of all names behind "sus padrinos"
}

// subject is who of the couple the line is about, 0 when it is both or nobody.
func (c *Scope) subject() int {
	switch {
	case c.Couple || c.Halves[1] && c.Halves[2]:
		return 0
	case c.Halves[1]:
		return 1
	case c.Halves[2]:
		return 2
	}
	return 0
}

// Owners returns whose kin a term means: one, both of the couple, or nobody when it is not said.
func (r *Reader) Owners(t *speech.Term, c *Scope) []int {
	o := t.Owner
	partnerOrChild := t.Word.Arg == "partner" || t.Word.Arg == "child"
	if o == nil && partnerOrChild && c.Last >= 0 {
		return []int{c.Last}
	}
	if o == nil && !partnerOrChild {
		o = c.Carry
	}
	if o != nil && o == c.of {
		return c.whose
	}
	if o != nil && t.Word.Arg == "partner" && c.kid > 0 && r.Guests[c.kid-1].Sex != 0 && o.Pronoun == map[byte]string{'w': "her", 'm': "his"}[r.Guests[c.kid-1].Sex] {
		return []int{c.kid - 1}
	}
	if o != nil {
		var first *[]int
		switch {
		case partnerOrChild:
		case o.Pronoun == "her":
			first = &c.her
		case o.Pronoun == "his":
			first = &c.his
		}
		if c.subject() > 0 && o.Pronoun != "" && t.Kind == speech.Kin && t.Word.Plural && !partnerOrChild {
			inner := *c
			inner.Last = -1 // "Tessa with her mum and her sisters": hers, and not her mum's
			c = &inner
		}
		if first != nil && len(*first) > 0 {
			return *first
		}
		if h := r.childOf(c.Last); h >= 0 && c.subject() == 0 && (first != nil || o.Pronoun == "their") && c.elders > 1 && t.Word.Arg == "sibling" { // "us with Ida, Bo, his sisters" after "his parents Ida and Bo"
			return []int{h}
		}
		if ids, ok := r.OwnedBy(o, c); ok {
			if first != nil {
				*first = ids
			}
			c.of, c.whose = o, r.asSibling(ids, t)
			return c.whose
		}
		if o.Name != "" {
			return nil // of somebody whom the list does not name otherwise
		}
	}
	return r.ownersUnsaid(t, c)
}

// asSibling takes the one of the couple whose sister or brother writes "my parents" for whose these are too.
func (r *Reader) asSibling(ids []int, t *speech.Term) []int {
	if i := r.WriterID(); i < 0 || len(ids) != 1 || ids[0] != i || t.Word.Arg == "partner" || t.Word.Arg == "child" || t.Kind != speech.Kin && t.Word.Class != "kin" {
		return ids
	}
	if h := r.siblingOf(ids[0]); h >= 0 {
		return []int{h}
	}
	if h := r.childOf(ids[0]); h >= 0 && t.Word.Arg == "family" { // "our side", by the bride's mother
		return []int{h}
	}
	return ids
}

// siblingOf is who of the couple somebody is the sister or brother of, or -1.
func (r *Reader) siblingOf(i int) int { return r.ofHalf(i, "sibling") }

// childOf is who of the couple somebody is a parent of, or -1.
func (r *Reader) childOf(i int) int { return r.ofHalf(i, "parent") }

// ofHalf is who of the couple somebody is kin of a kind to, or -1.
func (r *Reader) ofHalf(i int, kin string) int {
	if i >= 0 {
		for _, x := range r.Guests[i].Relations {
			if x.Word.Arg == kin && x.Of >= 0 && r.Guests[x.Of].Half > 0 {
				return x.Of
			}
		}
	}
	return -1
}

// ownersUnsaid is whose kin a term means that does not say it: by the line, its heading, or who writes.
func (r *Reader) ownersUnsaid(t *speech.Term, c *Scope) []int {
	if t.Word.Arg == "parent" && (t.Number == 4 || t.All && t.Word.Plural && t.Word.Sex != 0) && r.Couple[0] >= 0 { // "both mothers with Ann"
		return r.Couple[:]
	}
	if c.Default != nil {
		return c.Default
	}
	if i := r.WriterID(); i >= 0 && slices.Contains(c.Set, i) && t.Word.Arg == "parent" && !t.Word.Plural && t.Kind == speech.Kin && !(r.Honour >= 0 && r.Child == "child") {
		return []int{i} // "me with Mammy"
	} else if i >= 0 && r.siblingOf(i) >= 0 && c.subject() == 0 && c.Side == 0 && t.Owner == nil && !t.Word.Plural && t.Word.Class == "kin" {
		return []int{r.siblingOf(i)} // "Uncle Raj", by the bride's sister
	}
	switch h := c.subject(); {
	case h > 0 && r.Couple[0] >= 0:
		return []int{r.Couple[h-1]}
	case c.Side > 0 && r.Couple[0] >= 0:
		return []int{r.Couple[c.Side-1]}
	case r.Couple[0] >= 0 && (r.Author > 0 || r.HalfNamed(r.Line.By) > 0) && t.Kind == speech.Kin && (!t.Word.Plural || len(r.MotherAndFather(t)) == 2) && !t.All && !t.Every && t.Number == 0:
		return []int{r.Couple[r.Myself()-1]} // who writes "Mum" means her own
	}
	return r.Principals()
}

// OfHalf takes "her" before a colon for the bride, whoever is named behind it: "Her family: Ida (mom), Karl (dad)".
func (r *Reader) OfHalf(head []*speech.Term) {
	if len(head) != 1 || head[0].Owner == nil || head[0].Word.Arg != "family" {
		return
	}
	if sex := map[string]byte{"her": 'w', "his": 'm'}[head[0].Owner.Pronoun]; sex != 0 && r.HalfOf(sex) > 0 {
		head[0].Owner = &speech.Owner{Half: sex}
	}
}

// OwnedBy finds whom an owner means.
func (r *Reader) OwnedBy(o *speech.Owner, c *Scope) ([]int, bool) {
	pick := func(h int) ([]int, bool) {
		if h > 0 && r.Couple[0] >= 0 {
			return []int{r.Couple[h-1]}, true
		}
		return nil, false
	}
	if i := r.WriterID(); i >= 0 && (o.Both && o.Said == "our" || o.Pronoun == "my") { // who is not of the couple
		return []int{i}, true
	}
	switch {
	case o.Both && o.Said == "our" && c.Side > 0 && r.Line.By != "" && r.HalfNamed(r.Line.By) == 0: // "our side", below "Tom's side (from Bea)"
		return pick(c.Side)
	case o.Both:
		return r.Couple[:], r.Couple[0] >= 0
	case o.Half != 0:
		return pick(r.HalfOf(o.Half))
	case o.Kin != nil:
		inner := *c
		if inner.Carry == o {
			inner.Carry = nil
		}
		ids := r.ResolveKin(o.Kin, &inner)
		return ids, len(ids) > 0
	case o.Name != "":
		if h := r.HalfNamed(o.Name); h > 0 {
			return pick(h)
		}
		ids := r.Find(o.Name)
		if len(ids) == 0 {
			ids = r.NearOwner(o.Name)
		}
		return ids, len(ids) > 0
	}
	sex := map[string]byte{"her": 'w', "his": 'm'}[o.Pronoun]
	switch {
	case sex != 0 && sex == c.nameless:
	case sex != 0 && c.Last >= 0 && (r.Guests[c.Last].Sex == sex || r.Guests[c.Last].Sex == 0):
		return []int{c.Last}, true
	case sex != 0 && c.subject() > 0 && (r.Unsure || r.Brides[sex] == 0 || r.Brides[sex] == c.subject()):
		return pick(c.subject())
	case sex != 0 && r.HalfOf(sex) > 0:
		return pick(r.HalfOf(sex))
	case o.Pronoun == "their" && c.Last >= 0:
		return []int{c.Last}, true
	case o.Pronoun == "their" && c.subject() > 0: // "la mariée et ses témoins"
		return pick(c.subject())
	case o.Pronoun == "your" && r.HalfNamed(r.Line.By) > 0:
		return pick(3 - r.HalfNamed(r.Line.By))
	case o.Pronoun == "my" && r.Line.By != "" && r.HalfNamed(r.Line.By) == 0: // who writes to the couple
		ids := r.Find(r.Line.By)
		return ids, len(ids) == 1
	case o.Pronoun == "my" && r.Couple[0] >= 0:
		return pick(r.Myself())
	}
	return nil, false
}

// MotherAndFather are the two whom words for both parents name: "mum and dad".
func (r *Reader) MotherAndFather(t *speech.Term) []*speech.Term {
	if t.Kind != speech.Kin || t.Word.Arg != "parent" || !t.Word.Plural {
		return nil
	}
	var two []*speech.Term
	for _, token := range words.Tokenize(t.Text) {
		for _, w := range r.Lexical(token) {
			if w.Class == "kin" && w.Arg == "parent" && !w.Plural && w.Sex != 0 && (len(two) == 0 || two[0].Word.Sex != w.Sex) {
				two = append(two, &speech.Term{Kind: speech.Kin, Word: w, Text: token.Text, Start: t.Start, End: t.End})
				break
			}
		}
	}
	return two
}

// inTheirOrder tells mother from father by the order of the words, "mum & dad (Ida, Karl)"; in Chinese the father is named first.
func (r *Reader) inTheirOrder(t *speech.Term, named []*speech.Term) {
	two := r.MotherAndFather(t)
	zh := t.Word.Arg == "parent" && t.Word.Plural && t.Word.Lang == "zh"
	if !zh && len(two) != 2 || len(named) != 2 {
		return
	}
	for k, x := range named {
		if len(x.Guests) == 0 || r.Guests[x.Guests[0]].Sex != 0 {
			continue
		}
		r.Guests[x.Guests[0]].Sex = "mw"[k]
		if len(two) == 2 {
			r.Guests[x.Guests[0]].Sex = two[k].Word.Sex
		}
	}
}

// ranked is who alone is addressed by words of kin for one, whosever it is, or -1: 大伯, where there is 大伯建国.
func (r *Reader) ranked(t *speech.Term) int {
	found := -1
	if t.Word.Plural || t.Owner != nil || !words.IsHan(t.Word.Text) || !r.Effort.Spend(len(r.Guests)) {
		return -1
	}
	for i := range r.Guests {
		if r.Guests[i].Rank != t.Word.Text {
			continue
		} else if found >= 0 {
			return -1
		}
		found = i
	}
	return found
}
