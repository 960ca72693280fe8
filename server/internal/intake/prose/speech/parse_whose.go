package speech

import "kinorder.example/server/internal/intake/prose/words"

// of takes "of", "from", "side" with whose kin the words before are.
func (p *parser) of(t *Phrase, w words.Word) bool {
	if w.Class == "side" && p.own != nil {
		// "bride's side": everybody on it, or whose the words before are.
		if k := p.lastKin(); k != nil {
			p.ownBack(k, p.own)
			p.own = nil
			return true
		}
		if next := p.peek(1); next.Has("kin") || next.Has("of") && p.peek(2).Has("kin") {
			return true
		}
		p.kinOf(t, words.Word{Class: "kin", Arg: "family", Plural: true, Text: "family"}, 0)
		return true
	}
	if next := p.peek(1); w.Class == "side" && p.own == nil && (p.all || p.every || p.num == 2) && len(p.cur) == 0 && (next.Has("kin") || next.Key == "'" && p.peek(2).Has("kin")) {
		p.own, p.all, p.every, p.num = &Owner{Both: true}, false, false, 0 // "both sides' parents"
		return true
	}
	if last := p.lastTerm(); last != nil && last.Kind == Same && len(p.cur) > 0 {
		return true // "os mesmos da 4"
	}
	k := p.lastKin()
	if k == nil && len(p.cur) == 0 && (w.Class == "side" || len(p.lost) == 0 && !p.grp) {
		if n := len(p.out.Terms); w.Class == "side" && n > 0 && p.out.Terms[n-1].Kind == Kin {
			k = p.out.Terms[n-1]
		} else if w.Class == "side" {
			k = p.add(&Term{Kind: Kin, Word: words.Word{Class: "kin", Arg: "family", Plural: true, Text: "family"}}, t)
		} else {
			return true // "de Rui": nothing it belongs to
		}
	}
	skip := 1
	for p.peek(skip).Has("fill") || p.peek(skip).Has("of") && p.peek(skip).Text != t.Text {
		skip++
	}
	next := p.peek(skip)
	hw, isHalf := next.Word("half")
	switch {
	case k == nil:
		return p.grp || len(p.lost) > 0
	case isHalf && !p.r.NameLike(next):
		p.ownBack(k, &Owner{Half: hw.Sex})
		k.End = max(k.End, next.End)
		p.nameBehind(k, p.peek(skip+1))
	case p.r.NameLike(next):
		p.ownBack(k, &Owner{Name: next.Text})
		k.End = max(k.End, next.End)
	case next.Has("couple"):
		p.ownBack(k, &Owner{Both: true})
	case w.Class == "of" && p.ofMyFamily(skip):
		p.ownBack(k, ownerSaid("my"))
		skip++
	default:
		return false
	}
	if p.i += skip; p.peek(1).Has("side") {
		p.i++
	}
	return true
}

// ofMyFamily reports whether the words from skip on say that kin are those of whoever writes: "tias da minha família".
func (p *parser) ofMyFamily(skip int) bool {
	f, kin := p.peek(skip + 1).Word("kin")
	return p.peek(skip).Has("my") && kin && f.Arg == "family" && p.peek(skip+2).Kind != 'w'
}
