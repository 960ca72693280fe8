package words

import (
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/kin"
)

// Token is a word, number, time or mark of a line.
type Token struct {
	Text       string
	Key        string // as words are looked up
	Start, End int    // bytes of the line
	Kind       byte   // 'w' word, 'n' number, 't' time of day, 'p' mark
	Gap        bool   // there is a space before it
	Capital    bool   // it begins with a capital
	Possessive bool   // "'s" or "s'" was taken off its end
	Num        int    // of a number
}

var (
	elision    = regexp.MustCompile(`^([dl]['’])\p{L}|^([DL]['’])(?:\p{Ll}{2}|[^s\P{Ll}])`) // "les parents d'Inès", "D'abord"
	elided     = regexp.MustCompile(`^([DL]['’])\p{Lu}[\p{Lu}\pM-]+$`)
	dateForm   = regexp.MustCompile(`^\d{1,2}\.\d{1,2}\.\d{2}`)
	calledForm = regexp.MustCompile(`^[阿老小大][A-Z][A-Za-z]+`) // 阿May
	timeForm   = regexp.MustCompile(`^(?i)(\d{1,2})(?:[:.h](\d{2})|h)?\s?(am|pm|uhr|h)?(?:\b|$)`)
)

// ahead is as much of a text as a form above looks at: a form takes time for all that it is given, and there is one at
// every word.
func ahead(text string, i int) string { return text[i:min(i+32, len(text))] }

// Tokenize takes a text apart.
func Tokenize(text string) []Token {
	var out []Token
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
			t.Gap = gap
			out = append(out, t)
			i = t.End
		case Pictured(r):
			if warns(r) && len(out) > 0 && strings.Count(ahead(text, i), " ") > 4 { // "Ann and Bob ⚠️ Bob and Cleo are not on one photo"
				out = append(out, Token{Text: text[i : i+size], Key: ".", Start: i, End: i + size, Kind: 'p', Gap: gap})
			}
			i += size
			gap = true
			continue
		case InWord(r):
			t := wordAt(text, i)
			t.Gap = gap
			out = append(out, t)
			i = t.End
		default:
			out = append(out, Token{Text: text[i : i+size], Key: mark(r), Start: i, End: i + size, Kind: 'p', Gap: gap})
			i += size
		}
		gap = false
	}
	return out
}

// warns reports whether a picture begins a sentence of its own.
func warns(r rune) bool { return strings.ContainsRune("⚠❗🚫⛔❌", r) }

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

// Pictured reports whether a character is a picture or joins pictures.
func Pictured(r rune) bool {
	return r >= 0x1f000 || r == 0x200d || r >= 0xfe00 && r <= 0xfe0f || r >= 0x2600 && r <= 0x27bf && r != '✓' && r != '✔' || r == 0x2b50 || r >= 0x1f1e6 && r <= 0x1f1ff || unicode.Is(unicode.Cf, r)
}

// InWord reports whether a character may be part of a word.
func InWord(r rune) bool { return unicode.IsLetter(r) || unicode.IsMark(r) }

// number takes a number, a time of day, or a word that begins with digits ("2Lt", "1st").
func number(text string, i int) Token {
	if m := timeForm.FindStringSubmatch(ahead(text, i)); m != nil && (m[2] != "" || m[3] != "" || strings.HasSuffix(strings.ToLower(m[0]), "h")) && !dateForm.MatchString(ahead(text, i)) {
		if at, ok := Clock(m[1], m[2], m[3]); ok {
			return Token{Text: text[i : i+len(m[0])], Key: at, Start: i, End: i + len(m[0]), Kind: 't'}
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
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) || IsHan(string(r)) {
			break
		}
		end += size
	}
	tail := names.Plain(text[e:end])
	if end > e && !unitWords[tail] {
		return Token{Text: text[i:end], Key: names.Plain(text[i:end]), Start: i, End: end, Kind: 'w', Capital: true}
	}
	return Token{Text: text[i:e], Key: text[i:e], Start: i, End: e, Kind: 'n', Num: n}
}

// Elided takes "D'" off a name in capitals behind a word that has a meaning: "FAMILLE D'INÈS", and not "ANN D'ARCY".
func Elided(ts []Token) []Token {
	for k := 1; k < len(ts); k++ {
		t := ts[k]
		if found := elided.FindStringSubmatch(t.Text); found != nil && len(Find(ts[k-1].Key)) > 0 {
			m := found[1]
			of := NewWord(t.Text, 0, len(m))
			of.Start, of.End, of.Gap = t.Start, t.Start+len(m), t.Gap
			name := NewWord(t.Text, len(m), len(t.Text))
			name.Start, name.End, name.Possessive = t.Start+len(m), t.End, t.Possessive
			ts = slices.Concat(ts[:k], []Token{of, name}, ts[k+1:])
		}
	}
	return ts
}

// Numeral writes the digits of all scripts as the plain ones.
func Numeral(s string) string {
	return strings.Map(func(r rune) rune {
		if d := digit(r); d > 0 || unicode.IsDigit(r) {
			return rune('0' + d)
		}
		return r
	}, s)
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
func wordAt(text string, i int) Token {
	e := i
	han := IsHan(text[i:])
	if m := calledForm.FindString(ahead(text, i)); m != "" {
		return NewWord(text, i, i+len(m))
	}
	if next, size := utf8.DecodeRuneInString(text[i+1:]); text[i] == 'd' && Apostrophe(next) { // "parents d'Amélie"
		if name, _ := utf8.DecodeRuneInString(text[i+1+size:]); unicode.IsUpper(name) {
			return Token{Text: "de", Key: "de", Start: i, End: i + 1 + size, Kind: 'w'}
		}
	}
	if (text[i] == 'x' || text[i] == 'X') && len(text) > i+1 && text[i+1] >= '1' && text[i+1] <= '9' {
		return NewWord(text, i, i+1)
	}
	if m := elision.FindStringSubmatch(ahead(text, i)); m != nil {
		return NewWord(text, i, i+len(m[1]+m[2]))
	}
	for e < len(text) {
		r, size := utf8.DecodeRuneInString(text[e:])
		if InWord(r) || unicode.IsDigit(r) {
			if IsHan(text[e:]) != han && !(han && unicode.IsUpper(r) && lastLetter(text[e+size:])) { // 老K
				break
			}
			e += size
			continue
		}
		next, _ := utf8.DecodeRuneInString(text[e+size:])
		if (Apostrophe(r) || r == '-' || r == '.') && e > i && InWord(next) && !han && (r != '.' || abbreviated(text[i:e], text[e+size:])) {
			e += size
			continue
		}
		if Apostrophe(r) && strings.HasSuffix(text[i:e], "s") && !InWord(next) {
			return possessive(text, i, e, e+size)
		}
		break
	}
	for _, end := range []string{"'s", "’s", "'S", "’S", "ʼs", "`s", "´s"} {
		if base, ok := strings.CutSuffix(text[i:e], end); ok && base != "" {
			return possessive(text, i, i+len(base), e)
		}
	}
	return NewWord(text, i, e)
}

// lastLetter reports whether no letter follows that is not Chinese.
func lastLetter(rest string) bool {
	r, _ := utf8.DecodeRuneInString(rest)
	return !InWord(r) || IsHan(rest)
}

// abbreviated reports whether a point stands between single letters, as in "m.o.h".
func abbreviated(before, after string) bool {
	if k := strings.LastIndexByte(before, '.'); k >= 0 {
		before = before[k+1:]
	}
	end := strings.IndexFunc(after, func(r rune) bool { return !InWord(r) })
	if end < 0 {
		end = len(after)
	}
	return utf8.RuneCountInString(before) == 1 && utf8.RuneCountInString(after[:end]) == 1
}

// Apostrophe reports whether a character is written as an apostrophe.
func Apostrophe(r rune) bool { return strings.ContainsRune("'’ʼ‘`´", r) }

func possessive(text string, i, base, e int) Token {
	t := NewWord(text, i, base)
	t.End, t.Possessive = e, true
	return t
}

// NewWord is the bytes i to e of a text as a word.
func NewWord(text string, i, e int) Token {
	r, _ := utf8.DecodeRuneInString(text[i:])
	return Token{Text: text[i:e], Key: names.Plain(text[i:e]), Start: i, End: e, Kind: 'w', Capital: unicode.IsUpper(r)}
}

// Cased reports whether the script of a word has capitals.
func Cased(s string) bool {
	r, _ := utf8.DecodeRuneInString(s)
	return unicode.IsUpper(r) || unicode.IsLower(r)
}

// Clock writes a time of day as HH:MM.
func Clock(hours, minutes, half string) (string, bool) {
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

// Equations divides "FG = Harper, RB = Knox", "FG=Harper RB=Knox", "maids: Ann, Bea    lads: Cal", and "Ann's parents: Rita, Gil. Bo's
// parents: Vera, Emil".
func Equations(tokens []Token) [][]Token {
	var out [][]Token
	from, comma, point, signs, colons := 0, 0, 0, 0, 0
	several := false // "Ann is 7. Mum: Rita / Dad: Gil"
	for k, t := range tokens {
		several = several || (t.Key == "/" || t.Key == "|") && t.Gap && slices.ContainsFunc(tokens[:k], func(t Token) bool { return t.Key == ":" }) && slices.ContainsFunc(tokens[k:], func(t Token) bool { return t.Key == ":" })
	}
	depth, sign := 0, 0
	cut := func(k, next int) {
		out, from = append(out, tokens[from:k]), next
	}
	for k, t := range tokens {
		if t.Key == ")" {
			depth--
		}
		if t.Key != "(" && depth > 0 {
			continue
		}
		switch t.Key {
		case "(":
			if depth++; k == 0 {
				return [][]Token{tokens}
			}
		case ",":
			comma = k
		case ".", ";", "|", "/":
			if (t.Key == "|" || t.Key == "/") && !t.Gap {
				continue
			}
			comma, point = k, k
		case ":":
			if colons++; (colons > 1 || several) && point > from && comma == point && point < k-1 {
				cut(point, point+1)
			} else if colons > 1 && k > from+3 && tokens[k-1].Start-tokens[k-2].End > 2 {
				cut(k-1, k-1)
			}
		case "=":
			if signs++; signs > 1 && comma > from {
				cut(comma, comma+1)
			} else if signs > 1 && k-2 > sign && tokens[k-1].Kind == 'w' && tokens[k-2].Kind != 'p' || k > from+3 && tokens[k-1].Start-tokens[k-2].End > 2 {
				cut(k-1, k-1)
			}
			sign = k
		}
	}
	return append(out, tokens[from:])
}

// Weight is the effort of a text in characters: others than ASCII take much longer to fold.
func Weight(text string) int {
	if kin.IsASCII(text) {
		return len(text)
	}
	return 4 * len(text)
}

// Capitals reports whether a word is a few capitals: "GM", "B".
func Capitals(text string) bool {
	return len(text) < 5 && text == strings.ToUpper(text) && text != strings.ToLower(text)
}

// IsLegend reports whether a line begins with a mark and what it means.
func IsLegend(raw string) bool {
	fields := strings.Fields(raw)
	return len(fields) > 2 && OnlyMarks(fields[0]) && Explains(fields[1])
}

// Explains reports whether a word stands between a mark and its meaning.
func Explains(f string) bool { return f == "=" || f == ":" || f == "means" }

// OnlyMarks reports whether a word is of marks and no letters, or one letter in brackets.
func OnlyMarks(f string) bool {
	f = strings.Trim(f, "()[]\ufe0f")
	return f != "" && len([]rune(f)) < 4 && !strings.ContainsFunc(f, func(r rune) bool { return InWord(r) || digit(r) > 0 || strings.ContainsRune("0-–=:|+&/", r) })
}

// Capitalize writes the first letter of a text large.
func Capitalize(s string) string {
	for i, c := range s {
		return strings.ToUpper(string(c)) + s[i+len(string(c)):]
	}
	return s
}
