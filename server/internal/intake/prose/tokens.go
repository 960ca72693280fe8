package prose

import (
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"

	"kinorder.example/server/internal/intake/names"
)

// token is a word, number, time or mark of a line.
type token struct {
	text string
	key  string // as words are looked up
	s, e int    // bytes of the line
	kind byte   // 'w' word, 'n' number, 't' time of day, 'p' mark
	gap  bool   // there is a space before it
	cap  bool   // it begins with a capital
	poss bool   // "'s" or "s'" was taken off its end
	num  int    // of a number
}

var (
	elision  = regexp.MustCompile(`^([dl]['’])\p{L}`) // "les parents d'Inès"
	timeForm = regexp.MustCompile(`^(?i)(\d{1,2})(?:[:.h](\d{2})|h)?\s?(am|pm|uhr|h)?(?:\b|$)`)
)

// tokenize takes a text apart.
func tokenize(text string) []token {
	var out []token
	gap := false
	for i := 0; i < len(text); {
		r, size := utf8.DecodeRuneInString(text[i:])
		switch {
		case unicode.IsSpace(r):
			gap = true
			i += size
			continue
		case unicode.IsDigit(r):
			t := number(text, i)
			t.gap = gap
			out = append(out, t)
			i = t.e
		case inWord(r):
			t := wordAt(text, i)
			t.gap = gap
			out = append(out, t)
			i = t.e
		case pictured(r):
			i += size
			gap = true
			continue
		default:
			out = append(out, token{text: text[i : i+size], key: mark(r), s: i, e: i + size, kind: 'p', gap: gap})
			i += size
		}
		gap = false
	}
	return out
}

// mark writes the marks of all scripts as the plain ones.
func mark(r rune) string {
	switch r {
	case '，', '、', '،':
		return ","
	case '；', '؛':
		return ";"
	case '：':
		return ":"
	case '（', '[', '［', '{':
		return "("
	case '）', ']', '］', '}':
		return ")"
	case '＋':
		return "+"
	case '＆':
		return "&"
	case '–', '—', '−', '‐', '‑':
		return "-"
	case '。':
		return "."
	case '…':
		return "..."
	case '！':
		return "!"
	case '？', '؟':
		return "?"
	case '“', '”', '„', '«', '»':
		return `"`
	}
	return string(r)
}

// pictured reports whether a character is a picture or joins pictures.
func pictured(r rune) bool {
	return r >= 0x1f000 || r == 0x200d || r >= 0xfe00 && r <= 0xfe0f || r >= 0x2600 && r <= 0x27bf && r != '✓' && r != '✔' || r == 0x2b50 || r >= 0x1f1e6 && r <= 0x1f1ff || unicode.Is(unicode.Cf, r)
}

func inWord(r rune) bool { return unicode.IsLetter(r) || unicode.IsMark(r) }

// number takes a number, a time of day, or a word that begins with digits ("2Lt", "1st").
func number(text string, i int) token {
	if m := timeForm.FindStringSubmatch(text[i:]); m != nil && (m[2] != "" || m[3] != "" || strings.HasSuffix(strings.ToLower(m[0]), "h")) {
		if at, ok := clock(m[1], m[2], m[3]); ok {
			return token{text: text[i : i+len(m[0])], key: at, s: i, e: i + len(m[0]), kind: 't'}
		}
	}
	e, n := i, 0
	for e < len(text) {
		r, size := utf8.DecodeRuneInString(text[e:])
		if !unicode.IsDigit(r) {
			break
		}
		n = min(n*10+digit(r), 1_000_000)
		e += size
	}
	end := e
	for end < len(text) {
		r, size := utf8.DecodeRuneInString(text[end:])
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) || isHan(string(r)) {
			break
		}
		end += size
	}
	tail := names.Plain(text[e:end])
	if end > e && !unitWords[tail] {
		return token{text: text[i:end], key: names.Plain(text[i:end]), s: i, e: end, kind: 'w', cap: true}
	}
	return token{text: text[i:e], key: text[i:e], s: i, e: e, kind: 'n', num: n}
}

// unitWords stand behind a number without a space: "18mths", "20min".
var unitWords = map[string]bool{"mths": true, "mth": true, "mos": true, "mo": true, "months": true, "m": true, "yrs": true, "yr": true, "y": true, "yo": true, "j": true,
	"min": true, "mins": true, "ans": true, "an": true, "anos": true, "pers": true, "ppl": true, "x": true, "wks": true, "hrs": true, "hr": true, "years": true}

func digit(r rune) int {
	switch {
	case r >= '0' && r <= '9':
		return int(r - '0')
	case r >= 0x660 && r <= 0x669:
		return int(r - 0x660)
	case r >= 0x6f0 && r <= 0x6f9:
		return int(r - 0x6f0)
	case r >= 0xff10 && r <= 0xff19:
		return int(r - 0xff10)
	}
	return 0
}

// wordAt takes a word: letters and digits, apostrophes and hyphens inside it, and a possessive at its end.
func wordAt(text string, i int) token {
	e := i
	han := isHan(text[i:])
	if next, size := utf8.DecodeRuneInString(text[i+1:]); text[i] == 'd' && apostrophe(next) { // "parents d'Amélie"
		if name, _ := utf8.DecodeRuneInString(text[i+1+size:]); unicode.IsUpper(name) {
			return token{text: "de", key: "de", s: i, e: i + 1 + size, kind: 'w'}
		}
	}
	if (text[i] == 'x' || text[i] == 'X') && len(text) > i+1 && text[i+1] >= '1' && text[i+1] <= '9' {
		return newWord(text, i, i+1)
	}
	if m := elision.FindStringSubmatch(text[i:]); m != nil {
		return newWord(text, i, i+len(m[1]))
	}
	for e < len(text) {
		r, size := utf8.DecodeRuneInString(text[e:])
		if inWord(r) || unicode.IsDigit(r) {
			if isHan(text[e:]) != han && !(han && unicode.IsUpper(r) && lastLetter(text[e+size:])) { // 老K
				break
			}
			e += size
			continue
		}
		next, _ := utf8.DecodeRuneInString(text[e+size:])
		if (apostrophe(r) || r == '-' || r == '.') && e > i && inWord(next) && !han && (r != '.' || abbreviated(text[i:e], text[e+size:])) {
			e += size
			continue
		}
		if apostrophe(r) && strings.HasSuffix(text[i:e], "s") && !inWord(next) {
			return possessive(text, i, e, e+size)
		}
		break
	}
	for _, end := range []string{"'s", "’s", "'S", "’S", "ʼs", "`s", "´s"} {
		if base, ok := strings.CutSuffix(text[i:e], end); ok && base != "" {
			return possessive(text, i, i+len(base), e)
		}
	}
	return newWord(text, i, e)
}

// lastLetter reports whether no letter follows that is not Chinese.
func lastLetter(rest string) bool {
	r, _ := utf8.DecodeRuneInString(rest)
	return !inWord(r) || isHan(rest)
}

// abbreviated reports whether a point stands between single letters, as in "m.o.h".
func abbreviated(before, after string) bool {
	if k := strings.LastIndexByte(before, '.'); k >= 0 {
		before = before[k+1:]
	}
	end := strings.IndexFunc(after, func(r rune) bool { return !inWord(r) })
	if end < 0 {
		end = len(after)
	}
	return utf8.RuneCountInString(before) == 1 && utf8.RuneCountInString(after[:end]) == 1
}

func apostrophe(r rune) bool { return strings.ContainsRune("'’ʼ‘`´", r) }

func possessive(text string, i, base, e int) token {
	t := newWord(text, i, base)
	t.e, t.poss = e, true
	return t
}

func newWord(text string, i, e int) token {
	r, _ := utf8.DecodeRuneInString(text[i:])
	return token{text: text[i:e], key: names.Plain(text[i:e]), s: i, e: e, kind: 'w', cap: unicode.IsUpper(r)}
}

// cased reports whether the script of a word has capitals.
func cased(s string) bool {
	r, _ := utf8.DecodeRuneInString(s)
	return unicode.IsUpper(r) || unicode.IsLower(r)
}

// clock writes a time of day as HH:MM.
func clock(hours, minutes, half string) (string, bool) {
	h, m := 0, 0
	for _, r := range hours {
		h = h*10 + digit(r)
	}
	for _, r := range minutes {
		m = m*10 + digit(r)
	}
	switch half = strings.ToLower(half); {
	case half == "pm" && h < 12:
		h += 12
	case half == "am" && h == 12:
		h = 0
	}
	if h > 23 || m > 59 {
		return "", false
	}
	return string([]byte{byte('0' + h/10), byte('0' + h%10), ':', byte('0' + m/10), byte('0' + m%10)}), true
}

// equations divides "FG = Harper, RB = Knox".
func equations(tokens []token) [][]token {
	var out [][]token
	from, comma, signs := 0, 0, 0
	for k, t := range tokens {
		switch t.key {
		case "(":
			if k == 0 {
				return [][]token{tokens}
			}
		case ",", ";":
			comma = k
		case "=":
			if signs++; signs > 1 && comma > from {
				out = append(out, tokens[from:comma])
				from = comma + 1
			}
		}
	}
	return append(out, tokens[from:])
}
