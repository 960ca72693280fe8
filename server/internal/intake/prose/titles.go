package prose

import (
	"slices"
	"strings"
	"unicode/utf8"
)

// longTitle is how many characters a line may have to be the title of its photograph. Common practice, no source.
const longTitle = 70

// joined takes out the space that a bracket leaves before a comma.
var joined = strings.NewReplacer(" ,", ",", " ;", ";", " 、", "、", " ،", "،")

// titleOf is what a line calls its photograph, in its own words: without what it says of people and photograph, which may
// be private, since every reader sees titles. Empty when the words don't stand alone; names make the title then.
func (r *reader) titleOf(s *statement) string {
	terms := append(slices.Clone(s.head.terms), s.tail.terms...)
	if s.clause || len(s.l.Cells) > 0 || len(terms) == 0 || s.leans(terms) {
		return ""
	}
	said := append(slices.Clone(s.head.attrs), s.tail.attrs...)
	for _, t := range terms {
		said = append(said, t.said()...)
	}
	var parts []string
	from, to, dashed := -1, 0, false
	for k := range s.ph {
		p := &s.ph[k]
		beside := slices.ContainsFunc(said, func(a attr) bool { return a.s < p.End && a.e > p.Start })
		if p.open && (beside || !p.holds(terms)) {
			if from >= 0 {
				parts = append(parts, s.l.Text[from:to])
			}
			from = -1
			continue
		}
		takes := slices.ContainsFunc(terms, func(t *term) bool { return t.s > p.Start && t.minus }) // "Everyone - parents"
		if dashed = p.Key == "-" && p.Gap && k > 0 && !takes; dashed || !p.open && (beside || p.stops(k)) {
			break
		}
		if from < 0 {
			from = p.Start
		}
		to = p.End
	}
	if from >= 0 {
		parts = append(parts, s.l.Text[from:to])
	}
	if slices.ContainsFunc(terms, func(t *term) bool { return t.s >= to && (t.minus || !dashed) }) {
		return "" // whom it leaves out or takes in stands behind
	}
	title := joined.Replace(strings.Join(strings.Fields(strings.Join(parts, " ")), " "))
	title = strings.Trim(title, " -–—,;:+&/*_=、،")
	if utf8.RuneCountInString(title) > longTitle {
		return ""
	}
	return title
}

// leans reports whether the words of a line mean little without other lines or whoever wrote it: "same + Ann", "mum"
// below a heading, "us two".
func (s *statement) leans(terms []*term) bool {
	if slices.ContainsFunc(s.ph, func(p phrase) bool { return p.has("self") }) {
		return true
	}
	kin := true
	for _, t := range terms {
		if t.kind == same || t.kind == letter || t.own != nil && t.own.pron == "my" {
			return true
		}
		kin = kin && (t.kind == kinTerm || t.kind == role) && t.own == nil && len(t.sub) == 0
	}
	return kin && s.ctx.side > 0
}

// said is all that is said of a term and of those in its brackets.
func (t *term) said() []attr {
	out := slices.Clone(t.attrs)
	for _, x := range t.sub {
		out = append(out, x.said()...)
	}
	return out
}

// stops reports whether the words of a title end before a phrase.
func (p *phrase) stops(k int) bool {
	return k > 0 && (p.Key == "!" || p.Key == "?" || p.Key == "...") || p.has("apart") || p.has("split") || p.has("not")
}

// holds reports whether a bracket names people.
func (p *phrase) holds(terms []*term) bool {
	return slices.ContainsFunc(terms, func(t *term) bool { return t.s > p.Start && t.e <= p.End || p.holds(t.sub) })
}
