package photographs

import (
	"cmp"
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/facts"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/statements"
	"kinorder.example/server/internal/intake/prose/words"
	"kinorder.example/server/internal/wording"
)

// MakeRows makes a photograph of each row, from its own cells alone, except where they say "as above".
func (r *Reader) MakeRows(rows []Row) {
	for _, s := range r.Statements {
		r.Line = s.Line
		if !r.Effort.Spend(100) || r.full() {
			return
		}
		row := rows[s.Index]
		if row.Kind == GuestRow {
			r.apartFrom(&Photograph{Set: r.Build.PeopleOf(row.Members)}, r.beside(row.Line, row.Title))
		}
		if row.Kind != PhotoRow {
			continue
		}
		r.Use(s.Line.Number, place.Used)
		p := &Photograph{Statement: s, Grouping: row.Grouping}
		if r.fixed(p, row) {
			r.noteOf(p, row)
			r.putRow(p, s, row)
			continue
		}
		if r.asksNothing(s, row) {
			r.Use(s.Line.Number, place.Reported)
			r.Tell(s.Line.Number, 1, event.Warning, place.CodeNotUsed, "", wording.Say("list.readsLikeARemarkAndNot"))
			continue
		}
		if row.Couple != "" {
			r.evaluate(p, r.beside(row.Line, row.Couple).Head.Terms, &facts.Scope{Last: -1})
			r.Line = s.Line
		}
		if strings.HasPrefix(strings.TrimSpace(row.Members), "+") {
			r.addsTo(p, row)
		}
		r.evaluate(p, s.Head.Terms, r.ScopeOf(s))
		if s.Colon {
			r.evaluate(p, s.Tail.Terms, r.ScopeOf(s))
		}
		r.lostWords(p, s)
		r.leadOf(p, row)
		if (!r.hasMembers(p) || sentence(s)) && !p.bad && row.Title != "" && row.Members != "" {
			// "TBC": who they are is asked
			p.Set = append(p.Set, r.unnamed(p, &speech.Term{Kind: speech.Label, Text: row.Title}, nil)...)
		}
		if !r.hasMembers(p) && len(p.Set) == 0 {
			if !p.bad {
				r.nobody(p, s)
			}
			r.Use(s.Line.Number, place.Asked)
			continue
		}
		r.noteOf(p, row)
		var g event.Grouping
		r.wishes(&g, p, s)
		r.rules(s)
		r.into(&p.Grouping, g)
		if n := len(p.Set); row.Count > 0 && n != row.Count && !p.All && len(p.Each) == 0 && !r.HasEntry(p.Set) {
			r.At(0, event.Warning, place.CodeCountDiffers, "", wording.Say("list.lineSaysPeopleAndAreKnown", row.Count, n))
		}
		r.putRow(p, s, row)
	}
}

// addsTo begins a photograph that adds to another with whom that one has: of the row that its title names, "As 6 with partners", else of
// the row before.
func (r *Reader) addsTo(p *Photograph, row Row) {
	r.evaluate(p, speech.Without(r.beside(row.Line, row.Title).Head.Terms, func(t *speech.Term) bool { return t.Kind != speech.Letter }), &facts.Scope{Last: -1})
	if n := len(r.Photographs); len(p.Set) == 0 && n > 0 {
		p.Set = slices.Clone(r.Photographs[n-1].Set)
	}
	r.Line = p.Statement.Line
}

// asksNothing reports whether a row with a title only is none of a photograph: "Speeches", "Grandad can't come", or a note says
// that whoever it is of is dead or stays away.
func (r *Reader) asksNothing(s *statements.Statement, row Row) bool {
	if row.Members != "" || row.Couple != "" {
		return false
	}
	only := !slices.ContainsFunc(s.Head.Terms, func(t *speech.Term) bool { return t.Kind != speech.Couple && t.Kind != speech.Half }) // "COUPLE CHANGES OUTFIT"
	if row.legend() || speech.AnyHas(s.Phrases, "absent") || only && speech.AnyHas(s.Phrases, "scene") && (len(s.Head.Terms) == 0 || len(s.Head.Unknown)+len(s.Head.Attrs) > 0) {
		return true
	}
	gone := row.Note != "" && speech.AnyHas(r.beside(row.Line, row.Note).Phrases, "absent", "dead")
	r.Line = s.Line
	return gone
}

func (r *Reader) putRow(p *Photograph, s *statements.Statement, row Row) {
	if id := p.Grouping.ID; id != "" && !r.Build.HasGrouping(id) {
		r.Build.TakeGroupingID(id)
	} else {
		p.Grouping.ID = r.Build.NewGroupingID(cmp.Or(p.Grouping.Title, p.Grouping.EachOf, r.IDOf(p)))
	}
	r.Use(s.Line.Number, place.Used, Field("groupings", len(r.Base.Groupings)+len(r.Photographs)))
	r.Photographs = append(r.Photographs, p)
}

// into adds what a cell with people says of a photograph to what the other cells say.
func (r *Reader) into(g *event.Grouping, said event.Grouping) {
	if g.Priority == event.Should {
		g.Priority = said.Priority
	}
	if g.Minutes == nil {
		g.Minutes = said.Minutes
	}
	if g.Pin == event.PinNone {
		g.Pin = said.Pin
	}
	if said.PrivateNote != "" {
		g.PrivateNote = strings.TrimPrefix(g.PrivateNote+"; "+said.PrivateNote, "; ")
	}
}

// Written reads cells all of whose entries are ids, whole names or titles, as kinorder writes them.
func (r *Reader) Written(row Row) (members, without []string, ok bool) {
	var out [2][]string
	for k, cell := range []string{row.Members, row.Without} {
		for _, entry := range strings.FieldsFunc(cell, func(c rune) bool { return c == ';' || c == '\n' }) {
			if entry = strings.TrimSpace(entry); entry == "" {
				continue
			}
			id, ok := r.Build.Known(entry)
			if !ok {
				return nil, nil, false
			}
			out[k] = append(out[k], id)
		}
	}
	return out[0], out[1], row.Kind == PhotoRow && (len(out[0]) > 0 || row.Grouping.EachOf != "") && row.Couple == ""
}

// fixed takes such cells over.
func (r *Reader) fixed(p *Photograph, row Row) bool {
	members, without, ok := r.Written(row)
	if !ok {
		return false
	}
	if p.Fixed, p.Grouping.Members, p.Grouping.Without = true, members, without; row.Grouping.ID == "" {
		ranked(&p.Grouping, r.beside(row.Line, row.Title).Attrs())
		r.Line = p.Statement.Line
	}
	seen := make(map[int]bool)
	for _, i := range p.Set {
		seen[i] = true
	}
	for _, id := range members {
		for _, i := range r.Build.PeopleOf(id) {
			if !seen[i] {
				seen[i] = true
				p.Set = append(p.Set, i)
			}
		}
	}
	return true
}

// alsoIn reports whether a remark only says who else is in a photograph: "with the groom only", "w/ Tessa", "couple in".
func (r *Reader) alsoIn(s *statements.Statement) bool {
	n := len(s.Phrases)
	if n < 2 || n > 6 || !s.Phrases[0].Has("with") && s.Phrases[n-1].Key != "in" && !(s.Phrases[0].Has("couple") && words.Listed("too", s.Phrases[n-1].Key)) {
		return false
	}
	return len(s.Head.Unknown) == 0 && len(s.Head.Terms) > 0 && !slices.ContainsFunc(s.Head.Terms, func(t *speech.Term) bool {
		return t.Minus || len(t.Attrs) > 0 || t.Kind != speech.Couple && (t.Kind != speech.Person || len(r.Find(t.Name)) != 1) && t.Kind != speech.Half
	})
}

// noteOf takes what a remark on a row says of one of its people, and keeps the rest with the photograph.
func (r *Reader) noteOf(p *Photograph, row Row) {
	if row.Note == "" {
		return
	}
	s := r.beside(row.Line, row.Note)
	if r.alsoIn(s) {
		q := &Photograph{Statement: p.Statement}
		r.evaluate(q, s.Head.Terms, &facts.Scope{Last: -1})
		p.Set = people.Union(q.Set, p.Set)
		return
	}
	said := slices.Clone(s.Head.Attrs)
	var who []int
	more := len(s.Head.Unknown) > 0
	for _, t := range s.Head.Terms {
		ids := r.inSet(p, t)
		who = people.Union(who, ids)
		said = append(said, t.Attrs...)
		more = more || len(ids) == 0
	}
	r.apartFrom(p, s)
	if len(who) == 0 && !more {
		who = r.oneOf(p.Set, false)
	}
	var of []speech.Attribute
	for _, a := range said {
		if speech.Personal[a.Class] || a.Class == "number" && len(who) == 1 && slices.ContainsFunc(s.Head.Terms, func(t *speech.Term) bool { return len(r.inSet(p, t)) > 0 }) {
			if a.Class == "number" {
				a.Class = "years"
			}
			of = append(of, a)
		}
	}
	if len(who) == 1 {
		r.Describe(who[0], of)
	}
	s.Kind = statements.Remark
	for _, sentence := range speech.Sentences(speech.Flat(s.Phrases)) {
		r.saidOf(s, sentence, r.oneOf(p.Set, speech.AnyHas(s.Phrases, "both")))
		r.agesSaid(sentence)
	}
	if len(s.Head.Terms) == 0 {
		ranked(&p.Grouping, said)
	}
	if len(who) == 1 && len(of) == len(said) && len(of) > 0 && len(s.Head.Unknown) == 0 {
		return // nothing more is said
	}
	r.into(&p.Grouping, event.Grouping{PrivateNote: row.Note})
	r.Tell(row.Line, row.NoteColumn, event.Info, place.CodeKeptAsNote, row.Note, wording.Say("list.keptAsNotes", place.Quoted(row.Note)))
}

// ranked takes how much a photograph is wanted, and whether first or last, where no cell of its own says that.
func ranked(g *event.Grouping, said []speech.Attribute) {
	for _, a := range said {
		switch a.Class {
		case "first":
			g.Pin = event.PinFirst
		case "last":
			g.Pin = event.PinLast
		case "must", "nice":
			if g.Priority == event.Should {
				g.Priority = map[string]event.Priority{"must": event.Must, "nice": event.Nice}[a.Class]
			}
		}
	}
}

// inSet is who of a photograph a term names.
func (r *Reader) inSet(p *Photograph, t *speech.Term) []int {
	var out []int
	switch t.Kind {
	case speech.Person:
		for _, i := range r.Find(t.Name) {
			if slices.Contains(p.Set, i) {
				out = append(out, i)
			}
		}
	case speech.Kin, speech.Half, speech.Role:
		key := names.Plain(t.Text)
		for _, i := range p.Set {
			if slices.Contains(names.Words(r.Guests[i].Name), key) {
				out = append(out, i)
			}
		}
		if len(out) == 0 && t.Kind == speech.Kin && !t.Word.Plural {
			for _, i := range p.Set {
				if slices.ContainsFunc(r.Guests[i].Relations, func(x people.Relation) bool { return people.Covers(t.Word, x.Word) }) {
					out = append(out, i)
				}
			}
		}
	}
	return out
}

// oneOf is the one of a photograph of whom a remark without a name must speak: the only one beside the couple, or of two "both";
// else nobody.
func (r *Reader) oneOf(set []int, both bool) []int {
	out := slices.DeleteFunc(slices.Clone(set), func(i int) bool { return r.Guests[i].Half > 0 })
	if len(out) != 1 && !(both && len(out) == 2) {
		return nil
	}
	return out
}

// apartFrom keeps somebody whom a remark names out of the way of the first of the photograph who is not of the couple:
// "not with Alan".
func (r *Reader) apartFrom(p *Photograph, s *statements.Statement) {
	var out []int
	for _, sentence := range speech.Sentences(speech.Flat(s.Phrases)) {
		if s.Head.Apart || r.apartAt(sentence) >= 0 {
			out, _ = r.within(s, sentence, len(r.Guests))
			break
		}
	}
	if len(out) == 1 {
		for _, i := range p.Set {
			if r.Guests[i].Half == 0 && i != out[0] {
				out = append([]int{i}, out...)
				break
			}
		}
	}
	r.keepApart(s, s.Phrases, out)
}

// leadOf puts whom the title of a row leads with into a photograph of whom another cell names the others only: "Bride with her
// brother". Where the list says that the couple is always there, they are.
func (r *Reader) leadOf(p *Photograph, row Row) {
	if p.All || r.Couple[0] < 0 || row.Members == "" && !r.always || len(p.Set) == 0 || slices.ContainsFunc(p.Set, func(i int) bool { return r.Guests[i].Half > 0 }) {
		return
	}
	about := r.beside(row.Line, row.Title)
	var lead []*speech.Term
	for _, t := range about.Head.Terms {
		if r.Leads(t) && !t.Minus {
			lead = append(lead, t)
		}
	}
	q := &Photograph{Statement: about}
	r.evaluate(q, lead, &facts.Scope{Last: -1})
	if r.Line = p.Statement.Line; len(lead) == 0 && r.always {
		q.Set = r.Couple[:]
	}
	p.Set = people.Union(q.Set, p.Set)
}

// hasMembers reports whether somebody but the couple of a column of its own is in a photograph.
func (r *Reader) hasMembers(p *Photograph) bool {
	if p.All || len(p.Each) > 0 || p.Grouping.EachOf != "" {
		return true
	}
	return slices.ContainsFunc(p.Set, func(i int) bool { return r.Guests[i].Half == 0 }) || len(p.Statement.Head.Terms) > 0 && len(p.Set) > 0
}

// sentence reports whether a cell says something of one person rather than who is in it: "Suze knows who".
func sentence(s *statements.Statement) bool {
	if len(s.Head.Terms) != 1 || s.Head.Terms[0].Kind != speech.Person {
		return false
	}
	return slices.ContainsFunc(s.Head.Attrs, func(a speech.Attribute) bool {
		return a.Class == "note" && strings.Contains(a.Text, " ") && a.Start >= s.Head.Terms[0].End
	})
}
