package couple

import (
	"cmp"
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// chatCouple takes the couple from those who write: the two who say "us" and "my mum", else the one who does and whom
// they write to or name most.
func (r *finder) chatCouple() bool {
	var all, own []string
	spoke := make(map[string]int)
	for i := range r.Lines {
		by := r.Lines[i].By
		if by == "" {
			continue
		}
		if !slices.Contains(all, by) {
			all = append(all, by)
		}
		if isKin := slices.ContainsFunc(words.Find(names.Plain(by)), func(w words.Word) bool { return w.Class == "kin" }); !isKin && r.ofThemselves(r.Heads(i)) {
			if spoke[by]++; spoke[by] == 1 {
				own = append(own, by)
			}
		}
	}
	if len(own) > 1 { // whoever does most, and whom they name beside themselves
		most := slices.MaxFunc(own, func(a, b string) int { return cmp.Compare(spoke[a], spoke[b]) })
		if other := r.partnerNamed(most); slices.Contains(own, other) || len(own) == 2 && other != "" && r.besideMe(most, other) && !slices.ContainsFunc(own, func(by string) bool { return strings.HasSuffix(names.Plain(by), names.Plain(other)) }) {
			own = []string{most, other}
		}
	}
	switch {
	case len(own) == 2:
		r.setCouple(own[0], own[1], 0)
		r.callShort()
	case len(own) != 1:
		return false
	default:
		other := r.partnerNamed(own[0])
		for _, by := range all {
			if by != own[0] && len(all) == 2 && other == "" && r.says("us") && !r.works(by) {
				other = by
			}
		}
		if other == "" {
			return false
		}
		r.setCouple(own[0], other, 0)
	}
	return true
}

// besideMe reports whether whoever writes names somebody right beside themselves: "Tom and I".
func (r *finder) besideMe(by, name string) bool {
	for i := range r.Lines {
		ph := r.Heads(i)
		for k := 1; k+1 < len(ph) && r.Lines[i].By != ""; k++ {
			one, other := &ph[k-1], &ph[k+1]
			if !joinsTwo(&ph[k]) || !one.Has("self") && !other.Has("self") {
				continue
			}
			if names.Plain(one.Text) == names.Plain(name) || names.Plain(other.Text) == names.Plain(name) {
				return r.Lines[i].By == by
			}
		}
	}
	return false
}

// works reports whether the name of a sender says that photographs are their work: "Foto Martín".
func (r *finder) works(by string) bool {
	for i, ph := range r.firstHeads(3) { // "Chat with Jo (photographer)", "hiya Jo" by another
		for k := 1; k < len(ph); k++ {
			called := ph[k].Open && speech.AnyHas(ph[k].Inside, "photos", "key")
			if named := names.Plain(by); called && names.Plain(ph[k-1].Text) == named || k == 1 && ph[0].Has("greet") && r.Lines[i].By != "" && r.Lines[i].By != by && names.Plain(ph[k].Text) == named {
				return true
			}
		}
	}
	return slices.ContainsFunc(names.Words(by), func(w string) bool {
		return slices.ContainsFunc(words.Find(w), func(w words.Word) bool { return w.Class == "wish" || w.Class == "photos" || w.Class == "key" })
	})
}

// ofThemselves reports whether words ask for a photograph of those who wrote them: "us with", "me +", "my mum".
func (r *finder) ofThemselves(ph []speech.Phrase) bool {
	for k := range ph {
		next, before := speech.Phrase{}, speech.Phrase{}
		if k+1 < len(ph) {
			next = ph[k+1]
		}
		if k > 0 {
			before = ph[k-1]
		}
		joined := next.Has("with") || next.Has("and") || next.Key == "+" || next.Key == "&" || before.Has("with") || before.Has("and") || before.Key == "+" || before.Key == "&"
		if (ph[k].Has("my") || ph[k].Has("our")) && (next.Has("kin") || next.Has("role")) || ph[k].Has("self") && joined || ph[k].SaysUs() && joined {
			return true
		}
	}
	return false
}

// amongOthers reports whether words name whoever wrote them first of several: "her siblings - me, Ann".
func (r *finder) amongOthers(ph []speech.Phrase) bool {
	for k := range ph {
		if ph[k].Has("self") && k+2 < len(ph) && ph[k+1].Key == "," && r.TitleName(&ph[k+2]) {
			return true
		}
	}
	return false
}

// callShort makes the two of a chat known by what the other calls them beside themselves, where that is a part of the name: "me and
// Wenna" of Morwenna.
func (r *finder) callShort() {
	for i := range r.Lines {
		h := r.HalfNamed(r.Lines[i].By)
		ph := r.Heads(i)
		if h == 0 || len(ph) < 3 || !ph[0].Has("self") {
			continue
		}
		called := ph[1].Text // "me han"
		if joinsTwo(&ph[1]) {
			called = ph[2].Text
		}
		other := r.Couple[2-h]
		short, name := names.Plain(called), names.Plain(r.Guests[other].Given)
		if len(short) > 2 && short != name && (strings.HasSuffix(name, short) || strings.HasPrefix(name, short)) {
			r.Call(other, called)
		}
	}
}
