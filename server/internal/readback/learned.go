package readback

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/wording"
)

var ages = []struct {
	band event.AgeBand
	key  wording.Key
}{{event.Elder, "list.elders"}, {event.Child, "list.children"}, {event.Infant, "list.infants"}}

var needs = []struct {
	need event.Need
	key  wording.Key
}{{event.Wheelchair, "sheet.wheelchair"}, {event.Seat, "page.needsASeat"}, {event.StepFree, "sheet.stepFree"}, {event.Interpreter, "page.needsAnInterpreter"}}

// learned is what an event knows beside who is in its photographs, one message for all people of whom the same is known.
func (t *teller) learned() []wording.Message {
	var out []wording.Message
	all := func(head wording.Message, is func(event.Person) bool) {
		var names []string
		for _, p := range t.r.Event.People {
			if is(p) {
				names = append(names, p.Name)
			}
		}
		if len(names) > 0 {
			out = append(out, about(head, shortened(names)))
		}
	}
	if len(t.couple) == 2 {
		out = append(out, about(wording.Say("list.theCouple"), wording.And(t.people[t.couple[0]].Name, t.people[t.couple[1]].Name)))
	}
	out = append(out, t.day()...)
	for _, a := range ages {
		all(wording.Say(a.key), func(p event.Person) bool { return p.AgeBand == a.band })
	}
	for _, n := range needs {
		all(wording.Say(n.key), func(p event.Person) bool { return slices.Contains(p.Needs, n.need) })
	}
	all(wording.Say("page.notComing"), func(p event.Person) bool { return p.Absent })
	for _, p := range t.r.Event.People {
		for _, at := range []struct {
			key  wording.Key
			time string
		}{{"plan.from", p.PresentFrom}, {"plan.until", p.PresentUntil}} {
			if at.time != "" {
				out = append(out, about(p.Name, wording.Say(at.key, wording.ClockText(at.time))))
			}
		}
	}
	for _, r := range t.r.Event.Rules {
		if r.Apart != nil {
			var names []string
			for _, id := range r.Apart.People {
				names = append(names, t.people[id].Name)
			}
			told := wording.Key("list.standApart")
			if r.Apart.Scope == event.Frame {
				told = "list.inNoPhotoTogether"
			}
			if rule := wording.Say(told, wording.And(names...)); !t.saidAlready(rule) {
				out = append(out, rule)
			}
		}
	}
	return append(append(out, t.inNone()...), t.notes()...)
}

// saidAlready reports whether a line is told to say something.
func (t *teller) saidAlready(m wording.Message) bool {
	for _, told := range t.told {
		if slices.ContainsFunc(told, func(o wording.Message) bool { return strings.Contains(o.String(), m.String()) }) {
			return true
		}
	}
	return false
}

// notes are what is kept as private notes, and warnings about the list that ask nothing.
func (t *teller) notes() []wording.Message {
	var out []wording.Message
	for _, p := range t.r.Problems {
		told := p.Line > 0 && (p.Code == place.CodeNotUsed || p.Code == place.CodeTakenAs) || asks(p)
		advice := len(p.Subjects) > 0 // of the event, not of how the list is read
		if p.Code == place.CodeKeptAsNote || p.Severity == event.Warning && !told && !advice {
			out = append(out, p.Message)
		}
	}
	return out
}

// day is when the list says that it is.
func (t *teller) day() []wording.Message {
	var out []wording.Message
	if t.r.Event.Date != "" {
		out = append(out, wording.Said(t.words.LongDate(t.r.Event.Date)))
	}
	for _, b := range t.r.Event.Blocks {
		if b.Opens != "" && b.Closes != "" {
			out = append(out, wording.Say("sheet.fromTo", wording.ClockText(b.Opens), wording.ClockText(b.Closes)))
		}
		if b.Place != "" {
			out = append(out, wording.Said(b.Place))
		}
	}
	return out
}

// inNone are the people who are in no photograph.
func (t *teller) inNone() []wording.Message {
	var names []string
	for _, p := range t.r.Problems {
		if p.Code == event.CodeInNoGrouping {
			for _, id := range p.Subjects {
				names = append(names, t.people[id].Name)
			}
		}
	}
	if len(names) == 0 {
		return nil
	}
	return []wording.Message{about(wording.Say("list.inNoPhotograph"), shortened(names))}
}

func about(head, what any) wording.Message {
	return wording.Say("%s%s %s", head, wording.Say("sheet.colon"), what)
}

// shortened lists names, the most of which are told.
func shortened(names []string) wording.Arg {
	const most = 20
	if more := len(names) - most; more > 0 {
		return wording.Comma(append(said(names[:most]), wording.Say("sheet.more", more))...)
	}
	return wording.Comma(names...)
}

func said(names []string) []wording.Message {
	var out []wording.Message
	for _, n := range names {
		out = append(out, wording.Said(n))
	}
	return out
}
