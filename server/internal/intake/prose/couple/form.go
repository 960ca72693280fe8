package couple

import (
	"regexp"
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// formCouple reads the names that a form asks for: of both, of the bride and the groom, or of one partner and the other.
func (r *finder) formCouple() bool {
	var one, said [2]string
	for i := range r.Lines {
		l := &r.Lines[i]
		if l.Ask != lines.AsksCouple {
			continue
		}
		label := r.Heads(i)
		at := max(0, r.QuestionEnd(label))
		label, ph := label[:at], label[min(len(label), at+1):]
		for j := range r.Lines {
			if r.Lines[j].Answer == i+1 {
				label, ph = r.Heads(i), r.Heads(j)
			}
		}
		if a, b, ok := r.Pair(ph, 0); ok {
			r.setCouple(a, b, r.saidFirst(ph))
			return true
		}
		name, _ := r.NameAt(ph, 0)
		for k := range label {
			w, half := label[k].Word("half")
			p, partner := label[k].Word("partner")
			switch {
			case half && w.Sex == 'm', partner && p.Arg == "2":
				one[1], said[1] = name, strings.ToLower(w.Text)
			case half, partner:
				one[0], said[0] = name, strings.ToLower(w.Text)
			}
		}
	}
	return r.setBoth(one, said)
}

// setBoth enters a couple of whom each is named in a line, with what the lines call them: "" where not bride and groom.
func (r *finder) setBoth(one, said [2]string) bool {
	if one[0] == "" || one[1] == "" {
		return false
	}
	if said[0] == "" {
		r.setCouple(one[0], one[1], 0)
		r.callPartners()
		return true
	}
	r.setCouple(one[0], one[1], 'w')
	if r.Formal {
		r.Guests[r.Couple[0]].Relation, r.Guests[r.Couple[1]].Relation = said[0], said[1]
	}
	return true
}

// saidFirst is 'w' or 'm' where a bracket behind the first name of a pair says so: "Camille (la mariée) et Adrien".
func (r *finder) saidFirst(ph []speech.Phrase) byte {
	at := slices.IndexFunc(ph, func(p speech.Phrase) bool { return p.Open })
	if at < 1 || at > 3 {
		return 0
	}
	for _, p := range ph[at].Inside {
		if w, ok := p.Word("half"); ok {
			return w.Sex
		}
	}
	return 0
}

// callPartners writes the names for "P1" and "Partner 2" wherever they stand: before kin, they say whose it is.
func (r *finder) callPartners() {
	lettered := r.Seen["a"] && r.Seen["b"] && slices.ContainsFunc(r.Lines, func(l lines.Line) bool { return l.Ask == lines.AsksCouple && partnerLetter.MatchString(l.Text) })
	for i := range r.Tokens {
		ts := r.Tokens[i]
		var out []words.Token
		for k := 0; k < len(ts); k++ {
			n, arg := partnerAt(ts[k:])
			if n == 0 && lettered {
				n, arg = r.letterAt(ts, k)
			}
			owns := n > 0 && len(ts) > k+n+1 && words.Apostrophe([]rune(ts[k+n].Text)[0]) && ts[k+n+1].Key == "s"
			if n == 0 || r.Lines[i].Ask == lines.AsksCouple {
				out = append(out, ts[k])
				continue
			}
			g := &r.Guests[r.Couple[arg-1]]
			t := ts[k+n-1]
			if owns { // "Partner 1's"
				n += 2
			}
			t.Start, t.Gap, t.Kind, t.Capital, t.Text, t.Key, t.Possessive = ts[k].Start, ts[k].Gap, 'w', true, g.Given, words.Key(g.Given), t.Possessive || owns
			if k+n < len(ts) {
				_, ws := r.Longest(ts[k+n:])
				t.Possessive = t.Possessive || len(ws) > 0 && (ws[0].Class == "kin" || ws[0].Class == "role" || ws[0].Class == "side")
			}
			out = append(out, t)
			k += n - 1
		}
		r.Tokens[i] = out
	}
}

// partnerLetter is what asks for a partner by a letter: "Partner A:".
var partnerLetter = regexp.MustCompile(`^\S+ [AB]\b`)

// letterAt is partnerAt for the letter alone, where it owns somebody or stands as people do: "A's parents", "B with mother".
func (r *finder) letterAt(ts []words.Token, k int) (int, int) {
	if ts[k].Text != "A" && ts[k].Text != "B" {
		return 0, 0
	}
	joins := func(k int) bool {
		return k < 0 || k >= len(ts) || ts[k].Kind == 'p' || r.Is(ts, k, "with") || r.Is(ts, k, "and")
	}
	if !ts[k].Possessive && !(joins(k-1) && joins(k+1)) {
		return 0, 0
	}
	return 1, int(ts[k].Text[0]-'A') + 1
}

// partnerAt is how many tokens at the front stand for one of two partners, and which.
func partnerAt(ts []words.Token) (int, int) {
	key := ""
	for n := range min(2, len(ts)) {
		key = strings.TrimSpace(key + " " + ts[n].Key)
		for _, w := range words.Find(key) {
			if w.Class == "partner" {
				return n + 1, int(w.Arg[0] - '0')
			}
		}
	}
	return 0, 0
}
