package speech

import (
	"fmt"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/prose/words"
)

// Afternoon is a time of day as people write it who mean a day of photographs: 3:15 is 15:15 where no "am" stands.
func Afternoon(p Phrase) string {
	h, m, _ := event.HourMinute(p.Key)
	if h < 7 && !strings.ContainsAny(p.Text, "aA") {
		return fmt.Sprintf("%02d:%02d", h+12, m)
	}
	return p.Key
}

// DayInFigures is how many phrases follow one that begins a day in figures, or 0: "12.06.2027", "12/6/27".
func DayInFigures(ph []Phrase, k int) int {
	if k+4 >= len(ph) || ph[k].Kind != 'n' || ph[k+2].Kind != 'n' || ph[k+4].Kind != 'n' || ph[k+4].Start != ph[k].End+len(ph[k+1].Text)+len(ph[k+2].Text)+len(ph[k+3].Text) {
		return 0
	}
	if mark := ph[k+1].Key; mark != ph[k+3].Key || mark != "." && mark != "/" && mark != "-" {
		return 0
	}
	return 4
}

// fourDigits is the time of day that a number of four digits is in "1440-1510", which are no years.
func fourDigits(ph []Phrase, k int) string {
	clock := func(k int) int {
		if k < 0 || k >= len(ph) || ph[k].Kind != 'n' || len(ph[k].Text) != 4 || ph[k].Num > 2359 || ph[k].Num%100 > 59 {
			return -1
		}
		return ph[k].Num/100*60 + ph[k].Num%100
	}
	dash := func(k int) bool { return k > 0 && k < len(ph) && ph[k].Key == "-" }
	for _, from := range []int{k, k - 2} {
		if a, b := clock(from), clock(from+2); a >= 0 && b > a+4 && dash(from+1) {
			return fmt.Sprintf("%02d:%02d", clock(k)/60, clock(k)%60)
		}
	}
	return ""
}

// TimeAt is the time of day that stands at a phrase: "16:15", "2 o'clock", "下午4点"; empty when it is none.
func TimeAt(ph []Phrase, k int) string {
	p := &ph[k]
	if p.Kind == 't' {
		return Afternoon(*p)
	}
	if at := fourDigits(ph, k); at != "" {
		return at
	}
	if p.Kind != 'n' || p.Num < 1 || p.Num > 23 {
		return ""
	}
	next := &Phrase{}
	if k+1 < len(ph) {
		next = &ph[k+1]
	}
	w, said := next.Word("ampm")
	before := ""
	if k > 0 {
		b, _ := ph[k-1].Word("ampm")
		before = b.Arg
	}
	if !said && before != "+30" && before != "-30" {
		return p.upTo(ph, k)
	}
	late := w.Arg == "pm" || k > 0 && ph[k-1].Has("ampm") && !strings.Contains(ph[k-1].Key, "上") || p.Num < 7
	h := p.Num
	if h < 12 && late && w.Arg != "am" {
		h += 12
	}
	switch {
	case before == "-30":
		return fmt.Sprintf("%02d:30", h-1)
	case before == "+30", w.Arg == "30":
		return fmt.Sprintf("%02d:30", h)
	}
	return fmt.Sprintf("%02d:00", h)
}

// upTo is the time of day that a bare number is before another: 3 in "3 to 3.30pm", "from 3 till 3.30".
func (p *Phrase) upTo(ph []Phrase, k int) string {
	if k+2 >= len(ph) || p.Num > 12 || ph[k+1].Key != "-" && !ph[k+1].Has("to") && !ph[k+1].Has("until") && !words.Listed("range", ph[k+1].Key) {
		return ""
	}
	if ph[k+2].Kind != 't' && (k+3 >= len(ph) || !ph[k+3].Has("ampm")) {
		return ""
	}
	hour, minute, ok := event.HourMinute(TimeAt(ph, k+2))
	h := p.Num
	if h += 12; 60*h >= 60*hour+minute {
		h -= 12
	}
	if !ok || 60*h >= 60*hour+minute {
		return ""
	}
	return fmt.Sprintf("%02d:00", h)
}
