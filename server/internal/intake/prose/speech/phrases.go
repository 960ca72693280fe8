// Package speech reads what the words of a line say: phrases, the longest words that the languages of a list know, and
// terms, people by name or kin with their owners, roles, the couple, everybody, with what is said beside them. It asks
// the roll for names and tells it nothing.
package speech

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/words"
)

// Reader is how a list is written: its languages, its words and what its letters mean.
type Reader struct {
	people.Roll
	Lines       []lines.Line
	Tokens      [][]words.Token // by line
	Langs       map[string]int  // ranks of the languages that the list shows
	Main        string
	Lower       bool            // the list has hardly any capitals
	Loud        bool            // the line is in capitals, which say nothing
	Seen        map[string]bool // words of the list
	Aliases     map[string][]words.Word
	labels      map[string]int        // lines by their letters
	lowLetters  bool                  // these are small: "d) Ann, Bob"
	Counted     map[int]bool          // numbers that lines have
	headed      map[string]bool       // words before a colon with several people behind it
	headcounts  bool                  // numbers in brackets say how many people a line has
	Whole       map[string]words.Word // names and titles of several words, by how they are looked up
	Starts      map[string]bool       // the first tokens of these
	parted      map[[2]string]bool    // words with a mark between them: "Ann, Bea"
	firstBehind map[string]string     // what stands behind letters at first: "FOB Tony"
	Again       bool                  // all lines have been learned from
	Writes      string                // who writes and is not of the couple
	Child       string                // what whoever writes is to the couple: "child" or "grandchild", or ""
	Signed      int                   // the line with the names of the couple who sign, or -1
	WhoWrites   func() int            // who of the couple writes "my"
	spoken      map[*words.Word][]words.Word
}

// New is the reader of a list of whose people nothing is known but r.
func New(r people.Roll) Reader {
	return Reader{
		Roll: r, Langs: map[string]int{"en": 1, "other": 2}, spoken: make(map[*words.Word][]words.Word), Seen: make(map[string]bool), Aliases: make(map[string][]words.Word), labels: make(map[string]int),
		Counted: make(map[int]bool), headed: make(map[string]bool), Whole: make(map[string]words.Word), Starts: make(map[string]bool), Signed: -1, parted: make(map[[2]string]bool), firstBehind: make(map[string]string),
	}
}

// Phrase is one or several tokens with what they may mean; a bracket holds its own phrases.
type Phrase struct {
	words.Token
	Words  []words.Word // in the order of the languages of the list
	Inside []Phrase     // of a bracket
	Open   bool         // it is a bracket
	alone  bool         // an initial: the whole name of somebody
}

// Has reports whether a phrase has a meaning of a class.
func (p *Phrase) Has(class string) bool { _, ok := p.Word(class); return ok }

// AnyHas reports whether one of several phrases has a meaning of one of the classes.
func AnyHas(ph []Phrase, classes ...string) bool {
	for k := range ph {
		for _, class := range classes {
			if ph[k].Has(class) {
				return true
			}
		}
	}
	return false
}

// Word returns the meaning of a class.
func (p *Phrase) Word(class string) (words.Word, bool) {
	for _, w := range p.Words {
		if w.Class == class {
			return w, true
		}
	}
	return words.Word{}, false
}

// Phrases takes tokens together to the longest words that are known, and what is in brackets to one.
func (r *Reader) Phrases(tokens []words.Token) []Phrase {
	r.Effort.Spend(80 * len(tokens))
	tokens = r.Split(tokens)
	ends := words.Closings(tokens)
	var out []Phrase
	for i := 0; i < len(tokens); {
		if tokens[i].Key == "(" {
			if end := ends[i]; end > 0 {
				p := Phrase{Token: tokens[i], Open: true, Inside: r.Phrases(tokens[i+1 : end])}
				p.End = tokens[end].End
				out = append(out, p)
				i = end + 1
				continue
			}
		}
		n, ws := r.Longest(tokens[i:])
		if k, age := words.UnderAge(tokens[i:]); k > 0 {
			n, ws = k, []words.Word{{Class: "group", Arg: "under", Lang: "en", Text: age}}
		}
		p := Phrase{Token: tokens[i], Words: ws}
		if short := r.Spoken(words.Find(p.Key + "s")); p.Possessive && n == 1 && slices.ContainsFunc(short, func(w words.Word) bool { return w.Class == "remark" }) {
			p.Key, p.Words, p.Possessive, p.Capital = p.Key+"s", short, false, false // "she's" owns nothing
		}
		if n == 1 && strings.ContainsAny(p.Text, "äöüÄÖÜ") {
			p.Words = words.Umlauted(p.Words)
		}
		p.Capital = p.Capital && !(n == 1 && i > 0 && p.Has("month") && words.Listed("in a month", tokens[i-1].Key)) // "her operation was in May"
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
		if i+n < len(tokens)-1 && n == 1 && tokens[i+n].Key == "." && !tokens[i+n].Gap && p.joinsShort() {
			p.End = tokens[i+n].End
			n++
		}
		out = append(out, p)
		i += n
	}
	for k := range out {
		if r.friendOf(out, k) {
			w, _ := out[k].Word("half")
			out[k].Words = []words.Word{{Class: "kin", Arg: "partner", Sex: w.Sex, Lang: w.Lang, Text: out[k].Text}}
		}
	}
	return out
}

// joinsShort reports whether a word that joins people is written short, so that the point behind it ends no sentence: "u.", "m.", "v.".
func (p *Phrase) joinsShort() bool {
	return !p.Capital && words.Cased(p.Text) && (len(p.Key) == 1 || !strings.ContainsAny(p.Key, "aeiou")) && AnyHas([]Phrase{*p}, "and", "with", "of", "minus")
}

// Longest returns how many tokens the longest known words at the front have, and their meanings.
func (r *Reader) Longest(tokens []words.Token) (int, []words.Word) {
	if n, ws := r.wholeName(tokens); n > 0 {
		return n, ws
	}
	best, meaning := 1, r.Lexical(tokens[0])
	if len(r.Aliases) > 0 {
		key := ""
		for n := 0; n < min(4, len(tokens)); n++ {
			key = strings.TrimSpace(key + " " + tokens[n].Key)
			if ws := r.Aliases[key]; ws != nil && (ws[0].Class != "letter" && ws[0].Class != "stands" || tokens[0].Text == ws[0].Arg && !tokens[0].Possessive) {
				return n + 1, ws
			}
		}
	}
	if !words.Begins(tokens[0].Key) {
		return best, meaning
	}
	key := tokens[0].Key
	for n := 1; n < min(words.MostTokens, len(tokens)); n++ {
		if tokens[n-1].Possessive && n > 0 && tokens[n].Kind == 'w' {
			ws := r.Spoken(words.Find(key + " s " + tokens[n].Key))
			if key += " s"; len(ws) == 0 { // "only if there's time", which lists have as "theres"
				ws, key = r.Spoken(words.Find(key[:len(key)-2]+"s "+tokens[n].Key)), key[:len(key)-2]+"s"
			}
			if key += " " + tokens[n].Key; len(ws) > 0 {
				best, meaning = n+1, ws
				continue
			}
			break
		}
		if words.Listed("size", tokens[n].Key) && words.Listed("same frame", tokens[n-1].Key) { // "in the same small photo"
			continue
		}
		key += " " + tokens[n].Key
		if ws := r.Spoken(words.Find(key)); len(ws) > 0 && !(tokens[n].Possessive && ws[0].Class == "couple") {
			best, meaning = n+1, ws
		}
	}
	return best, meaning
}

// address are the kinds of kin by which families call their elders, in a language of their own if need be.
var address = map[string]bool{"grandparent": true, "aunt": true}

// Speak says which languages the list shows, by their ranks.
func (r *Reader) Speak(langs map[string]int) {
	r.Langs = langs
	clear(r.spoken)
}

// Spoken keeps the meanings of a word of the dictionary in languages that the list shows, the first language first.
// They are kept, since lists say the same words again: nobody changes them.
func (r *Reader) Spoken(ws []words.Word) []words.Word {
	if len(ws) == 0 {
		return nil
	}
	out, ok := r.spoken[&ws[0]]
	if !ok {
		out = r.inRank(ws)
		r.spoken[&ws[0]] = out
	}
	return out
}

// inRank are the meanings in languages that the list shows.
func (r *Reader) inRank(ws []words.Word) []words.Word {
	var out []words.Word
	for _, w := range ws {
		if r.Langs[w.Lang] > 0 || w.Class == "kin" && address[w.Arg] && len(w.Text) > 3 && !w.Plural {
			out = append(out, w)
		}
	}
	rank := func(w words.Word) int { return cmp.Or(r.Langs[w.Lang], 90) }
	slices.SortStableFunc(out, func(a, b words.Word) int { return cmp.Compare(rank(a), rank(b)) })
	return slices.Clip(out)
}

// initial reads a single letter as one of the couple: an initial of theirs, else B and G.
func (r *Reader) initial(p Phrase, tokens []words.Token, i int) Phrase {
	if p.Has("stands") && i > 0 && tokens[i-1].Kind == 'w' && tokens[i-1].Capital && !words.Capitals(tokens[i-1].Text) && len(r.Lexical(tokens[i-1])) == 0 {
		p.Words = nil // "Ollie S" is another
	}
	if p.Has("letter") || p.Has("stands") || !p.Capital || !words.Cased(p.Text) || i > 0 && tokens[i-1].Kind == 'w' && tokens[i-1].Capital && len(r.Lexical(tokens[i-1])) == 0 {
		return p
	}
	if h, ok := r.Initials[p.Key]; ok {
		g := &r.Guests[r.Couple[h-1]]
		p.Text, p.Words, p.alone = g.Given, nil, true
		p.Key = words.Key(g.Given)
		return p
	}
	_, line := r.labels[p.Text]
	if r.Honour >= 0 && !line && r.Couple[0] < 0 {
		if g := &r.Guests[r.Honour]; strings.HasPrefix(names.Plain(g.Given), p.Key) && len(r.ByName[p.Key]) == 0 {
			p.Text, p.Words, p.Key = g.Given, nil, words.Key(g.Given)
		}
	}
	if line || r.Couple[0] < 0 {
		return p
	}
	switch p.Key {
	case "b":
		p.Words = []words.Word{{Class: "half", Sex: 'w', Lang: "en", Text: "bride"}}
	case "g":
		p.Words = []words.Word{{Class: "half", Sex: 'm', Lang: "en", Text: "groom"}}
	}
	return p
}

// Lexical are the meanings of a token in the languages of the list.
func (r *Reader) Lexical(t words.Token) []words.Word {
	if ws := words.Find(t.Key); len(ws) > 0 {
		return r.Spoken(ws)
	}
	return r.inRank(words.Of(t.Key)) // made of others, anew each time
}

// letters reports whether a letter stands for another line: "D + F together".
func (r *Reader) letters(name string) bool {
	if len(name) > 5 || len(r.labels) == 0 || name != strings.ToUpper(name) && !(r.lowLetters && len(name) == 1) {
		return false
	}
	_, ok := r.labels[strings.ToUpper(name)]
	return ok
}

// Labelled reports whether a line has a letter or letters before it.
func (r *Reader) Labelled(label string) bool { _, ok := r.labels[label]; return ok }

// SaysUs reports whether a phrase is a word by which the couple speak of themselves.
func (p *Phrase) SaysUs() bool {
	w, ok := p.Word("couple")
	return ok && w.Arg == "us"
}

// LongLine is how many words and marks a line has that is running text and no line of a list; a shorter one is where it
// is of a letter, or another line of the list is that long.
const (
	LongLine  = 30
	ShortLine = 8
)

// Is reports whether a word has a meaning of a class.
func (r *Reader) Is(ts []words.Token, k int, class string) bool {
	return k >= 0 && k < len(ts) && slices.ContainsFunc(r.Lexical(ts[k]), func(w words.Word) bool { return w.Class == class })
}

// QuestionEnd is the mark behind the question of a line: a colon, or a question mark behind words that ask; it is the
// end of the line where there is none, and -1 where people are joined before it.
func (r *Reader) QuestionEnd(ph []Phrase) int {
	for k := 0; k < min(len(ph), 16); k++ {
		switch ph[k].Key {
		case ":", "=":
			return k
		case "?":
			if ph[0].Has("ask") || ph[0].Key == "¿" || k == len(ph)-1 || k < 4 {
				return k
			}
			return -1
		case ",", "+":
			if !ph[0].Has("ask") {
				return -1
			}
		}
		if details := k+1 < len(ph) && words.Listed("asked with", ph[k+1].Key); ph[k].Has("with") && !(k == 1 && ph[0].Has("ask")) && !details { // "Anyone with a wheelchair?", "nieces with ages:"
			return -1
		}
	}
	return len(ph)
}

// ColonAt is the first colon outside brackets that has words before it.
func ColonAt(ph []Phrase) int {
	for k := range ph {
		if (ph[k].Key == ":" || ph[k].Key == "=") && k > 0 {
			return k
		}
	}
	return -1
}

// Flat are phrases with those of brackets among them.
func Flat(ph []Phrase) []Phrase {
	var out []Phrase
	for _, p := range ph {
		if p.Open {
			out = append(out, Flat(p.Inside)...)
			continue
		}
		out = append(out, p)
	}
	return out
}

// Sentences divides phrases at points and semicolons, but for the points of a day: "12.6.", "12. Juni".
func Sentences(ph []Phrase) [][]Phrase {
	var out [][]Phrase
	from := 0
	for k := range ph {
		inside := k > 0 && k+1 < len(ph) && ph[k-1].Kind == 'n' && (ph[k+1].Kind == 'n' && !ph[k+1].Gap || ph[k+1].Has("month"))
		if end := ph[k].Key == "." && !inside || ph[k].Key == ";" || ph[k].Key == "!"; end || k == len(ph)-1 {
			out = append(out, ph[from:k+1])
			from = k + 1
		}
	}
	return out
}

// HourSaid is the time of day that a bare number stands for behind "until": 3 is in the afternoon, 1500 is 15:00.
func HourSaid(p *Phrase) Attribute {
	a := Attribute{Class: "number", Num: p.Num, Text: p.Text, Start: p.Start, End: p.End}
	if p.Num > 0 && p.Num < 24 {
		h := p.Num
		if h < 8 {
			h += 12
		}
		if at, ok := words.Clock(strconv.Itoa(h), "", ""); ok {
			a.Class, a.Arg = "time", at
		}
	}
	return a
}

// Speech is the reader itself, for those who have it within another.
func (r *Reader) Speech() *Reader { return r }
