package typed

import (
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"
)

// span is a stretch of a line.
type span struct {
	text string
	col  int // of its first character, from 1
}

// cut returns the bytes from i to j without the spaces around them.
func (s span) cut(i, j int) span {
	part := s.text[i:j]
	trimmed := strings.TrimLeftFunc(part, unicode.IsSpace)
	return span{
		text: strings.TrimRightFunc(trimmed, unicode.IsSpace),
		col:  s.col + utf8.RuneCountInString(s.text[:i+len(part)-len(trimmed)]),
	}
}

// trim takes characters from both ends.
func (s span) trim(cutset string) span {
	left := strings.TrimLeft(s.text, cutset)
	return span{strings.TrimRight(left, cutset), s.col + utf8.RuneCountInString(s.text[:len(s.text)-len(left)])}
}

// line is one line of the list.
type line struct {
	number   int
	span          // without bullet and number
	listed   bool // a bullet or number stood before it
	indented bool
	headed   bool // marked as a heading: #, ==, all between asterisks
	blank    bool
	ruler    bool // no letter or digit on it, or a comment
	before   bool // a blank line, or nothing, stands before it
	last     bool // a blank line, or nothing, stands after it
}

var (
	bullet   = regexp.MustCompile(`^(?:[-*•·–—▪▫►▸‣○●■□☐☑✓✔✗>»]+\s+|[•·▪▫►▸‣○●■□☐☑✓✔]+|\[[ xX]?\]\s*)`)
	numbered = regexp.MustCompile(`^(?:\(?#?\p{Nd}{1,3}\s*[.):、．]\)?(?:\s+|\z|\b|\pL)|#\p{Nd}{1,3}\s+|\p{Nd}{1,3}\s*[-–—]\s+)`)
	clock    = regexp.MustCompile(`^\p{Nd}{1,2}[:.hH]\p{Nd}{2}`)
	hash     = regexp.MustCompile(`^#{1,6}\s+`)
)

// split takes the content apart into lines.
func split(content string) []line {
	content = strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(content)
	var lines []line
	n := 0
	for text := range strings.SplitSeq(content, "\n") {
		n++
		lines = append(lines, newLine(n, text))
	}
	for i := range lines {
		lines[i].before = i == 0 || lines[i-1].blank || lines[i-1].ruler
		lines[i].last = i == len(lines)-1 || lines[i+1].blank || lines[i+1].ruler
	}
	return lines
}

func newLine(n int, text string) line {
	whole := span{text, 1}
	l := line{number: n, span: whole.cut(0, len(text))}
	l.blank = l.text == ""
	l.indented = l.col > 2
	if strings.HasPrefix(l.text, "//") || !strings.ContainsFunc(l.text, func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }) {
		l.ruler = !l.blank
		return l
	}
	if at := hash.FindStringIndex(l.text); at != nil && !numbered.MatchString(l.text) {
		l.span = l.cut(at[1], len(l.text)).trim("# ")
		l.headed = true
		return l
	}
	for range 3 { // "- [ ] 1. Rosa"
		at := bullet.FindStringIndex(l.text)
		if at == nil && !clock.MatchString(l.text) {
			if at = numbered.FindStringIndex(l.text); at != nil {
				// The letter that the pattern looks at is not a part of the number.
				r, size := utf8.DecodeLastRuneInString(l.text[:at[1]])
				if unicode.IsLetter(r) {
					at[1] -= size
				}
			}
		}
		if at == nil || at[1] == len(l.text) {
			break
		}
		l.span = l.cut(at[1], len(l.text))
		l.listed = true
	}
	for _, mark := range []string{"**", "__", "==", "--", "~~", "*", "_", "="} {
		if len(l.text) > 2*len(mark) && strings.HasPrefix(l.text, mark) && strings.HasSuffix(strings.TrimSuffix(l.text, ":"), mark) {
			colon := strings.HasSuffix(l.text, ":")
			l.span = l.trim(mark + ": ")
			l.headed = l.headed || mark != "*" && mark != "_" || !l.listed
			if colon {
				l.text += ":"
			}
			break
		}
	}
	return l
}

// colon finds the colon of a title or key: not that of a time of day.
func colon(s string) int {
	for i, c := range s {
		if c == '：' {
			return i
		}
		if c != ':' {
			continue
		}
		digit := func(b byte) bool { return b >= '0' && b <= '9' }
		if i > 0 && i+1 < len(s) && digit(s[i-1]) && digit(s[i+1]) {
			continue
		}
		return i
	}
	return -1
}

// word is a word of a span with its place in bytes.
type word struct {
	text       string // folded
	start, end int
}

// words splits at spaces.
func words(s string) []word {
	var out []word
	start := -1
	for i, r := range s {
		switch {
		case unicode.IsSpace(r):
			if start >= 0 {
				out = append(out, word{fold(s[start:i]), start, i})
			}
			start = -1
		case start < 0:
			start = i
		}
	}
	if start >= 0 {
		out = append(out, word{fold(s[start:]), start, len(s)})
	}
	return out
}
