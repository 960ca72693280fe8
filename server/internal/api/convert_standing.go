package api

import (
	"fmt"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/event"
)

var (
	rowKinds = pairs(event.NoRowKind, map[kinorderv1.RowKind]event.RowKind{
		kinorderv1.RowKind_ROW_KIND_GROUND:      event.GroundRow,
		kinorderv1.RowKind_ROW_KIND_KNEELING:    event.KneelingRow,
		kinorderv1.RowKind_ROW_KIND_CHAIRS:      event.ChairRow,
		kinorderv1.RowKind_ROW_KIND_STANDING:    event.PlainRow,
		kinorderv1.RowKind_ROW_KIND_STEP:        event.StepRow,
		kinorderv1.RowKind_ROW_KIND_SECOND_STEP: event.SecondStepRow,
	})
	postures = pairs(event.NoPosture, map[kinorderv1.Posture]event.Posture{
		kinorderv1.Posture_POSTURE_STANDING:       event.Upright,
		kinorderv1.Posture_POSTURE_ON_GROUND:      event.OnGround,
		kinorderv1.Posture_POSTURE_KNEELING:       event.Kneeling,
		kinorderv1.Posture_POSTURE_ON_CHAIR:       event.OnChair,
		kinorderv1.Posture_POSTURE_IN_WHEELCHAIR:  event.InWheelchair,
		kinorderv1.Posture_POSTURE_ON_STEP:        event.OnStep,
		kinorderv1.Posture_POSTURE_ON_SECOND_STEP: event.OnSecondStep,
		kinorderv1.Posture_POSTURE_HELD:           event.Held,
	})
	standingNotes = pairs(event.NoStandingNote, map[kinorderv1.StandingNote]event.StandingNote{
		kinorderv1.StandingNote_STANDING_NOTE_TOO_WIDE:         event.TooWide,
		kinorderv1.StandingNote_STANDING_NOTE_TOO_DEEP:         event.TooDeep,
		kinorderv1.StandingNote_STANDING_NOTE_FACE_HIDDEN:      event.FaceHidden,
		kinorderv1.StandingNote_STANDING_NOTE_WHEELCHAIR_ALONE: event.WheelchairAlone,
		kinorderv1.StandingNote_STANDING_NOTE_HEIGHTS_GUESSED:  event.HeightsGuessed,
		kinorderv1.StandingNote_STANDING_NOTE_MIND_STEPS:       event.MindSteps,
		kinorderv1.StandingNote_STANDING_NOTE_MIND_CHAIRS:      event.MindChairs,
	})
	standingRemedies = pairs(event.NoRemedy, map[kinorderv1.StandingRemedy]event.StandingRemedy{
		kinorderv1.StandingRemedy_STANDING_REMEDY_KNEEL:     event.RemedyKneel,
		kinorderv1.StandingRemedy_STANDING_REMEDY_CHAIRS:    event.RemedyChairs,
		kinorderv1.StandingRemedy_STANDING_REMEDY_STEP:      event.RemedyStep,
		kinorderv1.StandingRemedy_STANDING_REMEDY_TWO_STEPS: event.RemedyTwoSteps,
		kinorderv1.StandingRemedy_STANDING_REMEDY_SPLIT:     event.RemedySplit,
		kinorderv1.StandingRemedy_STANDING_REMEDY_ABOVE:     event.RemedyAbove,
	})
)

func spaceFromWire(w *kinorderv1.StandingSpace) event.Space {
	return event.Space{
		WidthCM: int(w.GetWidthCm()), DepthCM: int(w.GetDepthCm()), Ground: w.GetGround(), Kneeling: w.GetKneeling(),
		Chairs: int(w.GetChairs()), Steps: int(w.GetSteps()), StepCM: int(w.GetStepCm()),
		CameraHeightCM: int(w.GetCameraHeightCm()), CameraDistanceCM: int(w.GetCameraDistanceCm()),
	}
}

func spaceToWire(s event.Space) *kinorderv1.StandingSpace {
	if s == (event.Space{}) {
		return nil
	}
	return &kinorderv1.StandingSpace{
		WidthCm: narrow(s.WidthCM), DepthCm: narrow(s.DepthCM), Ground: s.Ground, Kneeling: s.Kneeling,
		Chairs: narrow(s.Chairs), Steps: narrow(s.Steps), StepCm: narrow(s.StepCM),
		CameraHeightCm: narrow(s.CameraHeightCM), CameraDistanceCm: narrow(s.CameraDistanceCM),
	}
}

func standingToWire(s *event.Standing) *kinorderv1.Standing {
	if s == nil {
		return nil
	}
	return &kinorderv1.Standing{
		Rows: each(s.Rows, standingRowToWire), WidthCm: narrow(s.WidthCM), DepthCm: narrow(s.DepthCM), HeightCm: narrow(s.HeightCM),
		Proven: s.Proven, Moves: texts(s.Moves),
		Notes:  each(s.Notes, func(n event.StandingNote) kinorderv1.StandingNote { return standingNotes.wire[n] }),
		Remedy: standingRemedies.wire[s.Remedy], RemedyChairs: narrow(s.RemedyChairs), MoreAdults: narrow(s.MoreAdults),
	}
}

func standingRowToWire(row event.StandingRow) *kinorderv1.StandingRow {
	return &kinorderv1.StandingRow{
		Kind: rowKinds.wire[row.Kind], WidthCm: narrow(row.WidthCM), AsideCm: narrow(row.AsideCM), BaseCm: narrow(row.BaseCM),
		Places: each(row.Places, func(p event.StandingPlace) *kinorderv1.StandingPlace {
			return &kinorderv1.StandingPlace{
				Person: text(p.Person), XCm: narrow(p.XCM), Posture: postures.wire[p.Posture], HeadCm: narrow(p.HeadCM),
				HeldBy: text(p.HeldBy), HeightGuessed: p.Guessed, WidthCm: narrow(p.WidthCM),
			}
		}),
	}
}

func (r *reader) standing(w *kinorderv1.Standing, field string) *event.Standing {
	if w == nil {
		return nil
	}
	return &event.Standing{
		Rows: eachAt(w.GetRows(), func(i int, row *kinorderv1.StandingRow) event.StandingRow {
			return r.standingRow(row, fmt.Sprintf("%srows[%d].", field, i))
		}),
		WidthCM: int(w.GetWidthCm()), DepthCM: int(w.GetDepthCm()), HeightCM: int(w.GetHeightCm()), Proven: w.GetProven(), Moves: w.GetMoves(),
		Notes: eachAt(w.GetNotes(), func(i int, n kinorderv1.StandingNote) event.StandingNote {
			return fromEnum(r, standingNotes, n, fmt.Sprintf("%snotes[%d]", field, i))
		}),
		Remedy: fromEnum(r, standingRemedies, w.GetRemedy(), field+"remedy"), RemedyChairs: int(w.GetRemedyChairs()),
		MoreAdults: int(w.GetMoreAdults()),
	}
}

func (r *reader) standingRow(w *kinorderv1.StandingRow, field string) event.StandingRow {
	return event.StandingRow{
		Kind: fromEnum(r, rowKinds, w.GetKind(), field+"kind"), WidthCM: int(w.GetWidthCm()), AsideCM: int(w.GetAsideCm()), BaseCM: int(w.GetBaseCm()),
		Places: eachAt(w.GetPlaces(), func(i int, p *kinorderv1.StandingPlace) event.StandingPlace {
			return event.StandingPlace{
				Person: p.GetPerson(), XCM: int(p.GetXCm()), HeadCM: int(p.GetHeadCm()), HeldBy: p.GetHeldBy(), Guessed: p.GetHeightGuessed(),
				Posture: fromEnum(r, postures, p.GetPosture(), fmt.Sprintf("%splaces[%d].posture", field, i)), WidthCM: int(p.GetWidthCm()),
			}
		}),
	}
}
