package placing

import (
	"cmp"
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/solver/standing"
)

var (
	rowKinds = map[standing.Kind]event.RowKind{
		standing.GroundRow: event.GroundRow, standing.KneelingRow: event.KneelingRow, standing.ChairRow: event.ChairRow,
		standing.StandingRow: event.PlainRow, standing.StepRow: event.StepRow, standing.SecondStepRow: event.SecondStepRow,
	}
	postures = map[standing.Posture]event.Posture{
		standing.Standing: event.Upright, standing.OnGround: event.OnGround, standing.Kneeling: event.Kneeling,
		standing.OnChair: event.OnChair, standing.InWheelchair: event.InWheelchair, standing.OnStep: event.OnStep,
		standing.OnSecondStep: event.OnSecondStep, standing.Held: event.Held,
	}
	// notes are the warnings that may be printed. That people to be kept apart are neighbours is not
	// among them: sheets tell nothing of rules.
	notes = map[standing.Warning]event.StandingNote{
		standing.TooWide: event.TooWide, standing.TooDeep: event.TooDeep, standing.FaceHidden: event.FaceHidden,
		standing.WheelchairAlone: event.WheelchairAlone, standing.HeightsGuessed: event.HeightsGuessed,
		standing.MindSteps: event.MindSteps, standing.MindChairs: event.MindChairs,
	}
)

// Standing writes the plan with the ids of people.
func (p Plan) Standing() event.Standing {
	out := event.Standing{WidthCM: p.WidthCM, DepthCM: p.DepthCM, HeightCM: p.HeightCM, Proven: p.Exact, MoreAdults: p.MoreArms}
	people := make([]int, len(p.Places))
	for q := range people {
		people[q] = q
	}
	slices.SortStableFunc(people, func(a, b int) int {
		return cmp.Or(cmp.Compare(p.Places[a].Order, p.Places[b].Order), cmp.Compare(p.Places[a].HeldBy, p.Places[b].HeldBy))
	})
	for r, row := range p.Rows {
		w := event.StandingRow{Kind: rowKinds[row.Kind], WidthCM: row.WidthCM, AsideCM: row.AsideCM, BaseCM: row.BaseCM}
		for _, q := range people {
			at := p.Places[q]
			if at.Row != r {
				continue
			}
			place := event.StandingPlace{
				Person: p.People[q].ID, XCM: at.XCM, Posture: postures[at.Posture], HeadCM: at.HeadCM, Guessed: at.Guessed, WidthCM: at.WidthCM,
			}
			if at.HeldBy >= 0 {
				place.HeldBy = p.People[at.HeldBy].ID
			}
			w.Places = append(w.Places, place)
		}
		out.Rows = append(out.Rows, w)
	}
	for _, w := range p.Warnings {
		if note, ok := notes[w]; ok {
			out.Notes = append(out.Notes, note)
		}
	}
	return out
}
