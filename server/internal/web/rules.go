package web

import (
	"fmt"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
)

// ruleForm is one rule as it stands on the page.
type ruleForm struct {
	ID, Kind, Scope, Until, Note string
	Who                          []string // labels of people and circles
}

// The kinds of rule on the page.
const (
	kindApart     = "apart"
	kindTurns     = "turns"
	kindSeniority = "seniority"
)

// ruleWords are the kinds as planners read them.
var ruleWords = []keyChoice{
	{kindApart, "page.keepApart"},
	{kindTurns, "page.allOfOneBeforeAnyOf"},
	{kindSeniority, "page.orderOfGoingFirst"},
}

// scopeWords say where people are kept apart.
var scopeWords = []keyChoice{
	{"frame", "page.inOnePhotograph"},
	{"neighbours", "page.sideBySide"},
	{"block", "page.inOnePlaceAtOneTime"},
}

// keyChoice is a choice whose text is in the catalogue.
type keyChoice struct {
	Value string
	text  wording.Key
}

// choiceView is one of several values to choose.
type choiceView struct{ Value, Text string }

var scopes = map[string]event.ApartScope{"frame": event.Frame, "neighbours": event.Neighbours, "block": event.InBlock}

// maxWho is how many names a rule on the page takes, and mostGuessed for how many unknown ones the page looks who
// may be meant.
const (
	maxWho      = 100
	mostGuessed = 100
)

func ruleOf(r event.Rule, names directory) ruleForm {
	f := ruleForm{ID: r.ID, Kind: kindApart, Note: r.PrivateNote}
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
		f.Kind, people = kindTurns, r.Turns.People
	case r.Seniority != nil:
		f.Kind, people = kindSeniority, r.Seniority.People
	}
	for _, id := range people {
		f.Who = append(f.Who, names.label(id))
	}
	return f
}

func readRule(p posted, i int) ruleForm {
	at := func(name string) string { return p.line(fmt.Sprintf("rule.%d.%s", i, name)) }
	r := ruleForm{ID: at("id"), Kind: at("kind"), Scope: at("scope"), Until: at("until"), Note: p.get(fmt.Sprintf("rule.%d.note", i))}
	for k := 0; k <= maxWho && p.has(fmt.Sprintf("rule.%d.who.%d", i, k)); k++ {
		if who := at(fmt.Sprintf("who.%d", k)); who != "" {
			r.Who = append(r.Who, who)
		}
	}
	return r
}

// empty says that nothing is written; a kind is always chosen.
func (r ruleForm) empty() bool {
	return len(r.Who) == 0 && r.Until == "" && strings.TrimSpace(r.Note) == ""
}

// rule turns the fields into a rule, and names those that nobody is known by.
func (r ruleForm) rule(i int, names directory, guess bool) (event.Rule, []fieldFault) {
	out := event.Rule{ID: r.ID, PrivateNote: r.Note}
	var faults []fieldFault
	var people []string
	for k, who := range r.Who {
		id, advice := names.find(who, guess && len(faults) < mostGuessed)
		if !advice.Empty() {
			faults = append(faults, fieldFault{fmt.Sprintf("rule.%d.who.%d", i, k), advice})
			continue
		}
		people = append(people, id)
	}
	switch r.Kind {
	case kindTurns:
		out.Turns = &event.Turns{People: people}
	case kindSeniority:
		out.Seniority = &event.Seniority{People: people}
	default:
		out.Apart = &event.Apart{People: people, Scope: scopes[r.Scope], Until: r.Until}
	}
	if len(r.Who) < 2 {
		faults = append(faults, fieldFault{fmt.Sprintf("rule.%d.who.%d", i, len(r.Who)), wording.Say("page.ruleNeedsAtLeastTwoNames")})
	}
	return out, faults
}

func (r ruleForm) hidden(i int) []hiddenField {
	var out []hiddenField
	for _, f := range []hiddenField{{"id", r.ID}, {"kind", r.Kind}, {"scope", r.Scope}, {"until", r.Until}, {"note", r.Note}} {
		out = append(out, hiddenField{fmt.Sprintf("rule.%d.%s", i, f.Name), f.Value})
	}
	for k, who := range r.Who {
		out = append(out, hiddenField{fmt.Sprintf("rule.%d.who.%d", i, k), who})
	}
	return out
}
