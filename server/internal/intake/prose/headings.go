package prose

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// isHeading reports whether lines below belong under a line.
func (r *reader) isHeading(k int, s *statement, ctx context) bool {
	next := r.next(k)
	switch {
	case s.l.Heads > 0:
		return true
	case next == nil || s.l.First:
		return false
	case s.colon && len(s.tail.Terms)+len(s.tail.Unknown)+len(s.tail.Attrs) == 0 && speech.ColonAt(s.ph) == len(s.ph)-1:
		return true
	case s.colon:
		return false
	}
	has := func(class string) bool {
		return slices.ContainsFunc(s.ph, func(p speech.Phrase) bool { return p.Has(class) })
	}
	short := len(s.ph) <= 7
	named := slices.ContainsFunc(s.head.Terms, func(t *speech.Term) bool {
		return t.Kind == speech.Person && r.HalfNamed(t.Name) == 0 || len(t.Names) > 0
	})
	joined := len(s.head.Terms) > 1
	if s.l.Mark != 0 {
		return next.l.Indent > s.l.Indent && next.l.Mark != 0 && r.selfContained(k, s)
	}
	if r.marked {
		if next.l.Mark != 0 || next.l.Indent > s.l.Indent {
			return !named || has("photos") || has("guests") || has("side")
		}
		return short && !named && !joined && (s.l.After || has("photos") || has("guests") || has("side"))
	}
	if !named && short && !joined && has("side") && !r.subject(s) {
		return true
	}
	if named || !s.l.After || next.l.After && !has("guests") && !has("photos") {
		return false
	}
	switch {
	case has("guests") && !has("half") && short, has("photos") && short && !(has("half") || has("couple")):
		return true
	case len(s.head.Terms) == 0:
		return short || has("event")
	case !joined && short && !r.subject(s):
		t := s.head.Terms[0]
		return has("side") || t.Kind == speech.Kin && t.Word.Arg == "family" || t.Kind == speech.Role && r.loudOrTitle(s) || t.Kind == speech.Label && r.loudOrTitle(s)
	}
	return has("side") && short && !r.subject(s)
}

// loudOrTitle reports whether all words of a line begin with capitals.
func (r *reader) loudOrTitle(s *statement) bool {
	return !slices.ContainsFunc(r.Tokens[s.i], func(t words.Token) bool { return t.Kind == 'w' && words.Cased(t.Text) && !t.Capital && len(t.Text) > 3 })
}

// selfContained reports whether the lines below one are photographs of their own, and not what it adds to: each
// has its subject itself.
func (r *reader) selfContained(k int, s *statement) bool {
	n, own := 0, 0
	for j := k + 1; j < len(r.stmts) && r.stmts[j].l.Indent > s.l.Indent; j++ {
		n++
		if c := r.stmts[j]; len(c.head.Terms) > 1 && r.subject(c) {
			own++
		}
	}
	return n > 0 && own == n
}

// guestsBelow reports whether people stand one by one under a heading, and photographs under one of their own further
// down.
func (r *reader) guestsBelow(k int) bool {
	one := false
	for j := k + 1; j < len(r.stmts) && r.Effort.Spend(20); j++ {
		s := r.stmts[j]
		switch {
		case r.isHeading(j, s, context{}):
			if slices.ContainsFunc(s.ph, func(p speech.Phrase) bool { return p.Has("photos") }) {
				return one
			}
		case len(s.head.Terms) != 1 || s.head.Terms[0].Kind != speech.Person:
			return false
		default:
			one = true
		}
	}
	return false
}

// sections decides what each line is and under which headings it stands.
func (r *reader) sections() {
	var stack []context
	ctx := context{}
	var before *statement
	columns := map[int]int{}
	for k, s := range r.stmts {
		if !r.Effort.Spend(50) {
			return
		}
		r.Line, s.at = s.l, k
		if ctx.section && s.l.Part == 0 {
			ctx = context{prio: event.Should}
		}
		s.kind = r.kindOf(k, s, ctx)
		switch s.kind {
		case heading:
			for len(stack) > 0 && (stack[len(stack)-1].level >= s.level() || s.l.Heads == 0) {
				stack = stack[:len(stack)-1]
			}
			up := context{}
			if len(stack) > 0 {
				up = stack[len(stack)-1]
			} else if ctx.guests || s.l.Heads == 0 {
				up.guests, up.photos = ctx.guests, ctx.photos
			}
			ctx = r.under(s, up)
			ctx.guests = ctx.guests || ctx.said && !ctx.photos && r.guestsBelow(k)
			if s.side > 0 {
				columns[s.side] = ctx.side
			}
			stack = append(stack, ctx)
			before = nil
		case addition, part:
			s.over = before
		case photo:
			before = s
		}
		s.ctx = ctx
		if s.side > 0 && columns[s.side] > 0 {
			s.ctx.side = columns[s.side]
		}
	}
}

func (s *statement) level() int {
	if s.l.Heads > 0 {
		return s.l.Heads
	}
	return 7
}

// under is what holds below a heading.
func (r *reader) under(s *statement, up context) context {
	c := context{guests: up.guests, photos: up.photos, level: s.level(), indent: s.l.Indent, prio: event.Should}
	if s.l.Heads > 0 {
		c.side, c.prio, c.ranked, c.guests = up.side, up.prio, up.ranked, up.guests
	}
	has := func(class string) bool {
		return slices.ContainsFunc(s.ph, func(p speech.Phrase) bool { return p.Has(class) })
	}
	people := has("half") || has("couple") || has("kin") || has("role") || has("side")
	switch {
	case has("guests") && !has("photos") && !has("half"):
		c.guests = true
	case has("photos"):
		c.guests, c.photos = false, true
	case has("role"), !people:
		c.guests = false
	}
	if s.l.Part != 0 {
		c.guests, c.photos = s.l.Part != lines.PhotoHead, s.l.Part == lines.PhotoHead
		c.section = c.guests
	}
	if side := r.sideSaid(s); side >= 0 {
		c.side = side
		c.said = true
	}
	if s.l.Part == lines.SideLine {
		if h := r.halfIn(s.i); h > 0 {
			c.side, c.said = h, true
			r.sideLabels[h] = strings.TrimRight(s.l.Text, ":： ")
		}
	}
	c.scene = has("scene") && !has("photos") && !people && !c.guests
	for class, p := range map[string]event.Priority{"nice": event.Nice, "must": event.Must} {
		if has(class) {
			c.prio, c.ranked = p, true
		}
	}
	for _, p := range s.ph {
		if p.Kind == 't' {
			c.clock = p.Key
		}
	}
	c.lead = r.leadsBelow(s)
	c.houses = slices.ContainsFunc(s.head.Terms, func(t *speech.Term) bool {
		return t.Kind == speech.Kin && t.Word.Arg == "family" && t.Owner == nil && (t.Each || t.All || t.Every || s.head.Each)
	}) || has("houses")
	if terms := s.head.Terms; len(terms) == 1 && (terms[0].Kind == speech.Role || terms[0].Kind == speech.Kin && terms[0].Word.Arg != "family") {
		c.role = terms[0]
	}
	return c
}

// leadsBelow is who is in all photographs below a heading: "Bride & groom with:", "Solo novia:". The words that end it say so,
// or that it names both.
func (r *reader) leadsBelow(s *statement) []*speech.Term {
	var lead []*speech.Term
	for _, t := range s.head.Terms {
		switch {
		case t.Minus || t.Owner != nil:
		case r.Leads(t) || t.Kind == speech.Person && r.IsHonour(t.Name):
			lead = append(lead, t)
		default:
			return nil
		}
	}
	end := len(s.ph) - 1
	for end > 0 && (s.ph[end].Kind == 'p' || s.ph[end].Open) {
		end--
	}
	both := (len(lead) == 1 && lead[0].Kind == speech.Couple || len(lead) == 2) && !s.clause && len(s.ph) < 6 && len(s.head.Unknown)+len(s.head.Attrs) == 0
	if end >= 0 && s.l.Mark == 0 && (s.ph[end].Has("with") || s.head.Solo || both && s.colon) {
		return lead
	}
	return nil
}

// sideSaid is which of the couple words name as whose the lines below are, 0 for both, -1 when they say nothing.
func (r *reader) sideSaid(s *statement) int {
	side := -1
	note := func(h int) {
		switch {
		case side < 0:
			side = h
		case side != h:
			side = 0
		}
	}
	for _, t := range s.head.Terms {
		switch {
		case t.Owner != nil && t.Owner.Both:
			note(0)
		case t.Owner != nil && t.Owner.Half != 0:
			note(r.HalfOf(t.Owner.Half))
		case t.Owner != nil && t.Owner.Name != "" && r.HalfNamed(t.Owner.Name) > 0:
			note(r.HalfNamed(t.Owner.Name))
		case t.Owner != nil && t.Owner.Pronoun == "my" && r.Couple[0] >= 0:
			note(r.writer())
		}
	}
	if side >= 0 {
		return side
	}
	for _, t := range s.head.Terms {
		switch {
		case t.Kind == speech.Half:
			note(r.HalfOf(t.Word.Sex))
		case t.Kind == speech.Person && r.HalfNamed(t.Name) > 0:
			note(r.HalfNamed(t.Name))
		case t.Kind == speech.Couple:
			note(0)
		}
	}
	return side
}

// writer is who of the couple writes "my": the one whose side no other heading names.
func (r *reader) writer() int {
	for _, s := range r.stmts {
		for _, t := range s.head.Terms {
			if t.Owner != nil && t.Kind == speech.Kin && t.Word.Arg == "family" {
				if h := r.HalfNamed(t.Owner.Name); t.Owner.Name != "" && h > 0 {
					return 3 - h
				}
			}
		}
	}
	return 1
}
