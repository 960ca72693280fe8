package typed

import (
	"fmt"
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/wording"
)

// withoutCouple tells once that lines are without the couple: in a list of their own photographs people
// often leave out to say that they are in them.
func (r *reader) withoutCouple() {
	couple := r.Couple()
	if len(couple) != 2 {
		return
	}
	var lines []string
	n := 0
	for _, l := range r.lines {
		u := r.Uses[l.number]
		if u == nil {
			continue
		}
		for _, f := range u.Fields {
			var k int
			if _, err := fmt.Sscanf(f, "groupings[%d]", &k); err != nil {
				continue
			}
			n++
			with := slices.ContainsFunc(r.Event.Groupings[k].Members, func(id string) bool {
				people := r.PeopleOf(id)
				return slices.Contains(people, couple[0]) || slices.Contains(people, couple[1])
			})
			if !with && len(lines) < 20 {
				lines = append(lines, fmt.Sprint(l.number))
			}
			break
		}
	}
	if 3*len(lines) >= n && len(lines) > 0 {
		r.report(mark{0, 0}, event.Info, place.CodeTakenAs, "", wording.Say("list.neitherOfTheCoupleIsIn", lines))
	}
}

// fillEverybody puts everybody into the photographs of everybody.
func (r *reader) fillEverybody() {
	id := ""
	for k := r.groups; k < len(r.Event.Groupings); k++ {
		g := &r.Event.Groupings[k]
		at := slices.Index(g.Members, everybodyMark)
		out := slices.Index(g.Without, everybodyMark)
		if at < 0 && out < 0 {
			continue
		}
		if id == "" {
			id = r.AddCircleAs("everybody", "Everybody", r.Everybody())
		}
		if at >= 0 {
			g.Members = []string{id} // whoever else is named is among them
		}
		if out >= 0 {
			g.Without[out] = id
		}
	}
}

// withoutDate moves times of people into notes when the list has no date, which times need.
func (r *reader) withoutDate() {
	if r.Event.Date != "" {
		return
	}
	for i := r.base; i < len(r.Event.People); i++ {
		p := &r.Event.People[i]
		if p.PresentFrom == "" && p.PresentUntil == "" {
			continue
		}
		at := r.homes[i]
		r.report(at, event.Warning, place.CodeKeptAsNote, "", wording.Say("list.notThereAllTheTimeAnd", place.Quoted(p.Name)))
		p.PrivateNote = joinNotes(p.PrivateNote, strings.TrimSpace("there "+prefixed("from ", p.PresentFrom)+" "+prefixed("until ", p.PresentUntil)))
		p.PresentFrom, p.PresentUntil = "", ""
	}
	if len(r.Event.Blocks) == 1 && r.groups == 0 && (r.Event.Blocks[0].Opens != "" || r.Event.Blocks[0].Closes != "") {
		b := &r.Event.Blocks[0]
		r.report(mark{1, 0}, event.Warning, place.CodeNotUsed, "", wording.Say("list.timeFromToNeedsADate", b.Opens, b.Closes))
		b.Opens, b.Closes = "", ""
	}
}

func prefixed(prefix, s string) string {
	if s == "" {
		return ""
	}
	return prefix + s
}
