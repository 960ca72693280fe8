package statements

import (
	"slices"
	"strconv"

	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// Collective reports whether a photograph is of a whole family or side: what is added below it are the same with some of
// these only.
func Collective(s *Statement) bool {
	return speech.AnyHas(s.Phrases, "houses") || slices.ContainsFunc(s.Head.Terms, func(t *speech.Term) bool {
		return !t.Minus && (t.Kind == speech.Kin && t.Word.Arg == "family")
	})
}

// change is what a line wants changed in photographs that others ask for.
type change struct {
	Labels []string       // of their numbers; none for the photograph before
	Terms  []*speech.Term // who comes or goes
	Swap   bool           // the first of them goes, the others come
	Drop   bool
	Whole  bool   // the photographs themselves go
	Only   bool   // nobody else stays
	Role   string // that nobody else has any longer
}

// changes are what a line wants changed in numbered photographs: "scrap no. 4", "add Zoe to 2", "take Ann out of 3".
func (r *Reader) changes(s *Statement) []change {
	if s.Line.Mark == '#' || !r.Effort.Spend(20*len(s.Phrases)) {
		return nil
	}
	var out []change
	var said []string // numbers of photographs of which it is said later what changes: "change to no 4: only me and Mum"
	from := 0
	for k := range s.Phrases {
		key := s.Phrases[k].Key
		if end := key == "," || key == ";" || key == "!" || key == "." && (k == 0 || !s.Phrases[k-1].Has("ref") && !s.Phrases[k-1].Has("minus")); !end && k < len(s.Phrases)-1 {
			continue
		}
		part := s.Phrases[from : k+1]
		switch c, ok := r.changeIn(s, part); {
		case ok:
			if out = append(out, c); c.Whole {
				said = c.Labels
			}
		case len(c.Labels) > 0:
			said = c.Labels
		case len(said) > 0 && part[0].Has("alone"):
			if c.Terms = r.Parse(part, false).Terms; len(c.Terms) > 0 { // "only us and Ann"
				c.Labels, c.Only = said, true
				out = slices.DeleteFunc(out, func(o change) bool { return o.Whole && slices.Equal(o.Labels, said) }) // "scrap no. 4, just me and Dad"
				out = append(out, c)
			}
		}
		from = k + 1
	}
	return out
}

// roleChange reads who still has a role: "Ben can't do groomsman now so that's only Ann + Bo", "Ann isn't a bridesmaid now, swap her for Bea".
func (r *Reader) roleChange(ph []speech.Phrase) (change, bool) {
	other := func(t *speech.Term) bool { return t.Kind != speech.Person }
	role, not, at := "", false, 0
	for k := range ph {
		w, ok := ph[k].Word("role")
		switch {
		case role == "" && ok && !r.NameLike(&ph[k]):
			role, at = w.Arg, k
		case ph[k].Has("edit") && !ph[k].Has("role") && role != "":
			if e, _ := ph[k].Word("edit"); e.Arg == "swap" {
				before, after := speech.Without(r.peopleOf(ph[:at]), other), speech.Without(r.peopleOf(ph[k+1:]), other)
				return change{Role: role, Swap: true, Terms: append(before, after...)}, not && len(before) == 1 && len(after) > 0
			}
		case role == "":
			not = not || ph[k].Has("not") || words.Listed("negated", ph[k].Key)
		case ph[k].Has("alone"):
			c := change{Role: role, Terms: r.Parse(ph[k+1:], false).Terms}
			return c, not && len(c.Terms) > 0 && !slices.ContainsFunc(c.Terms, other)
		}
	}
	return change{}, false
}

// changeIn reads the words between two marks as a change.
func (r *Reader) changeIn(s *Statement, ph []speech.Phrase) (change, bool) {
	c := change{}
	verb, number, refers := -1, -1, false
	for k := range ph {
		w, ok := ph[k].Word("edit")
		switch {
		case ok && verb < 0 && !r.NameLike(&ph[k]):
			verb, c.Drop, c.Swap = k, w.Arg == "drop", w.Arg == "swap"
		case ok && w.Arg == "drop":
			c.Drop = true
		case ph[k].Kind == 'n' && r.Counted[ph[k].Num] && (k+1 == len(ph) || !counts(&ph[k+1])):
			c.Labels = append(c.Labels, strconv.Itoa(ph[k].Num))
			if number < 0 {
				number = k
			}
		case number < 0 && verb < 0 && ph[k].Has("ref"):
			refers = true
		}
	}
	if number < 0 || verb < 0 && number > 2 {
		c.Labels = nil
		return c, false
	}
	before, after := r.peopleOf(ph[:number]), r.peopleOf(ph[number:])
	if verb < 0 && !(len(after) > 0 && (refers || number > 0)) {
		return c, false
	}
	c.Whole = c.Drop && len(before) == 0 && (len(after) == 0 || verb < number)
	c.Terms = append(before, after...)
	return c, c.Whole || len(c.Terms) > 0 && !(c.Swap && len(c.Terms) < 2)
}

// peopleOf parses whom words name that change a photograph, without those that say what is to be done.
func (r *Reader) peopleOf(ph []speech.Phrase) []*speech.Term {
	ph = slices.Clone(ph)
	for k := range ph {
		p := &ph[k]
		if p.Kind == 'n' || p.SaysUs() || !r.NameLike(p) && (p.Has("edit") || p.Has("remark") || p.Has("verb") || p.Has("prep") || p.Has("there") || p.Has("ref") && !p.Has("of")) {
			ph[k] = speech.Phrase{Token: words.Token{Text: ",", Key: ",", Kind: 'p', Start: p.Start, End: p.End}}
		}
	}
	return r.Parse(ph, false).Terms
}

// Terms are the terms of a statement before and behind its colon.
func (s *Statement) Terms() []*speech.Term {
	return append(slices.Clone(s.Head.Terms), s.Tail.Terms...)
}

// Attrs is what is said of all that a statement asks for.
func (s *Statement) Attrs() []speech.Attribute { return slices.Concat(s.Head.Attrs, s.Tail.Attrs) }

// Unknown are the words of a statement that are nothing known.
func (s *Statement) Unknown() []speech.Attribute {
	return slices.Concat(s.Head.Unknown, s.Tail.Unknown)
}

func (s *Statement) has(class string) bool { return speech.AnyHas(s.Phrases, class) }

// counts reports whether a number before a phrase says how many or how old, and is no number of a photograph.
func counts(next *speech.Phrase) bool {
	for _, class := range []string{"count", "years", "months", "weeks", "unitmin", "ampm", "kin", "role", "group", "frames", "month"} {
		if next.Has(class) {
			return true
		}
	}
	return false
}

// Plainly reports whether terms name several people, who are all that "The whole lot:" before them means.
func Plainly(terms []*speech.Term) bool {
	n := 0
	for _, t := range terms {
		if t.Kind == speech.Person || len(t.Names) > 0 {
			n++
		}
	}
	return n > 1
}

// fills reports whether all whom a line names are what a word for several above it says, which has no names: "Granny Ida" below "us with
// grandparents".
func (r *Reader) fills(s, over *Statement) bool {
	open := speech.OpenTerms(over.Head.Terms)
	if over.Open != nil {
		open = []*speech.Term{over.Open}
	}
	return len(open) > 0 && open[len(open)-1].Kind == speech.Kin && open[len(open)-1].Word.Plural && !s.Head.Add && len(s.Head.Terms) > 0 && !slices.ContainsFunc(s.Head.Terms, func(t *speech.Term) bool {
		return t.Word.Class != "kin" || t.Word.Arg != open[len(open)-1].Word.Arg || t.Word.Plural || t.Owner != nil && t.Owner.Kin != nil
	})
}
