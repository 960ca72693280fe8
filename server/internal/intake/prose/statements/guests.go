package statements

import (
	"regexp"
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// letterKeys is a line that says whom a letter stands for: "B = Ruth".
var letterKeys = regexp.MustCompile(`(?m)^\s*[A-Z]\s*=\s*\S`)

// GuestLines finds the section of guests: what stands under a heading for it, or under one for a side with kin named right
// below, up to one for photographs or to the first line that can only ask for a photograph. The names of its lines are taken whole, so that "Ana Costa e Silva" is one
// person wherever she stands.
func (r *Reader) GuestLines() {
	if slices.ContainsFunc(r.Lines, func(l lines.Line) bool { return letterKeys.MatchString(l.Raw) }) {
		return // its letters stand for people
	}
	in, kin, level := false, false, 0
	for i := range r.Lines {
		l := &r.Lines[i]
		if l.Blank || l.Ruler {
			continue
		}
		switch head := headOf(l.Text); {
		case head == lines.GuestHead:
			l.Part, in, kin, level = lines.GuestHead, true, false, l.Heads
			r.Formal = true
		case head == lines.PhotoHead && r.Formal:
			l.Part, in = lines.PhotoHead, false
		case r.namesSide(i) && (in || r.kinBelow(i)):
			l.Part, in, kin, r.Formal = lines.SideLine, true, kin || !in, true
		case in && (r.wantsPhotograph(i, !kin) || kin && l.Mark == '#' || l.Heads > 0 && l.Heads <= level):
			in = false
		case in && r.saysKin(i): // a sentence
		case in:
			l.Part = lines.GuestLine
			r.oneRow(i)
		}
	}
	for i := range r.Lines {
		if r.Lines[i].Part == lines.GuestLine {
			r.keepNames(r.Tokens[i])
		}
	}
}

// kinBelow reports whether kin are named right below a line, and photographs have a heading or numbers further down:
// "Tobias' side:", "stepdad Henry Vale", ..., "PHOTOS".
func (r *Reader) kinBelow(i int) bool {
	if i+1 >= len(r.Lines) || r.Lines[i+1].Blank || r.Lines[i+1].Mark == '#' || r.wantsPhotograph(i+1, false) {
		return false
	}
	ph := r.Heads(i + 1)
	if len(ph) < 2 || !ph[0].Has("kin") || !slices.ContainsFunc(ph[1:], func(p speech.Phrase) bool { return p.Capital && r.NameLike(&p) }) {
		return false
	}
	return slices.ContainsFunc(r.Lines[i+2:], func(l lines.Line) bool { return l.Mark == '#' || headOf(l.Text) == lines.PhotoHead })
}

// headOf is what a line that is only a heading stands over, or 0.
func headOf(text string) byte {
	if len(text) > 60 {
		return 0
	}
	key := names.Plain(strings.Trim(text, "#*=_: ：-"))
	head := byte(0)
	if at := strings.IndexAny(key, ",;.("); at > 0 && headOf(key[:at]) == lines.PhotoHead { // "shots, in this order"
		return lines.PhotoHead
	}
	for _, w := range words.Find(key) {
		switch {
		case w.Class == "guests" && !words.Listed("aside", key):
			return lines.GuestHead
		case w.Class == "photos":
			head = lines.PhotoHead
		}
	}
	return head
}

// wantsPhotograph reports whether a line of guests can only ask for a photograph: "couple with Ann", and "Ann + Bo" where a
// plus doesn't join kin who are told of, as in "Uncle Leif + Aunt Randi".
func (r *Reader) wantsPhotograph(i int, plus bool) bool {
	ph := r.Heads(i)
	if speech.ColonAt(ph) >= 0 {
		return false
	}
	return slices.ContainsFunc(ph, func(p speech.Phrase) bool {
		return plus && p.Key == "+" || (p.Has("couple") || p.Has("all")) && !r.NameLike(&p) || p.Has("minus") && p.Key != "-"
	})
}

// namesSide reports whether a line is short and has a word for a side or family, or is one for the bride or the groom, so that it may say
// whose people follow.
func (r *Reader) namesSide(i int) bool {
	ph := r.Heads(i)
	for len(ph) > 0 && ph[len(ph)-1].Key == ":" {
		ph = ph[:len(ph)-1]
	}
	side := false
	for k := range ph {
		w, _ := ph[k].Word("kin")
		side = side || ph[k].Has("side") || w.Arg == "family" || len(ph) == 1 && ph[k].Has("half")
		if ph[k].Kind != 'w' && ph[k].Key != "'" || ph[k].Open {
			return false
		}
	}
	return side && len(ph) < 6
}

// halfIn is which of the couple a line for a side names: by name or as bride or groom; 0 for nobody or both.
func (r *Reader) halfIn(i int) int {
	half := 0
	for _, t := range r.Tokens[i] {
		h := 0
		if t.Kind == 'w' && t.Capital || !words.Cased(t.Text) || r.Lower {
			if h = r.HalfNamed(t.Text); h == 0 {
				h = r.HalfNamed(strings.TrimSuffix(t.Text, "s")) // "Ilses Familie"
			}
		}
		for _, w := range r.Lexical(t) {
			if h == 0 && w.Class == "half" {
				h = r.HalfOf(w.Sex)
			}
		}
		if h != 0 && half != 0 && h != half {
			return 0
		}
		half = max(half, h)
	}
	return half
}

// oneRow takes the cells of a row of guests for what commas separate.
func (r *Reader) oneRow(i int) {
	l := &r.Lines[i]
	if len(l.Cells) < 2 || l.Mark == '|' {
		return
	}
	l.Cells = nil
	l.Text = strings.ReplaceAll(l.Text, "\t", ",")
	r.Tokens[i] = words.Tokenize(l.Text)
}

// keepNames takes the names of a line of guests, up to what is said of each, as words that belong together.
func (r *Reader) keepNames(tokens []words.Token) {
	if at := slices.IndexFunc(tokens, func(t words.Token) bool { return t.Key == ":" }); at > 0 && at+1 < len(tokens) {
		tokens = tokens[at+1:]
	}
	from, depth := 0, 0
	for i := 0; i <= len(tokens); i++ {
		ends := i == len(tokens)
		if !ends {
			t := tokens[i]
			switch {
			case t.Key == "(":
				depth++
				ends = true
			case t.Key == ")":
				depth = max(0, depth-1)
				ends = true
			case t.Kind == 'p' && t.Key != ".", t.Key == "-" && t.Gap, t.Kind == 'n':
				ends = true
			default:
				ends = r.joins(tokens, from, i)
			}
		}
		if !ends {
			continue
		}
		if depth == 0 || i < len(tokens) && tokens[i].Key == "(" && depth == 1 {
			r.keepName(tokens[from:i])
		}
		from = i + 1
	}
}

// joins reports whether a word stands between two names. "e" and "y" between several words and one are of the name.
func (r *Reader) joins(tokens []words.Token, from, i int) bool {
	if !slices.ContainsFunc(r.Lexical(tokens[i]), func(w words.Word) bool { return w.Class == "and" || w.Class == "with" }) {
		return false
	}
	last := i+2 == len(tokens) || i+2 < len(tokens) && tokens[i+2].Kind == 'p'
	return !((tokens[i].Key == "e" || tokens[i].Key == "y") && i-from > 1 && last)
}

// keepName keeps the words of a name together. What begins with kin, or means something as a whole, is none.
func (r *Reader) keepName(tokens []words.Token) {
	if len(tokens) == 0 || len(tokens) > words.MostTokens {
		return
	}
	var keys []string
	large := 0
	for k, t := range tokens {
		ws := r.Lexical(t)
		if t.Kind != 'w' && t.Key != "." || k == 0 && slices.ContainsFunc(ws, func(w words.Word) bool { return w.Class == "kin" || w.Class == "rank" || w.Class == "role" }) {
			return
		}
		if t.Capital || !words.Cased(t.Text) {
			large++
		} else if len([]rune(t.Text)) > 4 {
			return
		}
		keys = append(keys, t.Key)
	}
	key := strings.Join(keys, " ")
	if len(tokens) < 2 || large < 2 || words.IsHan(key) || len(r.Spoken(words.Find(key))) > 0 {
		return
	}
	for n := range keys { // "Best man Dan"
		if slices.ContainsFunc(r.Spoken(words.Find(strings.Join(keys[:n], " "))), func(w words.Word) bool { return w.Class == "role" }) {
			return
		}
	}
	r.Whole[key] = words.Word{}
	r.Starts[keys[0]] = true
	r.Known[key] = true
}

// guestKind is what a line that is about guests is, or -1 when its words have to tell.
func (r *Reader) guestKind(s *Statement) int {
	if s.saysWho > 0 {
		return s.saysWho
	}
	if r.headsKin(s) > 0 {
		return Heading
	}
	if r.Telling[s.Index] {
		return Definition
	}
	switch s.Line.Part {
	case lines.GuestHead, lines.PhotoHead:
		return Heading
	case lines.SideLine:
		if r.halfIn(s.Index) > 0 || s.Line.Heads > 0 || r.headsGuests(s) {
			return Heading
		}
		return Definition
	case lines.GuestLine:
		if s.Colon && (s.Phrases[0].Has("key") || s.Phrases[0].Has("couple") || s.Phrases[0].Has("half")) && s.Phrases[1].Key == ":" && !r.tellsKin(s.Tail.Terms) {
			return Title
		}
		if s.Line.Heads > 0 || r.headsGuests(s) {
			return Heading
		}
		return Definition
	}
	return -1
}

// headsGuests reports whether a line in the section of guests says whose people follow, or what they are.
func (r *Reader) headsGuests(s *Statement) bool {
	if s.Colon {
		return len(s.Tail.Terms)+len(s.Tail.Unknown)+len(s.Tail.Attrs) == 0
	}
	if len(s.Head.Terms) != 1 || len(s.Head.Unknown) > 0 {
		return false
	}
	t := s.Head.Terms[0]
	return len(t.Names) == 0 && (t.Kind == speech.Kin && (t.Word.Arg == "family" || t.Word.Plural && t.Owner == nil) || t.Kind == speech.Role && t.Word.Plural)
}
