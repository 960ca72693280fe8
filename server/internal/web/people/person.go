package people

import (
	"slices"
	"strconv"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
)

// fieldNames are the fields of a person, in the order of the page.
var fieldNames = []string{"name", "say", "side", "relation", "age", "years", "seat", "wheelchair", "stepfree", "from", "until", "contact", "tongue", "note", "absent", "same", "gone"}

// labels are what they are called there.
var labels = map[string]wording.Key{
	"name": "page.personName", "say": "page.howItIsSaid", "side": "page.whoseSide", "relation": "page.relation", "age": "page.ageGroup",
	"years": "page.ageInYears", "seat": "page.needsASeat", "wheelchair": "sheet.wheelchair", "stepfree": "sheet.stepFree",
	"from": "page.hereFrom", "until": "page.hereUntil", "note": "page.privateNote", "contact": "page.contact", "tongue": "page.language",
	"absent": "page.notComing", "same": "page.sameAs", "gone": "page.noPerson",
}

// bands are the values of the field of age, in the order of the page; none is an adult.
var bands = []struct {
	value string
	band  event.AgeBand
	words wording.Key
}{{"", event.Adult, "page.grownUp"}, {"elder", event.Elder, "page.elder"}, {"child", event.Child, "page.child"}, {"infant", event.Infant, "page.infant"}}

// ticked says that a field is ticked.
func ticked(name string) bool {
	return needs[name] != event.NoNeed || name == "absent" || name == "gone"
}

// needs are the fields of them.
var needs = map[string]event.Need{"seat": event.Seat, "wheelchair": event.Wheelchair, "stepfree": event.StepFree}

// valuesOf are the fields of a person as an event has them. It has no years, only what follows from them.
func valuesOf(p event.Person) map[string]string {
	out := map[string]string{"name": p.Name, "say": p.SayAs, "side": p.Side, "relation": p.Relation, "from": p.PresentFrom, "until": p.PresentUntil,
		"note": p.PrivateNote, "years": "", "contact": "", "tongue": "", "absent": "", "same": "", "gone": ""}
	if p.Absent {
		out["absent"] = "1"
	}
	for _, b := range bands {
		if b.band == p.AgeBand {
			out["age"] = b.value
		}
	}
	for name, need := range needs {
		out[name] = ""
		if slices.Contains(p.Needs, need) {
			out[name] = "1"
		}
	}
	return out
}

// mostYears is more than anybody has lived.
const mostYears = 130

// apply puts the fields into a person. It is false when years are no whole number. A side that the event has no more is
// not put in; the page says so.
func (m Mended) apply(p *event.Person, sides []event.Side) bool {
	fine := true
	for _, name := range fieldNames {
		now, ok := m.Fields[name]
		if !ok {
			continue
		}
		switch name {
		case "name":
			p.Name = now
		case "say":
			p.SayAs = now
		case "side":
			if hasSide(sides, now) {
				p.Side = now
			}
		case "relation":
			p.Relation = now
		case "age":
			for _, b := range bands {
				if b.value == now {
					p.AgeBand = b.band
				}
			}
		case "years": // after the age: they go before it
			years, err := strconv.Atoi(now)
			if err == nil && years >= 0 && years <= mostYears {
				p.AgeBand = event.AgeBandAt(years)
			} else if now != "" {
				fine = false
			}
		case "from":
			p.PresentFrom = now
		case "until":
			p.PresentUntil = now
		case "note":
			p.PrivateNote = now
		case "absent":
			p.Absent = now != ""
		case "same", "gone": // Settle does
		case "contact", "tongue": // for messages alone, and in no event
		default:
			p.Needs = slices.DeleteFunc(slices.Clone(p.Needs), func(n event.Need) bool { return n == needs[name] })
			if now != "" {
				p.Needs = append(p.Needs, needs[name])
			}
		}
	}
	return fine
}

func hasSide(sides []event.Side, id string) bool {
	return id == "" || slices.ContainsFunc(sides, func(s event.Side) bool { return s.ID == id })
}

// said writes the value of a field for people.
func said(c *wording.Catalogue, name, value string, sides []event.Side) string {
	switch {
	case name == "age":
		for _, b := range bands {
			if b.value == value {
				return c.Say(b.words)
			}
		}
	case value == "":
		return "–"
	case ticked(name):
		return "✓"
	case name == "same":
		return nameIn(value)
	case name == "tongue":
		if words, ok := wording.For(value); ok {
			return words.Name()
		}
	case name == "side":
		for _, s := range sides {
			if s.ID == value && s.Label != "" {
				return s.Label
			}
		}
	}
	return value
}

// About says what is known of a person, never the private note.
func About(c *wording.Catalogue, p event.Person) string {
	var parts []string
	add := func(s string) {
		if s != "" {
			parts = append(parts, s)
		}
	}
	add(p.Relation)
	for _, b := range bands[1:] {
		if b.band == p.AgeBand {
			add(c.Say(b.words))
		}
	}
	for _, n := range p.Needs {
		add(c.Say(map[event.Need]wording.Key{event.Seat: "page.needsASeat", event.Wheelchair: "sheet.wheelchair",
			event.StepFree: "sheet.stepFree", event.Interpreter: "page.needsAnInterpreter"}[n]))
	}
	if p.SayAs != "" {
		add(c.Say("sheet.say", p.SayAs))
	}
	if p.PresentFrom != "" {
		add(c.Say("plan.from", p.PresentFrom))
	}
	if p.PresentUntil != "" {
		add(c.Say("plan.until", p.PresentUntil))
	}
	if p.Absent {
		add(c.Say("page.notComing"))
	}
	return c.Facts(parts...)
}
