// Package prose reads lists as people type them into a message. DEVELOPERS.md, "How a list is read", has the
// design: lines, tokens, phrases, what the whole list says of who is who, the kind of each line, and only then
// photographs, each from its own line and the roster. What it cannot tell it asks; it never makes a guest of a
// word that it does not know, and drops nothing in silence.
package prose

import (
	"slices"
	"strconv"
	"strings"

	"golang.org/x/text/unicode/norm"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/effort"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/words"
	"kinorder.example/server/internal/wording"
)

// reader reads one list.
type reader struct {
	album
}

// Read reads a list. base is an event whose people, circles and sides the list may refer to; its
// groupings come first. The content is UTF-8; problems say where. What it returns when m is used up is worth
// nothing.
func Read(m *effort.Meter, content string, base event.Event) place.Result {
	return newReader(m, base).read(content)
}

func (r *reader) read(content string) place.Result {
	// A long list is refused before anything is made of each of its lines.
	if len(content) > place.MaxContent || strings.Count(content, "\n") >= place.MaxLines {
		r.Tell(1, 0, event.Error, place.CodeTooLong, "", wording.Say("list.listIsLongerThanLinesOr", place.MaxLines, place.MaxContent>>10))
		return r.result()
	}
	r.lines = lines.Split(norm.NFC.String(content))
	r.Formal = len(r.Base.People) > 0
	r.clean()
	r.takeApart()
	r.formLines()
	r.guestLines()
	r.findCouple()
	for n := range 2 { // names that are learned last are known to all lines the second time
		r.again = n > 0
		r.statements()
		r.sections()
		for range 2 {
			for _, s := range r.stmts {
				r.learn(s)
			}
		}
	}
	r.day()
	r.photographs()
	r.tellTaken()
	r.finish()
	return r.result()
}

func newReader(m *effort.Meter, base event.Event) *reader {
	r := &reader{album: album{taken: make(map[int][]wording.Message), heard: make(map[[2]int]bool)}}
	r.talk = newTalk(people.New(m, base))
	r.whoWrites = r.writer
	r.fromBase()
	return r
}

// clean looks for characters that no list has, and for lines that are too long to be one.
func (r *reader) clean() {
	for i := range r.lines {
		l := &r.lines[i]
		if l.Blank {
			continue
		}
		if l.Ruler {
			r.Use(l.Number, place.Ruler)
			continue
		}
		if n := len([]rune(l.Text)); n > place.MaxLine {
			r.Tell(l.Number, 1, event.Error, place.CodeTooLong, "", wording.Say("list.lineHasCharactersFarMoreThan", n))
			r.Use(l.Number, place.Reported)
			l.Ruler = true
			continue
		}
		if at := strings.IndexFunc(l.Text, place.Invisible); at >= 0 {
			r.Tell(l.Number, l.Column(at), event.Warning, place.CodeNotUsed, "", wording.Say("list.invisibleCharacterStandsHere"))
			wipe := func(c rune) rune {
				if place.Invisible(c) {
					return ' '
				}
				return c
			}
			l.Text = strings.Map(wipe, l.Text)
			for k := range l.Cells {
				l.Cells[k] = strings.Map(wipe, l.Cells[k])
			}
		}
	}
}

// takeApart makes tokens of all lines and finds out what languages they are in.
func (r *reader) takeApart() {
	var all []words.Token
	r.tokens = make([][]words.Token, len(r.lines))
	small, large := 0, 0
	for i := range r.lines {
		l := &r.lines[i]
		if l.Blank || l.Ruler || !r.Effort.Spend(20*words.Weight(l.Text)) {
			continue
		}
		r.tokens[i] = words.Tokenize(l.Text)
		all = append(all, r.tokens[i]...)
		for _, w := range names.Words(l.By) {
			r.seen[w] = true
		}
		switch l.Mark {
		case 'A':
			r.labels[l.Label] = i
		case '#':
			n, _ := strconv.Atoi(l.Label)
			r.counted[n] = n > 0
		}
		for _, t := range r.tokens[i] {
			r.seen[t.Key] = true
			r.Times[t.Key]++
			if t.Kind == 'w' && words.Cased(t.Text) {
				if t.Capital {
					large++
				} else {
					small++
				}
			}
		}
	}
	r.langs = languages(all)
	best := 100
	for l, n := range r.langs {
		if n < best {
			r.main, best = l, n
		}
	}
	r.lower = small > 12*large
	r.findAliases()
}

// findAliases reads what the list says that its letters mean: "H&H = us", "BP = Brautpaar".
func (r *reader) findAliases() {
	for i := range r.tokens {
		if l := &r.lines[i]; l.Names {
			r.aliases[names.Plain(l.Label)] = []words.Word{{Class: "letter", Arg: l.Label, Text: l.Label}}
		}
		r.keyedPeople(i)
		for k, t := range r.tokens[i] {
			if t.Key != "=" || k == 0 || k > 4 || k+1 >= len(r.tokens[i]) {
				continue
			}
			var key []string
			for _, b := range r.tokens[i][:k] {
				key = append(key, b.Key)
			}
			n, ws := r.longest(r.tokens[i][k+1:])
			if end := k + 1 + n; end < len(r.tokens[i]) && r.tokens[i][end].Kind != 'p' || end+1 < len(r.tokens[i]) && r.tokens[i][end].Key == "&" {
				break // "GPs = Pop & Gigi": people
			}
			for _, w := range ws {
				if w.Class == "couple" || w.Class == "half" || w.Class == "kin" || w.Class == "role" {
					r.aliases[strings.Join(key, " ")] = []words.Word{w}
					r.lines[i].Alias = true
					break
				}
			}
			break
		}
	}
}

// keyedPeople reads who is meant by letters: "BOB = Hamish (11), GM = Granny Elspeth".
func (r *reader) keyedPeople(i int) {
	ts := r.tokens[i]
	for k := 1; k+1 < len(ts); k++ {
		key := ts[k-1]
		if ts[k].Key != "=" || !words.Capitals(key.Text) || k > 1 && ts[k-2].Kind == 'w' && ts[k-2].Key != "and" {
			continue
		}
		if slices.ContainsFunc(words.Find(key.Key), func(w words.Word) bool {
			return w.Class == "short" || w.Class == "couple" || w.Class == "role" && w.Arg != "groomsman"
		}) {
			continue // these say what they stand for
		}
		ph := r.phrasesOf(ts[k+1:])
		at := 0
		for at < len(ph) && !r.titleName(&ph[at]) && (ph[at].has("kin") || ph[at].has("rank")) {
			at++
		}
		if name, _ := r.nameAt(ph, at); name != "" {
			r.aliases[key.Key] = []words.Word{{Class: "stands", Arg: key.Text, Text: name}}
		}
	}
}
