package couple

import (
	"cmp"
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// findSender finds who of a chat speaks of themselves and is not of the couple, as a sister does who sends the list.
func (r *finder) findSender() {
	found := ""
	for i := range r.Lines {
		by := r.Lines[i].By
		switch {
		case r.Couple[0] < 0 && by != "" && !r.works(by) && len(r.Find(by)) == 0 && r.Honour >= 0 && (r.ofThemselves(r.Heads(i)) || r.amongOthers(r.Heads(i))):
			r.Enter(by) // each of the children writes of "me"
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

// selfNamed is who writes and is not of the couple, as words name them beside "me": "me (Helen)", "Ann (me)", "meine Wenigkeit Rita".
func (r *finder) selfNamed(ph []speech.Phrase) string {
	for k := range ph {
		if ph[k].Open {
			if name := r.selfNamed(ph[k].Inside); name != "" {
				return name
			}
		}
		if ph[k].Has("self") && k+1 < len(ph) && ph[k+1].Key == "=" { // "me = ann"
			if name, _ := r.NameAt(ph, k+2); name != "" && r.HalfNamed(name) == 0 {
				return name
			}
		}
		if k == 0 {
			continue
		}
		me, by := &ph[k-1], &ph[k]
		if in := by.Inside; by.Open && (len(in) == 1 || len(in) == 2 && in[1].Kind == 'p') { // "(me!)"
			by = &in[0]
		} else if w, ok := me.Word("self"); !ok || w.Lang == "en" || ph[k].Open { // not "me Dan and Joe"
			continue
		}
		if !me.Has("self") {
			me, by = by, me // "Ann (me)"
		}
		if me.Has("self") && (!me.Capital || strings.Contains(me.Text, " ")) && by.Kind == 'w' && (by.Capital || !words.Cased(by.Text)) && r.TitleName(by) && (!words.IsHan(by.Text) || r.NameLike(by)) && r.HalfNamed(by.Text) == 0 {
			return by.Text
		}
	}
	return ""
}

// findWriter finds who writes that is not of the couple: "me (Helen)", or a name below a letter that says "me".
func (r *finder) findWriter() {
	for i := 0; i < len(r.Lines) && r.Author == 0 && r.Writes == ""; i++ {
		r.Writes = r.selfNamed(r.Heads(i))
	}
	if !r.says("self") && !r.says("my") && !r.says("us") || r.Signed >= 0 {
		return
	}
	r.findSender()
	if name := r.presents(); name != "" && r.Writes == "" && r.Author == 0 && (r.Couple[0] >= 0 || r.Honour >= 0 && !r.IsHonour(name)) {
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
	if len(ph) > 2 && ph[1].Key == "!" { // "ta! kirsty xx"
		ph = slices.Concat(ph[:1], ph[2:])
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
func (r *finder) presents() string {
	for i, ph := range r.firstHeads(4) {
		if r.Lines[i].Mark != 0 || r.Lines[i].By != "" {
			return ""
		}
		if len(ph) > 2 && (ph[0].Key == "from" || ph[0].Has("of")) && speech.AnyHas(ph[2].Inside, "kin") { // "from Ann (daughter in law)"
			if name, end := r.NameAt(ph, 1); end == 2 && r.HalfNamed(name) == 0 {
				return name
			}
		}
		if n := len(ph); r.Honour >= 0 && n > 3 && len(ph[n-1].Inside) == 1 && ph[n-1].Inside[0].Has("kin") && (ph[n-3].Has("greet") || ph[n-3].Key == ",") { // "Regards, Ann (mother)"
			if name, end := r.NameAt(ph, n-2); name != "" && end == n-1 && !r.IsHonour(name) {
				return name
			}
		}
		flat := speech.Flat(ph)
		role := slices.ContainsFunc(flat, func(p speech.Phrase) bool { w, ok := p.Word("role"); return ok && !w.Plural })
		said := role || r.kinOfAnother(flat) || r.Couple[0] >= 0 && speech.AnyHas(flat, "event") // "It's Bea, Ann and Bob's wedding"
		if !said && r.Honour < 0 {
			continue
		}
		for k := range flat {
			if flat[k].Key == "from" && k+3 < len(flat) && flat[k+2].Has("kin") { // "photos from her brother Tom"
				if name, _ := r.NameAt(flat, k+3); name != "" && (flat[k+1].Has("her") || flat[k+1].Has("his") || flat[k+1].Possessive) {
					return name
				}
			}
			signed := flat[k].Has("greet") && k+3 > len(flat)-1 // "Gruß Flo (Trauzeuge)"
			iam, says := flat[k].Word("iam")
			if !(signed && said) && !(says && iam.Lang == r.Main) && (flat[k].Key != "here" || !said) || !signed && k > 6 && flat[k-1].Kind != 'p' {
				continue
			}
			if name, _ := r.NameAt(flat, k+1); name != "" && r.HalfNamed(name) == 0 {
				return name
			}
			if flat[k].Key == "here" && k > 0 && r.TitleName(&flat[k-1]) && r.HalfNamed(flat[k-1].Text) == 0 {
				return flat[k-1].Text
			}
		}
		last := len(flat) - 1
		if said && last > 2 && flat[last-1].Key == "." && speech.AnyHas(flat, "iam") && r.TitleName(&flat[last]) && r.HalfNamed(flat[last].Text) == 0 {
			return flat[last].Text // "I'm Ann's witness. Tom"
		}
	}
	return ""
}
