package statements

import (
	"cmp"
	"slices"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/facts"
	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// Learn takes what a statement says of who is who into the roster.
func (r *Reader) Learn(s *Statement) {
	r.Line = s.Line
	if s.Kind == Remark && r.Writes != "" {
		r.usTold(s)
	}
	if s.Kind == Remark && !s.greets {
		r.learnAside(s)
	}
	defer r.learnTheirs(s)
	if s.Kind == Remark || s.Kind == Heading || s.Kind == Edit || !r.Effort.Spend(100) {
		return
	}
	c := r.ScopeOf(s)
	if s.Kind == Definition && s.Context.Guests {
		r.Declared = true
	}
	if s.Kind == Title {
		if s.Index == r.Signed && r.ByWriter() && len(s.Head.Terms) == 1 && len(s.Head.Terms[0].Names) > 0 { // "Ida (Ada's aunt)"
			r.LearnTerms(s.Head.Terms, c)
		}
		return
	}
	if s.Context.role != nil && c.Definition {
		r.giveRole(s.Head.Terms, s.Context.role, c)
	}
	if s.Kind == Part && s.Over != nil {
		r.learnPart(s, c)
		return
	}
	if c.Definition && s.equalsKin() {
		r.learnEqual(s, c)
		return
	}
	if s.Line.Part != lines.GuestLine || s.tells { // whose words are kept as they are written
		r.appose(s, c)
	}
	r.learnBelow(s)
	head := s.Head.Terms
	r.Saying = r.sayingOf(s)
	if s.Colon && len(s.Tail.Terms) > 0 {
		r.fill(s, c)
	}
	if c.Definition {
		head = r.Described(r.Said(head), c)
	}
	r.LearnTerms(head, c)
	r.LearnTerms(s.Tail.Terms, c)
	if c.Definition && s.Colon && len(head) == 1 && head[0].Word.Arg == "family" && len(c.Default) == 1 {
		r.ofFamily(s.Tail.Terms, c.Default)
	}
	if s.Context.houses && s.Kind == Photo && s.Line.Indent > s.Context.indent || c.Definition && s.Context.Guests && (r.parents(s) || r.joined(s)) {
		r.houseOf(s)
	}
	if c.Definition {
		r.attributes(s)
		r.house(s)
		r.keepLost(s)
	}
	r.Saying = ""
}

// learnAside takes from a line that asks for no photograph whom its brackets say to have a role: "Ann + bridesmaids in robes (Bea,
// Cleo)".
func (r *Reader) learnAside(s *Statement) {
	r.LearnTerms(speech.Without(s.Terms(), func(t *speech.Term) bool {
		return len(t.Names) == 0 || t.Minus || t.Kind != speech.Role && (t.Kind != speech.Kin || !t.Word.Plural || t.Owner == nil || t.Owner.Name == "") || slices.ContainsFunc(t.Names, func(x *speech.Term) bool { return x.Kind != speech.Person || x.Minus })
	}), r.ScopeOf(s))
}

// ofFamily says of people without a word of kin, named for a family, that they are of it: "Ann's family: mum Rita, Joe". All who are
// named for that of a guest are that family.
func (r *Reader) ofFamily(terms []*speech.Term, owners []int) {
	for _, t := range terms {
		if t.Kind == speech.Person && t.Word.Class == "" && len(t.Guests) == 1 && len(r.Guests[t.Guests[0]].Relations) == 0 {
			r.Relate(t.Guests[0], words.Word{Class: "kin", Arg: "family", Plural: true}, owners)
		}
	}
	if len(owners) != 1 || r.Guests[owners[0]].Half > 0 || slices.ContainsFunc(terms, func(t *speech.Term) bool { return t.Kind != speech.Person || t.Minus }) {
		return
	}
	for _, t := range terms {
		r.Homes[owners[0]] = people.Union(r.Homes[owners[0]], t.Guests)
	}
}

// learnBelow takes whoever is named below a photograph of a family that nobody has the name of for that family.
func (r *Reader) learnBelow(s *Statement) {
	if s.Over == nil || !r.Again {
		return
	}
	for _, t := range s.Over.Head.Terms {
		if t.Kind != speech.Kin || t.Word.Arg != "family" || t.Owner == nil || t.Owner.Name == "" || r.HalfNamed(t.Owner.Name) > 0 {
			continue
		}
		key := names.Plain(t.Owner.Name)
		for _, x := range s.Terms() {
			for _, y := range append([]*speech.Term{x}, x.Names...) {
				if y.Kind == speech.Person && r.HalfNamed(y.Name) == 0 {
					r.Groups[key] = people.Union(r.Groups[key], r.Find(y.Name))
				}
			}
		}
	}
}

// learnPart puts the people of a line below a photograph into its words that have no names.
func (r *Reader) learnPart(s *Statement, c *facts.Scope) {
	open := speech.OpenTerms(s.Over.Head.Terms)
	if s.Over.Open != nil {
		open = []*speech.Term{s.Over.Open}
	}
	terms := s.Terms()
	if len(open) == 0 || len(terms) == 0 {
		r.LearnTerms(terms, c)
		return
	}
	t := open[len(open)-1]
	s.Over.Open = t
	more := *t
	if s.Head.Owner != nil && len(s.Head.Terms) == 0 {
		more.Owner = s.Head.Owner
	}
	if s.Colon && len(s.Head.Terms) == 1 && len(s.Tail.Terms) > 0 && r.halfMeant(s.Head.Terms[0]) > 0 && t.Kind == speech.Kin && t.Owner == nil { // "Nell: Joe, Max", below "siblings, each side"
		more.Owner, terms = &speech.Owner{Name: r.Guests[r.Couple[r.halfMeant(s.Head.Terms[0])-1]].Name}, s.Tail.Terms
	}
	if s.Colon && len(s.Head.Terms) == 1 && len(s.Tail.Terms) > 0 && s.Head.Terms[0].Kind == speech.Kin {
		for _, x := range s.Tail.Terms {
			if x.Kind == speech.Person && x.Word.Arg != "partner" && r.Who(x) >= 0 {
				x.Guests = []int{r.Who(x)}
				r.RelateAs(x, s.Head.Terms[0], r.Owners(t, c))
			}
		}
		terms = s.Tail.Terms
	}
	more.Names = terms
	r.Line = s.Line
	r.Distribute([]*speech.Term{&more}, terms, r.ScopeOf(s.Over))
	t.Names = append(t.Names, terms...)
}

// defaultOf says whose people a definition tells of.
func (r *Reader) defaultOf(s *Statement, c *facts.Scope) {
	if h := r.halfOfHead(s); c.Definition && h != nil {
		c.Default = h
	} else if c.Definition && s.Clause {
		if c.Default = r.toldOf(s); len(c.Default) == 0 && s.Context.Guests {
			c.Default = r.ownerBefore(s)
		}
	}
	if c.Definition && s.namesKin() && r.HalfNamed(s.Line.By) > 0 { // "dad is called Karl", by one of the couple
		c.Default = []int{r.Couple[r.HalfNamed(s.Line.By)-1]}
	}
}

// toldOf is whose people a clause tells of, by the first of its line: "Ann: mum Ida. Dad Karl, stepmum Eve. Brother Max".
func (r *Reader) toldOf(s *Statement) []int {
	first := r.OfLine(s)[0]
	if !first.Colon || !ownerOnly(first.Head) || !r.tellsKin(first.Tail.Terms) || s != first && !r.tellsKin(s.Terms()) {
		return nil
	}
	return r.halfOfHead(first)
}

// giveRole gives people below "Bridesmaids:" that role.
func (r *Reader) giveRole(terms []*speech.Term, what *speech.Term, c *facts.Scope) {
	for _, t := range terms {
		if t.Kind == speech.Person && t.Word.Class == "" {
			t.Word = what.Word
			t.Owner = cmp.Or(t.Owner, what.Owner)
		}
	}
}

// halfOfHead is whose people a definition names: the owner before its colon or dash.
func (r *Reader) halfOfHead(s *Statement) []int {
	if o := s.Head.Owner; len(s.Head.Terms) == 0 && s.Colon && o != nil && r.Couple[0] >= 0 { // "Ann's: mum Ida, dad Karl"
		if ids, ok := r.OwnedBy(o, &facts.Scope{Last: -1}); ok {
			return ids
		}
	}
	if len(s.Head.Terms) == 0 {
		return nil
	}
	t := s.Head.Terms[0]
	if !s.Colon && !r.dashed(s) {
		return nil
	}
	c := &facts.Scope{Last: -1}
	switch {
	case t.Kind == speech.Kin && t.Word.Arg == "family" && t.Owner != nil:
		if ids, ok := r.OwnedBy(t.Owner, c); ok {
			return ids
		}
	case t.Kind == speech.Kin && s.Colon && len(s.Head.Terms) == 1 && t.Owner != nil && (t.Owner.Half != 0 || r.HalfNamed(t.Owner.Name) > 0): // "Ann's parents: Ida, Karl. Gran Vi"
		if ids, ok := r.OwnedBy(t.Owner, c); ok {
			return ids
		}
	case t.Kind == speech.Half && r.Couple[0] >= 0 && r.HalfOf(t.Word.Sex) > 0:
		return []int{r.Couple[r.HalfOf(t.Word.Sex)-1]}
	case t.Kind == speech.Person && r.HalfNamed(t.Name) > 0:
		return []int{r.Couple[r.HalfNamed(t.Name)-1]}
	case t.Kind == speech.Couple && r.Couple[0] >= 0:
		return r.Couple[:]
	}
	return nil
}

// fill puts what stands behind a colon into the words before it that have no names yet.
func (r *Reader) fill(s *Statement, c *facts.Scope) {
	if len(s.Tail.Terms) == 0 {
		return
	}
	open := speech.OpenTerms(s.Head.Terms)
	if len(open) > 0 && !(s.Kind == Definition && ownerOnly(s.Head)) {
		end := slices.IndexFunc(s.Tail.Terms, func(t *speech.Term) bool { return t.Sep == "." })
		if end < 0 {
			end = len(s.Tail.Terms)
		}
		open[len(open)-1].Names = append(open[len(open)-1].Names, s.Tail.Terms[:end]...)
		s.Tail.Terms = s.Tail.Terms[end:]
	}
}

// sayingOf is the kin that a line of guests says first.
func (r *Reader) sayingOf(s *Statement) string {
	if s.Line.Part != lines.GuestLine {
		return ""
	}
	for _, t := range s.Head.Terms {
		if t.Kind == speech.Kin && t.Word.Arg != "family" {
			return t.Word.Arg
		}
	}
	return ""
}

// house says that the people of a line of guests come together: "Hadi & Rim", but not "Hadi, Rim".
func (r *Reader) house(s *Statement) {
	if s.Line.Part != lines.GuestLine || s.Context.role != nil || s.Colon {
		return
	}
	var ids []int
	joined := false
	for _, t := range s.Head.Terms {
		if t.Kind != speech.Person || len(t.Guests) == 0 {
			continue
		}
		ids = append(ids, t.Guests[0])
		joined = joined || t.Sep == "&"
	}
	if !joined || len(ids) > 8 {
		return
	}
	for _, i := range ids {
		if r.Guests[i].House == 0 {
			r.Guests[i].House = ids[0] + 1
		}
	}
}

// parents reports whether a line of who is who names one or two, and behind a colon others: "Linda and Greg: Emma, Noah".
func (r *Reader) parents(s *Statement) bool {
	for _, list := range [][]*speech.Term{s.Head.Terms, s.Tail.Terms} {
		if len(list) == 0 || slices.ContainsFunc(list, func(t *speech.Term) bool { return t.Kind != speech.Person || r.HalfNamed(t.Name) > 0 }) {
			return false
		}
	}
	return s.Colon && len(s.Head.Terms) < 3 && !slices.ContainsFunc(s.Head.Terms, func(t *speech.Term) bool { return t.Word.Class != "" })
}

// joined reports whether a line of who is who names somebody, and their partner or children: "Ann with her husband Bob".
func (r *Reader) joined(s *Statement) bool {
	terms := s.Head.Terms
	return len(terms) > 1 && terms[0].Kind == speech.Person && terms[0].Word.Class == "" && r.HalfNamed(terms[0].Name) == 0 && slices.ContainsFunc(terms[1:], func(t *speech.Term) bool {
		return t.Word.Arg == "partner" && !t.Word.Former || t.Kind == speech.Kin && t.Word.Arg == "child" && len(t.Names) > 0
	})
}

// houseOf takes a line below "Each family:" as one: "Linda & Greg + Emma, Noah", a couple and their children. Where whoever writes
// is a child of the couple, and is named first in one, those named first are their children.
func (r *Reader) houseOf(s *Statement) {
	var two []int
	terms := s.Terms()
	if len(terms) > 0 && (terms[0].Kind == speech.Label || terms[0].Word.Arg == "family") { // "Moes: Ann, Bo, Kit (4)"
		terms = slices.Concat(terms[0].Names, terms[1:])
	}
	young := slices.ContainsFunc(terms, speech.HasAge)
	told := s.Colon && slices.ContainsFunc(s.Head.Terms, func(t *speech.Term) bool { return t.Kind == speech.Person }) // "Linda and Greg: Emma"
	defer func() {
		for _, t := range terms {
			if len(two) > 0 && len(t.Guests) > 0 && s.Kind == Definition {
				r.Guests[t.Guests[0]].House = two[0] + 1
			}
		}
		if r.heads = people.Union(r.heads, two[:min(1, len(two))]); r.Child == "child" && slices.Contains(r.heads, r.WriterID()) || r.Child == "grandchild" {
			for _, i := range r.heads {
				r.Relate(i, words.Word{Class: "kin", Arg: "child"}, r.Couple[:])
			}
		}
	}()
	for _, t := range terms {
		switch {
		case t.Kind != speech.Person || len(t.Guests) == 0 || slices.Contains(two, t.Guests[0]): // "Karl's: Karl, Ida, Lou (6)"
		case len(two) == 0, len(two) == 1 && s.Colon && slices.Contains(s.Head.Terms, t), len(two) == 1 && !told && !speech.HasAge(t) && (t.Sep == "&" || t.Sep == "," && young):
			two = append(two, t.Guests[0])
			if len(two) == 2 {
				r.Relate(two[1], words.Word{Class: "kin", Arg: "partner"}, two[:1])
			}
		case t.Word.Class == "" && (speech.HasAge(t) || t.Sep == "+" || !young || told):
			r.Relate(t.Guests[0], words.Word{Class: "kin", Arg: "child"}, two[:1])
		}
	}
}

// keepLost keeps words of a line of guests that mean nothing known as a note on the first who is named.
func (r *Reader) keepLost(s *Statement) {
	if s.Line.Part != lines.GuestLine || len(s.Head.Terms) == 0 || len(s.Head.Terms[0].Guests) == 0 {
		return
	}
	for _, a := range s.Unknown() {
		a.Class = "note"
		r.Describe(s.Head.Terms[0].Guests[0], []speech.Attribute{a})
	}
}

// attributes gives what a definition says beside names to whom it is about, when it is about one.
func (r *Reader) attributes(s *Statement) {
	var one *speech.Term
	for _, t := range s.Terms() {
		for _, x := range append([]*speech.Term{t}, t.Names...) {
			if x.Kind == speech.Person {
				if one != nil {
					return
				}
				one = x
			}
		}
	}
	if one == nil || len(one.Guests) == 0 {
		return
	}
	for _, list := range [][]speech.Attribute{s.Head.Attrs, s.Tail.Attrs} {
		for k := range list {
			if list[k].Class == "number" && list[k].Num <= 110 {
				list[k].Class = "years"
			}
		}
		r.Describe(one.Guests[0], list)
	}
}

// ScopeOf is whose kin the words of a statement are.
func (r *Reader) ScopeOf(s *Statement) *facts.Scope {
	c := &facts.Scope{Side: s.Context.Side, Last: -1, Definition: s.Kind == Definition && !(s.Clause && wroteList(s))}
	r.defaultOf(s, c)
	if me := r.WriterID(); me >= 0 && s.Kind == Definition && len(s.Phrases) > 0 && s.Phrases[0].Has("iam") { // "I'm the eldest, married to Tom"
		c.Last = me
	}
	if s.Line != nil && r.HalfNamed(s.Line.By) > 0 && r.HalfNamed(s.Line.By) != c.Side { // below "my side:" of the other in a chat
		c.Side = 0
	}
	lists := [][]*speech.Term{s.Head.Terms, s.Tail.Terms}
	if s.Context.Lead != nil && !slices.ContainsFunc(s.Head.Terms, r.Leads) {
		lists = append(lists, s.Context.Lead)
	}
	for _, list := range lists {
		for _, t := range list {
			switch {
			case t.Kind == speech.Couple:
				c.Couple = true
			case t.Kind == speech.Half:
				c.Halves[r.HalfOf(t.Word.Sex)] = true
			case t.Kind == speech.Person:
				c.Halves[r.HalfNamed(t.Name)] = true
			}
		}
	}
	if s.Over != nil {
		o := r.ScopeOf(s.Over)
		if !c.Couple && !c.Halves[1] && !c.Halves[2] {
			c.Couple, c.Halves = o.Couple, o.Halves
		}
	}
	return c
}
