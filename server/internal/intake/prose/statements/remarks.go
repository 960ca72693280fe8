package statements

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// isRemark reports whether a line asks for no photograph.
func (r *Reader) isRemark(k int, s *Statement, ctx Context) bool {
	people := len(s.Head.Terms) + len(s.Tail.Terms)
	if terms := s.Head.Terms; r.subject(s) && len(terms) > 1 && (terms[1].Sep == "+" && terms[1].Kind == speech.Kin && len(terms[1].Names) > 0 || terms[1].Sep == "&" && terms[1].Kind == speech.Person && terms[1].Word.Class == "kin") {
		return false // "Noivo + pai (Jorge) - ele e ...", "me & nan Ida, shes 86 and ..."
	}
	if s.Colon && len(s.Head.Terms) == 0 && len(s.Tail.Terms) > 0 && speech.AnyHas(s.Phrases[:1], "nice", "must", "last") {
		return false // "wenn Zeit: Brautpaar mit Ann"
	}
	has := s.has
	if terms := s.Head.Terms; len(terms) > 0 && terms[0].Kind == speech.Same && s.Phrases[0].Has("above") && !has("verb") { // "all of the above together please"
		return false
	}
	named := s.Colon && s.Line.Mark != 0 && len(s.Tail.Terms) > 1 && Plainly(s.Tail.Terms)                                                                       // "Cake cutting: Ann, Tom"
	if has("scene") && !named && !s.Phrases[0].Has("all") && !(len(s.Phrases) > 1 && s.Phrases[0].Has("and") && s.Phrases[1].Has("all")) && !r.groupDespite(s) { // but "alle auf der Treppe, danach gibt es Torte"
		return true
	}
	if p := &s.Phrases[0]; p.Has("remark") && !r.NameLike(p) && !r.subject(s) && p.Key == "please" {
		return true
	}
	if s.Line.Mark == 't' && ((people == 0 || speaks(s)) && r.timetable() || r.partOfDay(s)) {
		return true
	}
	if s.Line.Mark != 0 && r.marked {
		return r.tellsApart(s) || people == 1 && speaks(s) || people == 0 && (s.Head.HasRemark() && len(s.Head.Unknown) == 0 || len(s.Phrases) > 8)
	}
	if people == 0 {
		return s.Line.Mark == 0
	}
	if r.tellsApart(s) {
		return true
	}
	if k == len(r.Statements)-1 && k > 0 && r.marked && len(s.Phrases) < 6 && !s.Colon && s.Line.Mark == 0 && !slices.ContainsFunc(s.Head.Terms, func(t *speech.Term) bool { return t.Kind != speech.Person }) && r.nobodyElse(s) {
		return true
	}
	if slices.ContainsFunc(s.Head.Attrs, func(a speech.Attribute) bool { return a.Class == "apart" }) && !has("split") && s.Line.Mark == 0 && !r.subject(s) {
		return true
	}
	if s.Line.Mark == 0 && speaks(s) {
		return true
	}
	if ctx.houses && people > 1 && s.Line.Indent > ctx.indent {
		return false
	}
	first := s.Phrases[0]
	sentence := 0
	for _, p := range s.Phrases {
		if p.Has("remark") && !p.Capital {
			sentence++
		}
	}
	return r.marked && (!ctx.photos || s.Line.After && !s.Colon) && s.Line.Mark == 0 && !s.Line.First && !(r.subject(s) && !s.Colon) || sentence > 2 && sentence >= people && !(r.subject(s) && joins(s)) || first.Has("remark") && !r.NameLike(&first) && sentence > 1 && !r.asksFor(s.Index)
}

// asksFor reports whether a line has words that ask for a photograph before those that say of whom: "forgot, one with my aunts".
func (r *Reader) asksFor(i int) bool {
	for k := range r.Tokens[i] {
		if n, _ := r.opener(r.Tokens[i], k); n > 0 {
			return true
		}
	}
	return false
}

// partOfDay reports whether a line of a plan with many times tells what happens then: nobody whom the list knows is in it, or one does
// something that no photograph is called: "10:30 Hair and make up", "Guests seated", "13:15 Mum (Ida) does up Ann's dress".
func (r *Reader) partOfDay(s *Statement) bool {
	times := 0
	for i := range r.Lines {
		if r.Lines[i].Clock != "" {
			times++
		}
	}
	terms := s.Terms()
	if times < 6 || s.Opens != 0 {
		return false
	}
	if !slices.ContainsFunc(terms, func(t *speech.Term) bool { return t.Kind != speech.Label && !r.Doubtful(t) }) {
		return !s.has("wish") && !s.has("group")
	}
	k := slices.IndexFunc(s.Phrases, func(p speech.Phrase) bool { return len(terms) == 1 && p.Start >= terms[0].End && !p.Open })
	return k > 0 && s.Phrases[k].Kind == 'w' && (len(s.Phrases[k].Words) == 0 || s.Phrases[k].Has("ask")) && !s.Phrases[k].Capital
}

// timetable reports whether times of day divide a list whose photographs have other marks.
func (r *Reader) timetable() bool {
	times, others := 0, 0
	for _, s := range r.Statements {
		if s.Line.Mark == 't' {
			times++
		} else if s.Line.Mark != 0 {
			others++
		}
	}
	return times > 2 && others > 2 && r.Effort.Spend(len(r.Statements))
}

// tellsApart reports whether a line says of the people that it names only that they are not to be together: "- Ann und Bob reden
// nicht miteinander", "Not in the same photo: Ann, Bob".
func (r *Reader) tellsApart(s *Statement) bool {
	if at := speech.ColonAt(s.Phrases); at > 0 && len(s.Terms()) == 2 && speech.AnyHas(s.Phrases[:at], "not") && speech.AnyHas(s.Phrases[:at], "near", "apart") {
		return true
	}
	n := len(s.Head.Terms)
	if n < 2 || s.Colon || r.subject(s) || joins(s) || !r.KeepsApart(s.Phrases) {
		return false
	}
	k := slices.IndexFunc(s.Phrases, func(p speech.Phrase) bool { return p.Start >= s.Head.Terms[n-1].End })
	return k >= 0 && s.Phrases[k].Kind == 'w' && speech.AnyHas(s.Phrases[k:k+1], "apart", "not", "verb", "remark")
}

// speaks reports whether a line begins with somebody and what they do: "Kath has to leave by 4pm", "14:10 her dad sees her".
func speaks(s *Statement) bool {
	if s.Colon || len(s.Head.Terms) == 0 || s.Head.Terms[0].Kind != speech.Person && (s.Head.Terms[0].Kind != speech.Kin || s.Head.Terms[0].Word.Plural && s.Head.Terms[0].Word.Arg != "family") {
		return false
	}
	first := s.Head.Terms[0]
	for _, p := range s.Phrases {
		if p.Start >= first.End {
			return (p.Has("remark") || p.Has("verb") || (p.Has("need") || p.Has("until") || p.Has("absent")) && strings.Contains(p.Key, " ")) && !p.Capital && !p.Has("and")
		}
	}
	return false
}

// groupDespite reports whether a line with a word for a scene still asks for a group: "Wedding party with rings".
func (r *Reader) groupDespite(s *Statement) bool {
	at := slices.IndexFunc(s.Phrases, func(p speech.Phrase) bool { return p.Has("scene") && !r.NameLike(&p) })
	if at < 0 {
		return true
	}
	role := len(s.Head.Terms) > 0 && (s.Head.Terms[0].Kind == speech.Role || s.Head.Terms[0].Kind == speech.Kin) && s.Head.Terms[0].Start < s.Phrases[at].Start && at < speech.ColonAt(s.Phrases)
	if s.Colon && len(s.Tail.Terms) > 0 && at > 0 && (role || s.Phrases[at-1].Has("of")) {
		return true // "padrinos de arras: Karen", "padrinos de anillo / ramo: Karen; Pati"
	}
	if len(s.Head.Terms) > 0 && s.Head.Terms[0].Kind == speech.All && s.Head.Terms[0].Start < s.Phrases[at].Start && s.Line.Mark != 0 {
		return true // "Everyone round the cake"
	}
	terms := 0
	for _, t := range s.Head.Terms {
		if t.Start < s.Phrases[at].Start {
			terms++
		}
	}
	others := r.subject(s) && slices.ContainsFunc(s.Head.Terms[:terms], func(t *speech.Term) bool { return t.Kind == speech.Role && !r.Leads(t) }) // "Bride with the bridesmaids, bouquets up"
	if terms > 0 && (others || r.marked && s.Line.Mark != 0) && slices.ContainsFunc(s.Phrases[:at], func(p speech.Phrase) bool { return p.Kind == 'p' && p.Start >= s.Head.Terms[terms-1].End }) {
		return true // "Granny Ida, she leaves before dinner"
	}
	for at > 1 && s.Phrases[at-1].Has("fill") { // "Mum on her own with the cake"
		at--
	}
	labels := !slices.ContainsFunc(s.Head.Terms, func(t *speech.Term) bool { return t.Kind != speech.Label }) // "first dance + ceilidh"
	return s.Line.Mark != 0 && s.Line.Mark != 't' && r.marked && len(s.Head.Terms) > 1 && !labels || terms > 0 && at > 0 && (s.Phrases[at-1].Has("with") || s.Phrases[at-1].Has("prep")) && (len(s.Head.Terms) > 1 || s.Head.Solo)
}

// remarked reports whether a line says itself that it is a remark: all in brackets, behind a star, "Note: ...".
func (s *Statement) remarked() bool {
	if len(s.Phrases) == 0 {
		return true
	}
	if s.Phrases[0].Has("note") && s.Colon {
		return true
	}
	t := strings.TrimSpace(s.Line.Text)
	return s.Phrases[0].Open && len(s.Phrases) == 1 && s.Line.Mark == 0 || strings.HasPrefix(t, "<") && strings.HasSuffix(t, ">") || s.Line.Bullet == "*" && s.Colon && s.Head.HasRemark() || strings.HasPrefix(strings.TrimSpace(s.Line.Raw), "* in ")
}

// drops reports whether words begin with one that takes a photograph off the list, and not people: "skip this one".
func (r *Reader) drops(ph []speech.Phrase) bool {
	if len(ph) > 1 && words.Listed("taken back", ph[0].Key) && ph[1].Key == "," { // "the golf crowd - no, leave it"
		return true
	}
	if len(ph) == 0 || len(ph) > 1 && (r.NameLike(&ph[1]) || ph[1].Has("kin")) {
		return false
	}
	w, ok := ph[0].Word("edit")
	return ok && w.Arg == "drop"
}

// saysWho reports whether a line begins with who writes it, and joins nobody to them: "Soy Ana, la novia", "我是新娘小鱼".
func (r *Reader) saysWho(s *Statement) bool {
	ph := speech.Flat(s.Phrases)
	for k := 0; k+1 < len(ph) && k < 4; k++ {
		w, iam := ph[k].Word("iam")
		if next := &ph[k+1]; iam && (w.Lang != "en" && (r.TitleName(next) || next.Has("half")) || r.Writes != "" && next.Text == r.Writes) {
			return !joins(s)
		}
	}
	return false
}
