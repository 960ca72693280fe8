package api

import (
	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake"
)

// eventToWire loses nothing: reader.event gives back an equal event.
func eventToWire(e event.Event) *kinorderv1.Event {
	return &kinorderv1.Event{
		Title:    text(e.Title),
		Date:     text(e.Date),
		TimeZone: text(e.TimeZone),
		Sides: each(e.Sides, func(s event.Side) *kinorderv1.Side {
			return &kinorderv1.Side{Id: text(s.ID), Label: text(s.Label)}
		}),
		People:    each(e.People, personToWire),
		Circles:   each(e.Circles, circleToWire),
		Groupings: each(e.Groupings, groupingToWire),
		Blocks:    each(e.Blocks, blockToWire),
		Rules:     each(e.Rules, ruleToWire),
		Walks:     each(e.Walks, walkToWire),
		Pace:      paceToWire(e.Pace),
		Weights:   weightsToWire(e.Weights),
		Emphasis:  emphases.wire[e.Emphasis],

		Confidence: narrow(e.Confidence),
		Fit:        fits.wire[e.Fit],
		Latitude:   same(e.Latitude),
		Longitude:  same(e.Longitude),
		Kit:        kitToWire(e.Kit),
		Honour:     texts(e.Honour),
		Order: each(e.Order, func(p event.HandPlace) *kinorderv1.HandPlace {
			return &kinorderv1.HandPlace{Grouping: text(p.Grouping), Block: text(p.Block), Locked: p.Locked}
		}),
		LeftOut: texts(e.LeftOut),
	}
}

func personToWire(p event.Person) *kinorderv1.Person {
	return &kinorderv1.Person{
		Id:            text(p.ID),
		Name:          text(p.Name),
		SayAs:         text(p.SayAs),
		Relation:      text(p.Relation),
		Side:          text(p.Side),
		AgeBand:       ageBands.wire[p.AgeBand],
		HeightCm:      narrow(p.HeightCM),
		Needs:         each(p.Needs, func(n event.Need) kinorderv1.Need { return needs.wire[n] }),
		PresentFrom:   text(p.PresentFrom),
		PresentUntil:  text(p.PresentUntil),
		Absent:        p.Absent,
		ReleaseWeight: narrowPointer(p.ReleaseWeight),
		PrivateNote:   text(p.PrivateNote),
		Presence:      each(p.Presence, spanToWire),
		Interpreter:   text(p.Interpreter),
		Nicknames:     each(p.Nicknames, text),
	}
}

func spanToWire(s event.Span) *kinorderv1.Presence {
	return &kinorderv1.Presence{From: text(s.From), Until: text(s.Until)}
}

func walkToWire(w event.Walk) *kinorderv1.Walk {
	return &kinorderv1.Walk{From: text(w.From), To: text(w.To), Minutes: narrow(w.Minutes)}
}

func circleToWire(c event.Circle) *kinorderv1.Circle {
	return &kinorderv1.Circle{Id: text(c.ID), Title: text(c.Title), Members: texts(c.Members), Leader: text(c.Leader)}
}

func groupingToWire(g event.Grouping) *kinorderv1.Grouping {
	w := &kinorderv1.Grouping{
		Id:          text(g.ID),
		Title:       text(g.Title),
		Members:     texts(g.Members),
		Without:     texts(g.Without),
		EachOf:      text(g.EachOf),
		Priority:    priorities.wire[g.Priority],
		Blocks:      texts(g.Blocks),
		After:       texts(g.After),
		Pin:         pins.wire[g.Pin],
		Frames:      narrow(g.Frames),
		PrivateNote: text(g.PrivateNote),
		NotBefore:   text(g.NotBefore),
		NotAfter:    text(g.NotAfter),
		Confirms:    texts(g.Confirms),
		Worth:       same(g.Worth),
		Guests:      narrow(g.Guests),
	}
	if g.Minutes != nil {
		minutes := *g.Minutes
		w.Minutes = &minutes
	}
	return w
}

func blockToWire(b event.Block) *kinorderv1.Block {
	return &kinorderv1.Block{
		Id:             text(b.ID),
		Title:          text(b.Title),
		Place:          text(b.Place),
		Opens:          text(b.Opens),
		Closes:         text(b.Closes),
		Closing:        closings.wire[b.Closing],
		OverrunMinutes: narrowPointer(b.Overrun),
		Photographer:   text(b.Photographer),
		Capacity:       narrow(b.Capacity),
		StepFree:       b.StepFree,
		Light:          lights.wire[b.Light],
		Latitude:       same(b.Latitude),
		Longitude:      same(b.Longitude),
		Facing:         text(b.Facing),
		Indoors:        b.Indoors,
		StandBackCm:    narrow(b.StandBackCM),
		Space:          spaceToWire(b.Space),
	}
}

func ruleToWire(r event.Rule) *kinorderv1.Rule {
	w := &kinorderv1.Rule{Id: text(r.ID), PrivateNote: text(r.PrivateNote)}
	switch { // a rule of several kinds is refused by check.Event
	case r.Apart != nil:
		w.Kind = &kinorderv1.Rule_Apart{Apart: &kinorderv1.Apart{
			People: texts(r.Apart.People),
			Scope:  scopes.wire[r.Apart.Scope],
			Until:  text(r.Apart.Until),
		}}
	case r.Turns != nil:
		w.Kind = &kinorderv1.Rule_Turns{Turns: &kinorderv1.Turns{People: texts(r.Turns.People)}}
	case r.Seniority != nil:
		w.Kind = &kinorderv1.Rule_Seniority{Seniority: &kinorderv1.Seniority{People: texts(r.Seniority.People)}}
	}
	return w
}

func paceToWire(p event.Pace) *kinorderv1.Pace {
	return &kinorderv1.Pace{
		SettleSeconds:     narrowPointer(p.SettleSeconds),
		PerStepInSeconds:  narrowPointer(p.PerStepInSeconds),
		PerStepOutSeconds: narrowPointer(p.PerStepOutSeconds),
		FreshSeconds:      narrowPointer(p.FreshSeconds),
		Arrange: each(p.Arrange, func(a event.ArrangePoint) *kinorderv1.ArrangePoint {
			return &kinorderv1.ArrangePoint{Newcomers: narrow(a.Newcomers), Seconds: narrow(a.Seconds)}
		}),
		PerFrameSeconds:   narrowPointer(p.PerFrameSeconds),
		ElderSeconds:      narrowPointer(p.ElderSeconds),
		ChildSeconds:      narrowPointer(p.ChildSeconds),
		InfantSeconds:     narrowPointer(p.InfantSeconds),
		WheelchairSeconds: narrowPointer(p.WheelchairSeconds),
		OpeningSeconds:    narrowPointer(p.OpeningSeconds),
		FetchSeconds:      narrowPointer(p.FetchSeconds),
		Calling:           callings.wire[p.Calling],
		Frames: each(p.Frames, func(f event.FramesPoint) *kinorderv1.FramesPoint {
			return &kinorderv1.FramesPoint{People: narrow(f.People), Frames: narrow(f.Frames)}
		}),
		FramesConfidence:  narrowPointer(p.FramesConfidence),
		SlotSpreadPercent: narrowPointer(p.SlotSpreadPercent),
		DaySpreadPercent:  narrowPointer(p.DaySpreadPercent),
	}
}

func weightsToWire(w event.Weights) *kinorderv1.Weights {
	return &kinorderv1.Weights{
		Step:          narrowPointer(w.Step),
		ReleaseAdult:  narrowPointer(w.ReleaseAdult),
		ReleaseChild:  narrowPointer(w.ReleaseChild),
		ReleaseInfant: narrowPointer(w.ReleaseInfant),
		ReleaseElder:  narrowPointer(w.ReleaseElder),
		ReleaseNeed:   narrowPointer(w.ReleaseNeed),
		Idle:          narrowPointer(w.Idle),
	}
}

func adviceToWire(a event.Advice) *kinorderv1.Advice {
	return &kinorderv1.Advice{
		Code:     text(a.Code),
		Severity: severities.wire[a.Severity],
		Text:     text(a.Text()),
		Wording:  wordingToWire(a.Message),
		Subjects: texts(a.Subjects),
		Field:    text(a.Field),
	}
}

func problemToWire(p intake.Problem) *kinorderv1.ImportProblem {
	return &kinorderv1.ImportProblem{
		Code:     text(p.Code),
		Severity: severities.wire[p.Severity],
		Text:     text(p.Text()),
		Wording:  wordingToWire(p.Message),
		Line:     narrow(p.Line),
		Column:   narrow(p.Column),
		Field:    text(p.Field),

		Written:    text(p.Written),
		Candidates: texts(p.Candidates),
	}
}
