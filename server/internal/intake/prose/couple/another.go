package couple

import (
	"slices"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// byAnother reports whether whoever writes says that they are not of the couple: "I am her mother", "Ida (Ada's aunt)" at the end, "the
// couple with me", "bridesmaids Ann (me) and Bea".
func (r *finder) byAnother() bool {
	last := true
	for i := len(r.Lines) - 1; i >= 0; i-- {
		ph := r.Heads(i)
		if len(ph) == 0 || r.Lines[i].By != "" {
			continue
		}
		if ends := len(ph) > 1 && len(ph) < 6 && r.TitleName(&ph[0]) && (ph[1].Open || ph[1].Key == ","); last && ends && r.kinOfAnother(speech.Flat(ph)[1:]) {
			return true
		}
		last = false
		self := speech.AnyHas(ph, "self")
		for k := range ph {
			w, couple := ph[k].Word("couple")
			switch {
			case ph[k].Has("role") && k+1 < len(ph) && !joinsTwo(&ph[k+1]) && r.selfNamed(ph[k+1:min(k+4, len(ph))]) != "":
				return true
			case ph[k].Has("iam"):
				_, named := r.NameAt(ph, k+1) // "I am Ida, the mother of Ada"
				if r.kinOfAnother(ph[k+1 : min(max(k+4, named+5), len(ph))]) {
					return true
				}
			case self && r.Lines[i].Mark != 0 && couple && w.Arg != "us":
				return true
			}
		}
	}
	return false
}

// kinOfAnother reports whether words say what somebody is to one of the couple: "her mother", "Ada's aunt", "mother of the bride".
func (r *finder) kinOfAnother(ph []speech.Phrase) bool {
	for k := range ph {
		w, kin := ph[k].Word("kin")
		if !kin || w.Plural || w.Arg == "partner" || w.Arg == "family" {
			continue
		}
		before := k > 0 && (ph[k-1].Possessive && (r.TitleName(&ph[k-1]) || ph[k-1].Has("half")) || ph[k-1].Has("her") || ph[k-1].Has("his") || ph[k-1].Has("their"))
		behind := k+1 < len(ph) && ph[k+1].Has("half") && !words.Cased(ph[k+1].Text) // أخت العروسة
		return before || behind || k+2 < len(ph) && ph[k+1].Has("of") && (ph[k+2].Has("half") || r.TitleName(&ph[k+2]))
	}
	return false
}

// thePair takes the first two whom a photograph begins with, with others behind them: "Ada and Otto with Karl and me".
func (r *finder) thePair() bool {
	for i := range r.Lines {
		ph := r.Heads(i)
		if r.Lines[i].Mark == 0 || len(ph) < 4 {
			continue
		}
		a, at := r.NameAt(ph, 0)
		if _, _, ok := r.Pair(ph, 0); !ok {
			continue
		}
		b, end := r.NameAt(ph, at+1)
		if (r.onSeveralLines(a) || r.onSeveralLines(b)) && end < len(ph) && (ph[end].Has("with") || ph[end].Key == "+") {
			r.setCouple(a, b, 0)
			return true
		}
	}
	return false
}

// parentedCouple takes the only two whose parents the list wants: "Eltern Ada", "Otto's parents".
func (r *finder) parentedCouple() bool {
	var found []string
	for i := range r.Lines {
		ph := r.Heads(i)
		for k := range ph {
			w, kin := ph[k].Word("kin")
			name := ""
			if kin && w.Arg == "parent" && w.Plural && !w.Inlaw && k > 0 && ph[k-1].Possessive && r.TitleName(&ph[k-1]) {
				name = ph[k-1].Text
			} else if kin && w.Arg == "parent" && w.Plural && !w.Inlaw && k+1 < len(ph) && (ph[k+1].Has("of") || r.TitleName(&ph[k+1])) {
				name, _ = r.NameAt(ph, k+1)
			}
			if name != "" && !slices.Contains(found, name) {
				found = append(found, name)
			}
		}
	}
	if len(found) != 2 || r.SeenOnce(found[0]) || r.SeenOnce(found[1]) {
		return false
	}
	r.setCouple(found[0], found[1], 0)
	return true
}

// surnames reports whether the list below a title has both names only as what others are called last: "Lind/Moe formals", over
// "Ann Lind, Bo Moe".
func (r *finder) surnames(a, b string, line int) bool {
	for _, name := range []string{a, b} {
		key, last := names.Plain(name), 0
		for _, ts := range r.Tokens[line+1:] {
			for k, t := range ts {
				if t.Key != key {
					continue
				}
				if k == 0 || !ts[k-1].Capital || ts[k-1].Kind != 'w' || len(r.Lexical(ts[k-1])) > 0 && !r.Is(ts, k-1, "rank") {
					return false
				}
				last++
			}
		}
		if last == 0 {
			return false
		}
	}
	return true
}

// gathering reports whether the first line says that families meet, and speaks of no wedding: "Lind / Moe family weekend".
func (r *finder) gathering() bool {
	for i := range r.Lines {
		if ph := r.Heads(i); len(ph) > 0 {
			gathers := func(p speech.Phrase) bool { return words.Listed("gathering", p.Key) }
			return slices.ContainsFunc(ph, gathers) && !r.says("half") && !slices.ContainsFunc(ph, func(p speech.Phrase) bool { return p.Has("event") && !gathers(p) })
		}
	}
	return false
}
