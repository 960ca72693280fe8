package prose

import (
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/words"
)

// line is one line of a list without its bullets, numbers and boxes.
type line struct {
	written
	asking
	number int
	raw    string // for places of problems
	off    int    // bytes of raw before text
	text   string
	indent int
	mark   byte   // '-' bullet, '#' number, '[' box, 'A' letter, 't' time, or 0
	bullet string // as written
	label  string // the number or letter: "4", "D"
	clock  string // of a time that stands first
	heads  int    // number of # before a heading, or 1 for one in bold
	blank  bool
	ruler  bool
	struck bool
	after  bool // a blank line stands before it
	alias  bool // it says what letters mean
	names  bool // it says who is meant by its letter: "B = Ruth, Samuel"
	part   byte // of a list with a section of guests, or 0
	cells  []string
	spans  []int // where cells begin in text
}

var (
	boxForm    = regexp.MustCompile(`^(?:\[[ xX✓✔]?\]|☐|☑|☒|□|✓|✔|✅|❏|▢|_{2,}|_[^_\s]{1,4}_|_ )\s*`)
	bulletForm = regexp.MustCompile(`^(?:[-*•●◦▪‣·»>+–—▸►♥❤~→]|->|=>|o\s)\s*`)
	numForm    = regexp.MustCompile(`^[#(]?(\d{1,3}[a-z]?)(?:\s?[.):/、．]-?|\s-)\s*`)
	numBare    = regexp.MustCompile(`^#(\d{1,3})\s+`)
	keyForm    = regexp.MustCompile(`^(?:(?:Group|Groupe|Gruppe|Grupo|Set|Lot|Team) )?([A-Z][A-Z0-9]{0,3})\s*(?:\([^()]*\)\s*)?(=|:|[-–]\s)\s*`)
	bareForm   = regexp.MustCompile(`^(\d{1,3})\s+`)
	letterKeys = regexp.MustCompile(`(?m)^\s*[A-Z]\s*=\s*\S`)
	letterForm = regexp.MustCompile(`^([A-Za-z]|[IVX]{2,5})[.)]\s+`)
	timeStart  = regexp.MustCompile(`^(?i)(\d{1,2})[:.h](\d{2})\s*(am|pm|uhr|h)?\s*[-–:]?\s+`)
	tableRule  = regexp.MustCompile(`^[\s|:+=-]+$`)
	naForm     = regexp.MustCompile(`(?i)^_?\s*n\s?/\s?a\b`)
)

// split takes a text apart into lines.
func split(content string) []line {
	content = strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(content)
	var out []line
	blank := true
	raws := strings.Split(content, "\n")
	chat, asks := chatOf(raws), asksAndAnswers(raws)
	for i, raw := range raws {
		l := line{number: i + 1, raw: raw, after: blank}
		l.blank = strings.TrimSpace(raw) == ""
		if chat != nil {
			l.written = chat[i]
		}
		if asks {
			l.written.cut = len(askForm.FindString(raw))
		}
		if !l.blank {
			l.strip()
		}
		blank = l.blank
		out = append(out, l)
	}
	countHan(out)
	countBare(out)
	defineLetters(out)
	return out
}

var hanForm = regexp.MustCompile(`^[一二三四五六七八九十]{1,3}[、.．]\s*`)

// countHan takes Chinese numbers off lines: those of photographs, or of headings when most lines have none.
func countHan(lines []line) {
	var at []int
	all := 0
	for i := range lines {
		if lines[i].blank || lines[i].ruler {
			continue
		}
		all++
		if hanForm.MatchString(lines[i].text) {
			at = append(at, i)
		}
	}
	if len(at) < 2 {
		return
	}
	for n, i := range at {
		l := &lines[i]
		l.cut(len(hanForm.FindString(l.text)))
		if 2*len(at) < all {
			l.heads = 2
		} else {
			l.mark, l.label, l.bullet = '#', strconv.Itoa(n+1), "#"
		}
	}
}

// countBare takes numbers without a mark behind them off lines that count on: "1 Mum", "2 Mum and Dad".
func countBare(lines []line) {
	next, run := 1, []int(nil)
	for i := range lines {
		m := bareForm.FindStringSubmatch(lines[i].text)
		if m == nil || lines[i].mark != 0 {
			continue
		}
		if n, err := strconv.Atoi(m[1]); err == nil && n == next {
			run = append(run, i)
			next++
		}
	}
	if len(run) < 3 {
		return
	}
	for _, i := range run {
		l, m := &lines[i], bareForm.FindStringSubmatch(lines[i].text)
		l.cut(len(m[0]))
		l.mark, l.label, l.bullet = '#', m[1], "#"
	}
}

// defineLetters takes the letters off lines that say who is meant by them, "B = Ruth, Samuel", and "A: ..." where
// several lines that only join such letters follow.
func defineLetters(lines []line) {
	keys, said := make(map[string]bool), false
	for i := range lines {
		if m := keyForm.FindStringSubmatch(lines[i].text); m != nil && len(m[0]) < len(lines[i].text) {
			keys[m[1]] = true
			said = said || strings.Contains(m[0], " "+m[1])
		} else if lines[i].mark == 'A' {
			keys[lines[i].label] = true
		}
	}
	joined := 0
	for i := range lines {
		n := 0
		if lines[i].mark == 'A' || lines[i].blank {
			continue
		}
		for _, w := range strings.FieldsFunc(lines[i].text, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }) {
			if keys[w] {
				n++
			}
		}
		if n > 1 && n >= len(strings.Fields(lines[i].text))/3 || n > 0 && said {
			joined++
		}
	}
	for i := range lines {
		l := &lines[i]
		m := keyForm.FindStringSubmatch(l.text)
		switch {
		case m != nil && len(m[0]) < len(l.text) && (len(m[1]) == 1 || len(words.Find(names.Plain(m[1]))) == 0) && strings.Count(l.text, "=") < 2 && (m[2] == "=" || joined > 2 && len(keys) > 2):
			l.cut(len(m[0]))
			l.mark, l.label, l.bullet, l.names = 'A', m[1], "A", true
		case l.mark == 'A' && joined > 2 && len(keys) > 2:
			l.names = true
		}
	}
}

// cut takes n bytes off the front of the text.
func (l *line) cut(n int) {
	l.off += n
	l.text = l.text[n:]
	rest := strings.TrimLeftFunc(l.text, unicode.IsSpace)
	l.off += len(l.text) - len(rest)
	l.text = rest
}

// strip takes off what stands before the words: indentation, bullets, boxes, numbers, who wrote it and when.
func (l *line) strip() {
	l.text = strings.TrimRightFunc(l.raw, unicode.IsSpace)
	for _, r := range l.text {
		if r == '\t' {
			l.indent += 4
		} else if unicode.IsSpace(r) || r == '\u3000' {
			l.indent++
		} else {
			break
		}
	}
	l.cut(0)
	if l.written.cut > 0 {
		l.text, l.off, l.indent = l.raw, 0, 0
		l.cut(l.written.cut)
		l.text = strings.TrimRightFunc(l.text, unicode.IsSpace)
	}
	if l.empty || strings.HasPrefix(l.text, "//") || strings.TrimFunc(l.text, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }) == "" {
		l.ruler = true
		return
	}
	if n := len(l.text) - len(strings.TrimLeft(l.text, "#")); n > 0 && n < 7 && strings.HasPrefix(l.text[n:], " ") {
		l.heads = n
		l.cut(n)
	}
	if strings.HasPrefix(l.text, "|") && strings.Count(l.text, "|") > 2 {
		l.table()
		return
	}
	l.marks()
	l.unwrap()
	if strings.ContainsRune(l.text, '\t') {
		l.cells = strings.Split(l.text, "\t")
		at := 0
		for _, c := range l.cells {
			l.spans = append(l.spans, at)
			at += len(c) + 1
		}
	}
}

// marks takes off bullets, boxes, numbers and letters, several if need be.
func (l *line) marks() {
	for range 3 {
		t := l.text
		switch {
		case naForm.MatchString(t):
			l.struck = true
			return
		case boxForm.MatchString(t):
			l.cut(len(boxForm.FindString(t)))
			l.mark, l.bullet = '[', "["
		case pictureBullet(t) > 0:
			l.cut(pictureBullet(t))
		case bulletForm.MatchString(t) && !strings.HasPrefix(t, "**"):
			b := bulletForm.FindString(t)
			rest := t[len(b):]
			if r, _ := utf8.DecodeRuneInString(rest); b == "+" || r == '+' && b == "+ " {
				return // "+ Dad" adds
			}
			if strings.TrimSpace(b) == "+" {
				return
			}
			l.cut(len(b))
			l.mark, l.bullet = '-', strings.TrimSpace(b)
		case timeStart.MatchString(t):
			m := timeStart.FindStringSubmatch(t)
			at, ok := words.Clock(m[1], m[2], m[3])
			if !ok {
				return
			}
			l.cut(len(m[0]))
			l.mark, l.clock, l.bullet = 't', at, "t"
		case numForm.MatchString(t), numBare.MatchString(t):
			m := numForm.FindStringSubmatch(t)
			if m == nil {
				m = numBare.FindStringSubmatch(t)
			}
			l.cut(len(m[0]))
			l.mark, l.label, l.bullet = '#', m[1], "#"
		case letterForm.MatchString(t):
			m := letterForm.FindStringSubmatch(t)
			l.cut(len(m[0]))
			l.mark, l.label, l.bullet = 'A', strings.ToUpper(m[1]), "A"
		default:
			return
		}
		if l.text == "" {
			l.ruler = true
			return
		}
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
func (l *line) unwrap() {
	if strings.HasPrefix(l.text, "~~") {
		l.struck = true
	}
	bold := strings.HasPrefix(l.text, "**") && strings.HasSuffix(strings.TrimRight(l.text, ": "), "**") && l.mark == 0
	if bold {
		l.heads = 1
	}
	clean := func(r rune) rune {
		if r == '*' || r == '~' {
			return ' '
		}
		return r
	}
	if strings.Contains(l.text, "**") || strings.Contains(l.text, "~~") || strings.HasPrefix(l.text, "*") {
		l.text = strings.Map(clean, l.text)
		l.cut(0)
	}
}

// table takes a row of a table between bars apart.
func (l *line) table() {
	if tableRule.MatchString(l.text) {
		l.ruler = true
		return
	}
	l.mark, l.bullet = '|', "|"
	at := 1
	cells := strings.Split(strings.Trim(l.text, "|"), "|")
	for _, c := range cells {
		lead := len(c) - len(strings.TrimLeft(c, " "))
		l.spans = append(l.spans, at+lead)
		l.cells = append(l.cells, strings.TrimSpace(c))
		at += len(c) + 1
	}
}

// column is the place of a byte of the text, in characters of the line from 1.
func (l *line) column(at int) int {
	return 1 + utf8.RuneCountInString(l.raw[:min(len(l.raw), l.off+max(0, at))])
}
