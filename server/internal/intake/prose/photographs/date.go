package photographs

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/statements"
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
	block := func() *event.Block {
		if len(r.Event.Blocks) == 0 {
			r.Event.Blocks = []event.Block{{ID: "block", Title: "Group photographs"}}
		}
		r.Use(s.Line.Number, place.Used, "blocks[0]")
		return &r.Event.Blocks[0]
	}
	switch w.Arg {
	case "date":
		if !r.date(s) {
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

// date reads a date with its year from a title. It returns whether there is one; day and month that cannot be told
// apart are asked about.
func (r *Reader) date(s *statements.Statement) bool {
	ph := s.Phrases
	for k := range ph {
		if ph[k].Kind != 'n' {
			continue
		}
		y, m, d := 0, 0, 0
		switch {
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
			d = ph[k].Num
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

// askDate asks once for the date of a list that tells a day without its year, or a time of the day.
func (r *Reader) askDate() {
	if r.Event.Date != "" || r.Base.Date != "" || r.monthAsked {
		return
	}
	for _, s := range r.Statements {
		if s.Kind == statements.Photo || s.Kind == statements.Addition || s.Kind == statements.Part {
			continue
		}
		r.Line = s.Line
		ph := speech.Flat(s.Phrases)
		for k, p := range ph {
			from, to := p.Start, p.End
			switch {
			case p.Kind == 't':
			case p.Kind == 'n' && k+1 < len(ph) && ph[k+1].Has("month"):
				to = ph[k+1].End
			case p.Kind == 'n' && k+2 < len(ph) && (ph[k+1].Key == "." || ph[k+1].Has("of")) && ph[k+2].Has("month"):
				to = ph[k+2].End
			case p.Has("month") && p.Capital && k+1 < len(ph) && ph[k+1].Kind == 'n':
				to = ph[k+1].End
			case s.Kind == statements.Title && p.Kind == 'n' && p.Num < 32 && k+2 < len(ph) && (ph[k+1].Key == "/" || ph[k+1].Key == ".") && ph[k+2].Kind == 'n' && ph[k+2].Num < 32 && !ph[k+2].Gap:
				to = ph[k+2].End
			default:
				continue
			}
			r.At(from, event.Warning, event.CodeMissing, "", wording.Say("list.onWhichDateIs", place.Quoted(strings.TrimSpace(s.Line.Text[from:to]))))
			return
		}
	}
}
