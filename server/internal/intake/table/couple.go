package table

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/photographs"
)

// findCouple finds the couple: by who is bride and who is groom, else by the names above the table.
func (r *reader) findCouple(all []person) {
	if len(r.Couple()) == 2 {
		return
	}
	var couple []int
	for _, p := range all {
		if rel := r.Event.People[p.index].Relation; says("bride", rel) || says("groom", rel) || says("couple", rel) {
			couple = append(couple, p.index)
		}
	}
	if len(couple) != 2 {
		couple = r.coupleInTitles()
	}
	if len(couple) != 2 {
		return
	}
	r.SetCouple(couple)
	if _, known := r.CircleNamed("couple"); !known && !r.HasID("couple") {
		n := r.Names(couple)
		r.AddCircleAs("couple", n[0]+" & "+n[1], couple)
	}
}

// coupleInTitles finds two people whom a text above a table, or the name of a sheet, names together: "Ann & Bo".
func (r *reader) coupleInTitles() []int {
	texts := r.sheets
	for _, t := range r.said {
		if t.Kind == photographs.AboutRow {
			texts = append(texts, t.Title)
		}
	}
	for _, t := range texts {
		parts := joint.Split(t, 3)
		if len(parts) < 2 {
			continue
		}
		a, okA := r.ends(parts[0], true)
		b, okB := r.ends(parts[1], false)
		if okA && okB && a != b {
			return []int{a, b}
		}
	}
	return nil
}

// ends finds who is named at the end of a text, or at its beginning.
func (r *reader) ends(text string, end bool) (int, bool) {
	ws := names.Words(text)
	for n := min(3, len(ws)); n > 0; n-- {
		part := ws[:n]
		if end {
			part = ws[len(ws)-n:]
		}
		if i, ok := r.FindAt(strings.Join(part, " "), names.Part, nil).One(); ok {
			return i, true
		}
	}
	return 0, false
}

// isSide reports whether a heading says whose the people below are.
func (r *reader) isSide(text string) bool {
	if _, known := r.SideNamed(text); known {
		return true
	}
	return r.owner(text) >= 0 || slices.ContainsFunc(names.Words(text), func(w string) bool { return says("bride", w) || says("groom", w) }) ||
		strings.Contains(strings.ToLower(text), "side") || strings.ContainsAny(text, "男女")
}

// owner is who of the couple a text for a side names, or -1.
func (r *reader) owner(text string) int {
	ws := names.Words(strings.ReplaceAll(strings.ReplaceAll(text, "’s", ""), "'s", ""))
	for _, i := range r.Couple() {
		p := r.Event.People[i]
		for _, w := range ws {
			if slices.Contains(names.Words(p.Name), w) || says("bride", w) && says("bride", p.Relation) || says("groom", w) && says("groom", p.Relation) {
				return i
			}
		}
		if strings.HasPrefix(text, "女") && says("bride", p.Relation) || strings.HasPrefix(text, "男") && says("groom", p.Relation) {
			return i
		}
	}
	return -1
}
