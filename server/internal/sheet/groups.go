package sheet

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
			g.Leader = b.said(c.group.leader)
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
