package fields

import (
	"fmt"
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
)

// Rule is one rule as it stands on the page.
type Rule struct {
	ID, Kind, Scope, Until, Note string
	Who                          []string // labels of people and circles
}

// The kinds of rule on the page.
const (
	KindApart     = "apart"
	KindTurns     = "turns"
	KindSeniority = "seniority"
)

var scopes = map[string]event.ApartScope{"frame": event.Frame, "neighbours": event.Neighbours, "block": event.InBlock}

// CoupleRule begins the ids of the rules that a couple made on its page. It sees no others: in-laws tell a planner things, too.
const CoupleRule = "couple-"

// MaxWho is how many names a rule on the page takes, and mostGuessed for how many unknown ones the page looks who
// may be meant.
const (
	MaxWho      = 100
	mostGuessed = 100
)

func ruleOf(r event.Rule, names Directory) Rule {
	f := Rule{ID: r.ID, Kind: KindApart, Note: r.PrivateNote}
	var people []string
	switch {
	case r.Apart != nil:
		people, f.Until = r.Apart.People, r.Apart.Until
		for name, scope := range scopes {
			if scope == r.Apart.Scope {
				f.Scope = name
			}
		}
	case r.Turns != nil:
		f.Kind, people = KindTurns, r.Turns.People
	case r.Seniority != nil:
		f.Kind, people = KindSeniority, r.Seniority.People
	}
	for _, id := range people {
		f.Who = append(f.Who, names.label(id))
	}
	return f
}

func readRule(p Posted, i int) Rule {
	at := func(name string) string { return p.Line(fmt.Sprintf("rule.%d.%s", i, name)) }
	r := Rule{ID: at("id"), Kind: at("kind"), Scope: at("scope"), Until: at("until"), Note: p.Get(fmt.Sprintf("rule.%d.note", i))}
	for k := 0; k <= MaxWho && p.Has(fmt.Sprintf("rule.%d.who.%d", i, k)); k++ {
		if who := at(fmt.Sprintf("who.%d", k)); who != "" {
			r.Who = append(r.Who, who)
		}
	}
	return r
}

// empty says that nothing is written; a kind is always chosen.
func (r Rule) empty() bool {
	return len(r.Who) == 0 && r.Until == "" && strings.TrimSpace(r.Note) == ""
}

// rule turns the fields into a rule, and names those that nobody is known by.
func (r Rule) rule(i int, names Directory, guess bool) (event.Rule, []Fault) {
	out := event.Rule{ID: r.ID, PrivateNote: r.Note}
	var faults []Fault
	var people []string
	for k, who := range r.Who {
		id, advice := names.find(who, guess && len(faults) < mostGuessed)
		if !advice.Empty() {
			faults = append(faults, Fault{fmt.Sprintf("rule.%d.who.%d", i, k), advice})
			continue
		}
		people = append(people, id)
	}
	switch r.Kind {
	case KindTurns:
		out.Turns = &event.Turns{People: people}
	case KindSeniority:
		out.Seniority = &event.Seniority{People: people}
	default:
		out.Apart = &event.Apart{People: people, Scope: scopes[r.Scope], Until: r.Until}
	}
	if len(r.Who) < 2 {
		faults = append(faults, Fault{fmt.Sprintf("rule.%d.who.%d", i, len(r.Who)), wording.Say("page.ruleNeedsAtLeastTwoNames")})
	}
	return out, faults
}

// applyRules puts the rules of the page in the place of those of the list. What a photo says of a rule of the list that the
// page has no more goes with it: nobody can mend what refers to nothing.
func (d Day) applyRules(e *event.Event, names Directory, guess bool) []Fault {
	gone := map[string]bool{}
	for _, r := range e.Rules {
		gone[r.ID] = true
	}
	e.Rules = nil
	var faults []Fault
	for i, r := range d.Rules {
		rule, wrong := r.rule(i, names, guess && len(faults) < mostGuessed)
		faults, e.Rules, gone[r.ID] = append(faults, wrong...), append(e.Rules, rule), false
	}
	e.Groupings = slices.Clone(e.Groupings)
	for k, g := range e.Groupings {
		e.Groupings[k].Confirms = slices.DeleteFunc(slices.Clone(g.Confirms), func(id string) bool { return gone[id] })
	}
	return faults
}

func (r Rule) hidden(i int) []Hidden {
	var out []Hidden
	for _, f := range []Hidden{{"id", r.ID}, {"kind", r.Kind}, {"scope", r.Scope}, {"until", r.Until}, {"note", r.Note}} {
		out = append(out, Hidden{fmt.Sprintf("rule.%d.%s", i, f.Name), f.Value})
	}
	for k, who := range r.Who {
		out = append(out, Hidden{fmt.Sprintf("rule.%d.who.%d", i, k), who})
	}
	return out
}
