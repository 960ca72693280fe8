package people

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/words"
)

// Relation says what somebody is to another.
type Relation struct {
	Of   int // a guest, or bothOf
	Word words.Word
}

// BothOf stands for the couple where it is not said whose kin somebody is.
const BothOf = -1

// Relate says what somebody is to others.
func (r *Roll) Relate(i int, w words.Word, of []int) {
	g := &r.Guests[i]
	if w.Sex != 0 {
		g.Sex = w.Sex
	}
	if g.Half > 0 && w.Arg != "partner" {
		return
	}
	if len(of) != 1 {
		of = []int{BothOf}
	}
	x := Relation{of[0], w}
	if x.Of == i {
		return
	}
	for k, old := range g.Relations {
		if (old.Word.Arg == "grandparent" && w.Arg == "parent" || old.Word.Arg == "greatgrandparent" && w.Arg == "grandparent") && old.Of == x.Of { // "Grandma: Mama Joy", and "Mama Joy" further on
			return
		}
		if old.Word.Arg == w.Arg && (old.Of == x.Of || old.Of == BothOf || x.Of == BothOf) {
			if old.Of == BothOf && x.Of != BothOf || w.Line != 0 || w.Step && !old.Word.Step || old.Word.Sex == 0 {
				x.Word.Step, x.Word.Half = x.Word.Step || old.Word.Step, x.Word.Half || old.Word.Half
				g.Relations[k] = x
				if x.Of == BothOf {
					g.Relations[k].Of = old.Of
				}
			}
			r.sideFrom(i, x.Of)
			return
		}
	}
	g.Relations = append(g.Relations, x)
	r.sideFrom(i, x.Of)
	if !g.Base && g.AgeBand == event.Adult && (w.Arg == "grandparent" || w.Arg == "greatgrandparent") && x.Of != BothOf && (r.Guests[x.Of].Half > 0 || r.Couple[0] < 0) || x.Of == BothOf && (w.Arg == "grandparent" || w.Arg == "greatgrandparent") {
		g.AgeBand = event.Elder
	}
}

func (r *Roll) sideFrom(i, of int) {
	g := &r.Guests[i]
	if of == BothOf || g.Half > 0 {
		return
	}
	if o := r.Guests[of]; g.SideOf == 0 {
		if g.SideOf = o.Half; g.SideOf == 0 {
			g.SideOf = o.SideOf
		}
	}
}

// KinOf returns who is kin of a kind to somebody.
func (r *Roll) KinOf(o int, want words.Word, line byte) []int {
	if !r.Effort.Spend(8 * len(r.Guests)) {
		return nil
	}
	var out, shared []int
	for i := range r.Guests {
		g := &r.Guests[i]
		if g.Never {
			continue
		}
		for _, x := range g.Relations {
			if !Covers(want, x.Word) || !SexFits(want, g) || line != 0 && r.lineOf(g, x) != 0 && r.lineOf(g, x) != line {
				continue
			}
			if x.Of == o {
				out = append(out, i)
				break
			}
			if x.Of == BothOf && (o == BothOf || r.Guests[o].Half > 0 && (g.SideOf == 0 || g.SideOf == r.Guests[o].Half)) {
				shared = append(shared, i)
				break
			}
			if o == BothOf && r.Guests[x.Of].Half > 0 {
				out = append(out, i)
				break
			}
		}
	}
	if o == BothOf || len(out) == 0 || want.Arg == "cousin" || want.Arg == "child" {
		out = append(out, shared...)
	}
	if line != 0 {
		out = r.onLine(out, want, line)
	}
	if len(out) == 0 && want.Arg == "partner" && o >= 0 {
		out = r.PartnerOf(o)
	}
	if len(out) == 0 && (want.Arg == "partner" || want.Arg == "child") && o >= 0 {
		out = r.ofHousehold(o, want)
	}
	if len(out) == 0 && want.Arg == "child" && o >= 0 && r.Guests[o].Half == 0 {
		for _, p := range r.PartnerOf(o) {
			out = r.called(p, want)
		}
	}
	return out
}

// called is who is said to be kin of a kind to somebody.
func (r *Roll) called(o int, want words.Word) []int {
	var out []int
	for i := range r.Guests {
		if g := &r.Guests[i]; !g.Never && slices.ContainsFunc(g.Relations, func(x Relation) bool { return x.Of == o && Covers(want, x.Word) && SexFits(want, g) }) {
			out = append(out, i)
		}
	}
	return out
}

// SexFits reports whether somebody may be meant by words of their sex.
func SexFits(want words.Word, g *Guest) bool { return want.Sex == 0 || g.Sex == 0 || want.Sex == g.Sex }

// onLine keeps those who are known to be on a line, where some are.
func (r *Roll) onLine(ids []int, want words.Word, line byte) []int {
	sure := slices.DeleteFunc(slices.Clone(ids), func(i int) bool {
		return !slices.ContainsFunc(r.Guests[i].Relations, func(x Relation) bool { return x.Word.Arg == want.Arg && r.lineOf(&r.Guests[i], x) == line })
	})
	if len(sure) > 0 {
		return sure
	}
	return ids
}

// lineOf is whether a grandparent is on the mother's or the father's line.
func (r *Roll) lineOf(g *Guest, x Relation) byte {
	if x.Word.Line != 0 {
		return x.Word.Line
	}
	for _, y := range g.Relations {
		if y.Word.Arg == "parent" && y.Of >= 0 {
			if s := r.Guests[y.Of].Sex; s == 'w' {
				return 'm'
			} else if s == 'm' {
				return 'p'
			}
		}
	}
	return 0
}

// PartnerOf returns the partner of somebody, whichever of the two it is said of.
func (r *Roll) PartnerOf(o int) []int {
	for i := range r.Guests {
		for _, x := range r.Guests[i].Relations {
			if x.Word.Arg == "partner" && !x.Word.Former && x.Of == o {
				return []int{i}
			}
		}
	}
	for _, x := range r.Guests[o].Relations {
		if x.Word.Arg == "partner" && !x.Word.Former && x.Of >= 0 {
			return []int{x.Of}
		}
	}
	if h := r.Guests[o].Half; h > 0 {
		return []int{r.Couple[2-h]}
	}
	return nil
}

// Holders returns who has a role, on a side or on any when side is 0. Where nobody is called a groomsman, the ushers are these.
func (r *Roll) Holders(w words.Word, side int) []int {
	var out []int
	exact := false
	ushers := (w.Arg == "party" || w.Arg == "groomparty") && !slices.ContainsFunc(r.Guests, func(g Guest) bool {
		return r.Effort.Spend(1) && slices.ContainsFunc(g.Roles, func(h Held) bool { return h.Arg == "groomsman" })
	})
	for pass := range 2 {
		for i := range r.Guests {
			if !r.Effort.Spend(4) || r.Guests[i].Never {
				continue
			}
			for _, h := range r.Guests[i].Roles {
				if (side == 0 || h.Side == 0 || h.Side == side) && !slices.Contains(out, i) &&
					(pass == 0 && h.Text == names.Plain(w.Text) || pass == 1 && (roleCovers(w, h) || ushers && h.Arg == "usher") && SexFits(w, &r.Guests[i])) {
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
func roleCovers(w words.Word, h Held) bool {
	switch w.Arg {
	case "party", "entourage", "corte":
		switch h.Arg {
		case "bridesmaid", "honor", "bestman", "groomsman", "bridesman", "junior", "flowergirl", "bearer", "crew", "brideparty", "groomparty", "secondary", "party", "attendant":
			return true
		}
		return false
	case "crew":
		return h.Arg == "crew" || h.Arg == "brideparty" || h.Arg == "groomparty"
	case "brideparty":
		if h.Arg == "party" {
			return true
		}
		return h.Arg == "bridesmaid" || h.Arg == "honor" || h.Arg == "bridesman" || h.Arg == "brideparty" || h.Arg == "crew" && h.Side != 2
	case "groomparty":
		if h.Arg == "party" {
			return true
		}
		return h.Arg == "groomsman" || h.Arg == "bestman" || h.Arg == "groomparty"
	}
	return w.Arg == h.Arg && w.Arg != "group"
}

// Joined reports whether somebody is there as the partner of another.
func (r *Roll) Joined(i int) bool {
	return slices.ContainsFunc(r.Guests[i].Relations, func(x Relation) bool { return x.Word.Arg == "partner" })
}

// LabelKey writes a label as it is looked up.
func LabelKey(s string) string {
	ws := strings.Fields(names.Plain(s))
	for len(ws) > 1 && (ws[0] == "the" || ws[0] == "all" || ws[0] == "los" || ws[0] == "die" || ws[0] == "les" || ws[0] == "os" || ws[0] == "as") {
		ws = ws[1:]
	}
	return strings.Join(ws, " ")
}
