package speech

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/prose/words"
)

// asking are phrases without the later parts that tell who is not to stand together, or what somebody needs or does: the people
// of these are in no photograph for that.
func (r *Reader) asking(ph []Phrase) []Phrase {
	from := 0
	for k := range ph {
		short := ph[k].Key == "." && k > 0 && ph[k-1].Has("rank") && !ph[k-1].Has("kin") // "Mrs. Ann"
		comma := ph[k].Key == "," && k+1 < len(ph) && (ph[k+1].Has("not") && !ph[k+1].Has("minus") || r.tellsWho(ph[k+1:], true))
		if end := ph[k].Key == "." && !short || ph[k].Key == ";" || ph[k].Key == "!" || ph[k].Key == "-" && ph[k].Gap || comma; !end && k < len(ph)-1 {
			continue
		}
		part := ph[from : k+1]
		helps := from > 0 && ph[from-1].Key == ","
		if from > 0 && (r.KeepsApart(part) || r.Forbids(part) || ph[from-1].Key != "-" && r.tellsNeed(part) || r.tellsWho(part, helps)) {
			wishes := slices.DeleteFunc(slices.Clone(part), func(p Phrase) bool { return !p.Has("must") && !p.Has("nice") && !p.Has("first") && !p.Has("last") })
			return slices.Concat(ph[:from], wishes, r.asking(ph[k+1:]))
		}
		from = k + 1
	}
	return ph
}

// tellsWho reports whether a part begins with somebody and what they do: "Tom will push her chair", "Lucy to round them up". It is
// no name of theirs and nothing they are: "Mum is Sue", "Bea is Tom's wife". Behind a comma, where names stand too, only those are meant who help.
func (r *Reader) tellsWho(ph []Phrase, helps bool) bool {
	if len(ph) > 1 && words.Listed("because", ph[0].Key) && !ph[1].Has("with") {
		return true // "..., so that's all of them"
	}
	k, subject := 0, false
	for ; k < len(ph) && ph[k].Kind == 'w'; k++ {
		p := &ph[k]
		w, kin := p.Word("kin")
		if person := r.NameLike(p) || kin && !w.Plural; person && !p.Possessive {
			subject = true
		} else if subject || !person && !p.Has("fill") && !p.Has("my") && !p.Has("her") && !p.Has("his") {
			break
		}
	}
	if !subject || k+1 >= len(ph) || ph[k].Kind != 'w' || ph[k].Capital && !r.Lower || ph[k].Has("and") || ph[k].Has("with") || ph[k].Has("of") {
		return false
	}
	rest := ph[k+1:]
	if !ph[k].Has("verb") && !ph[k].Has("remark") && !words.Listed("helps", ph[k].Key) && !(ph[k].Has("to") && rest[0].Kind == 'w' && !rest[0].Capital) ||
		rest[0].Kind == 'n' || ph[k].Has("verb") && (r.NameLike(&rest[0]) || rest[0].Possessive || AnyHas(rest[:min(len(rest), 3)], "kin")) {
		return false
	}
	for n := range ph {
		if p := &ph[n]; p.Key == "+" || !r.NameLike(p) && (p.Has("with") || p.Has("add") || p.Has("wish")) {
			return false
		}
	}
	return !helps || slices.ContainsFunc(ph[k:min(len(ph), k+4)], func(p Phrase) bool { return words.Listed("helps", p.Key) })
}

// Told are the sentences of phrases, and what tells of somebody behind a dash: "Ann and Bob - Bob has a bad back".
func (r *Reader) Told(ph []Phrase) [][]Phrase {
	var out [][]Phrase
	for _, s := range Sentences(ph) {
		from := 0
		for k := range s {
			if k > 0 && s[k].Key == "-" && s[k].Gap && r.tellsWho(s[k+1:], false) {
				out, from = append(out, s[from:k]), k+1
			}
		}
		out = append(out, s[from:])
	}
	return out
}

// Helps reports whether a sentence tells what somebody does for others, which is no need of theirs: "Tom will push her chair".
func (r *Reader) Helps(ph []Phrase) bool { return r.tellsWho(ph, true) }

// tellsNeed reports whether a sentence behind a photograph tells of somebody in it: "Knee problem so she will sit".
func (r *Reader) tellsNeed(ph []Phrase) bool {
	said, verb, named := false, false, false
	for k := range ph {
		p := &ph[k]
		name := r.NameLike(p)
		if p.Key == "+" || !name && (p.Has("with") || p.Has("add") || p.Has("all") || p.Has("wish")) || k == 0 && p.Has("and") {
			return false
		}
		named = named || name
		said = said || !name && (p.Has("need") || p.Has("absent") || (p.Has("until") || p.Has("from")) && strings.Contains(p.Key, " "))
		verb = verb || !name && (p.Has("verb") || p.Has("remark"))
	}
	return said && verb && named
}

// Forbids reports whether words begin with who is not to be in photographs at all: "DO NOT call: Mr Lind", "Please don't include Ann".
func (r *Reader) Forbids(ph []Phrase) bool {
	for len(ph) > 1 && words.Listed("polite", ph[0].Key) {
		ph = ph[1:]
	}
	return len(ph) > 2 && ph[0].Has("not") && !r.NameLike(&ph[0]) && words.Listed("called for", ph[1].Key)
}

// KeepsApart reports whether words name people who are not to stand together.
func (r *Reader) KeepsApart(ph []Phrase) bool {
	not, apart, named := false, false, false
	for k := range ph {
		p := &ph[k]
		named = named || r.NameLike(p) || p.Has("kin")
		not = not || p.Denies()
		apart = apart || p.Has("apart") && !p.Has("split") || not && p.Has("near")
	}
	return apart && named
}

// Denies reports whether a phrase says that something is not to be: "not", "but not".
func (p *Phrase) Denies() bool {
	return p.Has("not") || p.Has("minus") && strings.HasSuffix(p.Key, " not")
}
