// Package lines takes a list apart into lines: who wrote them in a chat, whether they ask or answer, their bullets,
// numbers, letters, boxes and cells. What their words mean is the business of others.
package lines

import (
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/words"
)

// The parts of a list with a section of guests, by line.
const (
	GuestHead = 'g' // "Guests:"
	PhotoHead = 'p' // "Photos:"
	GuestLine = 'n' // who is who
	SideLine  = 's' // whose people follow, in the section of guests: "Lado da Inês"
)

// Line is one line of a list without its bullets, numbers and boxes.
type Line struct {
	written
	asking
	Number int
	Raw    string // for places of problems
	off    int    // bytes of raw before text
	Text   string
	Indent int
	Mark   byte   // '-' bullet, '#' number, '[' box, 'A' letter, 't' time, or 0
	Bullet string // as written
	Label  string // the number or letter: "4", "D"
	Clock  string // of a time that stands first
	Heads  int    // number of # before a heading, or 1 for one in bold
	Blank  bool
	Ruler  bool
	Struck bool
	After  bool // a blank line stands before it
	Alias  bool // it says what letters mean
	Names  bool // it says who is meant by its letter: "B = Ruth, Samuel"
	Part   byte // of a list with a section of guests, or 0
	Cells  []string
	Spans  []int // where cells begin in text
	Above  *Line // the heading that stands before it on the line: "Who's who: ..."
}

var (
	boxForm    = regexp.MustCompile(`^(?:\[[ xX✓✔]?\]|☐|☑|☒|□|✓|✔|✅|❏|▢|[◻◽◼◾⬜⬛]\x{fe0f}?|_{2,}|_[^_\s]{1,4}_|_ )\s*`)
	bulletForm = regexp.MustCompile(`^(?:[-*•●○◯◆◇◦▪‣⁃∙·»>+–—▸►♥❤~→]|->|=>|o\s)\s*`)
	boldForm   = regexp.MustCompile(`^\*[^\s*](?:[^*]*[^\s*])?\*`) // "*Her side*", as messages write it
	barForm    = regexp.MustCompile(`^[▌▍▎▏┃❙❚█]+\s*`)
	bracketEnd = regexp.MustCompile(`\s*\([^()]*\)\s*:?\s*$`)
	ruledForm  = regexp.MustCompile(`^(?:={2,}\s*([^=]+?)\s*=*|(?:-{2,}|—{2,}|[*]{3,}|[+]{2,}|:{2,}|>{2,}|\.{3,}|•{2,})\s*(\S.*?)\s*(?:-{2,}|—{2,}|[*]{3,}|[+]{2,}|:{2,}|<{2,}|\.{3,}|•{2,}))\s*:?$`) // "== Her side ==", "--- Her side ---"
	numForm    = regexp.MustCompile(`^[#(]?(\p{Nd}{1,3}[a-z]?)(?:\s?[.):/、．]-?|\s-|-\s)\s*`)
	dayStart   = regexp.MustCompile(`^\d{1,2}(?:/\d{1,2}(?:/\d{2,4})?|\. ?\d{1,2}\. ?\d{4})(?:\D|$)`)
	numBare    = regexp.MustCompile(`^#(\d{1,3})\s+`)
	keyForm    = regexp.MustCompile(`^(?:(?:Group|Groupe|Gruppe|Grupo|Set|Lot|Team) )?([A-Z][A-Z0-9]{0,3}\p{Ll}?)\s*(?:\([^()]*\)\s*)?(=|:|[-–]\s)\s*`)
	saidFirst  = regexp.MustCompile(`^\pL{1,8}[.!]+\s+\d{1,3}[.)]\s`) // "Ok. 1. Ann + Bob"
	letterForm = regexp.MustCompile(`^([A-Za-z]|[IVX]{2,5}|[ivx]{2,5})[.)]\s+`)
	timeStart  = regexp.MustCompile(`^(?i)(\d{1,2})[:.h](\d{2})\s*(am|pm|uhr|h)?\s*[-–:]?\s+`)
	spanStart  = regexp.MustCompile(`^(?i)\d{1,2}[:.h]\d{2}\s*(?:am|pm|uhr|h)?\s*[-–]\s*\d{1,2}[:.h]\d{2}(?:\D|$)`)
	tableRule  = regexp.MustCompile(`^[\s|:+=-]+$`)
	emphasis   = regexp.MustCompile(`(^|[\s(])_(\pL[^_]*[^_\s])_`)                  // "_Couple:_ Ann & Bob"
	heartForm  = regexp.MustCompile(`^([^&+]*\pL\s*)[♥❤♡](\x{fe0f}?\s*\p{Lu}\pL+)`) // "Ann ♥ Bo"
	struckForm = regexp.MustCompile(`\B~~[^~]+~~(?: ?,)?`)
	mailForm   = regexp.MustCompile(`^\s*(?i:(?:subject|objet|sujet|betreff|asunto|assunto|oggetto|re|fwd?|aw|wg|tr|rv)\s*:\s*)+`) // above a mail
	naForm     = regexp.MustCompile(`(?i)^(?:_?\s*n\s?/\s?a(?:_|\b)|_no_|[(\[]\s*(?:none|n/a|no)\s*[)\]])`)
)

// Subject reports whether a line is the subject of a mail.
func (l *Line) Subject() bool { return mailForm.MatchString(l.Raw) }

// Split takes a text apart into lines.
func Split(content string) []Line {
	content = strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(content)
	var out []Line
	blank := true
	raws := strings.Split(content, "\n")
	chat, asks := chatOf(raws), asksAndAnswers(raws)
	for i, raw := range raws {
		l := Line{Number: i + 1, Raw: raw, After: blank}
		l.Blank = strings.TrimSpace(raw) == ""
		if chat != nil {
			l.written = chat[i]
		}
		if asks {
			l.written.cut = len(askForm.FindString(raw))
		} else if i < 8 && chat == nil {
			l.written.cut = len(mailForm.FindString(raw))
		}
		if !l.Blank {
			l.strip()
		}
		blank = l.Blank
		out = append(out, l)
	}
	for i := 1; i < len(out); i++ { // the header of a table
		if tableRule.MatchString(out[i].Raw) && strings.HasPrefix(out[i].Raw, "|") && out[i-1].Mark == '|' {
			out[i-1].Ruler = true
		}
	}
	answerRows(out)
	parts(out)
	countHan(out)
	countBare(out)
	countLettered(out)
	colonsBelow(out)
	barColumns(out)
	gapColumns(out)
	defineLetters(out)
	bulletsBelow(out)
	headsOfBlocks(out)
	for i := range out {
		out[i].headed()
	}
	return out
}

// defineLetters takes the letters off lines that say who is meant by them, "B = Ruth, Samuel", and "A: ..." where
// several lines that only join such letters follow.
func defineLetters(lines []Line) {
	keys, said := make(map[string]bool), false
	for i := range lines {
		if m := keyForm.FindStringSubmatch(lines[i].Text); m != nil && len(m[0]) < len(lines[i].Text) {
			keys[m[1]] = true
			said = said || strings.Contains(m[0], " "+m[1])
		} else if lines[i].Mark == 'A' {
			keys[lines[i].Label] = true
		}
	}
	joined, sets := 0, 0
	for i := range lines {
		n, called, before := 0, false, ""
		if lines[i].Mark == 'A' || lines[i].Blank {
			continue
		}
		for _, w := range strings.FieldsFunc(lines[i].Text, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }) {
			if keys[w] {
				n++
				called = called || callsSet(before)
			}
			before = w
		}
		if n > 1 && n >= len(strings.Fields(lines[i].Text))/3 || n > 0 && said {
			joined++
		}
		if called {
			sets++
		}
	}
	stand := joined > 2 && len(keys) > 2 || sets > 1 && len(keys) > 1
	for i := range lines {
		l := &lines[i]
		m := keyForm.FindStringSubmatch(l.Text)
		switch {
		case m != nil && len(m[0]) < len(l.Text) && (len(m[1]) == 1 || !stands(m[1])) && strings.Count(l.Text, "=") < 2 && (m[2] == "=" || stand):
			l.cut(len(m[0]))
			l.Mark, l.Label, l.Bullet, l.Names = 'A', m[1], "A", true
		case l.Mark == 'A' && stand:
			l.Names = true
		}
	}
}

// stands reports whether letters stand for people in every list: "MOB".
func stands(letters string) bool {
	return words.Capitals(letters) && slices.ContainsFunc(words.Find(names.Plain(letters)), func(w words.Word) bool {
		return slices.Contains([]string{"short", "couple", "half", "kin", "role", "group", "stands"}, w.Class)
	})
}

// callsSet reports whether a word before a letter says that it stands for several people: "with family A".
func callsSet(word string) bool {
	return slices.ContainsFunc(words.Find(names.Plain(word)), func(w words.Word) bool {
		return w.Class == "group" || w.Class == "kin" && w.Arg == "family"
	})
}

// cut takes n bytes off the front of the text.
func (l *Line) cut(n int) {
	l.off += n
	l.Text = l.Text[n:]
	rest := strings.TrimLeftFunc(l.Text, unicode.IsSpace)
	l.off += len(l.Text) - len(rest)
	l.Text = rest
}

// strip takes off what stands before the words: indentation, bullets, boxes, numbers, who wrote it and when.
func (l *Line) strip() {
	l.Text = strings.TrimRightFunc(l.Raw, unicode.IsSpace)
	for _, r := range l.Text {
		if r == '\t' {
			l.Indent += 4
		} else if unicode.IsSpace(r) || r == '\u3000' {
			l.Indent++
		} else {
			break
		}
	}
	l.Text = heartForm.ReplaceAllString(l.Text, "$1&  $2")
	l.cut(0)
	if l.written.cut > 0 {
		l.Text, l.off, l.Indent = l.Raw, 0, 0
		l.cut(l.written.cut)
		l.Text = strings.TrimRightFunc(l.Text, unicode.IsSpace)
		if m := saidFirst.FindString(l.Text); m != "" && l.By != "" {
			l.cut(len(m) - len(strings.TrimLeftFunc(m, func(r rune) bool { return !unicode.IsDigit(r) })))
		}
	}
	if l.empty || strings.HasPrefix(l.Text, "//") || strings.TrimFunc(l.Text, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }) == "" {
		l.Ruler = true
		return
	}
	if n := len(l.Text) - len(strings.TrimLeft(l.Text, "#")); n > 0 && n < 7 && strings.HasPrefix(l.Text[n:], " ") {
		l.Heads = n
		l.cut(n)
	}
	if m := ruledForm.FindStringSubmatchIndex(l.Text); m != nil {
		from, to := max(m[2], m[4]), max(m[3], m[5])
		l.Text, l.Heads = l.Text[:to], 1
		l.cut(from)
		return
	}
	if strings.HasPrefix(l.Text, "|") && strings.Count(l.Text, "|") > 2 {
		l.table()
		return
	}
	l.marks()
	l.unwrap()
	if strings.ContainsRune(l.Text, '\t') {
		l.Cells = strings.Split(l.Text, "\t")
		at := 0
		for _, c := range l.Cells {
			l.Spans = append(l.Spans, at)
			at += len(c) + 1
		}
	}
}

// marks takes off bullets, boxes, numbers and letters, several if need be.
func (l *Line) marks() {
	for range 3 {
		t := l.Text
		switch {
		case naForm.MatchString(t):
			l.Struck = true
			return
		case boxForm.MatchString(t):
			l.cut(len(boxForm.FindString(t)))
			l.Mark, l.Bullet = '[', "["
		case pictureBullet(t) > 0:
			l.cut(pictureBullet(t))
		case bulletForm.MatchString(t) && !strings.HasPrefix(t, "**") && !strings.HasPrefix(t, "~~") && !boldForm.MatchString(t):
			b := bulletForm.FindString(t)
			rest := t[len(b):]
			if first, _ := utf8.DecodeRuneInString(rest); b[0] == 'o' && unicode.IsLower(first) {
				return // "o pai, Luís"
			}
			if r, _ := utf8.DecodeRuneInString(rest); b == "+" || r == '+' && b == "+ " {
				return // "+ Dad" adds
			}
			if strings.TrimSpace(b) == "+" {
				return
			}
			l.cut(len(b))
			l.Mark, l.Bullet = '-', strings.TrimSpace(b)
		case timeStart.MatchString(t):
			m := timeStart.FindStringSubmatch(t)
			at, ok := words.Clock(m[1], m[2], m[3])
			if !ok {
				return
			}
			l.cut(len(m[0]))
			l.Mark, l.Clock, l.Bullet = 't', at, "t"
		case dayStart.MatchString(t), spanStart.MatchString(t): // "14/3/27, the barn", "14.3.2027", "15:15-16:00 rose garden"
			return
		case numForm.MatchString(t), numBare.MatchString(t):
			m := numForm.FindStringSubmatch(t)
			if m == nil {
				m = numBare.FindStringSubmatch(t)
			}
			l.cut(len(m[0]))
			l.Mark, l.Label, l.Bullet = '#', words.Numeral(m[1]), "#"
			l.equal()
		case letterForm.MatchString(t):
			m := letterForm.FindStringSubmatch(t)
			l.cut(len(m[0]))
			l.Mark, l.Label, l.Bullet = 'A', strings.ToUpper(m[1]), "A"
		default:
			return
		}
		if l.Text == "" {
			l.Ruler = true
			return
		}
	}
}

// equal takes the sign off "5. = 4 + Ann".
func (l *Line) equal() {
	if strings.HasPrefix(l.Text, "=") {
		l.cut(1)
	}
}

// pictureBullet is how many bytes of pictures stand before the words.
func pictureBullet(t string) int {
	n := 0
	for n < len(t) {
		r, size := utf8.DecodeRuneInString(t[n:])
		if !words.Pictured(r) && !(n > 0 && unicode.IsSpace(r)) {
			break
		}
		n += size
	}
	return n
}

// unwrap takes off the marks of bold and struck text.
func (l *Line) unwrap() {
	if head, ok := strings.CutPrefix(l.Text, "【"); ok && l.Mark == 0 && strings.HasSuffix(head, "】") && !strings.Contains(head, "【") { // 【女方】
		l.Heads = 2
		l.cut(len("【"))
		l.Text = strings.TrimSuffix(l.Text, "】")
	}
	if bar := barForm.FindString(l.Text); bar != "" && l.Mark == 0 { // ▍Her side
		l.Heads = 2
		l.cut(len(bar))
	}
	if strings.HasPrefix(l.Text, "~~") {
		l.Struck = true
	}
	l.Text = struckForm.ReplaceAllStringFunc(l.Text, func(s string) string { return strings.Repeat(" ", len(s)) }) // "Ann, ~~Bob~~, Cleo"
	bold := strings.HasPrefix(l.Text, "**") && strings.HasSuffix(strings.TrimRight(l.Text, ": "), "**") && l.Mark == 0
	one := boldForm.FindString(l.Text)
	bold = bold || l.Mark == 0 && one != "" && one == strings.TrimRight(bracketEnd.ReplaceAllString(l.Text, ""), ": ") // "*Her side* (at 3)"
	if bold {
		l.Heads = 1
	}
	clean := func(r rune) rune {
		if r == '*' || r == '~' {
			return ' '
		}
		return r
	}
	if k := strings.Index(l.Text, " *** "); k > 0 { // a remark follows
		l.Text = l.Text[:k] + "  -  " + l.Text[k+len(" *** "):]
	}
	l.Text = emphasis.ReplaceAllString(l.Text, "$1 $2 ")
	if strings.Contains(l.Text, "**") || strings.Contains(l.Text, "~~") || strings.HasPrefix(l.Text, "*") || strings.HasPrefix(l.Text, " ") {
		l.Text = strings.Map(clean, l.Text)
		l.cut(0)
	}
}

// table takes a row of a table between bars apart.
func (l *Line) table() {
	if tableRule.MatchString(l.Text) {
		l.Ruler = true
		return
	}
	l.Mark, l.Bullet = '|', "|"
	at := 1
	cells := strings.Split(strings.Trim(l.Text, "|"), "|")
	for _, c := range cells {
		lead := len(c) - len(strings.TrimLeft(c, " "))
		l.Spans = append(l.Spans, at+lead)
		l.Cells = append(l.Cells, strings.TrimSpace(c))
		at += len(c) + 1
	}
}

// Column is the place of a byte of the text, in characters of the line from 1.
func (l *Line) Column(at int) int {
	return 1 + utf8.RuneCountInString(l.Raw[:min(len(l.Raw), l.off+max(0, at))])
}

// Shown is a line without the mark before it, unless that says something.
func (l *Line) Shown() string {
	if l.Text == "" || l.Bullet == "+" || len(l.Cells) > 0 || l.Above != nil {
		return strings.TrimSpace(l.Raw)
	}
	return l.Text
}
