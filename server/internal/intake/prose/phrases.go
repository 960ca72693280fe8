package prose

import (
	"cmp"
	"slices"
	"strings"
	"unicode/utf8"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/words"
)

// talk is how a list is written: its languages, its words and what its letters mean.
type talk struct {
	people.Roll
	lines     []lines.Line
	tokens    [][]words.Token // by line
	langs     map[string]int  // ranks of the languages that the list shows
	main      string
	lower     bool            // the list has hardly any capitals
	loud      bool            // the line is in capitals, which say nothing
	seen      map[string]bool // words of the list
	aliases   map[string][]words.Word
	labels    map[string]int        // lines by their letters
	counted   map[int]bool          // numbers that lines have
	whole     map[string]words.Word // names and titles of several words, by how they are looked up
	starts    map[string]bool       // the first tokens of these
	again     bool                  // all lines have been learned from
	writes    string                // who writes, in a list without a couple
	signed    int                   // the line with the names of the couple who sign, or -1
	whoWrites func() int            // who of the couple writes "my"
}

func newTalk(r people.Roll) talk {
	return talk{
		Roll: r, langs: map[string]int{"en": 1, "other": 2}, seen: make(map[string]bool), aliases: make(map[string][]words.Word), labels: make(map[string]int),
		counted: make(map[int]bool), whole: make(map[string]words.Word), starts: make(map[string]bool), signed: -1,
	}
}

// phrase is one or several tokens with what they may mean; a bracket holds its own phrases.
type phrase struct {
	words.Token
	ws     []words.Word // in the order of the languages of the list
	inside []phrase     // of a bracket
	open   bool         // it is a bracket
	alone  bool         // an initial: the whole name of somebody
}

func (p *phrase) has(class string) bool { _, ok := p.word(class); return ok }

// word returns the meaning of a class.
func (p *phrase) word(class string) (words.Word, bool) {
	for _, w := range p.ws {
		if w.Class == class {
			return w, true
		}
	}
	return words.Word{}, false
}

// languages ranks the languages that a list shows by how many of its words are theirs alone.
func languages(tokens []words.Token) map[string]int {
	score := make(map[string]float64)
	total := 0.0
	for _, t := range tokens {
		if t.Kind != 'w' {
			continue
		}
		if t.Capital && len(t.Text) < 4 && words.Cased(t.Text) {
			continue
		}
		seen := make(map[string]bool)
		for _, w := range words.Find(t.Key) {
			seen[w.Lang] = true
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
func (r *reader) phrasesOf(tokens []words.Token) []phrase {
	tokens = r.split(tokens)
	var out []phrase
	for i := 0; i < len(tokens); {
		if tokens[i].Key == "(" {
			if end := closing(tokens, i); end > 0 {
				p := phrase{Token: tokens[i], open: true, inside: r.phrasesOf(tokens[i+1 : end])}
				p.End = tokens[end].End
				out = append(out, p)
				i = end + 1
				continue
			}
		}
		n, ws := r.longest(tokens[i:])
		p := phrase{Token: tokens[i], ws: ws}
		if short := r.spoken(words.Find(p.Key + "s")); p.Possessive && n == 1 && slices.ContainsFunc(short, func(w words.Word) bool { return w.Class == "remark" }) {
			p.Key, p.ws, p.Possessive, p.Capital = p.Key+"s", short, false, false // "she's" owns nothing
		}
		if n == 1 && len([]rune(p.Key)) == 1 && p.Kind == 'w' {
			p = r.initial(p, tokens, i)
		}
		if n > 1 {
			last := tokens[i+n-1]
			p.End, p.Possessive = last.End, last.Possessive
			p.Kind = 'w'
			for _, t := range tokens[i+1 : i+n] {
				p.Key += " " + t.Key
				if t.Gap {
					p.Text += " "
				}
				p.Text += t.Text
			}
		}
		out = append(out, p)
		i += n
	}
	return out
}

// closing returns the token that closes the bracket at i.
func closing(tokens []words.Token, i int) int {
	depth := 0
	for k := i; k < len(tokens); k++ {
		switch tokens[k].Key {
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
func (r *reader) longest(tokens []words.Token) (int, []words.Word) {
	if n, ws := r.wholeName(tokens); n > 0 {
		return n, ws
	}
	best, meaning := 1, r.spoken(words.Of(tokens[0].Key))
	if len(r.aliases) > 0 {
		key := ""
		for n := 0; n < min(4, len(tokens)); n++ {
			key = strings.TrimSpace(key + " " + tokens[n].Key)
			if ws := r.aliases[key]; ws != nil && (ws[0].Class != "letter" && ws[0].Class != "stands" || tokens[0].Text == ws[0].Arg && !tokens[0].Possessive) {
				return n + 1, ws
			}
		}
	}
	if !words.Begins(tokens[0].Key) {
		if t := &tokens[0]; len(meaning) == 0 && t.Kind == 'w' && !r.lower && words.Cased(t.Text) && !r.Known[t.Key] && (!t.Capital || t.Start == 0) && r.Times[t.Key] < 2 {
			meaning = r.spoken(words.Slip(t.Key))
		}
		return best, meaning
	}
	key := tokens[0].Key
	for n := 1; n < min(words.MostTokens, len(tokens)); n++ {
		if tokens[n-1].Possessive && n > 0 && tokens[n].Kind == 'w' {
			key += " s"
			if ws := r.spoken(words.Find(key + " " + tokens[n].Key)); len(ws) > 0 {
				key += " " + tokens[n].Key
				best, meaning = n+1, ws
				continue
			}
			break
		}
		key += " " + tokens[n].Key
		if ws := r.spoken(words.Find(key)); len(ws) > 0 && !(tokens[n].Possessive && ws[0].Class == "couple") {
			best, meaning = n+1, ws
		}
	}
	return best, meaning
}

// address are the kinds of kin by which families call their elders, in a language of their own if need be.
var address = map[string]bool{"grandparent": true, "aunt": true}

// spoken keeps the meanings in languages that the list shows, the first language first.
func (r *reader) spoken(ws []words.Word) []words.Word {
	if len(ws) == 0 {
		return nil
	}
	out := make([]words.Word, 0, len(ws))
	for _, w := range ws {
		if r.langs[w.Lang] > 0 || w.Class == "kin" && address[w.Arg] && len(w.Text) > 3 && !w.Plural {
			out = append(out, w)
		}
	}
	rank := func(w words.Word) int {
		if n := r.langs[w.Lang]; n > 0 {
			return n
		}
		return 90
	}
	slices.SortStableFunc(out, func(a, b words.Word) int { return cmp.Compare(rank(a), rank(b)) })
	return out
}

// split takes apart what is written without spaces: Chinese, the Arabic "and" before a word.
func (r *reader) split(tokens []words.Token) []words.Token {
	var out []words.Token
	for _, t := range tokens {
		switch {
		case t.Kind == 'w' && words.IsHan(t.Text):
			out = append(out, r.splitHan(t)...)
		case t.Kind == 'w' && strings.HasPrefix(t.Text, "و") && len(t.Text) > 4 && len(words.Find(t.Key)) == 0:
			rest := words.NewWord(t.Text, len("و"), len(t.Text))
			_, given := words.Given(rest.Key)
			_, whole := words.Given(t.Key)
			behind := len(out) > 0 && !whole && (out[len(out)-1].Key == ")" || out[len(out)-1].Kind == 'w' && len(r.lexical(out[len(out)-1])) == 0)
			if len(words.Find(rest.Key)) == 0 && !r.seen[rest.Key] && !given && !behind {
				out = append(out, t)
				continue
			}
			rest.Start, rest.End = t.Start+len("و"), t.End
			out = append(out, words.Token{Text: "و", Key: "و", Start: t.Start, End: t.Start + len("و"), Kind: 'w', Gap: t.Gap}, rest)
		default:
			out = append(out, t)
		}
	}
	return out
}

// splitHan takes the longest known words out of a run of Chinese; what lies between is one token.
func (r *reader) splitHan(t words.Token) []words.Token {
	var out []words.Token
	runes := []rune(t.Text)
	at, from := t.Start, 0 // bytes; the start of what is not known
	flush := func(to int) {
		if from < to {
			text := string(runes[from:to])
			out = append(out, words.Token{Text: text, Key: text, Start: at - len(text), End: at, Kind: 'w', Gap: true})
		}
	}
	for i := 0; i < len(runes); {
		n := 0
		for k := min(words.LongestHan(), len(runes)-i); k > 0; k-- {
			key := string(runes[i : i+k])
			if len(words.Find(key)) > 0 && (k > 1 || hanAlone(words.Find(key)) || i == from && whoseBefore(out)) && !(from < i && (words.Find(key)[0].Class == "kin" || words.Find(key)[0].Class == "role") && r.seen[string(runes[from:i+k])] && !r.seen[string(runes[from:i])]) {
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
		out = append(out, words.Token{Text: text, Key: text, Start: at, End: at + len(text), Kind: 'w', Gap: true})
		at += len(text)
		i += n
		from = i
	}
	flush(len(runes))
	return out
}

// hanAlone reports whether a single character may be taken out of a name: only what joins and says whose.
func hanAlone(ws []words.Word) bool {
	for _, w := range ws {
		switch w.Class {
		case "and", "with", "minus", "of", "my", "your", "her", "his":
			return true
		}
	}
	return false
}

// whoseBefore reports whether the token taken last says whose, so that a single character may be kin: 我姐.
func whoseBefore(tokens []words.Token) bool {
	if len(tokens) == 0 {
		return false
	}
	return slices.ContainsFunc(words.Find(tokens[len(tokens)-1].Key), func(w words.Word) bool {
		return w.Class == "my" || w.Class == "your" || w.Class == "her" || w.Class == "his"
	})
}

// initial reads a single letter as one of the couple: an initial of theirs, else B and G.
func (r *reader) initial(p phrase, tokens []words.Token, i int) phrase {
	if p.has("stands") && i > 0 && tokens[i-1].Kind == 'w' && tokens[i-1].Capital && !words.Capitals(tokens[i-1].Text) && len(r.lexical(tokens[i-1])) == 0 {
		p.ws = nil // "Ollie S" is another
	}
	if p.has("letter") || p.has("stands") || !p.Capital || !words.Cased(p.Text) || i > 0 && tokens[i-1].Kind == 'w' && tokens[i-1].Capital && len(r.lexical(tokens[i-1])) == 0 {
		return p
	}
	if h, ok := r.Initials[p.Key]; ok {
		g := &r.Guests[r.Couple[h-1]]
		p.Text, p.ws, p.alone = g.Given, nil, true
		p.Key = words.Key(g.Given)
		return p
	}
	_, line := r.labels[p.Text]
	if r.Honour >= 0 && !line && r.Couple[0] < 0 {
		if g := &r.Guests[r.Honour]; strings.HasPrefix(names.Plain(g.Given), p.Key) && len(r.ByName[p.Key]) == 0 {
			p.Text, p.ws, p.Key = g.Given, nil, words.Key(g.Given)
		}
	}
	if line || r.Couple[0] < 0 {
		return p
	}
	switch p.Key {
	case "b":
		p.ws = []words.Word{{Class: "half", Sex: 'w', Lang: "en", Text: "bride"}}
	case "g":
		p.ws = []words.Word{{Class: "half", Sex: 'm', Lang: "en", Text: "groom"}}
	}
	return p
}

func (r *reader) lexical(t words.Token) []words.Word { return r.spoken(words.Of(t.Key)) }

// letters reports whether a letter stands for another line: "D + F together".
func (r *reader) letters(name string) bool {
	if len(name) > 5 || len(r.labels) == 0 || name != strings.ToUpper(name) {
		return false
	}
	_, ok := r.labels[strings.ToUpper(name)]
	return ok
}
