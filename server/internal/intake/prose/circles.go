package prose

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/prose/facts"
	"kinorder.example/server/internal/intake/prose/speech"
)

// named are people whom a photograph calls by words for all of them: "Amara's parents".
type named struct {
	title string
	ids   []int
}

// callThem keeps by what words a photograph of a list with guests calls several people, for a circle of that title.
func (r *reader) callThem(p *photograph, t *speech.Term, c *facts.Scope, ids []int) {
	if !r.Formal || len(ids) < 2 || t.Kind != speech.Kin && t.Kind != speech.Role && t.Kind != speech.Label || t.Minus && !p.all {
		return
	}
	if t.Word.Arg == "partner" || t.Word.Arg == "child" || t.Word.Arg == "family" && (t.Owner == nil || t.Owner.Near) || r.Guests[ids[0]].Half > 0 || len(t.Names) > 0 {
		return
	}
	owner := -2
	if owners := r.Owners(t, c); len(owners) == 1 && t.Kind == speech.Kin && (t.Owner != nil || c.Carry != nil) {
		owner = owners[0]
	}
	p.named = append(p.named, named{r.EntryName(t, owner), ids})
}

// gathered are the ids of people, with circles for those whom words stand for.
func (r *reader) gathered(p *photograph, set []int, ids []string, couple string) []string {
	circle := make(map[int]string)
	for _, n := range p.named {
		if !slices.ContainsFunc(n.ids, func(i int) bool { return !slices.Contains(set, i) || circle[i] != "" || ids[i] == "" }) {
			id := r.Build.Gather(n.title, r.builtAll(n.ids, ids))
			for _, i := range n.ids {
				circle[i] = id
			}
		}
	}
	var out []string
	both := couple != "" && slices.Contains(set, r.Couple[0]) && slices.Contains(set, r.Couple[1])
	for _, i := range set {
		id := ids[i]
		switch {
		case both && r.Guests[i].Half > 0:
			id = couple
		case circle[i] != "":
			id = circle[i]
		}
		if id != "" && !slices.Contains(out, id) {
			out = append(out, id)
		}
	}
	return out
}

// idOf is what the id of a photograph is made of.
func (r *reader) idOf(p *photograph) string {
	if p.all {
		return "everybody"
	}
	var rest []string
	done := make(map[int]bool)
	for _, i := range p.set {
		for _, n := range p.named {
			if !done[i] && slices.Contains(n.ids, i) && !slices.ContainsFunc(n.ids, func(j int) bool { return !slices.Contains(p.set, j) }) {
				rest = append(rest, n.title)
				for _, j := range n.ids {
					done[j] = true
				}
			}
		}
		switch g := &r.Guests[i]; {
		case g.Half > 0 || done[i]:
		case g.Base:
			rest = append(rest, g.ID)
		default:
			rest = append(rest, g.Given)
		}
	}
	if len(rest) == 0 {
		rest = r.Names(p.set)
	}
	if len(rest) > 3 {
		return strings.Join(rest[:2], " ") + " and others"
	}
	return strings.Join(rest, " ")
}

// choices lists the names of guests to choose from: namesakes with what they are.
func (r *reader) choices(ids []int) []string {
	out := r.Names(ids)
	for k, i := range ids {
		same := 0
		for _, j := range ids {
			if r.Guests[j].Name == r.Guests[i].Name {
				same++
			}
		}
		if rel := r.relationOf(&r.Guests[i]); same > 1 && rel != "" {
			out[k] = rel + " " + out[k]
		}
	}
	return out
}
