package statements

import (
	"cmp"
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// listedAs is the list of the pronouns that a word is one of: those that are somebody by themselves.
func listedAs(key string) string {
	for _, list := range []string{"she", "he", "they"} {
		if words.Listed(list, key) && !slices.ContainsFunc(words.Find(key), func(w words.Word) bool {
			return w.Class == "her" || w.Class == "his" || w.Class == "both" || w.Class == "pron" && w.Lang == "en"
		}) {
			return list
		}
	}
	return ""
}

// called is a name that stands in tokens from one to another.
type called struct {
	tokens []words.Token
	owner  bool // of kin: "Ann's mum"
	at     int
}

// namesOf are the names in tokens.
func (r *Reader) namesOf(ts []words.Token) []called {
	r.Effort.Spend(20 * len(ts))
	var out []called
	name := func(k int) bool {
		return k < len(ts) && ts[k].Capital && r.NameLike(&speech.Phrase{Token: ts[k], Words: r.Lexical(ts[k])})
	}
	for k := 0; k < len(ts); k++ {
		if !name(k) {
			continue
		}
		end := k + 1
		for name(end) && !ts[end-1].Possessive {
			end++
		}
		last := ts[end-1]
		owner := last.Possessive || r.Is(ts, k-1, "of") && (r.Is(ts, k-2, "kin") || r.Is(ts, k-2, "role")) || strings.HasSuffix(last.Key, "s") && r.Main == "de" && r.Is(ts, end, "kin")
		out = append(out, called{ts[k:end], owner, k})
		k = end - 1
	}
	return out
}

// sexOf is the sex of who is called so, 0 where nothing tells it yet.
func (r *Reader) sexOf(c called) byte {
	var text []string
	for _, t := range c.tokens {
		text = append(text, t.Text)
	}
	name := strings.Join(text, " ")
	if ids := r.Find(name); len(ids) == 1 {
		g := &r.Guests[ids[0]]
		for _, sex := range []byte{'w', 'm'} {
			if g.Half > 0 && g.Half == r.HalfOf(sex) {
				return sex
			}
		}
		if g.Sex != 0 {
			return g.Sex
		}
	}
	return people.SexOf(name)
}

// pronounsNamed puts names for the pronouns of a sentence: of those named last whom a pronoun fits, in it or a sentence before. Where
// it isn't clear whom one means, it stays.
func (r *Reader) pronounsNamed(ts []words.Token, before [][]words.Token) []words.Token {
	var out []words.Token
	same := map[string][]called{} // "her mum, her dad"
	for k, t := range ts {
		key := t.Key
		list := listedAs(key)
		w, owns := r.owning(ts, k)
		unsaid := k == 0 && r.Is(ts, 0, "verb") && len(r.subjects(ts)) == 0 && speech.AnyHas(r.Phrases(ts), "apart") // "están divorciados"
		if unsaid {
			list = "they"
		}
		if list == "" && !owns || !r.Effort.Spend(50) {
			out = append(out, t)
			continue
		}
		if owns {
			list = w.Class
		} else if list == "she" && r.Main == "de" && k+1 < len(ts) && (words.Listed("are", ts[k+1].Key) || strings.HasSuffix(ts[k+1].Key, "en")) {
			list = "they" // "sie sind"
		}
		if list == "they" && len(r.subjects(ts)) > 0 {
			out = append(out, t)
			continue // "they don't speak to Ann"
		}
		who, known := same[list]
		if !known {
			kin, _ := r.kinAt(ts, k+1)
			who = r.lastMeant(out, before, list, w, kin)
		}
		same[list] = who
		if len(who) == 0 {
			out = append(out, t)
			continue
		}
		for n, c := range who {
			for m, x := range c.tokens {
				x.Start, x.End, x.Possessive = t.Start, t.End, owns && m+1 == len(c.tokens)
				out = append(out, x)
			}
			if n+1 < len(who) {
				out = append(out, words.Token{Text: "&", Key: "&", Kind: 'p', Start: t.Start, End: t.End, Gap: true})
			}
		}
		if unsaid {
			out = append(out, t)
		}
		if verb := map[string]string{"hes": "is", "shes": "is", "theyre": "are"}[strings.ReplaceAll(key, " ", "")]; verb != "" || t.Possessive && !owns {
			verb = cmp.Or(verb, "is")
			out = append(out, words.Token{Text: verb, Key: verb, Kind: 'w', Start: t.Start, End: t.End, Gap: true})
		}
	}
	return out
}

// lastMeant is whom a pronoun means of those named in its sentence up to it, else in the one before, and so on; nobody where it isn't clear,
// or the list may still tell.
func (r *Reader) lastMeant(here []words.Token, before [][]words.Token, list string, w, kin words.Word) []called {
	for n := len(before); n >= 0; n-- {
		from := here
		if n < len(before) {
			from = before[n]
		}
		switch who := r.meantIn(from, list, w, kin); {
		case list == "they" && len(who) == 2, len(who) == 1 && (r.Again || r.sexOf(who[0]) != 0):
			return who
		case len(who) > 0:
			return nil
		case list == "they" && len(r.subjects(from)) > 0 && n > 0 && n < len(before): // "Ann is his mum. Bo is his dad. They ..."
			if one, two := r.subjects(before[n-1]), r.subjects(from); len(one) == 1 && len(two) == 1 {
				return []called{one[0], two[0]}
			}
			return nil
		}
	}
	return nil
}

// owning is the word of whose kin follows that a token is: "her mum", "sus padres".
func (r *Reader) owning(ts []words.Token, k int) (words.Word, bool) {
	if _, kin := r.kinAt(ts, k+1); !kin {
		return words.Word{}, false
	}
	for _, w := range r.Lexical(ts[k]) {
		if w.Class == "her" || w.Class == "his" || w.Class == "their" {
			return w, true
		}
	}
	return words.Word{}, false
}

// kinAt is the kin or role that stands at a token or up to two behind it: "her little sister", "his half brother".
func (r *Reader) kinAt(ts []words.Token, k int) (words.Word, bool) {
	for n := k; n < min(k+3, len(ts)); n++ {
		ph := r.Phrases(ts[n:min(n+3, len(ts))])
		for _, w := range ph[0].Words {
			if w.Class == "kin" || w.Class == "role" {
				return w, true
			}
		}
		if ts[n].Capital || ts[n].Kind != 'w' {
			break
		}
	}
	return words.Word{}, false
}

// subjects are those named in a sentence who are not only owners of kin.
func (r *Reader) subjects(ts []words.Token) []called {
	return slices.DeleteFunc(r.namesOf(ts), func(c called) bool { return c.owner })
}

// meantIn is whom a pronoun means of those whom a sentence names: a "she" the last who is one, "they" the two of it. Whose kin is told
// is the one whom it fits, or all of those; partners and children are those of whoever it is about.
func (r *Reader) meantIn(ts []words.Token, list string, w, kin words.Word) []called {
	all, own := r.namesOf(ts), r.subjects(ts)
	near := kin.Arg == "partner" || kin.Arg == "child"
	sex := map[string]byte{"she": 'w', "her": 'w', "he": 'm', "his": 'm'}[list]
	fit := func(cs []called) []called {
		return slices.DeleteFunc(slices.Clone(cs), func(c called) bool { is := r.sexOf(c); return sex != 0 && is != 0 && is != sex })
	}
	switch {
	case list == "they":
		if len(own) == 2 {
			return own
		}
		return nil
	case list == "their" && w.Lang == "en" && kin.Arg != "child":
		return nil
	case list == "she", list == "he", near:
		if own = fit(own); len(own) > 0 {
			return own[len(own)-1:]
		}
		if all = fit(all); len(all) > 0 {
			return all[len(all)-1:]
		}
		return nil
	}
	if all = fit(all); len(all) < 2 {
		return all
	}
	for n, c := range all { // "Ann is Eva's mother and Bo is her father"
		if is, _ := r.kinAt(ts, c.at+len(c.tokens)); c.owner && is.Arg == kin.Arg {
			return all[n : n+1]
		} else if is, _ := r.kinAt(ts, max(0, c.at-2)); c.owner && is.Arg == kin.Arg {
			return all[n : n+1]
		}
	}
	return all
}
