package prose

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/words"
)

// nameLike reports whether a phrase stands for a person by name: it is known as one, a given name, or a word in
// capitals that means nothing else.
func (r *reader) nameLike(t *phrase) bool {
	if t.has("stands") || t.has("short") && words.Capitals(t.Text) {
		return false
	}
	if t.Kind != 'w' || t.open || strings.Contains(t.Key, " ") && len(t.ws) > 0 {
		return false
	}
	structural := t.has("half") || t.has("couple") || t.has("all")
	if r.Known[t.Key] && !structural && (t.Capital || !words.Cased(t.Text) || r.lower) {
		return true
	}
	if utf8.RuneCountInString(t.Text) == 1 && words.Cased(t.Text) {
		_, initial := r.Initials[t.Key]
		return initial && t.Capital && len(t.ws) == 0 || t.Capital && initial
	}
	if _, ok := words.Given(t.Key); ok && !structural && (t.Capital || !words.Cased(t.Text)) {
		w := mainClass(t)
		return w != "kin" || t.ws[0].Lang != r.main
	}
	if len(t.ws) > 0 || strings.ContainsAny(t.Text, "0123456789") {
		return false
	}
	if words.IsHan(t.Text) {
		n := utf8.RuneCountInString(t.Text)
		return n > 1 && n < 5 && !strings.ContainsAny(t.Text, "请的了在会约是不要需喊待再拍照个就两这们么吗吧呢")
	}
	if !words.Cased(t.Text) {
		return true
	}
	if r.lower {
		return true
	}
	return t.Capital && !r.loud
}

// nameAfterKin reports whether a word behind kin is a name, even one that means something else: "Tito Jun".
func (r *reader) nameAfterKin(t, next *phrase) bool {
	if r.nameLike(t) {
		return true
	}
	if t.has("rank") && t.Capital && !r.loud && r.nameLike(next) && mainClass(t) == "fill" { // "FOG Big Hutch"
		t.ws = nil
		return true
	}
	switch mainClass(t) {
	case "month", "scene", "prop", "note", "remark", "rank":
		if t.Kind == 'w' && t.Capital && !r.loud && !strings.Contains(t.Key, " ") && next.Kind != 'n' {
			t.ws = nil
			return true
		}
	}
	return false
}

// abbreviation reports whether kin is written short, so that a point behind it ends no sentence.
func (r *reader) abbreviation(key string) bool {
	switch key {
	case "husb", "bro", "sis", "hubs", "fam", "gma", "gpa":
		return true
	}
	return false
}

func mainClass(t *phrase) string {
	if len(t.ws) == 0 {
		return ""
	}
	return t.ws[0].Class
}

// name takes a name, of one or several words.
func (p *parser) name(t *phrase) {
	full, end, poss := t.Text, t.End, t.Possessive
	for !poss && !t.alone && !p.manyNames(t) {
		next := p.peek(1)
		dot := next.Key == "." && utf8.RuneCountInString(t.Text) == 1
		if dot {
			next = p.peek(2)
		}
		if next.Kind != 'w' || !next.Gap && !dot && words.Cased(next.Text) || !p.continues(next) {
			break
		}
		p.i++
		if dot {
			p.i++
		}
		full += " " + next.Text
		end, poss = next.End, next.Possessive
	}
	if poss {
		p.own = &owner{name: full}
		return
	}
	if o := p.ownsNext(full); o != nil {
		p.own = o
		return
	}
	if k := p.lastKin(); k != nil && p.r.InCouple(full) && k.w.Plural {
		p.ownBack(k, &owner{name: full})
		return
	}
	if (p.all || p.every) && p.run == nil && p.rank == "" && t.Capital && !strings.Contains(full, " ") && p.r.OfSurname(full) {
		p.own = &owner{name: full} // "all the Benalis"
		p.kinOf(t, words.Word{Class: "kin", Arg: "family", Plural: true, Text: full}, 0)
		return
	}
	if ids := p.r.letters(full); ids {
		x := p.add(&term{kind: letter, name: full}, t)
		x.e = end
		return
	}
	if n := len(p.out.terms); p.run != nil && !p.run.w.Plural && n > 0 && p.sep == "&" && p.run.w.Class == "kin" {
		// "Grandma & Grandpa Nunez"
		if before := p.out.terms[n-1]; before.kind == kinTerm && !before.w.Plural && len(before.sub) == 0 && before.own == nil && before.w.Arg == p.run.w.Arg {
			before.name = full
			if p.peek(1).open {
				k := p.add(&term{kind: kinTerm, w: p.run.w, name: full, text: p.run.text}, t)
				k.own, p.run = firstOwnerOf(k.own, before.own), nil
				return
			}
			before.kind, before.rank = person, before.text
		}
	}
	x := &term{kind: person, name: full, rank: p.rank}
	if p.rank != "" || p.run != nil {
		x.given = true
	}
	p.rank = ""
	if p.run != nil {
		x.w = p.run.w
		if p.own == nil {
			p.own = p.run.own
		}
		if shownRank(p.run, p.ph, p.i, full) && x.rank == "" {
			x.rank = strings.TrimSpace(p.run.textBefore(p))
		}
		if !p.run.w.Plural {
			p.run, p.back = p.back, nil
		}
	}
	p.add(x, t)
	x.e, x.text = end, strings.TrimSpace(x.rank+" "+full)
}

// manyNames reports whether a run of three and more names without marks between them, each of which stands elsewhere too, is
// as many people: "Wendy Clive Rosa Victor".
func (p *parser) manyNames(t *phrase) bool {
	from, n := p.i, 0
	for from > 0 && p.ph[from-1].Kind == 'w' && p.r.nameLike(&p.ph[from-1]) {
		from--
	}
	for k := from; k < len(p.ph) && p.ph[k].Kind == 'w' && p.r.nameLike(&p.ph[k]); k++ {
		_, given := words.Given(p.ph[k].Key)
		if n++; p.r.Times[p.ph[k].Key] < 2 && !p.ph[k].alone || !given && !p.ph[k].alone {
			return false
		}
	}
	return n > 2
}

// ownsNext is whose the kin is that follows a name without the mark of whose.
func (p *parser) ownsNext(full string) *owner {
	t, next := p.peek(0), p.peek(1)
	if !next.has("kin") && !next.has("side") || p.r.nameLike(next) {
		return nil
	}
	w, _ := next.word("kin")
	sex, _ := words.Given(t.Key)
	// Rosas Eltern: an s is all that says it in German, and in a hurry: "craigs mum".
	if base, ok := strings.CutSuffix(full, "s"); ok && (w.Lang == "de" || sex == 0) && (p.r.Known[names.Plain(base)] && len(p.r.Find(base)) > 0 || w.Lang == "de" && p.r.seen[names.Plain(base)] && !p.r.again) {
		return &owner{name: base}
	}
	if p.r.InCouple(t.Text) && (w.Plural || next.has("side")) {
		return &owner{name: full}
	}
	if (next.has("side") || w.Arg == "family" && w.Plural) && next.Gap && len(p.r.Find(full)) != 1 && len(p.cur) == 0 {
		return &owner{name: full} // "Fenwick side"
	}
	return nil
}

// continues reports whether a word goes on with a name: a surname, an initial, "Jr".
func (p *parser) continues(next *phrase) bool {
	if next.alone || next.has("stands") {
		return false
	}
	if utf8.RuneCountInString(next.Text) == 1 && next.Capital {
		return true
	}
	if k := next.Key; k == "jr" || k == "junior" || k == "snr" || k == "sr" {
		return true
	}
	return p.r.nameLike(next)
}

// shownRank reports whether kin stands with a name as people say it: "Nana Ruth", "Uncle Stu".
func shownRank(k *term, ph []phrase, i int, name string) bool {
	switch k.w.Arg {
	case "grandparent", "greatgrandparent", "aunt", "greataunt":
		return !k.w.Plural
	case "parent", "sibling", "godparent":
		return !k.w.Plural && k.w.Lang == "other"
	}
	return k.w.Class == "role" && slices.Contains([]string{"officiant", "co"}, k.w.Arg) && !k.w.Plural
}

// textBefore is the word of kin as written before the name, when it is in capitals.
func (t *term) textBefore(p *parser) string {
	r := []rune(t.text + "x")[0]
	if unicode.IsUpper(r) || !words.Cased(t.text) || t.w.Lang != "en" {
		return t.text
	}
	return ""
}
