package prose

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// kindOf decides what a statement is: by its marks, those of the lines around it, and what it names.
func (r *reader) kindOf(k int, s *statement, ctx context) int {
	if kind := r.guestKind(s); kind >= 0 {
		return kind
	}
	switch {
	case s.l.Ask != 0 || s.l.Answer > 0:
		return r.formKind(s)
	case s.l.Names:
		return definition
	case s.i == r.Signed && len(s.ph) < 9:
		return title
	case s.clause && r.clauseKind(k, s) >= 0:
		return r.clauseKind(k, s)
	case words.IsLegend(s.l.Raw), r.greets(s):
		return remark
	case s.l.Alias || !r.onlyOne(s) && r.isTitle(k, s):
		return title
	case !r.onlyOne(s) && r.isHeading(k, s, ctx):
		return heading
	case s.remarked() || ctx.scene || s.l.Mark == 0 && r.alwaysCouple(s.ph) && r.nobodyElse(s):
		return remark
	case ctx.guests:
		return definition
	case r.isEdit(k, s):
		return edit
	case s.equals(), r.footnote(s), r.describes(s), r.defines(k, s, ctx):
		return definition
	}
	if over := r.above(k); over != nil {
		return r.below(s, over)
	}
	if (s.head.Add || len(s.head.Terms) > 0 && s.head.Terms[0].Minus) && !s.l.First && r.before(k) != nil && !r.subject(s) {
		return addition
	}
	if s.l.First && s.l.Mark == 0 && r.chatter(s) || r.isRemark(k, s, ctx) {
		return remark
	}
	return photo
}

// onlyOne reports whether a line asks for one of the couple alone, or both: "Bride alone".
func (r *reader) onlyOne(s *statement) bool {
	return s.head.Solo && !s.colon && len(s.head.Terms) == 1 && r.Leads(s.head.Terms[0]) && s.l.Heads == 0
}

// subject reports whether a line begins with the couple, one of them or everybody.
func (r *reader) subject(s *statement) bool {
	if len(s.head.Terms) == 0 {
		return false
	}
	t := s.head.Terms[0]
	return t.Kind == speech.Couple || t.Kind == speech.Half || t.Kind == speech.All || t.Kind == speech.Person && r.HalfNamed(t.Name) > 0
}

// nobodyElse reports whether a line names nobody but the couple.
func (r *reader) nobodyElse(s *statement) bool {
	return len(s.tail.Terms) == 0 && !slices.ContainsFunc(s.head.Terms, func(t *speech.Term) bool {
		return t.Kind != speech.Couple && t.Kind != speech.Half && (t.Kind != speech.Person || r.HalfNamed(t.Name) == 0)
	})
}

// remarked reports whether a line says itself that it is a remark: all in brackets, behind a star, "Note: ...".
func (s *statement) remarked() bool {
	if len(s.ph) == 0 {
		return true
	}
	if s.ph[0].Has("note") && s.colon {
		return true
	}
	t := strings.TrimSpace(s.l.Text)
	return s.ph[0].Open && len(s.ph) == 1 && s.l.Mark == 0 || strings.HasPrefix(t, "<") && strings.HasSuffix(t, ">") || s.l.Bullet == "*" && s.colon && s.head.HasRemark() || strings.HasPrefix(strings.TrimSpace(s.l.Raw), "* in ")
}

// isTitle reports whether a line says what the list is, or who the couple are.
func (r *reader) isTitle(k int, s *statement) bool {
	if s.l.Mark != 0 && s.l.Mark != 't' || s.l.First {
		return false
	}
	if s.colon && len(s.ph) > 2 && s.ph[1].Key == ":" {
		if w, ok := s.ph[0].Word("key"); ok && (w.Arg == "date" || w.Arg == "time" || w.Arg == "place" || w.Arg == "photographer" || w.Arg == "zone") {
			return true
		}
		if w, ok := s.ph[0].Word("key"); ok && (w.Arg != "bride" && w.Arg != "groom" || r.Couple[0] >= 0) && !s.ph[0].Has("kin") {
			return true
		}
		if (s.ph[0].Has("half") || s.ph[0].Has("couple")) && r.onlyCouple(s) {
			return true
		}
	}
	first := 0
	for j := range k {
		if r.stmts[j].l != s.l {
			first++
		}
		if r.stmts[j].kind == photo || r.stmts[j].kind == definition {
			return false
		}
	}
	if first > 2 || slices.ContainsFunc(s.head.Terms, func(t *speech.Term) bool { return t.Kind == speech.All }) {
		return false
	}
	if s.l.Heads > 0 {
		return first == 0
	}
	other := slices.ContainsFunc(s.head.Terms, func(t *speech.Term) bool {
		return !(t.Kind == speech.Couple || t.Kind == speech.Person && r.HalfNamed(t.Name) > 0 || t.Kind == speech.Half || t.Kind == speech.Kin && t.Word.Arg == "family" || t.Kind == speech.Label)
	})
	if first == 0 && speech.SaysHalves(s.ph) && !other && slices.ContainsFunc(s.head.Terms, func(t *speech.Term) bool { return t.Kind == speech.Person }) {
		return true
	}
	about := r.About(s.ph)
	if dated(s) && r.bothNamed(s) {
		return true
	}
	if first == 0 && s.colon && len(s.head.Terms) == 0 && r.About(s.ph) && len(s.tail.Terms) < 4 && !other {
		return true
	}
	if first == 0 && !s.colon && (about || r.onlyCouple(s)) && (s.l.After || k == 0) {
		next := r.next(k)
		return next == nil || next.l.After || about || next.l.Mark != 0
	}
	return about && !other && len(s.head.Terms) < 4 && !s.colon && (r.marked || first == 0 || !r.subject(s)) && !sided(s)
}

// dated reports whether a line tells a day: "13 June", "June 13".
func dated(s *statement) bool {
	for k := 1; k < len(s.ph); k++ {
		a, b := &s.ph[k-1], &s.ph[k]
		if k > 1 && a.Has("of") { // "18 de septiembre"
			a = &s.ph[k-2]
		}
		if a.Kind == 'n' && b.Has("month") || a.Has("month") && b.Kind == 'n' {
			return true
		}
	}
	return false
}

// bothNamed reports whether a line names both of the couple, and joins nobody to them.
func (r *reader) bothNamed(s *statement) bool {
	var named [3]bool
	for _, list := range [][]*speech.Term{s.head.Terms, s.tail.Terms} {
		for _, t := range list {
			if t.Kind != speech.Person || t.Sep == "+" || t.Word.Class != "" {
				return false
			}
			named[r.HalfNamed(t.Name)] = true
		}
	}
	return named[1] && named[2]
}

func sided(s *statement) bool {
	return slices.ContainsFunc(s.ph, func(p speech.Phrase) bool { return p.Has("side") || p.Has("guests") })
}

// onlyCouple reports whether a line names both of the couple and nobody else.
func (r *reader) onlyCouple(s *statement) bool {
	found := 0
	for _, list := range [][]*speech.Term{s.head.Terms, s.tail.Terms} {
		for _, t := range list {
			switch {
			case t.Kind == speech.Person && r.HalfNamed(t.Name) > 0:
				found++
			case t.Kind == speech.Half || t.Kind == speech.Couple:
			default:
				return false
			}
		}
	}
	return found == 2 || found == 1 && s.colon
}

// next is the statement of the next line, and before the photograph above.
func (r *reader) next(k int) *statement {
	for j := k + 1; j < len(r.stmts); j++ {
		if r.stmts[j].l != r.stmts[k].l {
			return r.stmts[j]
		}
	}
	return nil
}

func (r *reader) before(k int) *statement {
	for j := k - 1; j >= 0; j-- {
		switch r.stmts[j].kind {
		case photo:
			return r.stmts[j]
		case heading, title:
			return nil
		}
	}
	return nil
}

// above is the photograph that a deeper line belongs to.
func (r *reader) above(k int) *statement {
	s := r.stmts[k]
	if k == 0 {
		return nil
	}
	for j := k - 1; j >= 0; j-- {
		o := r.stmts[j]
		if o.l == s.l {
			continue
		}
		if o.l.After && o.l.Indent > s.l.Indent || s.l.After && s.l.Mark == 0 {
			return nil
		}
		if o.l.Indent < s.l.Indent {
			if o.kind == photo || o.kind == addition {
				return o
			}
			return nil
		}
		if o.kind == heading || o.kind == title {
			return nil
		}
	}
	return nil
}

// below decides what a line is that is indented below a photograph.
func (r *reader) below(s, over *statement) int {
	if s.ph[0].Has("and") && len(s.head.Terms) > 0 {
		return addition
	}
	bare := slices.ContainsFunc(over.head.Terms, func(t *speech.Term) bool {
		return (t.Kind == speech.Kin || t.Kind == speech.Role) && len(t.Names) == 0 && t.Word.Plural
	})
	named := slices.ContainsFunc(over.head.Terms, func(t *speech.Term) bool {
		return t.Kind == speech.Label && len(t.Names) == 0 && len(r.Groups[people.LabelKey(t.Text)]) == 0 || t.Kind == speech.Role && t.Word.Plural
	})
	if s.colon || bare && !s.head.Add && (!r.subject(s) || len(s.head.Terms) == 1) && s.l.Mark == 0 || (named || bare) && !s.head.Add && s.l.Bullet != over.l.Bullet && plainly(s.head.Terms) && !r.subject(s) {
		return part
	}
	if r.subject(s) && len(s.head.Terms) > 1 {
		return photo
	}
	if len(s.head.Terms) == 0 {
		return remark
	}
	return addition
}

// isRemark reports whether a line asks for no photograph.
func (r *reader) isRemark(k int, s *statement, ctx context) bool {
	people := len(s.head.Terms) + len(s.tail.Terms)
	if terms := s.head.Terms; r.subject(s) && len(terms) > 1 && terms[1].Sep == "+" && terms[1].Kind == speech.Kin && len(terms[1].Names) > 0 {
		return false
	}
	if terms := s.head.Terms; r.subject(s) && len(terms) > 1 && terms[1].Sep == "+" && terms[1].Kind == speech.Kin && len(terms[1].Names) > 0 {
		return false // "Noivo + pai (Jorge) - ele e ..."
	}
	has := func(class string) bool {
		return slices.ContainsFunc(s.ph, func(p speech.Phrase) bool { return p.Has(class) })
	}
	if has("scene") && !r.groupDespite(s) {
		return true
	}
	if p := &s.ph[0]; p.Has("remark") && !r.NameLike(p) && !r.subject(s) && p.Key == "please" {
		return true
	}
	if s.l.Mark != 0 && r.marked {
		return people == 0 && (s.head.HasRemark() && len(s.head.Unknown) == 0 || len(s.ph) > 8)
	}
	if people == 0 {
		return s.l.Mark == 0
	}
	if k == len(r.stmts)-1 && k > 0 && r.marked && len(s.ph) < 6 && !s.colon && s.l.Mark == 0 && !slices.ContainsFunc(s.head.Terms, func(t *speech.Term) bool { return t.Kind != speech.Person }) && r.nobodyElse(s) {
		return true
	}
	if slices.ContainsFunc(s.head.Attrs, func(a speech.Attribute) bool { return a.Class == "apart" }) && !has("split") && s.l.Mark == 0 && !r.subject(s) {
		return true
	}
	if s.l.Mark == 0 && speaks(s) {
		return true
	}
	if ctx.houses && people > 1 && s.l.Indent > ctx.indent {
		return false
	}
	first := s.ph[0]
	sentence := 0
	for _, p := range s.ph {
		if p.Has("remark") && !p.Capital {
			sentence++
		}
	}
	return r.marked && (!ctx.photos || s.l.After && !s.colon) && s.l.Mark == 0 && !s.l.First && !(r.subject(s) && !s.colon) || sentence > 2 && sentence >= people || first.Has("remark") && !r.NameLike(&first) && sentence > 1
}

// speaks reports whether a line begins with somebody and what they do: "Kath has to leave by 4pm".
func speaks(s *statement) bool {
	if s.colon || len(s.head.Terms) == 0 || s.head.Terms[0].Kind != speech.Person {
		return false
	}
	first := s.head.Terms[0]
	for _, p := range s.ph {
		if p.Start >= first.End {
			return (p.Has("remark") || p.Has("verb") || p.Has("need") && strings.Contains(p.Key, " ")) && !p.Capital && !p.Has("and")
		}
	}
	return false
}

// groupDespite reports whether a line with a word for a scene still asks for a group: "Wedding party with rings".
func (r *reader) groupDespite(s *statement) bool {
	at := slices.IndexFunc(s.ph, func(p speech.Phrase) bool { return p.Has("scene") && !r.NameLike(&p) })
	if at < 0 {
		return true
	}
	if s.colon && len(s.tail.Terms) > 0 && at > 0 && s.ph[at-1].Has("of") {
		return true // "padrinos de arras: Karen"
	}
	terms := 0
	for _, t := range s.head.Terms {
		if t.Start < s.ph[at].Start {
			terms++
		}
	}
	return s.l.Mark != 0 && r.marked && len(s.head.Terms) > 1 || terms > 0 && at > 0 && (s.ph[at-1].Has("with") || s.ph[at-1].Has("prep")) && len(s.head.Terms) > 1
}

// isEdit reports whether a line changes others: "scrap no. 4", "Lou has dropped out".
func (r *reader) isEdit(k int, s *statement) bool {
	s.changes = r.changes(s)
	if len(s.changes) == 0 && s.l.First && s.l.Mark == 0 && r.before(k) != nil && r.adds(s) {
		s.changes = []change{{terms: r.peopleOf(s.ph)}}
	}
	return len(s.changes) > 0 || s.l.First && slices.ContainsFunc(s.ph, func(p speech.Phrase) bool { return p.Has("absent") })
}
