package prose

import (
	"maps"
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/statements"
	"kinorder.example/server/internal/wording"
)

// result puts everything into the order of the lines.
func (r *reader) result() place.Result {
	var lines []int
	for i := range r.Lines {
		if !r.Lines[i].Blank {
			lines = append(lines, r.Lines[i].Number)
		}
	}
	out := r.Result(r.event, lines)
	for k := range out.Lines {
		if n := out.Lines[k].Number; n <= len(r.Lines) && r.Lines[n-1].Number == n {
			out.Lines[k].Text = r.Lines[n-1].Shown()
		}
	}
	out.Language = r.Main
	return out
}

// took notes what a sentence of a line says of people or photographs beside asking for one.
func (r *reader) took(s *statements.Statement, sentence []speech.Phrase, m wording.Message) {
	if len(sentence) > 0 {
		r.heard[[2]int{s.Line.Number, sentence[0].Start}] = true
	}
	if !slices.ContainsFunc(r.taken[s.Line.Number], func(o wording.Message) bool { return o.String() == m.String() }) {
		r.taken[s.Line.Number] = append(r.taken[s.Line.Number], m)
	}
}

// tellTaken says of each line what was taken from it.
func (r *reader) tellTaken() {
	for _, line := range slices.Sorted(maps.Keys(r.taken)) {
		r.Tell(line, 1, event.Info, place.CodeTakenAs, "", wording.Say("list.takenFromIt", wording.Semicolons(r.taken[line]...)))
	}
}

// attrSaid is what an attribute says of somebody.
func (r *reader) attrSaid(i int, attrs []speech.Attribute) wording.Message {
	var what wording.Message
	switch a := attrs[0]; a.Class {
	case "need":
		what = wording.Say(needSaid[a.Arg])
	case "absent":
		what = wording.Say("page.notComing")
	case "from", "until":
		what = wording.Say(wording.Key("plan."+a.Class), speech.TimeAfter(attrs[1:]))
	}
	return wording.Say("%s: %s", r.Guests[i].Name, what)
}

var needSaid = map[string]wording.Key{"wheelchair": wording.KeyWheelchair, "seat": "page.needsASeat", "stepfree": wording.KeyStepFree, "interpreter": "page.needsAnInterpreter"}
