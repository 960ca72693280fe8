package sheet

import (
	"strings"
	"unicode"

	"kinorder.example/server/internal/wording"
)

// fewest is the most people who are called by name; more are called by groups, each with its leader.
const fewest = 8

// callGroup are people of one call who come together: a circle, or somebody of none.
type callGroup struct {
	Title  string // of the circle with its count; empty for somebody of none
	Leader string
	Calls  []callView
}

// callGroups puts a call of many into groups; nil for few.
func (b *builder) callGroups(ids []string) []callGroup {
	if len(ids) <= fewest {
		return nil
	}
	var out []callGroup
	var rest callGroup
	for _, c := range b.clusters(ids) {
		if c.group == nil {
			rest.Calls = append(rest.Calls, b.call(c.id))
			continue
		}
		g := callGroup{Title: b.cat.Say("sheet.circle", len(c.group.people), c.group.title)}
		if c.group.people[c.group.leader] {
			g.Leader = b.name(c.group.leader)
		}
		for _, id := range ids {
			if c.group.people[id] {
				g.Calls = append(g.Calls, b.call(id))
			}
		}
		out = append(out, g)
	}
	if len(rest.Calls) > 0 {
		if len(out) > 0 {
			rest.Title = b.cat.Say("sheet.circle", len(rest.Calls), b.cat.Say("sheet.others"))
		}
		out = append(out, rest)
	}
	return out
}

// homes are the scripts of languages that are not written in Latin letters.
var homes = map[string]*unicode.RangeTable{"ar": unicode.Arabic, "zh": unicode.Han}

// native reports whether a name is written in the script of a language other than Latin: whoever reads that reads it well.
func native(c *wording.Catalogue, name string) bool {
	home := homes[c.Tag()]
	return home != nil && strings.IndexFunc(name, func(r rune) bool { return unicode.Is(home, r) }) >= 0
}

// unread reports whether readers of a language may not know the script of a name.
func unread(c *wording.Catalogue, name string) bool {
	first := strings.IndexFunc(name, unicode.IsLetter)
	return first >= 0 && !strings.ContainsFunc(name, func(r rune) bool { return unicode.Is(unicode.Latin, r) }) && !native(c, name)
}
