package lines

import (
	"regexp"
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/words"
)

// written is who wrote a line of a chat; in the first line of a message cut bytes say so.
type written struct {
	By    string
	cut   int
	First bool
	empty bool // the line only says who wrote those below, or the program wrote it
}

// Stamps of exported chats: a date and a time in either order, or a time alone, in brackets or not.
const (
	clockPart = `\p{Nd}{1,2}[:.]\p{Nd}{2}(?:[:.]\p{Nd}{2})?(?:[\s\x{202f}\x{a0}]?(?:[aApP]\.?[\s\x{a0}]?[mM]\.?|م|ص|Uhr|h)(?:\b|$|\s|\]))?`
	datePart  = `\p{Nd}{1,4}[./-]\x{200f}?\p{Nd}{1,2}(?:[./-]\x{200f}?\p{Nd}{1,4})?\.?`
	between   = `[,،]?[\s\x{202f}\x{a0}]*(?:at |um |à |上午|下午|晚上|早上)?[\s\x{202f}]*`
	fullStamp = `(?:` + datePart + between + clockPart + `|` + clockPart + between + datePart + `)`
	opening   = `^[\x{200e}\x{200f}\x{feff}\s]*[\[(<]?\s*`
	sender    = `\s*[\])>]?\s*(?:[-–—]\s*)?([^:：\[\]]{1,40}?)\s*(?:：\s*|:(?:\s+|$))[\x{200e}\x{200f}]*`
)

var (
	stampedForm = regexp.MustCompile(opening + fullStamp + sender)
	systemForm  = regexp.MustCompile(opening + fullStamp + `\s*[\])>]?\s*[-–—]?\s`)
	timedForm   = regexp.MustCompile(opening + clockPart + sender)
	headedForm  = regexp.MustCompile(`^([^\[\]\p{Nd}:,;]{2,40}?)\s*[,:]?\s*[—–-]?\s*[\[(]?(?:\pL{2,10}\.?,?\s(?:at )?)?(?:` + fullStamp + `|` + clockPart + `)[\])]?:?\s*$`)
	spokenForm  = regexp.MustCompile(`^\s*([\pL][^:：,+&\p{Nd}]{1,30}?)\s*(?:：\s*|:\s+)`)
)

// chatOf finds out who wrote each line of a chat; it is nil for a list that is none.
func chatOf(raws []string) []written {
	for _, form := range []struct {
		*regexp.Regexp
		sure bool // one line of it makes a chat
	}{{stampedForm, true}, {timedForm, false}, {headedForm, false}, {spokenForm, false}} {
		out := make([]written, len(raws))
		count := make(map[string]int)
		lines := 0
		for i, raw := range raws {
			if strings.TrimSpace(raw) != "" {
				lines++
			}
			m := form.FindStringSubmatch(raw)
			if m == nil {
				continue
			}
			by := senderName(m[1])
			if _, given := words.Given(names.Plain(by)); by != "" && (form.sure || given || len(words.Find(names.Plain(by))) == 0) {
				out[i] = written{by, len(m[0]), true, strings.TrimSpace(raw[len(m[0]):]) == ""}
				count[by]++
			}
		}
		n := 0
		for _, k := range count {
			n += k
		}
		if n == 0 || !form.sure && (n < 4 || n < 2*len(count)) || form.Regexp == spokenForm && (n < lines || len(count) < 2 || !speaksOfSelf(raws)) {
			continue
		}
		return withBodies(out, raws)
	}
	return nil
}

// withBodies gives the lines of a message behind its first to whom wrote that.
func withBodies(out []written, raws []string) []written {
	by := ""
	for i := range out {
		switch {
		case out[i].First:
			by = out[i].By
		case systemForm.MatchString(raws[i]):
			out[i].empty = true
		default:
			out[i].By = by
		}
	}
	return out
}

// speaksOfSelf reports whether lines say "me", "us" or "my", as people do who write to each other.
func speaksOfSelf(raws []string) bool {
	return slices.ContainsFunc(raws, func(raw string) bool {
		return slices.ContainsFunc(words.Tokenize(raw), func(t words.Token) bool {
			return slices.ContainsFunc(words.Find(t.Key), func(w words.Word) bool { return w.Class == "self" || w.Class == "my" })
		})
	})
}

// senderName is a sender's name as people say it: without pictures, "~" and what stands in brackets.
func senderName(s string) string {
	s, _, _ = strings.Cut(s, "(")
	s = strings.Map(func(c rune) rune {
		if words.Pictured(c) || c == '~' || c == '*' {
			return -1
		}
		return c
	}, s)
	s = strings.TrimSpace(s)
	if strings.IndexFunc(s, words.InWord) < 0 {
		return ""
	}
	return s
}
