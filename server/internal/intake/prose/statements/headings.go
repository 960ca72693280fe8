package statements

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// isHeading reports whether lines below belong under a line.
func (r *Reader) isHeading(k int, s *Statement, ctx Context) bool {
	next := r.next(k)
	switch {
	case s.Line.Heads > 0 || next != nil && s.Line.Mark == 0 && s.openEnded() && r.leadsBelow(s) != nil:
		return true
	case next == nil || s.Line.First && !(s.has("side") && (s.Colon && speech.ColonAt(s.Phrases) == len(s.Phrases)-1 || len(s.Phrases) < 4 && !joins(s) && s.has("my"))): // of a chat "my side:"
		return false
	case s.Line.Mark == 't' && next.Line.Clock == "" && (next.Line.Mark != 0 || !next.Line.After && s.shouted() && r.subject(next)): // "4:45 PM - Fountain, grandparents first"
		return true
	case s.Line.Mark == 't' && next.Line.Mark == 0 && next.Line.Indent > s.Line.Indent && s.has("photos") && !r.subject(s): // "15.10 GROUP PHOTOS under the oak"
		return true
	case s.Line.Mark != 0 && next.Line.Mark == 0 && r.subject(s) && len(s.Head.Terms) > 1 && next.Line.Indent > s.Line.Indent:
		return false // "Couple with their godparents:", named below
	case s.Colon && len(s.Tail.Terms)+len(s.Tail.Unknown)+len(s.Tail.Attrs) == 0 && speech.ColonAt(s.Phrases) == len(s.Phrases)-1:
		return true
	case s.Colon || r.headsPhotos(s, next, ctx):
		return r.headsPhotos(s, next, ctx)
	}
	has := s.has
	short := len(s.Phrases) <= 7 && len(speech.Flat(s.Phrases)) <= 12
	named := slices.ContainsFunc(s.Head.Terms, func(t *speech.Term) bool {
		return t.Kind == speech.Person && r.HalfNamed(t.Name) == 0 || len(t.Names) > 0 && r.sideInBracket(s) == 0
	})
	joined, shouted := len(s.Head.Terms) > 1, s.shouted() && len(s.Line.Text) > 3 && short
	one := shouted && (len(s.Phrases) == 1 && r.SeenOnce(s.Line.Text) || r.strange(s))
	if s.Line.Mark == 'A' && next.Line.Mark == '#' && shouted && !joined || one && s.Line.Mark == 0 && s.Line.After && !next.Line.After { // "D. CHURCH" over numbers, "OTHERS"
		return true
	}
	if s.Line.Mark != 0 {
		if r.subject(s) && joined && !slices.ContainsFunc(s.Head.Terms[1:], func(t *speech.Term) bool { return t.Word.Plural || t.Kind == speech.Label || t.Minus }) {
			return false // "* Bride + her mum", over "- Bride + her dad"
		}
		return next.Line.Indent > s.Line.Indent && next.Line.Mark != 0 && (r.selfContained(k, s) || r.outlined(s) || has("houses") && !r.subject(s))
	}
	if r.marked {
		if next.Line.Mark != 0 && next.Line.Indent >= s.Line.Indent || next.Line.Indent > s.Line.Indent {
			return !named || has("photos") || has("guests") || has("side")
		}
		return short && !named && !joined && !has("all") && !(next.Head.Solo && r.nobodyElse(s) && r.subject(s)) && (s.Line.After || has("photos") || has("guests") || has("side"))
	}
	switch right := s.Line.After && !next.Line.After; {
	case !named && short && !joined && has("side") && !r.subject(s),
		right && short && !joined && r.sideBehind(s),
		right && short && r.ofOneHalf(s) && r.withCouple(next): // "Bride", "Ann & her family", over "Couple + parents"
		return true
	}
	if named || !s.Line.After || next.Line.After && !has("guests") && !has("photos") {
		return false
	}
	switch {
	case has("guests") && !has("half") && short, has("photos") && short && !(has("half") || has("couple")):
		return true
	case len(s.Head.Terms) == 0:
		return short || has("event") || r.serial(s)
	case !joined && short && !r.subject(s):
		t := s.Head.Terms[0]
		return has("side") && !has("near") || t.Kind == speech.Kin && t.Word.Arg == "family" && !has("near") || t.Kind == speech.Role && r.loudOrTitle(s) || t.Kind == speech.Label && r.loudOrTitle(s)
	}
	return has("side") && short && !r.subject(s)
}

// headsPhotos reports whether a line stands right above others and begins with a word for photographs, in capitals or below who is who:
// "GROUPS 1.45pm, walled garden, 30 min", "shots in order. star = really wanted".
func (r *Reader) headsPhotos(s, next *Statement, ctx Context) bool {
	if len(s.Phrases) == 0 || !s.Line.After || next.Line.After {
		return false
	}
	first := &s.Phrases[0]
	return first.Has("photos") && (first.Text == strings.ToUpper(first.Text) && len(s.Phrases) > 1 || ctx.Guests && next.Line.Mark == '#')
}

// strange reports whether all words of a line stand nowhere else in the list, and none is a given name: "A FEW MORE".
func (r *Reader) strange(s *Statement) bool {
	return !slices.ContainsFunc(s.Phrases, func(p speech.Phrase) bool {
		_, given := words.Given(p.Key)
		return given || p.Kind != 'w' || !p.Has("fill") && !r.SeenOnce(p.Text)
	})
}

// serial reports whether another heading begins with the same word and a number: "CALL 4 - optional, only if it does not rain".
func (r *Reader) serial(s *Statement) bool {
	counts := func(o *Statement) bool { return len(o.Phrases) > 1 && o.Phrases[0].Capital && o.Phrases[1].Kind == 'n' }
	return counts(s) && slices.ContainsFunc(r.Statements, func(o *Statement) bool {
		return o != s && o.Kind == Heading && counts(o) && o.Phrases[0].Key == s.Phrases[0].Key && r.Effort.Spend(1)
	})
}

// loudOrTitle reports whether all words of a line outside brackets begin with capitals.
func (r *Reader) loudOrTitle(s *Statement) bool {
	return !slices.ContainsFunc(s.Phrases, func(t speech.Phrase) bool {
		return t.Kind == 'w' && !t.Open && words.Cased(t.Text) && !t.Capital && len(t.Text) > 3
	})
}

// selfContained reports whether the lines below one are photographs of their own, and not what it adds to: each
// has its subject itself.
func (r *Reader) selfContained(k int, s *Statement) bool {
	n, own := 0, 0
	for j := k + 1; j < len(r.Statements) && r.Statements[j].Line.Indent > s.Line.Indent; j++ {
		n++
		if c := r.Statements[j]; len(c.Head.Terms) > 1 && r.subject(c) {
			own++
		}
	}
	return n > 0 && own == n
}

// outlined reports whether a bullet is one of those that divide a list: each has bullets of another kind below it, and none names
// whom a photograph is of.
func (r *Reader) outlined(s *Statement) bool {
	if s.Line.Bullet == "" || s.Line.Mark != '-' {
		return false
	}
	heads, below := 0, 0
	for j, o := range r.Statements {
		switch next := r.next(j); {
		case o.Line.Mark == 0:
		case o.Line.Indent > s.Line.Indent:
			below++
		case o.Line.Bullet != s.Line.Bullet || o.Line.Indent < s.Line.Indent || o.Colon || next == nil || next.Line.Indent <= o.Line.Indent || next.Line.Bullet == o.Line.Bullet:
			return false
		case slices.ContainsFunc(o.Head.Terms, func(t *speech.Term) bool {
			return t.Kind == speech.Person || t.Kind == speech.Couple || t.Kind == speech.Half
		}):
			return false
		default:
			heads++
		}
	}
	return heads > 1 && below >= 2*heads
}

// guestsBelow reports whether people stand one by one under a heading, and photographs under one of their own further
// down.
func (r *Reader) guestsBelow(k int) bool {
	one := false
	for j := k + 1; j < len(r.Statements) && r.Effort.Spend(20); j++ {
		s := r.Statements[j]
		switch {
		case r.isHeading(j, s, Context{}):
			if speech.AnyHas(s.Phrases, "photos") {
				return one
			}
		case len(s.Head.Terms) != 1 || s.Head.Terms[0].Kind != speech.Person:
			return false
		default:
			one = true
		}
	}
	return false
}

// peopleBelow reports whether people stand without marks right below a heading, in a list whose photographs have marks.
func (r *Reader) peopleBelow(k int) bool {
	for j := k + 1; j < len(r.Statements) && r.marked; j++ {
		switch s := r.Statements[j]; {
		case s.Line.Mark != 0 || s.Line.After:
			return j > k+1
		case len(s.Head.Terms) == 0 || s.Head.Terms[0].Kind != speech.Person || r.subject(s):
			return false
		}
	}
	return false
}

// Sections decides what each line is and under which headings it stands.
func (r *Reader) Sections() {
	var stack []Context
	ctx, outer := Context{}, Context{} // outer is what held before a heading that stands on its line
	before, columns := map[int]*Statement{}, map[int]Context{}
	for k, s := range r.Statements {
		if !r.Effort.Spend(50) {
			return
		}
		r.Line, s.At = s.Line, k
		if ctx.section && s.Line.Part == 0 {
			ctx = Context{Priority: event.Should}
		}
		if ctx.beside && (s.Line.After || s.Line.Mark != 0 || !namesAnyone(s.Terms())) {
			ctx = outer
		}
		if ctx.column > 0 && s.side == 0 { // below the columns
			ctx = Context{Priority: event.Should, Guests: ctx.Guests, photos: ctx.photos}
		}
		if ctx.Guests && ((s.Line.After || r.longAbove(k)) && (s.Line.Mark == '[' || (s.Line.Mark == '#' || s.Line.Mark == 'A') && r.subject(s)) || r.asksBelow(k, s.Line.After)) {
			ctx.Guests, ctx.photos = false, true // "a) Ann + Bo" or a box, below those who are told of
		}
		if s.saysWho == Heading { // "Who's who: ..."
			s.Kind, outer = Heading, ctx
			ctx.Guests, ctx.photos, ctx.beside = true, false, true
			s.Context = ctx
			continue
		}
		s.Kind = r.kindOf(k, s, ctx)
		switch s.Kind {
		case Heading:
			ctx, stack = r.opens(k, s, ctx, stack)
			if s.side > 0 {
				ctx.column = s.side
				columns[s.side] = ctx
			}
			stack = append(stack, ctx)
			clear(before)
		case Addition, Part:
			s.Over = before[s.side]
		case Photo:
			if before[s.side] = s; s.Line.Clock != "" {
				ctx.Clock = ""
			}
		}
		s.Context = ctx
		if c := columns[s.side]; s.side > 0 && c.Side > 0 {
			s.Context.Side, s.Context.Lead = c.Side, c.Lead
		}
	}
	r.emptyHeadings()
}

// opens is what holds below a heading, and those that it stands under.
func (r *Reader) opens(k int, s *Statement, ctx Context, stack []Context) (Context, []Context) {
	for len(stack) > 0 && (stack[len(stack)-1].level >= s.level() || s.Line.Heads == 0) {
		stack = stack[:len(stack)-1]
	}
	up := Context{}
	if len(stack) > 0 {
		up = stack[len(stack)-1]
	} else if ctx.Guests || s.Line.Heads == 0 {
		up.Guests, up.photos = ctx.Guests, ctx.photos
	}
	ctx = r.Under(s, up)
	if next := r.next(k); ctx.Guests && (!s.has("guests") && r.asksBelow(k+1, true) || next != nil && r.withCouple(next)) { // "Ann's family" over "Ann + Bo with Ann's parents"
		ctx.Guests, ctx.photos = false, true
	}
	ctx.Guests = ctx.Guests || !ctx.photos && (r.onlyFamily(s) && r.tellsOne(k+1) && r.tellsOne(k+2) || ctx.said && r.guestsBelow(k) || ctx.role != nil && ctx.role.Kind == speech.Kin && r.peopleBelow(k))
	return ctx, stack
}

func (s *Statement) level() int {
	if s.Line.Heads > 0 {
		return s.Line.Heads
	}
	return 7
}

// sentence is so long that a line tells something and heads nothing.
const sentence = 8

// Under is what holds below a heading.
func (r *Reader) Under(s *Statement, up Context) Context {
	c := Context{Guests: up.Guests, photos: up.photos, level: s.level(), indent: s.Line.Indent, Priority: event.Should, Clock: s.Clock()}
	if s.Line.Heads > 0 {
		c.Side, c.Priority, c.Ranked, c.Guests = up.Side, up.Priority, up.Ranked, up.Guests
	}
	has := s.has
	people := has("half") || has("couple") || has("kin") || has("role") || has("side")
	switch {
	case has("guests") && !has("photos") && !has("half") && !has("alone") && s.Line.Clock == "":
		c.Guests = true
	case has("photos"):
		c.Guests, c.photos = false, true
	case has("role"), !people:
		c.Guests = false
	}
	if s.Line.Part != 0 {
		c.Guests, c.photos = s.Line.Part != lines.PhotoHead, s.Line.Part == lines.PhotoHead
		c.section = c.Guests
	}
	if side := r.SideSaid(s); side >= 0 {
		c.Side = side
		c.said = true
	}
	if half := r.headsKin(s); half > 0 {
		c.Side, c.said, c.Guests = half, true, true
	}
	if s.Line.Part == lines.SideLine {
		if h := r.halfIn(s.Index); h > 0 {
			c.Side, c.said = h, true
			r.SideLabels[h] = strings.TrimRight(s.Line.Text, ":： ")
		}
	}
	c.Scene = atScene(s.Phrases) && !has("photos") && !people && !c.Guests && len(s.Phrases) < sentence // no plan of the day in a line
	for class, p := range map[string]event.Priority{"nice": event.Nice, "must": event.Must} {
		if has(class) && has("nice") != has("must") { // "those with a tick are a must, the others if there's time"
			c.Priority, c.Ranked = p, true
		}
	}
	c.Lead = r.leadsBelow(s)
	c.houses = slices.ContainsFunc(s.Head.Terms, func(t *speech.Term) bool {
		return t.Kind == speech.Kin && t.Word.Arg == "family" && t.Owner == nil && (t.Each || t.All || t.Every || s.Head.Each)
	}) || has("houses")
	if terms := s.Head.Terms; len(terms) == 1 && (terms[0].Kind == speech.Role || terms[0].Kind == speech.Kin && terms[0].Word.Arg != "family") {
		c.role = terms[0]
	}
	return c
}

// atScene reports whether words tell of a part of the day itself, and not of what is before or after it: "Steps, straight after the
// ceremony".
func atScene(ph []speech.Phrase) bool {
	for k := range ph {
		beside := slices.ContainsFunc(ph[max(0, k-2):k], func(p speech.Phrase) bool { return words.Listed("before or after", p.Key) })
		if ph[k].Has("scene") && !beside {
			return true
		}
	}
	return false
}

// leadsBelow is who is in all photographs below a heading: "Bride & groom with:", "Solo novia:". The words that end it say so,
// or that it names both.
func (r *Reader) leadsBelow(s *Statement) []*speech.Term {
	var lead []*speech.Term
	for _, t := range s.Head.Terms {
		switch {
		case t.Minus || t.Owner != nil:
		case r.Leads(t) || t.Kind == speech.Person && r.IsHonour(t.Name):
			lead = append(lead, t)
		default:
			return nil
		}
	}
	both := (len(lead) == 1 && lead[0].Kind == speech.Couple || len(lead) == 2) && !s.Clause && len(s.Phrases) < 6 && len(s.Head.Unknown)+len(s.Head.Attrs) == 0
	next := r.next(s.At)
	below := len(lead) == 1 && len(s.Phrases) == 1 && next != nil && speech.AnyHas(next.Phrases[:min(1, len(next.Phrases))], "with") // "BRIDE", over "with her parents"
	column := s.side > 0 && len(lead) == 1 && len(s.Phrases) == 1
	if s.Line.Mark == 0 && (below || column || s.openEnded() || s.Head.Solo || both && s.Colon) {
		return lead
	}
	return nil
}

// SideSaid is which of the couple words name as whose the lines below are, 0 for both, -1 when they say nothing.
func (r *Reader) SideSaid(s *Statement) int {
	side := -1
	note := func(h int) {
		switch {
		case side < 0:
			side = h
		case side != h:
			side = 0
		}
	}
	if h := r.sideInBracket(s); h > 0 {
		return h
	}
	terms := s.Head.Terms
	if len(terms) == 0 && len(s.Tail.Terms) > 0 && s.Tail.Terms[0].Word.Arg == "family" {
		terms = s.Tail.Terms[:1] // "List 1 = Ann's family, ..."
	}
	for _, t := range terms {
		switch {
		case t.Owner != nil && t.Owner.Both && t.Owner.Said == "our" && t.Word.Arg == "family":
			note(r.unnamedSide()) // "our family", over against "Ann's family"
		case t.Owner != nil && t.Owner.Both:
			note(0)
		case t.Owner != nil && t.Owner.Half != 0:
			note(r.HalfOf(t.Owner.Half))
		case t.Owner != nil && t.Owner.Name != "" && r.HalfNamed(t.Owner.Name) > 0:
			note(r.HalfNamed(t.Owner.Name))
		case t.Owner != nil && t.Owner.Pronoun == "my" && r.HalfNamed(s.Line.By) > 0:
			note(r.HalfNamed(s.Line.By))
		case t.Owner != nil && t.Owner.Pronoun == "my" && r.Couple[0] >= 0:
			note(r.Writer())
		}
	}
	switch o := s.Head.Owner; {
	case side >= 0:
		return side
	case len(s.Head.Terms) == 0 && o != nil && r.HalfNamed(o.Name) > 0: // "Tom's"
		return r.HalfNamed(o.Name)
	case r.Couple[0] >= 0 && s.Phrases[0].Has("mine"):
		return r.Myself()
	}
	for _, t := range s.Head.Terms {
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
