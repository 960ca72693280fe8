package photographs

import (
	"slices"
	"strings"
	"unicode/utf8"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/statements"
	"kinorder.example/server/internal/intake/prose/words"
)

// longTitle is how many characters a line may have to be the title of its photograph. Common practice, no source.
const longTitle = 70

// joined takes out the space that a bracket leaves before a comma.
var joined = strings.NewReplacer(" ,", ",", " ;", ";", " 、", "、", " ،", "،")

// titleOf is what a line calls its photograph, in its own words: without what it says of people and photograph, which may
// be private, since every reader sees titles. Empty when the words don't stand alone; names make the title then.
func (r *Reader) titleOf(s *statements.Statement) string {
	terms := s.Terms()
	if s.Clause || len(s.Line.Cells) > 0 || len(terms) == 0 || s.Leans(terms) {
		return ""
	}
	said := append(slices.Clone(s.Head.Attrs), s.Tail.Attrs...)
	for _, t := range terms {
		said = append(said, t.Said()...)
	}
	places := slices.DeleteFunc(slices.Clone(said), func(a speech.Attribute) bool {
		return a.Start < terms[0].End || !where(a, s.Line.Text) && !doing(a, s.Line.Text)
	})
	var parts []string
	from, to, dashed := -1, 0, false
	for k := range s.Phrases {
		p := &s.Phrases[k]
		within := func(a speech.Attribute) bool { return a.Start < p.End && a.End > p.Start }
		beside := slices.ContainsFunc(said, within)
		age := beside && !slices.ContainsFunc(said, func(a speech.Attribute) bool { return within(a) && a.Class != "years" && a.Class != "months" })
		place := slices.ContainsFunc(places, within)
		loud := p.Key == "!" && slices.ContainsFunc(places, func(a speech.Attribute) bool { return a.Start >= p.End })
		if age || loud || p.Open && (beside || !holds(p, terms)) { // "Ann 11, Bob 8", "Everyone!! from the balcony"
			if from >= 0 {
				parts = append(parts, s.Line.Text[from:to])
			}
			from = -1
			continue
		}
		takes := slices.ContainsFunc(terms, func(t *speech.Term) bool { return t.Start > p.Start && t.Minus }) // "Everyone - parents"
		if dashed = p.Key == "-" && p.Gap && k > 0 && !takes; dashed || !p.Open && !place && (beside || stops(p, k)) {
			break
		}
		if from < 0 {
			from = p.Start
		}
		to = p.End
	}
	if from >= 0 {
		parts = append(parts, s.Line.Text[from:to])
	}
	if slices.ContainsFunc(terms, func(t *speech.Term) bool { return t.Start >= to && (t.Minus || !dashed) }) {
		return "" // whom it leaves out or takes in stands behind
	}
	title := joined.Replace(strings.Join(strings.Fields(strings.Join(parts, " ")), " "))
	title = strings.Trim(title, " -–—,;:+&/*_=、،")
	if utf8.RuneCountInString(title) > longTitle {
		return ""
	}
	return title
}

// where reports whether a remark says where somebody stands, which is for all to read: "by the rose arch", "im Garten".
func where(a speech.Attribute, line string) bool {
	if a.Class != "note" || a.Start < 0 || a.Start > a.End || a.End > len(line) {
		return false
	}
	in := names.Words(line[a.Start:a.End])
	if len(in) < 2 || len(in) > 6 {
		return false
	}
	return words.Listed("where the", in[0]) || words.Listed("where", in[0]) && words.Listed("article", in[1])
}

// doing reports whether a remark says what is done in a photograph, which is for all to read: "blowing out the candles".
func doing(a speech.Attribute, line string) bool {
	if a.Class != "note" || a.Start < 0 || a.Start >= a.End || a.End > len(line) {
		return false
	}
	in := names.Words(line[a.Start:a.End])
	if len(in) < 2 || len(in) > 6 || words.Listed("private doing", in[0]) {
		return false
	}
	return words.Listed("doing", in[0]) || slices.ContainsFunc(words.List("doing ends"), func(end string) bool { return len(in[0]) > len(end)+2 && strings.HasSuffix(in[0], end) })
}

// stops reports whether the words of a title end before phrase k.
func stops(p *speech.Phrase, k int) bool {
	return k > 0 && (p.Key == "!" || p.Key == "?" || p.Key == "...") || p.Has("apart") || p.Has("split") || p.Has("not")
}

// holds reports whether a bracket names people.
func holds(p *speech.Phrase, terms []*speech.Term) bool {
	return slices.ContainsFunc(terms, func(t *speech.Term) bool { return t.Start > p.Start && t.End <= p.End || holds(p, t.Names) })
}
