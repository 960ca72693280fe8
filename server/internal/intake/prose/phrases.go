package prose

import (
	"cmp"
	"slices"
	"strings"
	"unicode/utf8"

	"kinorder.example/server/internal/intake/names"
)

// phrase is one or several tokens with what they may mean; a bracket holds its own phrases.
type phrase struct {
	token
	ws     []word   // in the order of the languages of the list
	inside []phrase // of a bracket
	open   bool     // it is a bracket
	alone  bool     // an initial: the whole name of somebody
}

func (p *phrase) has(class string) bool { _, ok := p.word(class); return ok }

// word returns the meaning of a class.
func (p *phrase) word(class string) (word, bool) {
	for _, w := range p.ws {
		if w.class == class {
			return w, true
		}
	}
	return word{}, false
}

// languages ranks the languages that a list shows by how many of its words are theirs alone.
func languages(tokens []token) map[string]int {
	x := words()
	score := make(map[string]float64)
	total := 0.0
	for _, t := range tokens {
		if t.kind != 'w' {
			continue
		}
		if t.cap && len(t.text) < 4 && cased(t.text) {
			continue
		}
		seen := make(map[string]bool)
		for _, w := range x.words[t.key] {
			seen[w.lang] = true
		}
		for l := range seen {
			score[l] += 1 / float64(len(seen))
		}
		if len(seen) > 0 {
			total++
		}
	}
	ranked := make([]string, 0, len(score))
	for l := range score {
		ranked = append(ranked, l)
	}
	slices.SortFunc(ranked, func(a, b string) int { return cmp.Or(cmp.Compare(score[b], score[a]), cmp.Compare(a, b)) })
	rank := map[string]int{"en": 50, "other": 60, "ar": 70, "zh": 71}
	for i, l := range ranked {
		if l != "other" && (score[l] >= 0.12*total && score[l] >= 0.2*score[ranked[0]] || i == 0) {
			rank[l] = i + 1
		}
	}
	return rank
}

// phrasesOf takes tokens together to the longest words that are known, and what is in brackets to one.
func (r *reader) phrasesOf(tokens []token) []phrase {
	tokens = r.split(tokens)
	var out []phrase
	for i := 0; i < len(tokens); {
		if tokens[i].key == "(" {
			if end := closing(tokens, i); end > 0 {
				p := phrase{token: tokens[i], open: true, inside: r.phrasesOf(tokens[i+1 : end])}
				p.e = tokens[end].e
				out = append(out, p)
				i = end + 1
				continue
			}
		}
		n, ws := r.longest(tokens[i:])
		p := phrase{token: tokens[i], ws: ws}
		if short := r.spoken(words().words[p.key+"s"]); p.poss && n == 1 && slices.ContainsFunc(short, func(w word) bool { return w.class == "remark" }) {
			p.key, p.ws, p.poss, p.cap = p.key+"s", short, false, false // "she's" owns nothing
		}
		if n == 1 && len([]rune(p.key)) == 1 && p.kind == 'w' {
			p = r.initial(p, tokens, i)
		}
		if n > 1 {
			last := tokens[i+n-1]
			p.e, p.poss = last.e, last.poss
			p.kind = 'w'
			for _, t := range tokens[i+1 : i+n] {
				p.key += " " + t.key
				if t.gap {
					p.text += " "
				}
				p.text += t.text
			}
		}
		out = append(out, p)
		i += n
	}
	return out
}

// closing returns the token that closes the bracket at i.
func closing(tokens []token, i int) int {
	depth := 0
	for k := i; k < len(tokens); k++ {
		switch tokens[k].key {
		case "(":
			depth++
		case ")":
			if depth--; depth == 0 {
				return k
			}
		}
	}
	return -1
}

// longest returns how many tokens the longest known words at the front have, and their meanings.
func (r *reader) longest(tokens []token) (int, []word) {
	if n, ws := r.wholeName(tokens); n > 0 {
		return n, ws
	}
	x := words()
	best, meaning := 1, r.spoken(x.of(tokens[0].key))
	if len(r.aliases) > 0 {
		key := ""
		for n := 0; n < min(4, len(tokens)); n++ {
			key = strings.TrimSpace(key + " " + tokens[n].key)
			if ws := r.aliases[key]; ws != nil && (ws[0].class != "letter" && ws[0].class != "stands" || tokens[0].text == ws[0].arg && !tokens[0].poss) {
				return n + 1, ws
			}
		}
	}
	if !x.starts[tokens[0].key] {
		if t := &tokens[0]; len(meaning) == 0 && t.kind == 'w' && !r.lower && cased(t.text) && !r.known[t.key] && (!t.cap || t.s == 0) && r.times[t.key] < 2 {
			meaning = r.spoken(x.slip(t.key))
		}
		return best, meaning
	}
	key := tokens[0].key
	for n := 1; n < min(mostTokens, len(tokens)); n++ {
		if tokens[n-1].poss && n > 0 && tokens[n].kind == 'w' {
			key += " s"
			if ws := r.spoken(x.words[key+" "+tokens[n].key]); len(ws) > 0 {
				key += " " + tokens[n].key
				best, meaning = n+1, ws
				continue
			}
			break
		}
		key += " " + tokens[n].key
		if ws := r.spoken(x.words[key]); len(ws) > 0 && !(tokens[n].poss && ws[0].class == "couple") {
			best, meaning = n+1, ws
		}
	}
	return best, meaning
}

// address are the kinds of kin by which families call their elders, in a language of their own if need be.
var address = map[string]bool{"grandparent": true, "aunt": true}

// spoken keeps the meanings in languages that the list shows, the first language first.
func (r *reader) spoken(ws []word) []word {
	if len(ws) == 0 {
		return nil
	}
	out := make([]word, 0, len(ws))
	for _, w := range ws {
		if r.langs[w.lang] > 0 || w.class == "kin" && address[w.arg] && len(w.text) > 3 && !w.plural {
			out = append(out, w)
		}
	}
	rank := func(w word) int {
		if n := r.langs[w.lang]; n > 0 {
			return n
		}
		return 90
	}
	slices.SortStableFunc(out, func(a, b word) int { return cmp.Compare(rank(a), rank(b)) })
	return out
}

// split takes apart what is written without spaces: Chinese, the Arabic "and" before a word.
func (r *reader) split(tokens []token) []token {
	var out []token
	for _, t := range tokens {
		switch {
		case t.kind == 'w' && isHan(t.text):
			out = append(out, r.splitHan(t)...)
		case t.kind == 'w' && strings.HasPrefix(t.text, "و") && len(t.text) > 4 && len(words().words[t.key]) == 0:
			rest := newWord(t.text, len("و"), len(t.text))
			_, given := words().given[rest.key]
			_, whole := words().given[t.key]
			behind := len(out) > 0 && !whole && (out[len(out)-1].key == ")" || out[len(out)-1].kind == 'w' && len(r.lexical(out[len(out)-1])) == 0)
			if len(words().words[rest.key]) == 0 && !r.seen[rest.key] && !given && !behind {
				out = append(out, t)
				continue
			}
			rest.s, rest.e = t.s+len("و"), t.e
			out = append(out, token{text: "و", key: "و", s: t.s, e: t.s + len("و"), kind: 'w', gap: t.gap}, rest)
		default:
			out = append(out, t)
		}
	}
	return out
}

// splitHan takes the longest known words out of a run of Chinese; what lies between is one token.
func (r *reader) splitHan(t token) []token {
	x := words()
	var out []token
	runes := []rune(t.text)
	at, from := t.s, 0 // bytes; the start of what is not known
	flush := func(to int) {
		if from < to {
			text := string(runes[from:to])
			out = append(out, token{text: text, key: text, s: at - len(text), e: at, kind: 'w', gap: true})
		}
	}
	for i := 0; i < len(runes); {
		n := 0
		for k := min(x.han, len(runes)-i); k > 0; k-- {
			key := string(runes[i : i+k])
			if len(x.words[key]) > 0 && (k > 1 || hanAlone(x.words[key]) || i == from && whoseBefore(out)) && !(from < i && (x.words[key][0].class == "kin" || x.words[key][0].class == "role") && r.seen[string(runes[from:i+k])] && !r.seen[string(runes[from:i])]) {
				n = k
				break
			}
		}
		if n == 0 {
			at += utf8.RuneLen(runes[i])
			i++
			continue
		}
		flush(i)
		text := string(runes[i : i+n])
		out = append(out, token{text: text, key: text, s: at, e: at + len(text), kind: 'w', gap: true})
		at += len(text)
		i += n
		from = i
	}
	flush(len(runes))
	return out
}

// hanAlone reports whether a single character may be taken out of a name: only what joins and says whose.
func hanAlone(ws []word) bool {
	for _, w := range ws {
		switch w.class {
		case "and", "with", "minus", "of", "my", "your", "her", "his":
			return true
		}
	}
	return false
}

// whoseBefore reports whether the token taken last says whose, so that a single character may be kin: 我姐.
func whoseBefore(tokens []token) bool {
	if len(tokens) == 0 {
		return false
	}
	return slices.ContainsFunc(words().words[tokens[len(tokens)-1].key], func(w word) bool {
		return w.class == "my" || w.class == "your" || w.class == "her" || w.class == "his"
	})
}

// initial reads a single letter as one of the couple: an initial of theirs, else B and G.
func (r *reader) initial(p phrase, tokens []token, i int) phrase {
	if p.has("stands") && i > 0 && tokens[i-1].kind == 'w' && tokens[i-1].cap && !capitals(tokens[i-1].text) && len(r.lexical(tokens[i-1])) == 0 {
		p.ws = nil // "Ollie S" is another
	}
	if p.has("letter") || p.has("stands") || !p.cap || !cased(p.text) || i > 0 && tokens[i-1].kind == 'w' && tokens[i-1].cap && len(r.lexical(tokens[i-1])) == 0 {
		return p
	}
	if h, ok := r.initials[p.key]; ok {
		g := &r.guests[r.couple[h-1]]
		p.text, p.ws, p.alone = g.given, nil, true
		p.key = keyOf(g.given)
		return p
	}
	_, line := r.labels[p.text]
	if r.honour >= 0 && !line && r.couple[0] < 0 {
		if g := &r.guests[r.honour]; strings.HasPrefix(names.Plain(g.given), p.key) && len(r.byName[p.key]) == 0 {
			p.text, p.ws, p.key = g.given, nil, keyOf(g.given)
		}
	}
	if line || r.couple[0] < 0 {
		return p
	}
	switch p.key {
	case "b":
		p.ws = []word{{class: "half", sex: 'w', lang: "en", text: "bride"}}
	case "g":
		p.ws = []word{{class: "half", sex: 'm', lang: "en", text: "groom"}}
	}
	return p
}

func (r *reader) lexical(t token) []word { return r.spoken(words().of(t.key)) }

// letters reports whether a letter stands for another line: "D + F together".
func (r *reader) letters(name string) bool {
	if len(name) > 5 || len(r.labels) == 0 || name != strings.ToUpper(name) {
		return false
	}
	_, ok := r.labels[strings.ToUpper(name)]
	return ok
}
