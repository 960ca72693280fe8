package couple

import (
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/wording"
)

// coupleOfRows finds the couple of a table that names it nowhere: "新郎沈浩", else the two names that begin most rows.
func (r finder) coupleOfRows() {
	var named [2]string
	var first []string
	count := make(map[string]int)
	rows := 0
	for i := range r.Lines {
		ph := r.Heads(i)
		for k := 0; k+1 < len(ph); k++ {
			if w, ok := ph[k].Word("half"); ok && !ph[k].Possessive {
				if name, _ := r.NameAt(ph, k+1); name != "" {
					at := 0
					if w.Sex == 'm' {
						at = 1
					}
					if named[at] == "" {
						named[at] = name
					}
				}
			}
		}
		if !isRow(r.Lines[i]) || len(ph) < 2 {
			continue
		}
		rows++
		for _, name := range r.leadNames(ph) {
			if count[name]++; count[name] == 1 {
				first = append(first, name)
			}
		}
	}
	if named[0] != "" && named[1] != "" {
		r.setCouple(named[0], named[1], 'w')
		return
	}
	slices.SortStableFunc(first, func(a, b string) int { return count[b] - count[a] })
	if rows < 3 || len(first) < 2 || 2*count[first[1]] <= rows || len(first) > 2 && 3*count[first[2]] > 2*count[first[1]] {
		return
	}
	r.setCouple(first[0], first[1], 0)
	i := slices.IndexFunc(r.Lines, isRow)
	r.Tell(r.Lines[i].Number, 1, event.Info, place.CodeTakenAs, "", wording.Say("list.takenForTheCouple", place.Quoted(first[0]), place.Quoted(first[1])))
}

// isRow reports whether a line is a row of a table.
func isRow(l lines.Line) bool { return (l.Mark == '#' || l.Mark == '|') && !l.Ruler }

// leadNames are the two names that a row begins with, or the first of its cells between bars that has two.
func (r finder) leadNames(ph []speech.Phrase) []string {
	var out []string
	for k := 0; k < len(ph) && len(out) < 2; {
		name, end := r.NameAt(ph, k)
		if name != "" {
			out = append(out, name)
			k = end + 1
			continue
		}
		bar := slices.IndexFunc(ph[k:], func(p speech.Phrase) bool { return p.Key == "|" })
		if bar < 0 {
			break
		}
		out, k = nil, k+bar+1
	}
	return out
}
