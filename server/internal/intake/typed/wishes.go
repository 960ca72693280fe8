package typed

import (
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"kinorder.example/server/internal/event"
)

// wishes is what a line says about its photograph besides who is in it.
type wishes struct {
	priority event.Priority
	ranked   bool // the line says the priority itself
	pin      event.Pin
	times    int // how many photographs of the same people, from 1
	minutes  *float64
	frames   int
	people   int // how many the line says there are, 0 when it does not
	peopleAt span
	notes    []span // in brackets or behind a dash, not understood
}

var (
	timesWord   = regexp.MustCompile(`^(?:[x×*]\s*([1-9])|([1-9])\s*(?:x|×|times|vezes|veces|fois|mal))$`)
	minutesWord = regexp.MustCompile(`^(\d{1,3}(?:[.,]\d)?)\s*(?:min|mins|minute|minutes|minuto|minutos|minuten|m|'|′)\.?$`)
	framesWord  = regexp.MustCompile(`^(\d{1,3})\s*(?:frames|frame|exposures|takes)$`)
	peopleWord  = regexp.MustCompile(`^(?:approx\.?|about|ca\.?|~)?\s*(\d{1,4})\s*(?:people|persons|person|pax|ppl|guests|total|in total|pessoas|personas|personnes|personen|人)?$`)
)

// wish understands one remark, and returns false when it is something else.
func (w *wishes) wish(s span) bool {
	words := strings.Trim(fold(s.text), " .,;:-–—*")
	k := keyOf(s.text)
	switch {
	case words == "":
		return strings.Contains(s.text, "!") && w.rank(event.Must)
	case mustWords.holds(k):
		return w.rank(event.Must)
	case niceWords.holds(k):
		return w.rank(event.Nice)
	case shouldWords.holds(k):
		return w.rank(event.Should)
	case firstWords.holds(k):
		w.pin = event.PinFirst
		return true
	case lastWords.holds(k):
		w.pin = event.PinLast
		return true
	}
	if m := timesWord.FindStringSubmatch(words); m != nil {
		w.times, _ = strconv.Atoi(m[1] + m[2])
		return true
	}
	if m := minutesWord.FindStringSubmatch(words); m != nil {
		if v, err := strconv.ParseFloat(strings.Replace(m[1], ",", ".", 1), 64); err == nil && v > 0 && v <= 240 {
			w.minutes = &v
			return true
		}
	}
	if m := framesWord.FindStringSubmatch(words); m != nil {
		if n, err := strconv.Atoi(m[1]); err == nil && n > 0 && n <= 500 {
			w.frames = n
			return true
		}
	}
	if m := peopleWord.FindStringSubmatch(words); m != nil {
		w.people, _ = strconv.Atoi(m[1])
		w.peopleAt = s
		return true
	}
	return false
}

func (w *wishes) rank(p event.Priority) bool {
	w.priority, w.ranked = p, true
	return true
}

// brackets are pairs that enclose remarks.
var brackets = map[rune]rune{'(': ')', '[': ']', '{': '}', '（': '）', '【': '】'}

// bracketed is what stands in brackets, and where.
type bracketed struct {
	span
	lead span // the end of what stood before it
}

// before returns the entry behind which it stood, an empty one when there is none.
func (b bracketed) before() span { return lastPart(b.lead) }

// takeBrackets takes what stands in brackets out of a text and leaves as many spaces, so that columns
// stay right. A bracket that is not closed encloses the rest.
func takeBrackets(s span) (span, []bracketed) {
	var out strings.Builder
	var inside []bracketed
	from, n := 0, -1
	var lead span
	var closing rune
	for i, r := range s.text {
		n++
		switch {
		case closing == 0 && brackets[r] != 0:
			from, closing = i+utf8.RuneLen(r), brackets[r]
			lead = tail(span{out.String(), s.col}, n)
			out.WriteByte(' ')
		case closing != 0 && r == closing:
			closing = 0
			inside = append(inside, bracketed{s.cut(from, i), lead})
			out.WriteByte(' ')
		case closing != 0:
			out.WriteByte(' ')
		default:
			out.WriteRune(r)
		}
	}
	if closing != 0 {
		inside = append(inside, bracketed{s.cut(from, len(s.text)), lead})
	}
	return span{strings.TrimRight(out.String(), " "), s.col}, inside
}

// tail returns the end of a text of n characters, longer than any entry can be.
func tail(s span, n int) span {
	const most = 200
	from := max(0, len(s.text)-most)
	for from > 0 && !utf8.RuneStart(s.text[from]) {
		from--
	}
	return span{s.text[from:], s.col + n - utf8.RuneCountInString(s.text[from:])}
}

// lastPart returns the last entry of a text.
func lastPart(s span) span {
	if at := strings.LastIndexAny(s.text, ":："); at >= 0 {
		s = s.cut(at, len(s.text)).trim(":： ")
	}
	ps := parts(s)
	if len(ps) == 0 {
		return span{}
	}
	return ps[len(ps)-1].span
}

// takeTrailing takes remarks from the end of a line that stand there without brackets: "x2", "if
// time", "- must", "!!".
func (w *wishes) takeTrailing(s span) span {
	for range 4 {
		if t := strings.TrimRight(s.text, "! "); len(t) < len(strings.TrimRight(s.text, " ")) && t != "" {
			w.rank(event.Must)
			s.text = t
			continue
		}
		ws := words(s.text)
		found := false
		for k := max(1, len(ws)-6); k < len(ws) && !found; k++ {
			tail := s.cut(ws[k].start, len(s.text))
			lead := strings.TrimRight(s.text[:ws[k].start], " ")
			apart := strings.HasSuffix(lead, ",") || strings.HasSuffix(lead, "-") || strings.HasSuffix(lead, "–") || strings.HasSuffix(lead, "—") || strings.HasSuffix(lead, ";") || strings.HasSuffix(lead, ":")
			trimmed := strings.TrimLeft(tail.text, "-–—,;*: ")
			if trimmed == "" {
				continue
			}
			if !apart && !standsAlone(trimmed) {
				continue
			}
			probe := *w
			if probe.wish(span{trimmed, tail.col}) && probe.people == w.people {
				*w = probe
				s.text = strings.TrimRight(lead, " ,;:-–—")
				found = true
			}
		}
		if !found {
			break
		}
	}
	return s
}

// standsAlone reports whether a remark can be told at the end of a line without a comma or dash.
func standsAlone(words string) bool {
	k := keyOf(words)
	return niceWords.holds(k) && !shortNice.holds(k) || timesWord.MatchString(fold(words)) || loneMust.holds(k)
}

// shortNice are remarks that could be read as a part of a name or phrase without a mark before them.
var shortNice = list("extra; extras; bonus; en option")

var loneMust = list("must; must have; must-have; essential; obrigatório; imprescindible; obligatoire; unbedingt; 必须; 必拍")
