// Package doubt looks at a list once more when all of it is read: do the words of each line and who came out agree? It knows
// nothing of how a line was read, changes nothing, and asks where both cannot be right. Lines of one cause have the same question,
// which is shown once.
package doubt

import (
	"cmp"
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/photographs"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
	"kinorder.example/server/internal/wording"
)

// reader is a list that has been read.
type reader struct {
	*photographs.Reader
	wishes []*wish
	asked  map[int]bool // lines with a question
}

// wish is a line and the photographs that were made of it.
type wish struct {
	line  *lines.Line
	made  []*photographs.Photograph
	terms []*speech.Term // with those of brackets
	named []int          // whoever a word of the line is a name of
	all   bool           // one is of everybody
	kin   int            // which of the couple its kin is of, 0 where it is of both or nobody
}

// Find asks where the words of a line and who came out disagree.
func Find(r *photographs.Reader) {
	d := &reader{Reader: r, asked: make(map[int]bool)}
	for _, p := range r.Problems {
		switch p.Code {
		case place.CodeStandsFor, place.CodeWhichOne, place.CodeCountDiffers:
			d.asked[p.Line] = true
		default:
			d.asked[p.Line] = d.asked[p.Line] || p.Severity == event.Error
		}
	}
	d.gather()
	d.kinOfBoth()
	for _, w := range d.wishes {
		d.letters(w)
		for _, t := range w.terms {
			if t.Kind == speech.Kin && !t.Minus && len(t.Names) == 0 && !w.all {
				d.tooMany(w, t)
				d.lacking(w, t)
			}
		}
		d.lost(w)
	}
	d.samePeople()
	d.entries()
}

// ask asks about a line that has no question yet.
func (d *reader) ask(w *wish, m wording.Message) {
	if n := w.line.Number; !d.asked[n] {
		d.asked[n] = true
		d.Report(n, 1, event.Warning, place.CodeDoubted, "", m)
	}
}

func (d *reader) gather() {
	at := make(map[*lines.Line]*wish)
	for _, p := range d.Photographs {
		if p.Dropped || p.Fixed || p.Statement == nil || !d.Effort.Spend(100) {
			continue
		}
		w := at[p.Statement.Line]
		if w == nil {
			w = &wish{line: p.Statement.Line}
			at[w.line] = w
			d.wishes = append(d.wishes, w)
		}
		if !slices.ContainsFunc(w.made, func(q *photographs.Photograph) bool { return q.Statement == p.Statement }) {
			w.terms = flat(p.Statement.Terms(), w.terms)
		}
		w.made, w.all = append(w.made, p), w.all || p.All
	}
	for _, w := range d.wishes {
		for _, t := range words.Tokenize(w.line.Text) {
			w.named = people.Union(w.named, d.ByWord[t.Key])
		}
		w.kin = d.kinOf(w)
	}
}

// flat are terms with those of their brackets.
func flat(terms, out []*speech.Term) []*speech.Term {
	for _, t := range terms {
		out = flat(t.Names, append(out, t))
	}
	return out
}

// kinOf is which of the couple all kin of a line is of, 0 where it is of both or of others.
func (d *reader) kinOf(w *wish) int {
	out := 0
	for k, p := range w.made {
		if k > 0 && w.made[k-1].Statement == p.Statement {
			continue
		}
		c := d.ScopeOf(p.Statement)
		for _, t := range flat(p.Statement.Terms(), nil) {
			if t.Kind != speech.Kin || t.Minus || t.Word.Arg == "partner" || t.Word.Arg == "child" {
				continue
			}
			if t.Owner != nil {
				c.Carry = t.Owner
			}
			of := d.Owners(t, c)
			if len(of) != 1 || d.Guests[of[0]].Half == 0 || out != 0 && out != d.Guests[of[0]].Half {
				return 0
			}
			out = d.Guests[of[0]].Half
		}
	}
	return out
}

// brought are those of the photographs of a line whom none of its words names, but who is of the couple.
func (d *reader) brought(w *wish) []int {
	var out []int
	for _, p := range w.made {
		for _, i := range slices.Concat(p.Set, p.Each) {
			if g := &d.Guests[i]; g.Half == 0 && !g.Unnamed && i != d.Honour && !slices.Contains(w.named, i) && !slices.Contains(out, i) {
				out = append(out, i)
			}
		}
	}
	return out
}

// kinOfBoth asks about those who came out as kin of one of the couple in a line, and as kin of the other in another.
func (d *reader) kinOfBoth() {
	var of [3][]int
	for _, w := range d.wishes {
		if w.kin > 0 && !w.all {
			of[w.kin] = people.Union(of[w.kin], d.brought(w))
		}
	}
	both := slices.DeleteFunc(of[1], func(i int) bool {
		return !slices.Contains(of[2], i) || d.Guests[i].AgeBand == event.Child || d.Guests[i].AgeBand == event.Infant
	})
	if len(both) == 0 {
		return
	}
	one, other := d.Guests[d.Couple[0]].Name, d.Guests[d.Couple[1]].Name
	for _, w := range d.wishes {
		if w.kin > 0 && slices.ContainsFunc(d.brought(w), func(i int) bool { return slices.Contains(both, i) }) {
			d.ask(w, wording.Say("list.kinOfBoth", d.And(both[:min(place.MostNamed, len(both))]), one, other, one))
		}
	}
}

// entries repeats the question about people without names at each line that has them.
func (d *reader) entries() {
	about := make(map[string]place.Problem)
	for _, p := range d.Problems {
		if p.Code == place.CodeStandsFor && p.Written != "" {
			about[p.Written] = p
		}
	}
	for _, w := range d.wishes {
		for _, p := range w.made {
			for _, i := range p.Set {
				if q, ok := about[place.Clip(d.Guests[i].Name)]; ok && d.Guests[i].Unnamed && !d.asked[w.line.Number] {
					d.asked[w.line.Number] = true
					d.Report(w.line.Number, 1, q.Severity, q.Code, q.Written, q.Message)
				}
			}
		}
	}
}

// samePeople asks about photographs of the same people whose lines have other words.
func (d *reader) samePeople() {
	first := make(map[string]*wish)
	for _, w := range d.wishes {
		for _, p := range w.made {
			if p.All || len(p.Each) > 0 || len(p.Set) < 2 {
				continue
			}
			set := slices.Sorted(slices.Values(d.Names(p.Set)))
			key := strings.Join(set, "\x00")
			switch o := first[key]; {
			case o == nil:
				first[key] = w
			case o != w && other(o, w):
				d.ask(w, wording.Say("list.sameAsLine", o.line.Number))
			}
		}
	}
}

// other reports whether lines may ask for other people: none refers to others, and their words for people are not the same.
func other(a, b *wish) bool {
	said := func(w *wish) (out []string) {
		for _, t := range w.terms {
			if t.Kind == speech.Same || t.Kind == speech.Letter {
				return nil
			}
			out = append(out, cmp.Or(t.Name, t.Word.Arg+t.Word.Text, t.Text))
		}
		return slices.Sorted(slices.Values(out))
	}
	x, y := said(a), said(b)
	return x != nil && y != nil && !slices.Equal(x, y)
}
