package photographs

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/facts"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
	"kinorder.example/server/internal/wording"
)

// we are the couple, or whoever writes with others.
func (r *Reader) we(p *Photograph, t *speech.Term, c *facts.Scope) []int {
	switch {
	case r.twoSaid(p, t):
		return nil
	case t.Kind == speech.Us:
		return r.ourselves(p, t, c)
	case r.Couple[0] < 0 && r.Honour >= 0 && len(t.Names) > 0:
		return r.inside(p, t, c) // "us three (Helen, Judith)"
	}
	return r.theCouple(t)
}

// theHalf is the bride or the groom. Where guests are declared it is asked who is which, when nothing says it.
func (r *Reader) theHalf(p *Photograph, t *speech.Term) []int {
	if r.Assumed && r.Formal {
		names := r.Names(r.Couple[:])
		r.At(t.Start, event.Error, place.CodeWhichOne, t.Text, wording.Say("list.whoIsMeantBy", place.Quoted(t.Text), either(names), place.Quoted(t.Text+": "+names[0])), names...)
		p.bad = true
		return nil
	}
	if h := r.HalfOf(t.Word.Sex); h > 0 && r.Couple[0] >= 0 {
		return []int{r.Couple[h-1]}
	}
	return r.theCouple(t)
}

// theCouple is both of the couple; two without names stand for them until the list says who they are.
func (r *Reader) theCouple(t *speech.Term) []int {
	if r.Couple[0] >= 0 {
		return r.Couple[:]
	}
	if r.Honour >= 0 {
		return []int{r.Honour}
	}
	words := []string{"Bride", "Groom"}
	if !r.Seen["bride"] && !r.Seen["groom"] {
		words = []string{"One of the couple", "The other of the couple"}
	}
	for k, name := range words {
		i := r.Add(name, "")
		r.Couple[k] = i
		g := &r.Guests[i]
		g.Half, g.SideOf, g.Unnamed, g.Asked = k+1, k+1, true, true
		if words[0] == "Bride" {
			g.Relation = strings.ToLower(name)
		}
	}
	if words[0] == "Bride" {
		r.Brides['w'], r.Brides['m'] = 1, 2
	}
	r.At(t.Start, event.Warning, place.CodeStandsFor, "", wording.Say("list.whoIsTheCoupleTwoPeople"))
	if t.Kind == speech.Half && r.HalfOf(t.Word.Sex) > 0 {
		return []int{r.Couple[r.HalfOf(t.Word.Sex)-1]}
	}
	return r.Couple[:]
}

// twoSaid reports whether "us two" are those whom the line names before, whoever writes with another: "me and Ann, just the two of us".
func (r *Reader) twoSaid(p *Photograph, t *speech.Term) bool {
	if n := len(p.Set); t.Sep == "+" || t.Sep == "&" || !(n > 2 && n == t.Number) && !(n == 2 && words.Listed("we two", words.Key(t.Text))) {
		return false
	}
	return slices.ContainsFunc(p.Set, func(i int) bool {
		return i == r.WriterID() || r.WriterID() < 0 && r.Guests[i].Half > 0
	})
}
