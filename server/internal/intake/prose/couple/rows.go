package couple

import (
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/lines"
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
		if r.Lines[i].Mark != '#' || len(ph) < 2 {
			continue
		}
		rows++
		seen := 0
		for k := 0; k < len(ph) && seen < 2; {
			name, end := r.NameAt(ph, k)
			if name == "" {
				break
			}
			if count[name]++; count[name] == 1 {
				first = append(first, name)
			}
			seen++
			k = end + 1
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
	i := slices.IndexFunc(r.Lines, func(l lines.Line) bool { return l.Mark == '#' })
	r.Tell(r.Lines[i].Number, 1, event.Info, place.CodeTakenAs, "", wording.Say("list.takenForTheCouple", place.Quoted(first[0]), place.Quoted(first[1])))
}
