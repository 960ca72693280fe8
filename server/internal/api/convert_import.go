package api

import (
	"slices"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/readback"
	"kinorder.example/server/internal/wording"
)

// importToWire makes the answer of Import, including the account of what was read.
func importToWire(r intake.Reading) *kinorderv1.ImportResponse {
	a := readback.Of(r)
	told := make(map[int]readback.Line, len(a.Lines))
	for _, l := range a.Lines {
		told[l.Number] = l
	}
	line := func(l intake.Line) *kinorderv1.ImportLine { return lineToWire(r.Event, l, told[l.Number], a.Words) }
	question := func(q readback.Question) *kinorderv1.ImportQuestion { return questionToWire(q, a.Words) }
	return &kinorderv1.ImportResponse{
		Event: eventToWire(r.Event), Problems: written[kinorderv1.ImportProblem](r.Problems), Lines: each(r.Lines, line),
		Language: text(r.Language), Questions: each(a.Questions, question), Learned: rendered(a.Words, a.Learned),
	}
}

func lineToWire(e event.Event, l intake.Line, told readback.Line, c *wording.Catalogue) *kinorderv1.ImportLine {
	photograph := func(p readback.Photograph) *kinorderv1.ImportPhotograph {
		return &kinorderv1.ImportPhotograph{
			Grouping: text(event.GroupingID(&e, p.Grouping)), Title: text(p.Title), People: written[kinorderv1.ImportPerson](p.People), Each: written[kinorderv1.ImportPerson](p.Each),
			Count: narrow(p.Count), Everybody: p.Everybody, Without: written[kinorderv1.ImportPerson](p.Without), Priority: toEnum[kinorderv1.Priority](p.Priority),
		}
	}
	return &kinorderv1.ImportLine{
		Number: narrow(l.Number), Use: toEnum[kinorderv1.LineUse](l.Use), Fields: texts(l.Fields), Text: text(l.Text),
		Photographs: each(told.Photographs, photograph), People: written[kinorderv1.ImportPerson](told.People), Told: rendered(c, told.Told), Above: narrow(told.Above),
	}
}

func questionToWire(q readback.Question, c *wording.Catalogue) *kinorderv1.ImportQuestion {
	var lines []int32
	for _, n := range slices.Sorted(slices.Values(q.Lines)) {
		lines = append(lines, narrow(n))
	}
	return &kinorderv1.ImportQuestion{
		Code: text(q.Code), Text: text(c.Render(q.Message)), Wording: wordingToWire(q.Message), Lines: lines,
		Written: text(q.Written), Choices: texts(q.Choices), Open: q.Open,
	}
}

func rendered(c *wording.Catalogue, list []wording.Message) []string {
	return each(list, func(m wording.Message) string { return text(c.Render(m)) })
}
