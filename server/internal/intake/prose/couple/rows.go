package couple

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
	"kinorder.example/server/internal/wording"
)

// coupleOfRows finds the couple of a table that names it nowhere: "新郎沈浩", else the two names that begin a quarter of the rows and far more than others do.
func (r *finder) coupleOfRows() {
	var named [2]string
	var first []string
	count := make(map[string]int)
	rows := 0
	for i := range r.Lines {
		ph := r.Heads(i)
		for k := 0; k+1 < len(ph); k++ {
			if w, ok := ph[k].Word("half"); ok && !ph[k].Possessive {
				if name, _ := r.NameAt(ph, k+1); name != "" {
					at := halves[w.Sex]
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
	if rows < 3 || len(first) < 2 || count[first[1]] < 3 || 4*count[first[1]] < rows || len(first) > 2 && 3*count[first[2]] > 2*count[first[1]] {
		return
	}
	r.setCouple(first[0], first[1], 0)
	i := slices.IndexFunc(r.Lines, isRow)
	r.Tell(r.Lines[i].Number, 1, event.Info, place.CodeTakenAs, "", wording.Say("list.takenForTheCouple", place.Quoted(first[0]), place.Quoted(first[1])))
}

// coupleOfTitles takes the two names that begin all rows whose titles begin with the couple: "Couple + parents", "Ann, Bob, Ida, Karl".
func (r *finder) coupleOfTitles(titles []string) bool {
	var two []string
	n := 0
	for i, title := range titles {
		first, _, _ := strings.Cut(title, " ")
		if !isRow(r.Lines[i]) || strings.ContainsAny(first, "'’") || !slices.ContainsFunc(words.Find(names.Plain(first)), func(w words.Word) bool { return w.Class == "couple" }) {
			continue
		}
		ph := r.Heads(i)
		if a, at := r.NameAt(ph, 0); len(strings.Fields(title)) < 3 && a != "" { // "Novios": "Clara y Mateo"
			if _, b, ok := r.Pair(ph, 0); ok {
				if _, end := r.NameAt(ph, at+1); end == len(ph) {
					r.setCouple(a, b, 0)
					return true
				}
			}
		}
		named := r.leadNames(ph)
		if len(named) < 2 || two != nil && !slices.Equal(two, named) {
			return false
		}
		two = named
		n++
	}
	if n > 1 {
		r.setCouple(two[0], two[1], 0)
	}
	return n > 1
}

// isRow reports whether a line is a row of a table.
func isRow(l lines.Line) bool { return (l.Mark == '#' || l.Mark == '|') && !l.Ruler }

// leadNames are the two names that a row begins with, or the first of its cells between bars that has two.
func (r *finder) leadNames(ph []speech.Phrase) []string {
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
