package photographs

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/facts"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/statements"
	"kinorder.example/server/internal/intake/prose/words"
	"kinorder.example/server/internal/wording"
)

// doubted asks whether a word is a person that nothing says to be one: it stands once in the list, is no name that is often
// given, and no kin, role or form of address stands with it; and the list has no capitals, or other words beside it mean
// nothing.
func (r *Reader) doubted(t *speech.Term) {
	key := names.Plain(t.Name)
	_, given := words.Given(key)
	if t.Kind != speech.Person || given || t.Word.Class != "" || t.Rank != "" || strings.Contains(key, " ") || !words.Cased(key) || !r.SeenOnce(t.Name) || len(t.Guests) != 1 {
		return
	}
	if g := &r.Guests[t.Guests[0]]; g.Base || g.Half > 0 || names.Plain(g.Given) != key || r.Declared {
		return
	}
	if t.Name == strings.ToLower(t.Name) || t.Beside {
		r.At(t.Start, event.Warning, place.CodeAddedPerson, t.Name, wording.Say("list.isItAPerson", place.Quoted(t.Name)))
	}
}

// counted asks where a term says how many it stands for, and as many are not known. Both mothers are two, both sets of parents
// four, or two a side where somebody has a second husband or wife.
func (r *Reader) counted(p *Photograph, t *speech.Term, c *facts.Scope, ids []int) {
	n := t.Count
	if t.Kind == speech.Kin && n == 0 && len(t.Names) == 0 && !t.Minus && len(ids) > 1 && !r.HasEntry(ids) {
		switch {
		case t.Number > 1 && t.Word.Plural && t.Word.Arg != "family": // "the two families"
			n = t.Number
		case t.Word.Arg == "parent" && t.Word.Plural && len(r.Owners(t, c)) == 2:
			n = r.parentsOfBoth(p.Statement, t, ids)
		}
	}
	if n > 0 && len(ids) > 0 && n != len(ids) && t.Kind != speech.Person && !(len(ids) == 1 && r.Guests[ids[0]].Unnamed) && !p.All {
		r.At(t.Start, event.Warning, place.CodeCountDiffers, "", wording.Say("list.lineSaysPeopleAndAreKnown", n, len(ids)))
	}
}

// parentsOfBoth is how many words for parents of both of the couple stand for, or 0 where those who are known may be all.
func (r *Reader) parentsOfBoth(s *statements.Statement, t *speech.Term, ids []int) int {
	var sides [3]int
	for _, i := range ids {
		step := slices.ContainsFunc(r.Guests[i].Relations, func(x people.Relation) bool { return x.Word.Arg == "parent" && x.Word.Step })
		if !step {
			sides[r.Guests[i].SideOf]++
		}
	}
	each := 2
	if t.Word.Sex != 0 {
		each = 1
	}
	all := t.All || t.Every || t.Sets || t.Word.Sex != 0 || slices.ContainsFunc(s.Phrases, func(q speech.Phrase) bool {
		return q.End <= t.Start && q.End >= t.Start-1 && q.Has("fill") && !words.Listed("article", q.Key) // "both sets of"
	})
	if sides[1] == each && sides[2] == each || !all && sides[1] <= each && sides[2] <= each {
		return 0
	}
	return 2 * each
}
