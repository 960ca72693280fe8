package speech

import (
	"slices"

	"kinorder.example/server/internal/intake/prose/words"
)

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

// bySides parses a bracket that says of its parts whose kin they are: "hers: Ann & Bob / his: Cleo", "Ann is ours, Cleo is his".
func (p *parser) bySides(inside []Phrase, parse func([]Phrase) Parsed) (out Parsed, ok bool) {
	var own *Owner
	said, from := 0, 0
	for k := 0; k <= len(inside); k++ {
		if k < len(inside) && !slices.Contains([]string{",", ";", "/", "."}, inside[k].Key) && !(inside[k].Has("and") && p.r.sideOf(&inside[max(0, k-1)]) != nil) {
			continue
		}
		part := inside[from:k]
		if from = k + 1; len(part) == 0 {
			continue
		}
		if o, rest := p.r.sideSaid(part); o != nil {
			own, part = o, rest
			said++
		} else if own == nil {
			return out, false
		}
		in := parse(part)
		for n, t := range in.Terms {
			if n == 0 && len(out.Terms) > 0 {
				t.Sep = ","
			}
			if t.Owner == nil {
				t.Owner = own
			}
		}
		out.Terms, out.Attrs, out.Unknown = append(out.Terms, in.Terms...), append(out.Attrs, in.Attrs...), append(out.Unknown, in.Unknown...)
	}
	return out, said > 1
}

// sideSaid takes the words off a part of a bracket that say whose kin it names.
func (r *Reader) sideSaid(part []Phrase) (*Owner, []Phrase) {
	k := 0
	for k < len(part) && (part[k].Has("side") || part[k].Has("of") || part[k].Has("fill")) && r.sideOf(&part[k]) == nil {
		k++
	}
	if k+1 < len(part) {
		j := k + 1
		if part[j].Has("side") && j+1 < len(part) {
			j++
		}
		if o := r.sideOf(&part[k]); o != nil && (part[j].Key == ":" || part[j].Key == "=") {
			return o, part[j+1:]
		}
	}
	if n := len(part); n > 2 && words.Listed("is", part[n-2].Key) {
		if o := r.sideOf(&part[n-1]); o != nil {
			return o, part[:n-2]
		}
	}
	return nil, part
}

// sideOf is whose kin is meant by a word for one of the couple, or of whoever writes.
func (r *Reader) sideOf(t *Phrase) *Owner {
	w, half := t.Word("half")
	switch {
	case half:
		return &Owner{Half: w.Sex}
	case t.Has("her"):
		return &Owner{Half: 'w'}
	case t.Has("his"):
		return &Owner{Half: 'm'}
	case t.Has("mine"):
		return ownerSaid("my")
	case r.InCouple(t.Text):
		return &Owner{Name: t.Text}
	}
	return nil
}

// ownerSaid is whom a word for whose means: "our" is both of the couple's.
func ownerSaid(pron string) *Owner {
	switch pron {
	case "our":
		return &Owner{Both: true, Said: pron}
	case "both":
		return &Owner{Both: true}
	}
	return &Owner{Pronoun: pron}
}

// apposition reports whether a word begins what the name before it is to somebody, without a comma: "Ana la novia de Luis", "Ida
// meine Frau".
func (p *parser) apposition(t *Phrase) bool {
	n := len(p.cur)
	w, kin := p.peek(1).Word("kin")
	if n == 0 || !kin || w.Plural || w.Arg == "family" || p.cur[n-1].Kind != Person || p.cur[n-1].Word.Class != "" || p.i == 0 || p.peek(-1).Kind != 'w' || !p.r.NameLike(p.peek(-1)) {
		return false
	}
	return t.Has("my") && p.r.WriterID() >= 0 || words.Listed("article", t.Key) && p.peek(2).Has("of") && p.r.NameLike(p.peek(3))
}

// onlyIs reports whether "is" or "are" stands between words of kin and a name: "dad is Karl" as all of a line, "their children are Ann
// and Bea", "Ann's husband is Tom". What the list has once and nobody is given may be no name: "her mum is Polish".
func (p *parser) onlyIs(t *Phrase) bool {
	is, next, after := words.Listed("is", t.Key), p.peek(1), p.peek(2)
	if is && len(p.out.Terms) == 0 && len(p.cur) == 1 && next.Capital && after.Kind != 'w' && p.peek(3).Kind == 0 {
		return true
	}
	_, given := words.Given(next.Key)
	k := p.lastOpen()
	if k == nil || k.Owner == nil || !next.Capital || !given && p.r.Times[next.Key] < 2 {
		return false
	}
	return is && !k.Word.Plural && after.Kind != 'w' || words.Listed("are", t.Key) && k.Word.Plural && (after.Key == "," || after.Has("and") || after.Open)
}

// have takes names with ages that stand behind somebody and "have" for children of theirs: "Ann and Tom have Oscar (3) and Ivy (5 months)".
func (p *parser) have(t *Phrase) bool {
	n := len(p.cur)
	if !words.Listed("have", t.Key) || n == 0 || p.cur[n-1].Kind != Person || !p.r.NameLike(p.peek(1)) || !slices.ContainsFunc(p.peek(2).Inside, func(t Phrase) bool { return t.Kind == 'n' }) {
		return false
	}
	p.flush(",")
	p.run = &Term{Kind: Kin, Word: words.Word{Class: "kin", Arg: "child", Plural: true, Text: "children", Lang: "en"}}
	return true
}

// letterOwns reports whether kin for several, or a side, behind the letter of one of the couple is theirs: "N + N siblings", not "N T parents".
func (p *parser) letterOwns(name string) bool {
	next, before := p.peek(1), p.peek(-1)
	kin, _ := next.Word("kin")
	return p.r.InCouple(name) && (kin.Plural || next.Has("side")) && !p.r.NameLike(next) && !before.Has("stands")
}
