package prose

import (
	"slices"
	"strings"
)

// bracket takes what stands in brackets: it names, describes or counts what stands before.
func (p *parser) bracket(t *phrase) {
	target := p.target()
	in := (&parser{r: p.r, ph: t.inside, in: true, ages: target != nil && target.kind != role && target.kind != all && target.w.Arg != "family"}).parse()
	in.sayWho(target)
	if target == nil {
		if len(in.terms) == 1 && in.terms[0].kind == all {
			return
		}
		p.out.attrs = append(p.out.attrs, in.attrs...)
		p.out.lost = append(p.out.lost, in.lost...)
		if (p.grp || len(p.lost) > 0) && !p.prep {
			// A label is being read: what it holds is known when its words are.
			p.cur = append(p.cur, &term{kind: label, s: t.Start, e: t.Start, sep: p.sep, sub: in.terms})
			p.grp = true
		}
		return
	}
	one := target.kind == person || (target.kind == kinTerm || target.kind == role) && !target.w.Plural
	for _, a := range in.attrs {
		switch {
		case a.class == "number" && one && (target.kind == person || len(in.terms) > 0) && a.num <= 110:
			a.class = "years"
			target.attrs = append(target.attrs, a)
		case a.class == "number" || a.class == "count":
			target.count = a.num
		case personal[a.class] && len(in.terms) > 0 && p.out.lastAge(in, a):
		case personal[a.class] && (one || len(in.terms) > 0):
			target.attrs = append(target.attrs, a)
		case a.class == "open":
			target.open = true
		default:
			if one && a.class == "note" && len(in.terms) == 0 {
				target.attrs = append(target.attrs, a)
				continue
			}
			p.out.attrs = append(p.out.attrs, a)
		}
	}
	if len(t.inside) == 1 && target.kind == role {
		if w, ok := t.inside[0].word("only"); ok {
			target.sex = w.Sex // "padrinhos (homens)"
			return
		}
	}
	for _, a := range in.lost {
		a.class = "note"
		if target.kind == label && len(in.terms) == 0 {
			p.out.attrs = append(p.out.attrs, a)
			continue
		}
		if one {
			target.attrs = append(target.attrs, a)
		} else {
			p.out.attrs = append(p.out.attrs, a)
		}
	}
	if len(in.terms) == 1 && in.terms[0].kind == all {
		return
	}
	if p.beside(in.terms) {
		return
	}
	p.out.split = p.out.split || in.split
	if in.apart || slices.ContainsFunc(in.attrs, func(a attr) bool { return a.class == "apart" }) {
		p.out.apart = true
	}
	if one && slices.ContainsFunc(in.attrs, func(a attr) bool { return a.class == "minus" }) {
		return
	}
	if own := bracketOwner(in, target); own != nil && target.own == nil {
		target.own = own
		return
	}
	target.only = target.only || in.solo
	target.sub = append(target.sub, in.terms...)
}

// bracketOwner is whose kin a bracket says that people are: "Oma (bride's side)", "Dadi (Hamza's dadi, 85)".
func bracketOwner(in parsed, target *term) *owner {
	if len(in.terms) == 0 && target.kind == person {
		return in.own
	}
	if len(in.terms) != 1 || in.terms[0].kind != kinTerm || in.terms[0].own == nil || in.terms[0].own.kin != nil || len(in.terms[0].sub) > 0 {
		return nil
	}
	t := in.terms[0]
	if t.w.Arg == "family" && t.close == 0 || target.kind == kinTerm && t.w.Arg == target.w.Arg && !t.w.Plural {
		return t.own
	}
	return nil
}

// sayWho takes "(Callum knows who)" for a remark, and "Nain (Rhys's gran, Mair)" for the name of whose grandmother she is.
func (in *parsed) sayWho(target *term) {
	if len(in.terms) == 1 && in.terms[0].kind == person && (target == nil || target.w.Plural || target.kind == label) && slices.ContainsFunc(in.attrs, func(a attr) bool {
		return a.class == "note" && (a.s >= in.terms[0].e && strings.Contains(a.text, " ") || a.e <= in.terms[0].s)
	}) {
		in.terms = nil
	}
	if len(in.terms) == 2 && target != nil && target.kind == kinTerm && !target.w.Plural && target.own == nil {
		if k, x := in.terms[0], in.terms[1]; k.kind == kinTerm && k.own != nil && k.w.Arg == target.w.Arg && len(k.sub) == 0 && x.kind == person && x.w.Class == "" {
			target.own, in.terms = k.own, in.terms[1:]
		}
	}
}

// beside takes "(with partners)", "(no kids)" as more words of the line.
func (p *parser) beside(terms []*term) bool {
	for _, t := range terms {
		if t.kind != kinTerm || t.w.Arg != "partner" && t.w.Arg != "child" || len(t.sub) > 0 || t.own != nil || !t.w.Plural && t.w.Sex != 0 {
			return false
		}
	}
	for _, t := range terms {
		t.sep, t.w.Plural = "+", true
		p.cur = append(p.cur, t)
	}
	return len(terms) > 0
}

// lastAge gives "both 3" to all who are named before it.
func (out *parsed) lastAge(in parsed, a attr) bool {
	if a.class != "years" && a.class != "months" {
		return false
	}
	for _, t := range in.terms {
		if t.kind == person && !hasAge(t) {
			t.attrs = append(t.attrs, a)
		}
	}
	return true
}

// target is what a bracket is about.
func (p *parser) target() *term {
	if n := len(p.cur); n > 0 && !p.grp {
		return p.cur[n-1]
	}
	if p.grp || len(p.lost) > 0 {
		return nil
	}
	if n := len(p.out.terms); n > 0 && p.sep != "+" && p.sep != "&" {
		return p.out.terms[n-1]
	}
	return nil
}
