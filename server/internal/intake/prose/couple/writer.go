package couple

import (
	"cmp"
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// findSender finds who of a chat speaks of themselves and is not of the couple, as a sister does who sends the list.
func (r finder) findSender() {
	found := ""
	for i := range r.Lines {
		by := r.Lines[i].By
		switch {
		case r.Couple[0] < 0 || by == "" || by == found || r.HalfNamed(by) > 0 || r.works(by) || !r.ofThemselves(r.Heads(i)) && !r.amongOthers(r.Heads(i)):
		case found != "" || r.Writes != "":
			return // several: each names themselves
		default:
			found = by
		}
	}
	if r.Writes = cmp.Or(r.Writes, found); found != "" && len(r.Find(found)) == 0 {
		r.Enter(found)
	}
}

// findWriter finds who writes that is not of the couple: "me (Helen)", or a name below a letter that says "me".
func (r finder) findWriter() {
	for _, ts := range r.Tokens {
		for k := 0; k+3 < len(ts) && r.Author == 0 && r.Writes == ""; k++ {
			me, name := ts[k], ts[k+2]
			if ts[k+1].Key != "(" || ts[k+3].Key != ")" || name.Capital == me.Capital {
				continue
			}
			if me.Capital { // "Ann (me)"
				me, name = name, me
			}
			if r.Is([]words.Token{me}, 0, "self") && r.HalfNamed(name.Text) == 0 {
				r.Writes = name.Text
			}
		}
	}
	if !r.says("self") && !r.says("my") && !r.says("us") || r.Signed >= 0 {
		return
	}
	r.findSender()
	if name := r.presents(); name != "" && r.Writes == "" && r.Author == 0 && r.Couple[0] >= 0 {
		if r.Writes = name; len(r.Find(name)) == 0 {
			r.Enter(name)
		}
	}
	for i := len(r.Lines) - 1; i >= 0; i-- {
		ph := r.Heads(i)
		if len(ph) == 0 {
			continue
		}
		ph = ungreeted(ph)
		name, end := r.NameAt(ph, 0)
		if name == "" && len(ph) == 1 && ph[0].Capital && i > 0 && speech.AnyHas(r.Heads(i-1), "greet") {
			name, end = ph[0].Text, 1 // below "Thanks!", also where it means something
		}
		if end < len(ph) && end+1 == len(ph) && ph[end].Open && r.kinOfAnother(ph[end].Inside) { // "Ida (Ada's aunt)"
			end++
		}
		if name == "" || end < len(ph) || r.Lines[i].Mark != 0 {
			return
		}
		first, _, _ := strings.Cut(name, " ")
		switch h := r.HalfNamed(name); {
		case h == 0 && r.Author == 0 && (r.Writes == "" || r.Writes == first):
			if r.Writes, r.Signed = name, i; r.Couple[0] >= 0 && r.byAnother() && len(r.Find(name)) == 0 {
				r.Enter(name) // so that "my husband" is theirs from the first line on
			}
		case h > 0 && r.Author == h:
			r.Signed = i
		}
		return
	}
}

// ungreeted are the phrases behind the greeting of a last line, without kisses: "Thanks so much, Jen x".
func ungreeted(ph []speech.Phrase) []speech.Phrase {
	if len(ph) > 8 || !ph[0].Has("greet") {
		return ph
	}
	if k := lastComma(ph); k > 0 && k+1 < len(ph) {
		ph = ph[k+1:]
	} else if len(ph) > 1 && ph[1].Kind == 'w' {
		ph = ph[1:]
	}
	if n := len(ph); n > 1 && (ph[n-1].Key == "x" || ph[n-1].Has("greet")) {
		return ph[:n-1]
	}
	return ph
}

// presents is who says at the beginning that they write, with a role or kin that the couple don't have: "Best man here (Tom)",
// "It's Bea, Ann's sister", "Tom here, best man".
func (r finder) presents() string {
	for i, ph := range r.firstHeads(4) {
		if r.Lines[i].Mark != 0 || r.Lines[i].By != "" {
			return ""
		}
		flat := speech.Flat(ph)
		role := slices.ContainsFunc(flat, func(p speech.Phrase) bool { w, ok := p.Word("role"); return ok && !w.Plural })
		if !role && !r.kinOfAnother(flat) {
			continue
		}
		for k := range flat {
			if !flat[k].Has("iam") && flat[k].Key != "here" || k > 6 {
				continue
			}
			if name, _ := r.NameAt(flat, k+1); name != "" && r.HalfNamed(name) == 0 {
				return name
			}
			if flat[k].Key == "here" && k > 0 && r.TitleName(&flat[k-1]) && r.HalfNamed(flat[k-1].Text) == 0 {
				return flat[k-1].Text
			}
		}
	}
	return ""
}
