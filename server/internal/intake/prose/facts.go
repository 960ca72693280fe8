package prose

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/wording"
)

// scope is what a line says of whose kin its words are.
type scope struct {
	side     int // of the heading
	halves   [3]bool
	couple   bool
	last     int    // who was named last, not of the couple; -1 nobody
	carry    *owner // whose kin was said last in this line
	def      bool
	default_ []int
	set      []int // who is in the photograph so far
}

func (r *reader) scopeOf(s *statement) *scope {
	c := &scope{side: s.ctx.side, last: -1}
	for _, list := range [][]*term{s.head.terms, s.tail.terms} {
		for _, t := range list {
			switch {
			case t.kind == couple:
				c.couple = true
			case t.kind == half:
				c.halves[r.halfOf(t.w.sex)] = true
			case t.kind == person:
				c.halves[r.halfNamed(t.name)] = true
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
func (r *reader) owners(t *term, c *scope) []int {
	o := t.own
	partnerOrChild := t.w.arg == "partner" || t.w.arg == "child"
	if o == nil && partnerOrChild && c.last >= 0 {
		return []int{c.last}
	}
	if o == nil && !partnerOrChild {
		o = c.carry
	}
	if o != nil {
		if ids, ok := r.ownedBy(o, c); ok {
			return ids
		}
		if o.name != "" {
			return nil // of somebody whom the list does not name otherwise
		}
	}
	if t.num == 4 && t.w.arg == "parent" && r.couple[0] >= 0 {
		return r.couple[:]
	}
	if c.default_ != nil {
		return c.default_
	}
	switch h := c.subject(); {
	case h > 0 && r.couple[0] >= 0:
		return []int{r.couple[h-1]}
	case c.side > 0 && r.couple[0] >= 0:
		return []int{r.couple[c.side-1]}
	case r.couple[0] >= 0:
		return r.couple[:]
	case r.honour >= 0:
		return []int{r.honour}
	}
	return nil
}

// ownedBy finds whom an owner means.
func (r *reader) ownedBy(o *owner, c *scope) ([]int, bool) {
	pick := func(h int) ([]int, bool) {
		if h > 0 && r.couple[0] >= 0 {
			return []int{r.couple[h-1]}, true
		}
		return nil, false
	}
	switch {
	case o.both:
		return r.couple[:], r.couple[0] >= 0
	case o.half != 0:
		return pick(r.halfOf(o.half))
	case o.kin != nil:
		inner := *c
		inner.carry = nil
		ids := r.resolveKin(o.kin, &inner)
		return ids, len(ids) > 0
	case o.name != "":
		if h := r.halfNamed(o.name); h > 0 {
			return pick(h)
		}
		ids := r.find(o.name, "")
		if len(ids) == 0 {
			ids = r.nearOwner(o.name)
		}
		return ids, len(ids) > 0
	}
	sex := map[string]byte{"her": 'w', "his": 'm'}[o.pron]
	switch {
	case sex != 0 && c.last >= 0 && (r.guests[c.last].sex == sex || r.guests[c.last].sex == 0):
		return []int{c.last}, true
	case sex != 0 && c.subject() > 0 && !(r.brides[sex] > 0 && r.brides[sex] != c.subject()):
		return pick(c.subject())
	case sex != 0 && r.halfOf(sex) > 0:
		return pick(r.halfOf(sex))
	case o.pron == "their" && c.last >= 0:
		return []int{c.last}, true
	case o.pron == "my" && r.couple[0] >= 0:
		return pick(r.myself())
	}
	return nil, false
}

// myself is who of the couple writes: in a chat the author of the line.
func (r *reader) myself() int {
	if h := r.halfNamed(r.cur.from); r.cur.from != "" && h > 0 {
		return h
	}
	if r.author > 0 {
		return r.author
	}
	return r.writer()
}

// nearOwner finds an owner written with a slip or as an initial.
func (r *reader) nearOwner(name string) []int {
	if h, ok := r.initials[names.Plain(name)]; ok {
		return []int{r.couple[h-1]}
	}
	return nil
}

// learn takes what a statement says of who is who into the roster.
func (r *reader) learn(s *statement) {
	if s.kind == remark || s.kind == heading || s.kind == edit || !r.m.Spend(100) {
		return
	}
	r.cur = s.l
	c := r.scopeOf(s)
	c.def = s.kind == definition
	if s.kind == definition && s.ctx.guests {
		r.declared = true
	}
	if s.kind == title {
		return
	}
	if h := r.halfOfHead(s); c.def && h != nil {
		c.default_ = h
	}
	if s.ctx.role != nil && c.def {
		r.under2(s.head.terms, s.ctx.role, c)
	}
	if s.kind == part && s.over != nil {
		r.learnPart(s, c)
		return
	}
	head := s.head.terms
	if s.colon && len(s.tail.terms) > 0 {
		r.fill(s, c)
	}
	if c.def {
		head = r.described(head, c)
	}
	r.learnTerms(head, c)
	r.learnTerms(s.tail.terms, c)
	if c.def {
		r.attributes(s)
	}
}

// described takes kin and roles that follow names in a list of guests as what those are: "Rosa Benali - grandmother",
// "Hadi & Rim - uncle and aunt". What is left are the names.
func (r *reader) described(terms []*term, c *scope) []*term {
	if len(terms) < 2 || terms[0].kind != person || terms[0].w.class != "" {
		return terms
	}
	var named, kin []*term
	for _, t := range terms {
		switch {
		case t.kind == person && len(kin) == 0:
			named = append(named, t)
		case (t.kind == kinTerm || t.kind == role) && len(t.sub) == 0:
			kin = append(kin, t)
		case t.kind == half && len(named) == 1:
			return terms
		default:
			return terms
		}
	}
	for k, t := range kin {
		of := named
		if len(kin) == len(named) && len(kin) > 1 {
			of = named[k : k+1]
		}
		if t.w.arg == "family" && t.own != nil { // "Amara's side"
			for _, x := range of {
				if r.who(x) < 0 {
					continue
				}
				if ids, ok := r.ownedBy(t.own, c); ok && len(ids) == 1 && r.guests[r.who(x)].half == 0 {
					r.guests[r.who(x)].side = r.guests[ids[0]].half
				}
			}
			continue
		}
		for _, x := range of {
			i := r.who(x)
			if i < 0 {
				continue
			}
			r.describe(i, t.attrs)
			inner := *c
			inner.last = -1
			if t.kind == role {
				r.give(i, t.w, t.own, &inner)
			} else {
				r.relate(i, t.w, r.owners(t, &inner))
			}
		}
	}
	return named
}

// learnPart puts the people of a line below a photograph into its words that have no names.
func (r *reader) learnPart(s *statement, c *scope) {
	open := openTerms(s.over.head.terms)
	if s.over.open != nil {
		open = []*term{s.over.open}
	}
	terms := append(slices.Clone(s.head.terms), s.tail.terms...)
	if len(open) == 0 || len(terms) == 0 {
		r.learnTerms(terms, c)
		return
	}
	t := open[len(open)-1]
	s.over.open = t
	more := *t
	if s.head.own != nil && len(s.head.terms) == 0 {
		more.own = s.head.own
	}
	if s.colon && len(s.head.terms) == 1 && len(s.tail.terms) > 0 && s.head.terms[0].kind == kinTerm {
		for _, x := range s.tail.terms {
			if x.kind == person && x.w.arg != "partner" && r.who(x) >= 0 {
				x.who = []int{r.who(x)}
				r.relateAs(x, s.head.terms[0], r.owners(t, c))
			}
		}
		terms = s.tail.terms
	}
	more.sub = terms
	r.cur = s.l
	r.distribute([]*term{&more}, terms, r.scopeOf(s.over))
	t.sub = append(t.sub, terms...)
}

// under2 gives people below "Bridesmaids:" that role.
func (r *reader) under2(terms []*term, what *term, c *scope) {
	for _, t := range terms {
		if t.kind == person && t.w.class == "" {
			t.w = what.w
			t.own = firstOwner(t.own, what)
		}
	}
}

// halfOfHead is whose people a definition names: the owner before its colon or dash.
func (r *reader) halfOfHead(s *statement) []int {
	if len(s.head.terms) == 0 {
		return nil
	}
	t := s.head.terms[0]
	if !s.colon && !r.dashed(s) {
		return nil
	}
	c := &scope{last: -1}
	switch {
	case t.kind == kinTerm && t.w.arg == "family" && t.own != nil:
		if ids, ok := r.ownedBy(t.own, c); ok {
			return ids
		}
	case t.kind == half && r.couple[0] >= 0 && r.halfOf(t.w.sex) > 0:
		return []int{r.couple[r.halfOf(t.w.sex)-1]}
	case t.kind == person && r.halfNamed(t.name) > 0:
		return []int{r.couple[r.halfNamed(t.name)-1]}
	case t.kind == couple && r.couple[0] >= 0:
		return r.couple[:]
	}
	return nil
}

// fill puts what stands behind a colon into the words before it that have no names yet.
func (r *reader) fill(s *statement, c *scope) {
	if r.filled(s) {
		return
	}
	open := openTerms(s.head.terms)
	if len(open) > 0 && !(s.kind == definition && ownerOnly(s.head)) {
		end := slices.IndexFunc(s.tail.terms, func(t *term) bool { return t.sep == "." })
		if end < 0 {
			end = len(s.tail.terms)
		}
		open[len(open)-1].sub = append(open[len(open)-1].sub, s.tail.terms[:end]...)
		s.tail.terms = s.tail.terms[end:]
	}
}

func (r *reader) filled(s *statement) bool { return len(s.tail.terms) == 0 }

// openTerms are the words for several people or a role that have no names.
func openTerms(terms []*term) []*term {
	var out []*term
	for _, t := range terms {
		if (t.kind == kinTerm || t.kind == role || t.kind == label) && len(t.sub) == 0 && !t.minus && !(t.w.arg == "partner" && t.w.plural) {
			out = append(out, t)
		}
	}
	return out
}

// learnTerms takes terms in their order.
func (r *reader) learnTerms(terms []*term, c *scope) {
	for k, t := range terms {
		if !r.m.Spend(40) {
			return
		}
		r.learnTerm(terms, k, t, c)
	}
}

func (r *reader) learnTerm(terms []*term, k int, t *term, c *scope) {
	if t.own != nil && t.w.class == "kin" && t.w.arg != "partner" && t.w.arg != "child" {
		c.carry = t.own
	}
	switch t.kind {
	case person:
		r.learnPerson(t, c)
	case kinTerm, role, label:
		if len(t.sub) > 0 {
			r.distribute(targets(terms, k), t.sub, c)
			return
		}
		if t.kind == kinTerm && t.w.arg != "family" && !t.w.plural && c.def && r.ownName(t) {
			t.who = []int{r.entry(t, r.owners(t, c))}
		}
		if t.kind == kinTerm && len(t.who) == 0 && !t.w.plural {
			if ids := r.resolveKin(t, c); len(ids) == 1 {
				r.describe(ids[0], t.attrs)
				if r.guests[ids[0]].half == 0 {
					c.last = ids[0]
				}
			}
		}
	case couple:
		if len(t.sub) > 0 && k > 0 {
			if ts := targets(terms, k-1); len(ts) > 0 && ts[0].kind != couple && len(ts[0].sub) == 0 && (ts[0].kind == role || ts[0].kind == kinTerm) {
				r.distribute(ts, t.sub, c)
				ts[len(ts)-1].sub, t.sub = t.sub, nil
			}
		}
	}
}

// ownName reports whether a word of kin is used as a name: "Nani", "Granda".
func (r *reader) ownName(t *term) bool {
	switch t.w.arg {
	case "grandparent", "greatgrandparent", "parent", "aunt":
		return true
	}
	return false
}

// targets are the words that a bracket after terms[k] names: it and those right before without names of their own.
func targets(terms []*term, k int) []*term {
	from := k
	for from > 0 && terms[from].sep != "" && terms[from].sep != ";" {
		t := terms[from-1]
		if t.kind != kinTerm && t.kind != role || len(t.sub) > 0 || t.minus {
			break
		}
		from--
		if terms[from].sep == " " {
			continue
		}
	}
	return terms[from : k+1]
}

func (r *reader) learnPerson(t *term, c *scope) int {
	before := len(r.guests)
	i := r.who(t)
	if i < 0 {
		return i
	}
	if len(r.guests) > before && r.declared && !c.def && t.w.class == "" {
		r.at(t.s, event.Warning, CodeAddedPerson, t.text, wording.Say("list.notInTheListOfGuests", quoted(r.guests[i].Name)))
	}
	t.who = []int{i}
	g := &r.guests[i]
	switch {
	case t.w.class == "kin":
		r.relate(i, t.w, r.owners(t, c))
	case t.w.class == "role":
		r.give(i, t.w, t.own, c)
	}
	r.describe(i, t.attrs)
	if g.half == 0 {
		if c.def && g.side == 0 && len(c.default_) == 1 {
			g.side = r.guests[c.default_[0]].half
		}
		if c.def && g.side == 0 && c.side > 0 {
			g.side = c.side
		}
		if t.w.arg != "partner" && t.w.arg != "child" || c.last < 0 {
			c.last = i
		}
	}
	if len(t.sub) == 0 {
		return i
	}
	if r.guests[i].half > 0 && !c.def {
		return i
	}
	inner := &scope{last: i, side: c.side, def: c.def}
	for _, x := range t.sub {
		switch {
		case x.kind == person && x.w.class == "" && !x.minus:
			x.w = word{class: "kin", arg: "partner"}
			r.learnPerson(x, inner)
			inner.last = i
		case x.kind == person:
			r.learnPerson(x, inner)
		case x.kind == kinTerm && t.w.class == "" && x.own == nil && !x.w.plural && x.w.arg != "partner" && x.w.arg != "child":
			r.relate(i, x.w, r.owners(x, c))
		case x.kind == kinTerm && x.own != nil && !x.w.plural:
			if ids, ok := r.ownedBy(x.own, c); ok {
				r.relate(i, x.w, ids)
			}
		case x.kind == role && !x.w.plural:
			r.give(i, x.w, x.own, c)
		}
	}
	return i
}

// give gives somebody a role, on the side that is said or usual for it.
func (r *reader) give(i int, w word, o *owner, c *scope) {
	side := 0
	if o != nil {
		if ids, ok := r.ownedBy(o, c); ok && len(ids) == 1 {
			side = r.guests[ids[0]].half
		}
	}
	if side == 0 {
		if side = c.subject(); side == 0 && w.side != 0 {
			side = r.halfOf(w.side)
		}
	}
	h := held{w.arg, names.Plain(w.text), side}
	g := &r.guests[i]
	if !slices.Contains(g.roles, h) {
		g.roles = append(g.roles, h)
	}
	if w.arg == "flowergirl" || w.arg == "bearer" {
		if g.AgeBand == event.Adult && !g.base {
			g.AgeBand = event.Child
		}
	}
	if g.sex == 0 {
		g.sex = w.sex
	}
}

// distribute says of people in brackets what the words before are: "Mom and Step Dad (Peg, Russ)".
func (r *reader) distribute(targets []*term, sub []*term, c *scope) {
	var free []*term // without kin of their own
	t := targets[len(targets)-1]
	inner := *c
	inner.carry, inner.last = nil, -1
	if t.own != nil {
		inner.carry = t.own
	}
	owners := r.owners(t, c)
	inner.default_ = owners
	defer func() {
		if !t.w.plural && len(free) == 1 && len(free[0].who) > 0 && r.guests[free[0].who[0]].half == 0 {
			c.last = free[0].who[0]
		}
	}()
	commas := slices.ContainsFunc(sub, func(x *term) bool { return x.sep == "," })
	for _, x := range sub {
		switch {
		case x.kind == person && x.sep == "+" && commas && len(free) > 0 && t.w.arg == "sibling" && x.w.class == "":
			x.w = word{class: "kin", arg: "partner"}
			r.learnPerson(x, &inner)
		case x.kind == person && x.w.arg != "partner" && x.w.arg != "child" && (t.w.arg != "family" || x.w.class == ""):
			if elder(x.w.arg) && elder(t.w.arg) {
				x.w.arg = t.w.arg
			}
			i := r.who(x)
			if i < 0 {
				continue
			}
			x.who = []int{i}
			r.describe(x.who[0], x.attrs)
			if x.w.class == "kin" {
				r.relate(x.who[0], x.w, owners)
			}
			inner.last = x.who[0]
			free = append(free, x)
			r.learnSub(x, &inner)
		case x.kind == person:
			r.learnPerson(x, &inner)
			if t.kind == role || t.kind == label {
				free = append(free, x)
			}
		case x.kind == kinTerm && !x.w.plural && x.w.arg == t.w.arg:
			x.who = []int{r.entry(x, owners)}
			r.describe(x.who[0], x.attrs)
			free = append(free, x)
		case len(x.sub) > 0:
			r.learnTerm([]*term{x}, 0, x, &inner)
			if t.kind == label || t.kind == role {
				free = append(free, x.sub...)
			}
		}
	}
	r.share(targets, free, c)
	if t.kind == kinTerm && !t.w.plural && len(free) == 1 && len(targets) == 1 {
		r.describe(free[0].who[0], t.attrs)
	}
}

// learnSub takes what is in brackets within brackets.
func (r *reader) learnSub(x *term, c *scope) {
	if len(x.sub) == 0 {
		return
	}
	y := *x
	y.w = word{}
	r.learnPerson(&y, c)
}

// share gives each of several words its part of the names: one to a word for one, two to parents, the rest to the
// last; whom the roster knows as one of them already is not counted.
func (r *reader) share(targets []*term, free []*term, c *scope) {
	left := slices.Clone(free)
	single := len(free) == len(targets) && !slices.ContainsFunc(targets, func(t *term) bool { return t.w.plural })
	for k, t := range targets {
		need := len(left)
		if k < len(targets)-1 {
			switch {
			case t.kind == person || t.kind == couple:
				continue
			case !t.w.plural:
				need = 1
			case t.w.arg == "parent":
				need = 2
			}
			if known := r.resolveKin(t, c); !single && len(known) > 0 && !slices.ContainsFunc(left, func(x *term) bool { return slices.Contains(known, x.who[0]) }) {
				continue
			}
			if len(free) < len(targets) {
				continue
			}
			t.shared = true
		}
		owners := r.owners(t, c)
		for _, x := range left[:min(need, len(left))] {
			if len(x.who) == 0 {
				continue
			}
			if t.name != "" && t.kind == kinTerm {
				r.call(x.who[0], r.guests[x.who[0]].given+" "+t.name)
			}
			switch {
			case t.kind == role:
				r.give(x.who[0], t.w, t.own, c)
			case t.kind == label:
				key := labelKey(t.text)
				if !slices.Contains(r.groups[key], x.who[0]) {
					r.groups[key] = append(r.groups[key], x.who[0])
				}
			case t.w.arg == "family":
				if x.w.class == "" && len(owners) == 1 && r.guests[x.who[0]].side == 0 && r.guests[x.who[0]].half == 0 {
					r.guests[x.who[0]].side = max(r.guests[owners[0]].half, r.guests[owners[0]].side)
				}
				r.relate(x.who[0], word{class: "kin", arg: "family", plural: true}, owners)
			default:
				r.relateAs(x, t, owners)
			}
		}
		left = left[min(need, len(left)):]
	}
}

// relateAs says that somebody is one of those that words of kin stand for.
func (r *reader) relateAs(x, t *term, owners []int) {
	w := t.w
	if x.w.class == "kin" && x.w.arg == w.arg {
		w.sex, w.step, w.half = cmpByte(x.w.sex, w.sex), w.step || x.w.step, w.half || x.w.half
		w.text = x.w.text
	} else if x.w.arg == "partner" || x.w.arg == "child" {
		return
	}
	if slices.ContainsFunc(x.attrs, func(a attr) bool { return a.class == "infant" }) && w.arg == "sibling" {
		return
	}
	if t.line != 0 {
		w.line = t.line
	}
	r.relate(x.who[0], w, owners)
}

// labelKey writes a label as it is looked up.
func labelKey(s string) string {
	ws := strings.Fields(names.Plain(s))
	for len(ws) > 1 && (ws[0] == "the" || ws[0] == "all" || ws[0] == "los" || ws[0] == "die" || ws[0] == "les" || ws[0] == "os" || ws[0] == "as") {
		ws = ws[1:]
	}
	return strings.Join(ws, " ")
}
