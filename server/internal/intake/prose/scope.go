package prose

import (
	"slices"

	"kinorder.example/server/internal/intake/prose/speech"
)

// scope is what a line says of whose kin its words are.
type scope struct {
	side     int // of the heading
	halves   [3]bool
	couple   bool
	last     int           // who was named last, not of the couple; -1 nobody
	carry    *speech.Owner // whose kin was said last in this line
	def      bool
	default_ []int
	set      []int // who is in the photograph so far
	her, his []int // whom the words before kin meant first: "her mum, her dad and her sisters"
}

func (r *reader) scopeOf(s *statement) *scope {
	c := &scope{side: s.ctx.side, last: -1}
	lists := [][]*speech.Term{s.head.Terms, s.tail.Terms}
	if s.ctx.lead != nil && !slices.ContainsFunc(s.head.Terms, r.Leads) {
		lists = append(lists, s.ctx.lead)
	}
	for _, list := range lists {
		for _, t := range list {
			switch {
			case t.Kind == speech.Couple:
				c.couple = true
			case t.Kind == speech.Half:
				c.halves[r.HalfOf(t.Word.Sex)] = true
			case t.Kind == speech.Person:
				c.halves[r.HalfNamed(t.Name)] = true
			}
		}
	}
	if s.over != nil {
		o := r.scopeOf(s.over)
		if !c.couple && !c.halves[1] && !c.halves[2] {
			c.couple, c.halves = o.couple, o.halves
		}
	}
	return c
}

// subject is who of the couple the line is about, 0 when it is both or nobody.
func (c *scope) subject() int {
	switch {
	case c.couple || c.halves[1] && c.halves[2]:
		return 0
	case c.halves[1]:
		return 1
	case c.halves[2]:
		return 2
	}
	return 0
}

// owners returns whose kin a term means: one, both of the couple, or nobody when it is not said.
func (r *reader) owners(t *speech.Term, c *scope) []int {
	o := t.Owner
	partnerOrChild := t.Word.Arg == "partner" || t.Word.Arg == "child"
	if o == nil && partnerOrChild && c.last >= 0 {
		return []int{c.last}
	}
	if o == nil && !partnerOrChild {
		o = c.carry
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
			inner.last = -1 // "Tessa with her mum and her sisters": hers, and not her mum's
			c = &inner
		}
		if first != nil && len(*first) > 0 {
			return *first
		}
		if ids, ok := r.ownedBy(o, c); ok {
			if first != nil {
				*first = ids
			}
			return ids
		}
		if o.Name != "" {
			return nil // of somebody whom the list does not name otherwise
		}
	}
	if t.Number == 4 && t.Word.Arg == "parent" && r.Couple[0] >= 0 {
		return r.Couple[:]
	}
	if c.default_ != nil {
		return c.default_
	}
	switch h := c.subject(); {
	case h > 0 && r.Couple[0] >= 0:
		return []int{r.Couple[h-1]}
	case c.side > 0 && r.Couple[0] >= 0:
		return []int{r.Couple[c.side-1]}
	case r.Couple[0] >= 0 && r.Author > 0 && t.Kind == speech.Kin && !t.Word.Plural && !t.All && !t.Every && t.Number == 0:
		return []int{r.Couple[r.Author-1]} // who writes "Mum" means her own
	case r.Couple[0] >= 0:
		return r.Couple[:]
	case r.Honour >= 0:
		return []int{r.Honour}
	}
	return nil
}

// ownedBy finds whom an owner means.
func (r *reader) ownedBy(o *speech.Owner, c *scope) ([]int, bool) {
	pick := func(h int) ([]int, bool) {
		if h > 0 && r.Couple[0] >= 0 {
			return []int{r.Couple[h-1]}, true
		}
		return nil, false
	}
	switch {
	case o.Both:
		return r.Couple[:], r.Couple[0] >= 0
	case o.Half != 0:
		return pick(r.HalfOf(o.Half))
	case o.Kin != nil:
		inner := *c
		inner.carry = nil
		ids := r.resolveKin(o.Kin, &inner)
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
	case sex != 0 && c.last >= 0 && (r.Guests[c.last].Sex == sex || r.Guests[c.last].Sex == 0):
		return []int{c.last}, true
	case sex != 0 && c.subject() > 0 && (r.Unsure || r.Brides[sex] == 0 || r.Brides[sex] == c.subject()):
		return pick(c.subject())
	case sex != 0 && r.HalfOf(sex) > 0:
		return pick(r.HalfOf(sex))
	case o.Pronoun == "their" && c.last >= 0:
		return []int{c.last}, true
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
