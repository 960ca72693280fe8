package api

import (
	"reflect"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/sheet"
)

// numbers pair the values of an enumeration of the wire with those of the domain.
type numbers struct{ domain, wire map[int64]int64 }

// pairs makes the numbers of an enumeration. An unspecified value means the usual one, and is written where no other
// value means it.
func pairs[W ~int32, D ~int](usual D, values map[W]D) func(into map[reflect.Type]numbers) {
	n := numbers{map[int64]int64{0: int64(usual)}, map[int64]int64{int64(usual): 0}}
	for w, d := range values {
		n.domain[int64(w)], n.wire[int64(d)] = int64(d), int64(w)
	}
	return func(into map[reflect.Type]numbers) { into[reflect.TypeFor[W]()] = n }
}

// asInFiles makes the numbers of an enumeration that files may write as numbers too.
func asInFiles[W ~int32, D ~int](into map[reflect.Type]numbers) {
	values := intake.Numbered(reflect.TypeFor[D]())
	named := map[W]D{}
	for w, d := range values[1:] {
		named[W(w+1)] = D(d)
	}
	pairs(D(values[0]), named)(into)
}

// fromEnum reads a value that stands in a field of a request.
func fromEnum[D ~int, W ~int32](r *reader, w W, field string) D {
	d, ok := enumerations[reflect.TypeFor[W]()].domain[int64(w)]
	if !ok {
		r.unknown(field, int64(w))
	}
	return D(d)
}

// toEnum returns the value of the wire.
func toEnum[W ~int32, D ~int](d D) W { return W(enumerations[reflect.TypeFor[W]()].wire[int64(d)]) }

// enumerations are all of them, by the type on the wire.
var enumerations = func() map[reflect.Type]numbers {
	all := map[reflect.Type]numbers{}
	for _, add := range []func(map[reflect.Type]numbers){
		asInFiles[kinorderv1.AgeBand, event.AgeBand],
		asInFiles[kinorderv1.Need, event.Need],
		asInFiles[kinorderv1.Priority, event.Priority],
		asInFiles[kinorderv1.Pin, event.Pin],
		asInFiles[kinorderv1.ApartScope, event.ApartScope],
		asInFiles[kinorderv1.Emphasis, event.Emphasis],
		asInFiles[kinorderv1.Light, event.Light],
		asInFiles[kinorderv1.Calling, event.Calling],
		asInFiles[kinorderv1.Closing, event.Closing],
		asInFiles[kinorderv1.Fit, event.Fit],
		pairs(intake.Auto, map[kinorderv1.ImportFormat]intake.Format{
			kinorderv1.ImportFormat_IMPORT_FORMAT_YAML: intake.YAML,
			kinorderv1.ImportFormat_IMPORT_FORMAT_JSON: intake.JSON,
			kinorderv1.ImportFormat_IMPORT_FORMAT_LIST: intake.List,
			kinorderv1.ImportFormat_IMPORT_FORMAT_CSV:  intake.CSV,
			kinorderv1.ImportFormat_IMPORT_FORMAT_XLSX: intake.XLSX,
		}),
		pairs(intake.AnyTable, map[kinorderv1.Table]intake.TableKind{
			kinorderv1.Table_TABLE_PEOPLE:    intake.PeopleTable,
			kinorderv1.Table_TABLE_GROUPINGS: intake.GroupingsTable,
			kinorderv1.Table_TABLE_CIRCLES:   intake.CirclesTable,
			kinorderv1.Table_TABLE_MATRIX:    intake.MatrixTable,
			kinorderv1.Table_TABLE_WHOLE:     intake.WholeTable,
		}),
		pairs(intake.Used, map[kinorderv1.LineUse]intake.Use{
			kinorderv1.LineUse_LINE_USE_USED:     intake.Used,
			kinorderv1.LineUse_LINE_USE_ASKED:    intake.Asked,
			kinorderv1.LineUse_LINE_USE_REPORTED: intake.Reported,
			kinorderv1.LineUse_LINE_USE_RULER:    intake.Ruler,
		}),
		pairs(sheet.Call, map[kinorderv1.RenderKind]sheet.Kind{
			kinorderv1.RenderKind_RENDER_KIND_CALL:     sheet.Call,
			kinorderv1.RenderKind_RENDER_KIND_READER:   sheet.Reader,
			kinorderv1.RenderKind_RENDER_KIND_FINDER:   sheet.Finder,
			kinorderv1.RenderKind_RENDER_KIND_CARDS:    sheet.Cards,
			kinorderv1.RenderKind_RENDER_KIND_TIMES:    sheet.Times,
			kinorderv1.RenderKind_RENDER_KIND_CHART:    sheet.Chart,
			kinorderv1.RenderKind_RENDER_KIND_STANDING: sheet.Standing,
			kinorderv1.RenderKind_RENDER_KIND_POCKET:   sheet.Pocket,
			kinorderv1.RenderKind_RENDER_KIND_PLANNER:  sheet.Planner,
		}),
		pairs(sheet.AnyPaper, map[kinorderv1.RenderPaper]sheet.Paper{
			kinorderv1.RenderPaper_RENDER_PAPER_A4:     sheet.A4,
			kinorderv1.RenderPaper_RENDER_PAPER_LETTER: sheet.Letter,
		}),
		pairs(sheet.PerDefault, map[kinorderv1.RenderPer]sheet.Per{
			kinorderv1.RenderPer_RENDER_PER_PERSON: sheet.PerPerson,
			kinorderv1.RenderPer_RENDER_PER_CIRCLE: sheet.PerCircle,
		}),
		pairs(event.Info, map[kinorderv1.Severity]event.Severity{
			kinorderv1.Severity_SEVERITY_INFO:    event.Info,
			kinorderv1.Severity_SEVERITY_WARNING: event.Warning,
			kinorderv1.Severity_SEVERITY_ERROR:   event.Error,
		}),
		pairs(event.SunRises, map[kinorderv1.SunDay]event.SunDay{
			kinorderv1.SunDay_SUN_DAY_RISES:      event.SunRises,
			kinorderv1.SunDay_SUN_DAY_STAYS_UP:   event.SunStaysUp,
			kinorderv1.SunDay_SUN_DAY_STAYS_DOWN: event.SunStaysDown,
		}),
		pairs(event.HighSun, map[kinorderv1.SunHeight]event.SunHeight{
			kinorderv1.SunHeight_SUN_HEIGHT_HIGH:     event.HighSun,
			kinorderv1.SunHeight_SUN_HEIGHT_LOW:      event.LowSun,
			kinorderv1.SunHeight_SUN_HEIGHT_TWILIGHT: event.Twilight,
			kinorderv1.SunHeight_SUN_HEIGHT_DARK:     event.Dark,
		}),
		pairs(event.SideUnknown, map[kinorderv1.SunSide]event.SunSide{
			kinorderv1.SunSide_SUN_SIDE_AHEAD:  event.SunAhead,
			kinorderv1.SunSide_SUN_SIDE_BEHIND: event.SunBehind,
			kinorderv1.SunSide_SUN_SIDE_LEFT:   event.SunLeft,
			kinorderv1.SunSide_SUN_SIDE_RIGHT:  event.SunRight,
		}),
		pairs(event.NoGlare, map[kinorderv1.Glare]event.Glare{
			kinorderv1.Glare_GLARE_INTO_LENS: event.IntoLens,
			kinorderv1.Glare_GLARE_INTO_EYES: event.IntoEyes,
		}),
		pairs(event.NoLensWarning, map[kinorderv1.LensWarning]event.LensWarning{
			kinorderv1.LensWarning_LENS_WARNING_SPACE_TOO_SMALL: event.SpaceTooSmall,
			kinorderv1.LensWarning_LENS_WARNING_NOT_ALL_SHARP:   event.NotAllSharp,
			kinorderv1.LensWarning_LENS_WARNING_EDGES_STRETCHED: event.EdgesStretched,
			kinorderv1.LensWarning_LENS_WARNING_SMALL_IN_FRAME:  event.SmallInFrame,
		}),
		pairs(event.NoRowKind, map[kinorderv1.RowKind]event.RowKind{
			kinorderv1.RowKind_ROW_KIND_GROUND:      event.GroundRow,
			kinorderv1.RowKind_ROW_KIND_KNEELING:    event.KneelingRow,
			kinorderv1.RowKind_ROW_KIND_CHAIRS:      event.ChairRow,
			kinorderv1.RowKind_ROW_KIND_STANDING:    event.PlainRow,
			kinorderv1.RowKind_ROW_KIND_STEP:        event.StepRow,
			kinorderv1.RowKind_ROW_KIND_SECOND_STEP: event.SecondStepRow,
		}),
		pairs(event.NoPosture, map[kinorderv1.Posture]event.Posture{
			kinorderv1.Posture_POSTURE_STANDING:       event.Upright,
			kinorderv1.Posture_POSTURE_ON_GROUND:      event.OnGround,
			kinorderv1.Posture_POSTURE_KNEELING:       event.Kneeling,
			kinorderv1.Posture_POSTURE_ON_CHAIR:       event.OnChair,
			kinorderv1.Posture_POSTURE_IN_WHEELCHAIR:  event.InWheelchair,
			kinorderv1.Posture_POSTURE_ON_STEP:        event.OnStep,
			kinorderv1.Posture_POSTURE_ON_SECOND_STEP: event.OnSecondStep,
			kinorderv1.Posture_POSTURE_HELD:           event.Held,
		}),
		pairs(event.NoStandingNote, map[kinorderv1.StandingNote]event.StandingNote{
			kinorderv1.StandingNote_STANDING_NOTE_TOO_WIDE:         event.TooWide,
			kinorderv1.StandingNote_STANDING_NOTE_TOO_DEEP:         event.TooDeep,
			kinorderv1.StandingNote_STANDING_NOTE_FACE_HIDDEN:      event.FaceHidden,
			kinorderv1.StandingNote_STANDING_NOTE_WHEELCHAIR_ALONE: event.WheelchairAlone,
			kinorderv1.StandingNote_STANDING_NOTE_HEIGHTS_GUESSED:  event.HeightsGuessed,
			kinorderv1.StandingNote_STANDING_NOTE_MIND_STEPS:       event.MindSteps,
			kinorderv1.StandingNote_STANDING_NOTE_MIND_CHAIRS:      event.MindChairs,
		}),
		pairs(event.NoRemedy, map[kinorderv1.StandingRemedy]event.StandingRemedy{
			kinorderv1.StandingRemedy_STANDING_REMEDY_KNEEL:     event.RemedyKneel,
			kinorderv1.StandingRemedy_STANDING_REMEDY_CHAIRS:    event.RemedyChairs,
			kinorderv1.StandingRemedy_STANDING_REMEDY_STEP:      event.RemedyStep,
			kinorderv1.StandingRemedy_STANDING_REMEDY_TWO_STEPS: event.RemedyTwoSteps,
			kinorderv1.StandingRemedy_STANDING_REMEDY_SPLIT:     event.RemedySplit,
			kinorderv1.StandingRemedy_STANDING_REMEDY_ABOVE:     event.RemedyAbove,
		}),
	} {
		add(all)
	}
	return all
}()
