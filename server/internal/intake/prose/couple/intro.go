package couple

import (
	"cmp"
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// introducedCouple reads how somebody begins who is of the couple: "It's me (Jess) and Dan", "Dan and me, Jess". The other stands
// on several lines.
func (r *finder) introducedCouple() bool {
	another := r.byAnother()
	if !another && r.saysPartner() {
		return true
	}
	for i, ph := range r.firstHeads(4) {
		for k := range ph {
			if r.weddingOf(ph, k) || !another && r.saysName(ph, k) {
				return true
			}
			if !ph[k].Has("self") || k+1 >= len(ph) || r.Lines[i].Mark != 0 {
				continue
			}
			me, end := "", k+2
			if ph[k+1].Open {
				me, _ = r.NameAt(ph[k+1].Inside, 0)
			} else if ph[k+1].Key == "," {
				me, end = r.NameAt(ph, k+2)
			}
			other := ""
			if end+1 < len(ph) && joinsTwo(&ph[end]) {
				other, _ = r.NameAt(ph, end+1)
			} else if k > 1 && joinsTwo(&ph[k-1]) && r.TitleName(&ph[k-2]) {
				other = ph[k-2].Text
			}
			if first, _, several := strings.Cut(other, " "); several && r.Lower {
				other = first // "dan obvs"
			}
			if me != "" && other != "" && r.onSeveralLines(other) {
				r.setCouple(me, other, 0)
				r.Author = 1
				return true
			}
		}
	}
	return false
}

// weddingOf reads "my daughter Ann's wedding with Bob" in running text, with the day between if need be: "Ann's wedding on 5th Feb
// with Bob".
func (r *finder) weddingOf(ph []speech.Phrase, k int) bool {
	if ph[k].Has("event") {
		return r.eventOf(ph, k+1)
	}
	mine := k > 1 && ph[k-1].Has("kin") && ph[k-2].Has("my")
	if !ph[k].Possessive || !r.TitleName(&ph[k]) || k+2 >= len(ph) || !ph[k+1].Has("event") && !(mine && ph[k+1].Has("scene")) {
		return false
	}
	for at := k + 2; at < min(k+8, len(ph)-1) && ph[at].Kind != 'p'; at++ {
		if !ph[at].Has("with") && ph[at].Key != "to" && (at > k+2 || !joinsTwo(&ph[at])) {
			continue
		}
		other, _ := r.NameAt(ph, at+1)
		if other == "" {
			return false
		}
		r.setCouple(ph[k].Text, other, 0)
		return true
	}
	return mine && r.joinedTo(ph[k].Text)
}

// eventOf reads whose a wedding is: "le mariage de ma fille Ann et de Bob".
func (r *finder) eventOf(ph []speech.Phrase, k int) bool {
	kin := k < len(ph) && (ph[k].Has("of") || strings.Contains(ph[k-1].Key, " ")) // "o casamento do Bob e da Ann"
	var two []string
	for ; k < len(ph) && len(two) < 2; k++ {
		name, end := r.NameAt(ph, k)
		switch {
		case name != "":
			two, k = append(two, name), end-1
		case ph[k].Has("kin") && len(two) == 0:
			kin = true
		case !ph[k].Has("of") && !ph[k].Has("my") && !ph[k].Has("our") && (len(two) == 0 || !ph[k].Has("and") && !ph[k].Has("with") && ph[k].Key != "&"):
			return false
		}
	}
	if len(two) < 2 || !kin {
		return false
	}
	r.setCouple(two[0], two[1], 0)
	return true
}

// joinedTo takes the first who stands joined to a name for whom that one marries: "my daughter Ann's wedding", and "Ann and Bob with ...".
func (r *finder) joinedTo(name string) bool {
	key := names.Plain(name)
	for i := range r.Lines {
		ph := r.Heads(i)
		for k := range ph {
			if a, b, ok := r.Pair(ph, k); ok && (names.Plain(a) == key || names.Plain(b) == key) {
				r.setCouple(a, b, 0)
				return true
			}
		}
	}
	return false
}

// saysName reads who writes in a greeting, "hi, it's Ann", and whose kin and side the list names most beside theirs.
func (r *finder) saysName(ph []speech.Phrase, k int) bool {
	if !ph[k].Has("iam") || ph[k].Key == "this is" || k+1 >= len(ph) || k > 4 {
		return false
	}
	me, end := r.NameAt(ph, k+1)
	other := r.partnerNamed(me)
	if me == "" || other == "" || ph[end-1].Possessive { // "I'm Ann's witness"
		return false
	}
	r.setCouple(me, other, 0)
	r.Author = 1
	return true
}

// saysPartner reads who writes and whom they marry: "Soy Ana, la novia, y mi prometido es Luis", "我是小鱼，我老公叫顾川".
func (r *finder) saysPartner() bool {
	me, called, other, sex := "", "", "", byte(0)
	for _, ph := range r.firstHeads(4) {
		for k := range ph {
			if ph[k].SaysUs() && k+1 < len(ph) && (ph[k+1].Has("verb") || ph[k+1].Key == ",") || words.Listed("we are", ph[k].Key) {
				j := k + 1
				for j < len(ph) && (ph[j].Has("verb") || ph[j].Key == ",") && !r.TitleName(&ph[j]) {
					j++
				}
				a, end := r.NameAt(ph, j)
				if a != "" && end+1 < len(ph) && joinsTwo(&ph[end]) {
					if b, _ := r.NameAt(ph, end+1); b != "" { // "wir sind Ann und Bob und heiraten im Mai"
						r.setCouple(a, b, 0)
						return true
					}
				}
			}
			switch {
			case me == "" && (ph[k].Has("iam") || ph[k].Has("self")):
				j := k + 1
				for ; j < len(ph) && (ph[j].Has("half") || ph[j].Has("fill")) && !r.TitleName(&ph[j]); j++ {
					w, _ := ph[j].Word("half")
					sex = cmp.Or(sex, w.Sex)
				}
				end := 0
				if me, end = r.NameAt(ph, j); me != "" && end < len(ph) && ph[end].Open {
					called, _ = r.NameAt(ph[end].Inside, 0)
				}
				if n := slices.IndexFunc(ph[end:], func(p speech.Phrase) bool { return p.Kind == 'p' }); me != "" && speech.AnyHas(ph[end:][:max(0, n)], "kin") {
					return false // "Soy Ana la mami de Luz"
				}
			case other == "" && (ph[k].Has("weds") || r.myPartner(ph, k)):
				j := k + 1
				for j < len(ph) && (words.Listed("is", ph[j].Key) || ph[j].Key == "," || ph[j].Has("fill") && !r.TitleName(&ph[j])) {
					j++
				}
				other, _ = r.NameAt(ph, j)
			}
		}
	}
	if me == "" || other == "" || me == other {
		return false
	}
	r.setCouple(me, other, sex)
	if r.Author = 1; called != "" {
		r.Call(r.Couple[0], called)
	}
	return true
}

// myPartner reports whether a phrase is a word for whom somebody marries, said by whoever writes: "my fiancé".
func (r *finder) myPartner(ph []speech.Phrase, k int) bool {
	w, kin := ph[k].Word("kin")
	return kin && w.Arg == "partner" && !w.Plural && !w.Former && (w.Owner == "my" || k > 0 && ph[k-1].Has("my"))
}

// declaredCouple reads who marries from running text, whoever writes it: "It's Ann and Bob's wedding", "Ann und Bob heiraten", "ma fille
// Ann épouse Bob"; or whom the photographs are for, where a letter begins: "die Gruppenbilder für Ann und Bob".
func (r *finder) declaredCouple() bool {
	said := 0
	for i, ph := range r.firstHeads(8) {
		said++
		for k := range ph {
			if a, b, ok := r.Pair(ph, k); ok && said < 4 && len(r.Tokens[i]) > speech.LongLine && r.Lines[i].Mark == 0 && r.wantedFor(ph, k) {
				r.setCouple(a, b, 0)
				return true
			}
			weds := ph[k].Has("weds") && len([]rune(ph[k].Key)) > 2
			if r.Lines[i].Mark != 0 || k < 1 || !weds && !ph[k].Has("event") {
				continue
			}
			one, other := "", ""
			if two := k > 2 && joinsTwo(&ph[k-2]) && r.TitleName(&ph[k-3]) && r.TitleName(&ph[k-1]); two && (weds || ph[k-1].Possessive) {
				one, other = ph[k-3].Text, ph[k-1].Text
			} else if weds {
				one, other = r.wedTo(ph, k)
			}
			if one != "" && other != "" {
				r.setCouple(one, other, 0)
				return true
			}
		}
	}
	return false
}

// wedTo is who marries whom, with the day between or not: "Ann, who's getting married on 4 July to Bob", "Ann épouse Bob".
func (r *finder) wedTo(ph []speech.Phrase, k int) (one, other string) {
	before := k - 1
	for before > 0 && (words.Listed("relative", ph[before].Key) || ph[before].Key == ",") {
		before--
	}
	if r.TitleName(&ph[before]) {
		one = ph[before].Text
	}
	for j := k + 1; j < min(k+8, len(ph)) && other == "" && (ph[j].Kind != 'p' || ph[j-1].Kind == 'n'); j++ {
		if j == k+1 || ph[j-1].Has("with") || ph[j-1].Key == "to" || ph[j-1].Has("month") {
			other, _ = r.NameAt(ph, j)
		}
	}
	for k--; k > 1 && one != "" && other == ""; k-- { // "Ann, die am 4. Juli Bob heiratet"
		if r.TitleName(&ph[k-2]) && ph[k-1].Key == "," && words.Listed("relative", ph[k].Key) {
			return ph[k-2].Text, one
		}
	}
	return one, other
}

// wantedFor reports whether a name at k is that of somebody whom photographs or a day are for.
func (r *finder) wantedFor(ph []speech.Phrase, k int) bool {
	return k > 1 && (ph[k-1].Has("for") || ph[k-1].Has("of")) && slices.ContainsFunc(ph[max(0, k-4):k-1], func(p speech.Phrase) bool { return p.Has("photos") || p.Has("event") })
}

// childMarries takes a child of whoever writes for one of the couple, and who stands beside them, or is the first joined to that name,
// for the other: "my daughter Ann and her Bob"; "My son Barnaby tells me you asked for a list", and "Barnaby and Saskia" further on.
func (r *finder) childMarries() bool {
	for i, ph := range r.firstHeads(3) {
		for k := 2; k < len(ph) && r.Lines[i].Mark == 0; k++ {
			if w, kin := ph[k-1].Word("kin"); kin && w.Arg == "child" && !w.Plural && ph[k-2].Has("my") && r.TitleName(&ph[k]) {
				if k+2 < len(ph) && joinsTwo(&ph[k+1]) && (ph[k+2].Has("her") || ph[k+2].Has("his")) {
					if other, _ := r.NameAt(ph, k+3); other != "" {
						r.setCouple(ph[k].Text, other, w.Sex)
						return true
					}
				}
				return r.joinedTo(ph[k].Text)
			}
		}
	}
	return false
}
