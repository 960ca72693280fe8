package doubt

import (
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
	"kinorder.example/server/internal/wording"
)

// letters asks about two letters that are joined and not the couple: "a+n with Ida".
func (d *reader) letters(w *wish) {
	ts := words.Tokenize(w.line.Text)
	letter := func(t words.Token) bool { return t.Kind == 'w' && len(t.Text) == 1 }
	for k := 0; k+2 < len(ts); k++ {
		joined := letter(ts[k]) && letter(ts[k+2]) && (ts[k+1].Key == "+" || ts[k+1].Key == "&")
		if !joined || slices.ContainsFunc(w.terms, func(t *speech.Term) bool { return t.Kind == speech.Letter }) {
			continue
		}
		for _, p := range w.made {
			if !p.All && (d.Couple[0] < 0 || !slices.Contains(p.Set, d.Couple[0]) || !slices.Contains(p.Set, d.Couple[1])) {
				d.ask(w, wording.Say("list.lettersMean", place.Quoted(w.line.Text[ts[k].Start:ts[k+2].End])))
			}
		}
	}
}

// tooMany asks about words of kin that came out as more than there can be: three parents, three grandparents of one line.
func (d *reader) tooMany(w *wish, t *speech.Term) {
	if !t.Word.Plural || len(w.made) != 1 || t.Word.Arg != "parent" && t.Word.Arg != "grandparent" {
		return
	}
	c := d.ScopeOf(w.made[0].Statement)
	most := 2
	if t.Word.Arg == "grandparent" && t.Line == 0 {
		most = 4
	}
	if ids := d.ResolveKin(t, c); len(d.Owners(t, c)) == 1 && len(ids) > most && !d.HasEntry(ids) {
		d.ask(w, wording.Say("list.cameOutAs", place.Quoted(t.Text), d.And(ids[:min(place.MostNamed, len(ids))])))
	}
}

// lacking asks about a photograph of a whole family, or of all grandchildren, without somebody who may belong to it.
func (d *reader) lacking(w *wish, t *speech.Term) {
	if len(w.made) != 1 || t.Close != 0 {
		return
	}
	p := w.made[0]
	of := d.Owners(t, d.ScopeOf(p.Statement))
	var lack []int
	for i := range d.Guests {
		g := &d.Guests[i]
		if g.Half > 0 || i == d.Honour || g.Never || g.Absent || g.Unnamed || slices.Contains(p.Set, i) || slices.Contains(p.Each, i) || slices.Contains(p.Without, i) {
			continue
		}
		if t.Word.Arg == "family" && d.ofFamily(g, of) || t.Word.Arg == "grandchild" && t.Word.Plural && t.Owner == nil && people.SexFits(t.Word, g) && (g.AgeBand == event.Child || g.AgeBand == event.Infant || g.Age >= 0 && g.Age < 25) {
			lack = append(lack, i)
		}
	}
	if len(lack) > 0 && !slices.ContainsFunc(w.terms, func(x *speech.Term) bool { return x.Minus }) {
		d.ask(w, wording.Say("list.belongToIt", d.And(lack[:min(place.MostNamed, len(lack))]), place.Quoted(t.Text)))
	}
}

// ofFamily reports whether somebody is kin of those whose family is meant.
func (d *reader) ofFamily(g *people.Guest, of []int) bool {
	switch {
	case len(g.Relations) == 0:
		return false
	case len(of) == 1 && of[0] != d.Honour:
		return d.Guests[of[0]].Half > 0 && g.SideOf == d.Guests[of[0]].Half
	}
	return true
}

// lost asks about words that stand where people do, and found nobody.
func (d *reader) lost(w *wish) {
	for _, p := range w.made {
		s := p.Statement
		if s.Colon && len(s.Tail.Terms) > 0 {
			continue
		}
		for _, a := range s.Unknown() {
			if len(a.Text) > 1 {
				d.ask(w, wording.Say("list.wordsFoundNobody", place.Quoted(a.Text)))
			}
		}
	}
}
