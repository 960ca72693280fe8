package readback

import (
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/wording"
)

// Question is one thing that is unclear, asked once for all lines that it is on.
type Question struct {
	Message wording.Message
	Code    string
	Open    bool // it has to be answered before there can be a plan
	Lines   []int
	Written string
	Choices []string
	Entry   string // id of the entry for people whom the list does not name
	Column  int    // in the first of the lines
}

// asking are the codes of problems that are questions even where a plan can be made without an answer.
var asking = []string{place.CodeWhichOne, place.CodeStandsFor, place.CodeNotKnown, place.CodeNobody, place.CodeReadAs, place.CodeCountDiffers, place.CodeDoubted, place.CodeLookAlike, place.CodeAddedPerson, event.CodeMissing, event.CodeBadDate}

// questions are the problems that ask, those that ask the same together.
func (t *teller) questions() []Question {
	var out []Question
	at := make(map[string]int)
	for _, p := range t.r.Problems {
		if !asks(p) {
			continue
		}
		key := p.Code + "\x00" + p.Written + "\x00" + p.Text()
		if k, known := at[key]; known {
			if !slices.Contains(out[k].Lines, p.Line) {
				out[k].Lines = append(out[k].Lines, p.Line)
			}
			continue
		}
		at[key] = len(out)
		out = append(out, t.question(p))
	}
	return out
}

// asks reports whether a problem is a question, or has to be answered before there can be a plan.
func asks(p intake.Problem) bool {
	return p.Severity == event.Error || p.Severity == event.Warning && p.Line > 0 && slices.Contains(asking, p.Code)
}

func (t *teller) question(p intake.Problem) Question {
	q := Question{Message: p.Message, Code: p.Code, Open: p.Severity == event.Error, Written: p.Written, Choices: p.Candidates, Column: p.Column}
	if p.Line > 0 {
		q.Lines = []int{p.Line}
	}
	k := slices.IndexFunc(t.r.Event.People, func(x event.Person) bool { return x.Name == p.Written })
	if p.Code != place.CodeStandsFor || p.Written == "" || k < 0 {
		return q
	}
	q.Entry = t.r.Event.People[k].ID
	n := 0
	q.Lines, n = t.linesWith(q.Entry)
	asked := wording.Key("list.whoIsInPhotographs")
	if p.Message.Key == "list.whoAreTheyCountAsOne" {
		asked = "list.whoAreInPhotographs"
	}
	q.Message = wording.Say(asked, n, wording.Curly(p.Written))
	for _, x := range t.r.Event.People { // whoever is there and nothing is known of may be meant
		if y := t.people[x.ID]; x.Relation == "" && !y.Unnamed && !slices.Contains(t.couple, x.ID) && len(q.Choices) < place.MostNamed {
			q.Choices = append(q.Choices, x.Name)
		}
	}
	return q
}

// linesWith are the lines whose photographs somebody is in, beside those of everybody, and how many photographs.
func (t *teller) linesWith(id string) ([]int, int) {
	var lines []int
	n := 0
	for _, l := range t.r.Lines {
		for _, f := range l.Fields {
			var k int
			if !field(f, "groupings[%d]", &k) || k >= len(t.r.Event.Groupings) || !slices.Contains(t.in(k), id) {
				continue
			}
			n++
			if !slices.Contains(lines, l.Number) {
				lines = append(lines, l.Number)
			}
		}
	}
	return lines, n
}

// in are the ids of all in a photograph, of one of everybody none.
func (t *teller) in(k int) []string {
	if t.members == nil {
		t.members = make([][]string, len(t.r.Event.Groupings))
		for i, g := range t.r.Event.Groupings {
			if of := append(slices.Clone(g.Members), g.EachOf); !everybody(g) {
				t.members[i] = t.ids(of...)
			}
		}
	}
	return t.members[k]
}
