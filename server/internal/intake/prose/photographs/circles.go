package photographs

import (
	"cmp"
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/prose/facts"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
	"kinorder.example/server/internal/kin"
)

// named are people whom a photograph calls by words for all of them: "Amara's parents".
type named struct {
	Title  string
	Guests []int
}

// callThem keeps by what words a photograph of a list with guests calls several people, for a circle of that title.
func (r *Reader) callThem(p *Photograph, t *speech.Term, c *facts.Scope, ids []int) {
	if !r.Formal || len(ids) < 2 || t.Kind != speech.Kin && t.Kind != speech.Role && t.Kind != speech.Label || t.Minus && !p.All {
		return
	}
	if t.Word.Arg == "partner" || t.Word.Arg == "child" || t.Word.Arg == "family" && (t.Owner == nil || t.Owner.Near) || r.Guests[ids[0]].Half > 0 || len(t.Names) > 0 {
		return
	}
	owner := -2
	if owners := r.Owners(t, c); len(owners) == 1 && t.Kind == speech.Kin && (t.Owner != nil || c.Carry != nil) {
		owner = owners[0]
	}
	p.Named = append(p.Named, named{r.EntryName(t, owner), ids})
}

// IDOf is what the id of a photograph is made of.
func (r *Reader) IDOf(p *Photograph) string {
	if p.All {
		return "everybody"
	}
	var rest []string
	done := make(map[int]bool)
	for _, i := range p.Set {
		for _, n := range p.Named {
			if !done[i] && slices.Contains(n.Guests, i) && !slices.ContainsFunc(n.Guests, func(j int) bool { return !slices.Contains(p.Set, j) }) {
				rest = append(rest, n.Title)
				for _, j := range n.Guests {
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
		rest = r.Names(p.Set)
	}
	if len(rest) > 3 {
		return strings.Join(rest[:2], " ") + " and others"
	}
	return strings.Join(rest, " ")
}

// choices lists the names of guests to choose from: namesakes with what they are.
func (r *Reader) choices(ids []int) []string {
	out := r.Names(ids)
	for k, i := range ids {
		same := 0
		for _, j := range ids {
			if r.Guests[j].Name == r.Guests[i].Name {
				same++
			}
		}
		if rel := r.RelationOf(&r.Guests[i]); same > 1 && rel != "" {
			out[k] = rel + " " + out[k]
		}
	}
	return out
}

// RelationOf writes what somebody is, as event files do; nouns have capitals in German.
func (r *Reader) RelationOf(g *people.Guest) string {
	text := r.relationTo(g)
	if r.Main == "de" && !strings.ContainsAny(text, "'’") {
		return words.Capitalize(text)
	}
	return text
}

func (r *Reader) relationTo(g *people.Guest) string {
	if g.Relation != "" || g.Half > 0 {
		return g.Relation
	}
	for _, x := range g.Relations {
		text := strings.ToLower(x.Word.Text)
		if x.Word.Arg == "family" || text == "" {
			continue
		}
		if x.Word.Plural {
			text = cmp.Or(words.Singular(x.Word, g.Sex), kin.Singular(text))
		}
		if x.Of >= 0 && r.Guests[x.Of].Half == 0 {
			return r.Guests[x.Of].Given + "'s " + text
		}
		return text
	}
	for _, h := range g.Roles {
		if h.Arg != "group" && h.Arg != "crew" && h.Arg != "party" {
			return cmp.Or(words.Spelled(h.Text), h.One, kin.Singular(h.Text))
		}
	}
	return ""
}
