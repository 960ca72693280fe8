package photographs

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/statements"
	"kinorder.example/server/internal/intake/prose/words"
	"kinorder.example/server/internal/wording"
)

// counterpart is who stands in the photograph right before as the other of a pair does in one: "Nan + all cousins", "Grandad + all
// cousins (divorced)".
func (r *Reader) counterpart(s *statements.Statement, i int) []int {
	if s.At == 0 || len(r.Guests[i].Relations) == 0 {
		return nil
	}
	before := r.Statements[s.At-1]
	ids, _ := r.within(before, before.Phrases, 1)
	if len(ids) != 1 || len(r.Guests[ids[0]].Relations) == 0 || r.Guests[ids[0]].Sex == r.Guests[i].Sex || r.Guests[ids[0]].Relations[0].Word.Arg != r.Guests[i].Relations[0].Word.Arg {
		return nil
	}
	return ids
}

// neverTogether makes a rule of a sentence that wants two people not next to each other. The last time, when all are known, it asks where
// a sentence does not tell which two.
func (r *Reader) neverTogether(s *statements.Statement, last bool) {
	for _, ph := range r.apartSentences(s.Phrases) {
		near := r.apartAt(ph)
		if near < 0 {
			continue
		}
		ids := r.keptFrom(s, ph, near)
		switch {
		case len(ids) == 2:
			r.keepApart(s, ph, ids)
		case s.Told || last && s.Kind != statements.Edit && r.KeepsApart(ph) && !r.keptAlready(s):
			r.askApart(ph)
		}
	}
}

// keptFrom are the two whom a sentence keeps apart, if it tells.
func (r *Reader) keptFrom(s *statements.Statement, ph []speech.Phrase, near int) []int {
	ids, at := r.within(s, ph, 2)
	if s.Told && len(ids) != 2 {
		return nil
	}
	if len(ids) < 2 {
		if r.namesTwo(ph) && !speech.AnyHas(ph, "pron") {
			return nil // of whom not both are known: nobody else is meant
		}
		if ids, _ = r.within(s, s.Phrases, 2); len(ids) == 1 {
			ids = append(ids, r.counterpart(s, ids[0])...)
		}
		if len(ids) != 2 {
			return nil
		}
		at = []int{0, 0}
	}
	before := 0
	for _, b := range at {
		if b < ph[near].Start {
			before++
		}
	}
	k := max(0, min(before-1, len(ids)-2))
	// A bracket that names nobody is of those before it: "mum Ann, dad Bo (keep apart), step-mum Cleo".
	bracket := slices.IndexFunc(s.Phrases, func(p speech.Phrase) bool { return p.Open && p.Start <= ph[near].Start && ph[near].Start < p.End })
	ofBefore := bracket >= 0 && !slices.ContainsFunc(at, func(b int) bool { return b >= s.Phrases[bracket].Start && b < s.Phrases[bracket].End })
	if before >= 2 && (before == len(ids) || ph[near].Key == "together" || ofBefore) {
		k = before - 2
	}
	return ids[k : k+2]
}

// keptAlready reports whether a line names two who are kept apart: other words of it said so.
func (r *Reader) keptAlready(s *statements.Statement) bool {
	ids := []int(nil)
	for _, o := range r.OfLine(s) {
		named, _ := r.within(o, o.Phrases, len(r.Guests))
		ids = people.Union(ids, named)
	}
	return slices.ContainsFunc(r.Apart, func(a people.Pair) bool { return slices.Contains(ids, a.One) && slices.Contains(ids, a.Other) })
}

// stranger is the first name of a sentence that nobody of the list has, or -1.
func (r *Reader) stranger(ph []speech.Phrase) int {
	return slices.IndexFunc(ph, func(p speech.Phrase) bool { return r.NameLike(&p) && p.Capital && len(r.Find(p.Text)) == 0 })
}

// askApart asks who is kept apart. It offers the name that one whom the list does not know may have been meant to be.
func (r *Reader) askApart(ph []speech.Phrase) {
	k := r.stranger(ph)
	if k < 0 {
		r.At(ph[0].Start, event.Warning, place.CodeNotUsed, "", wording.Say("list.whoIsKeptApart"))
		return
	}
	name := ph[k].Text
	said, meant := wording.Say("list.nobodyCalled", place.Quoted(name)), []string(nil)
	if i, ok := r.Index.FindAt(name, names.Near, func(i int) bool { return !r.Guests[i].Unnamed }).One(); ok {
		meant = []string{r.Guests[i].Given}
		said = wording.Say("list.whoIsKeptApartMeant", place.Quoted(name), place.Quoted(meant[0]))
	}
	r.At(ph[k].Start, event.Warning, place.CodeNotUsed, name, said, meant...)
}

// apartSentences are sentences, of which a bracket that names two is one, and so is what a dash divides and names two.
func (r *Reader) apartSentences(ph []speech.Phrase) [][]speech.Phrase {
	two := func(ph []speech.Phrase) bool { return r.namesTwo(ph) && r.KeepsApart(ph) }
	var out [][]speech.Phrase
	var rest []speech.Phrase
	from := 0
	for k := range ph {
		switch p := &ph[k]; {
		case p.Open && two(p.Inside):
			out = append(out, speech.Flat(p.Inside))
			rest, from = append(rest, ph[from:k]...), k+1
		case k > from && (p.Key == "-" && p.Gap || p.Key == "," && k+1 < len(ph) && ph[k+1].Has("not")) && two(ph[k+1:]):
			return append(append(out, speech.Sentences(speech.Flat(append(rest, ph[from:k]...)))...), speech.Sentences(speech.Flat(ph[k+1:]))...)
		}
	}
	return append(out, speech.Sentences(speech.Flat(append(rest, ph[from:]...)))...)
}

// namesTwo reports whether words name two people, or say what they are.
func (r *Reader) namesTwo(ph []speech.Phrase) bool {
	n := 0
	for k := range ph {
		named := k+1 < len(ph) && r.NameLike(&ph[k+1]) // "Uncle Ben" is one
		if w, kin := ph[k].Word("kin"); r.NameLike(&ph[k]) && !ph[k].Possessive || kin && !w.Plural && !named {
			n++
		} else if kin {
			n += len(r.MotherAndFather(&speech.Term{Kind: speech.Kin, Word: w, Text: ph[k].Text}))
		}
	}
	return n > 1
}

// apartAt is the phrase that says that people are not to stand together, -1 where none does.
func (r *Reader) apartAt(ph []speech.Phrase) int {
	not, near := -1, -1
	for k := range ph {
		p := &ph[k]
		if p.Denies() { // "fine in one photo but not side by side"
			not = k
		}
		if words.Listed("far", p.Key) && k+2 < len(ph) && (ph[k+1].Has("of") || ph[k+1].Has("from")) && (r.NameLike(&ph[k+2]) || speech.AnyHas(ph[k+2:min(len(ph), k+4)], "kin")) { // "keep Tom away from Karim"
			return k
		}
		if near >= 0 && not == k && (k+1 == len(ph) || ph[k+1].Kind == 'p') { // "juntos en una foto no"
			return near
		}
		if p.Has("near") {
			near = k
		}
		if (not >= 0 && (p.Has("near") || p.Key == "by" || k == not+1 && p.Has("with")) || p.Has("apart")) && !r.NameLike(p) {
			return k
		}
	}
	if r.refuses(ph) {
		return 0
	}
	return -1
}

// refuses reports whether a sentence is no more than "no" and two names: "NO Ann/Bob".
func (r *Reader) refuses(ph []speech.Phrase) bool {
	names := 0
	for k := range ph {
		switch p := &ph[k]; {
		case r.NameLike(p):
			names++
		case k == 0 && !p.Has("not") && p.Key != "no", k > 0 && p.Kind == 'w' && !p.Has("and") && !p.Has("with"):
			return false
		}
	}
	return names == 2 && ph[0].Kind == 'w' && !r.NameLike(&ph[0])
}

// keepApart takes up a rule and says so.
func (r *Reader) keepApart(s *statements.Statement, sentence []speech.Phrase, ids []int) {
	if len(ids) != 2 {
		return
	}
	told := wording.Key("list.standApart")
	pair := people.Pair{One: ids[0], Other: ids[1], Frame: inNoFrame(speech.Flat(sentence))}
	if pair.Frame {
		told = "list.inNoPhotoTogether"
	}
	if r.AreApart(ids[0], ids[1]) { // as much as another line says already, or more
		k := slices.IndexFunc(r.Apart, func(a people.Pair) bool { return a.Of(ids[0], ids[1]) })
		if !pair.Frame || r.Apart[k].Frame {
			return
		}
		r.Apart = slices.Delete(r.Apart, k, k+1)
	}
	r.Apart = append(r.Apart, pair)
	r.took(s, sentence, wording.Say(told, r.And(ids)))
}

// inNoFrame reports whether words that keep two people apart speak of the photograph and not of who stands where in it:
// "must not be in the same photo", but not "fine in the same shot but not next to each other".
func inNoFrame(ph []speech.Phrase) bool {
	not := false
	for k := range ph {
		p := &ph[k]
		last := k+2 == len(ph) && ph[k+1].Has("not") // "in one photo: never"
		if (p.Has("apart") || p.Has("near") && (not || last)) && slices.ContainsFunc(words.List("one frame"), func(s string) bool { return strings.Contains(p.Key, s) }) {
			return true
		}
		not = not || p.Has("not")
	}
	return false
}
