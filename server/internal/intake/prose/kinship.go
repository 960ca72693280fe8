package prose

import (
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/words"
)

// relation says what somebody is to another.
type relation struct {
	of int // a guest, or bothOf
	w  words.Word
}

// bothOf stands for the couple where it is not said whose kin somebody is.
const bothOf = -1

// relate says what somebody is to others.
func (r *reader) relate(i int, w words.Word, of []int) {
	g := &r.guests[i]
	if w.Sex != 0 {
		g.sex = w.Sex
	}
	if g.half > 0 && w.Arg != "partner" {
		return
	}
	if len(of) != 1 {
		of = []int{bothOf}
	}
	x := relation{of[0], w}
	if x.of == i {
		return
	}
	for k, old := range g.rels {
		if old.w.Arg == w.Arg && (old.of == x.of || old.of == bothOf || x.of == bothOf) {
			if old.of == bothOf && x.of != bothOf || w.Line != 0 || w.Step && !old.w.Step || old.w.Sex == 0 {
				x.w.Step, x.w.Half = x.w.Step || old.w.Step, x.w.Half || old.w.Half
				g.rels[k] = x
				if x.of == bothOf {
					g.rels[k].of = old.of
				}
			}
			r.sideFrom(i, x.of)
			return
		}
	}
	g.rels = append(g.rels, x)
	r.sideFrom(i, x.of)
	if !g.base && g.AgeBand == event.Adult && (w.Arg == "grandparent" || w.Arg == "greatgrandparent") && x.of != bothOf && (r.guests[x.of].half > 0 || r.couple[0] < 0) || x.of == bothOf && (w.Arg == "grandparent" || w.Arg == "greatgrandparent") {
		g.AgeBand = event.Elder
	}
}

func (r *reader) sideFrom(i, of int) {
	g := &r.guests[i]
	if of == bothOf || g.half > 0 {
		return
	}
	if o := r.guests[of]; g.side == 0 {
		if g.side = o.half; g.side == 0 {
			g.side = o.side
		}
	}
}

// kinOf returns who is kin of a kind to somebody.
func (r *reader) kinOf(o int, want words.Word, line byte) []int {
	if !r.m.Spend(8 * len(r.guests)) {
		return nil
	}
	var out, shared []int
	for i := range r.guests {
		g := &r.guests[i]
		if g.never || g.unnamed && g.many {
			continue
		}
		for _, x := range g.rels {
			if !covers(want, x.w) || !sexFits(want, g) || line != 0 && r.lineOf(g, x) != 0 && r.lineOf(g, x) != line {
				continue
			}
			if x.of == o {
				out = append(out, i)
				break
			}
			if x.of == bothOf && (o == bothOf || r.guests[o].half > 0 && (g.side == 0 || g.side == r.guests[o].half)) {
				shared = append(shared, i)
				break
			}
			if o == bothOf && r.guests[x.of].half > 0 {
				out = append(out, i)
				break
			}
		}
	}
	if o == bothOf || len(out) == 0 || want.Arg == "cousin" || want.Arg == "child" {
		out = append(out, shared...)
	}
	if len(out) == 0 && want.Arg == "partner" && o >= 0 {
		out = r.partnerOf(o)
	}
	if len(out) == 0 && (want.Arg == "partner" || want.Arg == "child") && o >= 0 {
		out = r.ofHousehold(o, want)
	}
	return out
}

func sexFits(want words.Word, g *guest) bool { return want.Sex == 0 || g.sex == 0 || want.Sex == g.sex }

// lineOf is whether a grandparent is on the mother's or the father's line.
func (r *reader) lineOf(g *guest, x relation) byte {
	if x.w.Line != 0 {
		return x.w.Line
	}
	for _, y := range g.rels {
		if y.w.Arg == "parent" && y.of >= 0 {
			if s := r.guests[y.of].sex; s == 'w' {
				return 'm'
			} else if s == 'm' {
				return 'p'
			}
		}
	}
	return 0
}

// partnerOf returns the partner of somebody, whichever of the two it is said of.
func (r *reader) partnerOf(o int) []int {
	for i := range r.guests {
		for _, x := range r.guests[i].rels {
			if x.w.Arg == "partner" && !x.w.Former && x.of == o {
				return []int{i}
			}
		}
	}
	for _, x := range r.guests[o].rels {
		if x.w.Arg == "partner" && !x.w.Former && x.of >= 0 {
			return []int{x.of}
		}
	}
	if h := r.guests[o].half; h > 0 {
		return []int{r.couple[2-h]}
	}
	return nil
}

// holders returns who has a role, on a side or on any when side is 0.
func (r *reader) holders(w words.Word, side int) []int {
	var out []int
	exact := false
	for pass := range 2 {
		for i := range r.guests {
			if !r.m.Spend(4) || r.guests[i].never {
				continue
			}
			for _, h := range r.guests[i].roles {
				if (side == 0 || h.side == 0 || h.side == side) && !slices.Contains(out, i) &&
					(pass == 0 && h.text == names.Plain(w.Text) || pass == 1 && roleCovers(w, h) && sexFits(w, &r.guests[i])) {
					out = append(out, i)
					exact = exact || pass == 0
				}
			}
		}
		if exact && !w.Plural {
			break
		}
	}
	return out
}

// roleCovers reports whether words for a role stand for those who have another: a bridal party is all of them.
func roleCovers(w words.Word, h held) bool {
	switch w.Arg {
	case "party", "entourage", "corte":
		switch h.arg {
		case "bridesmaid", "honor", "bestman", "groomsman", "bridesman", "junior", "flowergirl", "bearer", "crew", "brideparty", "groomparty", "secondary", "party", "attendant":
			return true
		}
		return false
	case "crew":
		return h.arg == "crew" || h.arg == "brideparty" || h.arg == "groomparty"
	case "brideparty":
		if h.arg == "party" {
			return true
		}
		return h.arg == "bridesmaid" || h.arg == "honor" || h.arg == "bridesman" || h.arg == "brideparty" || h.arg == "crew" && h.side != 2
	case "groomparty":
		if h.arg == "party" {
			return true
		}
		return h.arg == "groomsman" || h.arg == "bestman" || h.arg == "groomparty"
	}
	return w.Arg == h.arg && w.Arg != "group"
}

// joined reports whether somebody is there as the partner of another.
func (r *reader) joined(i int) bool {
	return slices.ContainsFunc(r.guests[i].rels, func(x relation) bool { return x.w.Arg == "partner" })
}
