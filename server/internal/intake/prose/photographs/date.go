package photographs

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/facts"
	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/statements"
	"kinorder.example/server/internal/intake/prose/words"
	"kinorder.example/server/internal/wording"
)

// Field is the place of an element of a list of the event.
func Field(list string, i int) string { return fmt.Sprintf("%s[%d]", list, i) }

// keyed reads "Date: 20 June 2026", "Place: ...", "Time: 15:30 - 16:30".
func (r *Reader) keyed(s *statements.Statement) bool {
	w, ok := s.Phrases[0].Word("key")
	at := speech.ColonAt(s.Phrases)
	if !ok || at != 1 {
		return false
	}
	value := strings.TrimSpace(s.Line.Text[s.Phrases[at].End:])
	block := func() *event.Block { return r.block(s) }
	switch w.Arg {
	case "date":
		if r.dayKeyed(s) == nil && !r.date(s) {
			r.At(s.Phrases[at].End, event.Error, event.CodeBadDate, value, wording.Say("list.dateCannotBeRead", place.Quoted(value)))
		}
	case "place":
		block().Place = place.Clip(value)
	case "photographer":
		block().Photographer = place.Clip(value)
	case "zone":
		r.Event.TimeZone = value
	case "time":
		var times []string
		for _, p := range s.Phrases {
			if p.Kind == 't' {
				times = append(times, p.Key)
			}
		}
		if len(times) == 2 {
			b := block()
			b.Opens, b.Closes = times[0], times[1]
		}
	default:
		return false
	}
	return true
}

// block is the one block of a list, of which a line tells something.
func (r *Reader) block(s *statements.Statement) *event.Block {
	if len(r.Event.Blocks) == 0 {
		r.Event.Blocks = []event.Block{{ID: "block"}}
	}
	r.Use(s.Line.Number, place.Used, "blocks[0]")
	return &r.Event.Blocks[0]
}

// hours reads from when to when photographs are taken, as lines tell it that ask for none: "Group shots about 2.15",
// "dinner is at 7pm".
func (r *Reader) hours(s *statements.Statement) {
	if s.Kind != statements.Title && s.Kind != statements.Heading && s.Kind != statements.Remark || len(r.Base.Blocks) > 0 {
		return
	}
	ph := speech.Flat(s.Phrases)
	ours := statements.Dated(s) || s.Clause && slices.ContainsFunc(r.OfLine(s), func(o *statements.Statement) bool { return speech.AnyHas(o.Phrases, "photos") }) || speech.AnyHas(ph, "photos")
	below := s.At == 1 && r.Statements[0].Kind == statements.Title || // "ab 14.45 Uhr im Hof" under "Gruppenfotos Ann & Bo"
		(s.Kind == statements.Title || r.booked(s)) && statements.Spans(ph) && !speech.AnyHas(ph, "start", "finish", "event", "scene")
	if s.Line.Clock != "" && (ours || s.Kind == statements.Heading && !s.Context.Scene && !speech.AnyHas(ph, "start", "finish", "event")) && (len(r.Event.Blocks) == 0 || r.Event.Blocks[0].Opens == "") {
		r.block(s).Opens = s.Line.Clock
	}
	told := func(key wording.Key, at string) {
		if s.Kind == statements.Remark {
			r.took(s, ph, wording.Say(key, at))
		}
	}
	for k := range ph {
		at := speech.TimeAt(ph, k)
		if at == "" {
			continue
		}
		before := func(class string, far int) bool {
			return slices.ContainsFunc(ph[max(0, k-far):k], func(q speech.Phrase) bool { return q.Has(class) })
		}
		var known event.Block
		if len(r.Event.Blocks) > 0 {
			known = r.Event.Blocks[0]
		}
		switch {
		case before("finish", 3) || ours && known.Opens != "" && before("until", 2) || known.Opens != "" && statements.EndsRange(ph, k):
			if known.Closes == "" {
				r.block(s).Closes = at
				told("plan.until", at)
				r.whereabouts(s, ph, k)
			}
		case (ours || below && (before("from", 3) || statements.Spans(ph))) && known.Opens == "" && (!before("start", 3) || before("photos", 1)) && !before("until", 3) && !before("departs", 3):
			r.block(s).Opens = at
			told("plan.from", at)
		}
	}
}

// booked reports whether a line says when whoever takes the photographs is there: "We've got you from 3 till 3.30".
func (r *Reader) booked(s *statements.Statement) bool {
	if len(s.Phrases) == 0 || s.Phrases[0].Start > s.Phrases[len(s.Phrases)-1].End {
		return false
	}
	key := " " + words.Key(s.Line.Text[s.Phrases[0].Start:s.Phrases[len(s.Phrases)-1].End]) + " "
	return slices.ContainsFunc(words.List("booked"), func(w string) bool { return strings.Contains(key, " "+w+" ") })
}

// whereabouts is the place behind the hours of a title: "3.15pm to 4pm, rose garden". Nothing else may stand there.
func (r *Reader) whereabouts(s *statements.Statement, ph []speech.Phrase, k int) {
	if k++; k < len(ph) && ph[k].Has("ampm") {
		k++
	}
	for k < len(ph) && (ph[k].Key == "," || ph[k].Key == "-" || ph[k].Key == "@" || ph[k].Has("prep")) {
		k++
	}
	rest := ph[min(k, len(ph)):]
	if s.Kind != statements.Title || len(rest) == 0 || speech.AnyHas(rest, "kin", "half", "couple", "all", "role", "photos", "verb", "finish", "event", "scene", "key", "month") ||
		slices.ContainsFunc(rest, func(p speech.Phrase) bool {
			return p.Kind == 't' || p.Key == "." || p.Key == "&" || r.HalfNamed(p.Text) > 0
		}) {
		return
	}
	where := strings.TrimSpace(s.Line.Text[rest[0].Start:rest[len(rest)-1].End])
	if b := r.block(s); b.Place != "" {
		where = b.Place + ", " + where
	}
	r.block(s).Place = place.Clip(where)
}

// date reads a date with its year from a title. It returns whether there is one; day and month that cannot be told
// apart are asked about.
func (r *Reader) date(s *statements.Statement) bool {
	ph := s.Phrases
	for k := range ph {
		if facts.DayOf(&ph[k]) == 0 && ph[k].Kind != 'n' {
			continue
		}
		y, m, d := 0, 0, 0
		switch {
		case k+4 < len(ph) && ph[k+1].Key == "年" && ph[k+2].Kind == 'n' && ph[k+3].Key == "月" && ph[k+4].Kind == 'n':
			y, m, d = ph[k].Num, ph[k+2].Num, ph[k+4].Num
		case k+4 < len(ph) && (ph[k+1].Key == "-" || ph[k+1].Key == "/" || ph[k+1].Key == ".") && ph[k+2].Kind == 'n' && ph[k+4].Kind == 'n':
			y, m, d = ph[k].Num, ph[k+2].Num, ph[k+4].Num
			if y < 1000 {
				y, d = d, y
				if r.Main == "en" && ph[k+1].Key == "/" && m <= 12 && d <= 12 && m != d {
					value := s.Line.Text[ph[k].Start:ph[k+4].End]
					r.monthAsked = true
					r.At(ph[k].Start, event.Error, place.CodeWhichOne, value, wording.Say("list.whichIsTheMonthInWrite", place.Quoted(value)),
						fmt.Sprintf("%04d-%02d-%02d", y, m, d), fmt.Sprintf("%04d-%02d-%02d", y, d, m))
					return true
				}
			}
			if m > 12 {
				m, d = d, m
			}
		default:
			d = facts.DayOf(&ph[k])
			for _, at := range []int{k - 1, k + 1, k + 2} {
				if at < 0 || at >= len(ph) {
					continue
				}
				if w, ok := ph[at].Word("month"); ok {
					m, _ = strconv.Atoi(w.Arg)
					for _, after := range []int{max(at, k) + 1, max(at, k) + 2} {
						if after < len(ph) && ph[after].Kind == 'n' && ph[after].Num > 1999 {
							y = ph[after].Num
						}
					}
					break
				}
			}
		}
		if y > 1999 && m >= 1 && m <= 12 && d >= 1 && d <= 31 {
			t := time.Date(y, time.Month(m), d, 0, 0, 0, 0, time.UTC)
			if t.Day() == d {
				r.Event.Date = t.Format("2006-01-02")
				return true
			}
		}
	}
	return false
}

// wholeDate completes the date of a list that tells a day without its year, or asks once for the date of one that
// tells only a time of the day.
func (r *Reader) wholeDate() {
	if r.Event.Date != "" || r.Base.Date != "" || r.monthAsked {
		return
	}
	var time *spot
	first := slices.IndexFunc(r.Statements, func(s *statements.Statement) bool { return r.dayKeyed(s) != nil })
	for _, s := range slices.Concat(r.Statements[max(0, first):max(0, first+min(1, first+1))], r.Statements) { // "Wedding date: Sat 9 May" before other days
		if s.Kind == statements.Photo || s.Kind == statements.Addition || s.Kind == statements.Part {
			continue
		}
		r.Line = s.Line
		if r.date(s) {
			return
		}
		for _, at := range daysIn(s, r.Main) {
			if at.month == 0 {
				if time == nil {
					time = &at
				}
				continue
			}
			written := place.Quoted(strings.TrimSpace(s.Line.Text[at.from:at.to]))
			if date := r.comingDate(at.month, at.day); date != "" {
				r.Event.Date = date
				r.At(at.from, event.Warning, event.CodeMissing, "", wording.Say("list.yearTaken", written, date))
			} else {
				r.At(at.from, event.Warning, event.CodeMissing, "", wording.Say("list.onWhichDateIs", written))
			}
			return
		}
	}
	if time != nil {
		r.Line = time.l
		r.At(time.from, event.Warning, event.CodeMissing, "", wording.Say("list.onWhichDateIs", place.Quoted(strings.TrimSpace(time.l.Text[time.from:time.to]))))
	}
}

// dayKeyed is the day without a year that a line tells as the date: "Date: 9 May".
func (r *Reader) dayKeyed(s *statements.Statement) *spot {
	if len(s.Phrases) == 0 {
		return nil
	}
	if w, ok := s.Phrases[0].Word("key"); !ok || w.Arg != "date" || speech.ColonAt(s.Phrases) != 1 {
		return nil
	}
	for _, at := range daysIn(s, r.Main) {
		if at.month > 0 {
			return &at
		}
	}
	return nil
}

// spot is where a line tells a day of a month, or with month 0 a time of the day or a day that can be read in two ways.
type spot struct {
	l          *lines.Line
	from, to   int
	month, day int
}

// daysIn finds the days and times of a line.
func daysIn(s *statements.Statement, main string) []spot {
	var out []spot
	ph := speech.Flat(s.Phrases)
	month := func(k int) int {
		if k < len(ph) {
			if w, ok := ph[k].Word("month"); ok {
				m, _ := strconv.Atoi(w.Arg)
				return m
			}
		}
		return 0
	}
	for k, p := range ph {
		at := spot{l: s.Line, from: p.Start, to: p.End}
		day := facts.DayOf(&p)
		switch {
		case p.Kind == 't':
		case day > 0 && month(k+1) > 0:
			at.to, at.month, at.day = ph[k+1].End, month(k+1), day
		case day > 0 && month(k+2) > 0 && (ph[k+1].Key == "." || ph[k+1].Has("of")):
			at.to, at.month, at.day = ph[k+2].End, month(k+2), day
		case month(k) > 0 && p.Capital && k+1 < len(ph) && facts.DayOf(&ph[k+1]) > 0:
			at.to, at.month, at.day = ph[k+1].End, month(k), facts.DayOf(&ph[k+1])
		case day > 0 && day < 13 && k+2 < len(ph) && ph[k+1].Key == "月" && facts.DayOf(&ph[k+2]) > 0:
			at.to, at.month, at.day = ph[k+2].End, day, facts.DayOf(&ph[k+2])
		case s.Kind == statements.Title && day > 0 && k+2 < len(ph) && (ph[k+1].Key == "/" || ph[k+1].Key == ".") && facts.DayOf(&ph[k+2]) > 0 && !ph[k+2].Gap:
			at.to = ph[k+2].End
			year := k+4 < len(ph) && ph[k+3].Key == ph[k+1].Key && !ph[k+3].Gap && ph[k+4].Kind == 'n' // of two digits
			switch b := facts.DayOf(&ph[k+2]); {
			case year:
			case b < 13 && (day > 12 || main != "en"):
				at.day, at.month = day, b // "16/08"
			case b > 12 && day < 13:
				at.day, at.month = b, day // "10/17"
			}
		default:
			continue
		}
		out = append(out, at)
	}
	return out
}

// comingDate is the next such day from the day on which the list is read; empty when that is not known or there is no
// such day. A list is written before its day.
func (r *Reader) comingDate(month, day int) string {
	if r.Today.IsZero() {
		return ""
	}
	y, m, d := r.Today.Date()
	for year := y; year <= y+8; year++ { // 29 February comes within eight years
		t := time.Date(year, time.Month(month), day, 0, 0, 0, 0, time.UTC)
		if t.Day() == day && !t.Before(time.Date(y, m, d, 0, 0, 0, 0, time.UTC)) {
			return t.Format(time.DateOnly)
		}
	}
	return ""
}
