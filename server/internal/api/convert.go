package api

import (
	"fmt"
	"math"
	"strings"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/sheet"
	"kinorder.example/server/internal/wording"
)

// An enumeration pairs the values of a wire enum with those of the domain.
type enumeration[W ~int32, D ~int] struct {
	domain map[W]D
	wire   map[D]W
}

// pairs makes an enumeration. An unspecified value means the usual one, and is written where no other value means it.
func pairs[W ~int32, D ~int](usual D, values map[W]D) enumeration[W, D] {
	e := enumeration[W, D]{map[W]D{0: usual}, map[D]W{usual: 0}}
	for w, d := range values {
		e.domain[w], e.wire[d] = d, w
	}
	return e
}

var (
	ageBands = pairs(event.Adult, map[kinorderv1.AgeBand]event.AgeBand{
		kinorderv1.AgeBand_AGE_BAND_ADULT:  event.Adult,
		kinorderv1.AgeBand_AGE_BAND_ELDER:  event.Elder,
		kinorderv1.AgeBand_AGE_BAND_CHILD:  event.Child,
		kinorderv1.AgeBand_AGE_BAND_INFANT: event.Infant,
	})
	needs = pairs(event.NoNeed, map[kinorderv1.Need]event.Need{
		kinorderv1.Need_NEED_SEAT:        event.Seat,
		kinorderv1.Need_NEED_WHEELCHAIR:  event.Wheelchair,
		kinorderv1.Need_NEED_STEP_FREE:   event.StepFree,
		kinorderv1.Need_NEED_INTERPRETER: event.Interpreter,
	})
	priorities = pairs(event.Should, map[kinorderv1.Priority]event.Priority{
		kinorderv1.Priority_PRIORITY_MUST:   event.Must,
		kinorderv1.Priority_PRIORITY_SHOULD: event.Should,
		kinorderv1.Priority_PRIORITY_NICE:   event.Nice,
	})
	pins = pairs(event.PinNone, map[kinorderv1.Pin]event.Pin{
		kinorderv1.Pin_PIN_FIRST: event.PinFirst,
		kinorderv1.Pin_PIN_LAST:  event.PinLast,
	})
	scopes = pairs(event.Frame, map[kinorderv1.ApartScope]event.ApartScope{
		kinorderv1.ApartScope_APART_SCOPE_FRAME:      event.Frame,
		kinorderv1.ApartScope_APART_SCOPE_NEIGHBOURS: event.Neighbours,
		kinorderv1.ApartScope_APART_SCOPE_BLOCK:      event.InBlock,
	})
	emphases = pairs(event.Balanced, map[kinorderv1.Emphasis]event.Emphasis{
		kinorderv1.Emphasis_EMPHASIS_FEWEST_STEPS:  event.FewestSteps,
		kinorderv1.Emphasis_EMPHASIS_BALANCED:      event.Balanced,
		kinorderv1.Emphasis_EMPHASIS_EARLY_RELEASE: event.EarlyRelease,
	})
	lights = pairs(event.GoodLight, map[kinorderv1.Light]event.Light{
		kinorderv1.Light_LIGHT_GOOD: event.GoodLight,
		kinorderv1.Light_LIGHT_DIM:  event.DimLight,
	})
	callings = pairs(event.PhotographerCalls, map[kinorderv1.Calling]event.Calling{
		kinorderv1.Calling_CALLING_PHOTOGRAPHER: event.PhotographerCalls,
		kinorderv1.Calling_CALLING_CALLER:       event.CallerCalls,
		kinorderv1.Calling_CALLING_WAITING:      event.EverybodyWaits,
	})
	closings = pairs(event.SoftClosing, map[kinorderv1.Closing]event.Closing{
		kinorderv1.Closing_CLOSING_SOFT: event.SoftClosing,
		kinorderv1.Closing_CLOSING_FIRM: event.FirmClosing,
	})
	fits = pairs(event.Likely, map[kinorderv1.Fit]event.Fit{
		kinorderv1.Fit_FIT_LIKELY: event.Likely,
		kinorderv1.Fit_FIT_SAFE:   event.Safe,
	})
	importFormats = pairs(intake.Auto, map[kinorderv1.ImportFormat]intake.Format{
		kinorderv1.ImportFormat_IMPORT_FORMAT_YAML: intake.YAML,
		kinorderv1.ImportFormat_IMPORT_FORMAT_JSON: intake.JSON,
		kinorderv1.ImportFormat_IMPORT_FORMAT_LIST: intake.List,
		kinorderv1.ImportFormat_IMPORT_FORMAT_CSV:  intake.CSV,
		kinorderv1.ImportFormat_IMPORT_FORMAT_XLSX: intake.XLSX,
	})
	tables = pairs(intake.AnyTable, map[kinorderv1.Table]intake.TableKind{
		kinorderv1.Table_TABLE_PEOPLE:    intake.PeopleTable,
		kinorderv1.Table_TABLE_GROUPINGS: intake.GroupingsTable,
		kinorderv1.Table_TABLE_CIRCLES:   intake.CirclesTable,
		kinorderv1.Table_TABLE_MATRIX:    intake.MatrixTable,
		kinorderv1.Table_TABLE_WHOLE:     intake.WholeTable,
	})
	lineUses = pairs(intake.Used, map[kinorderv1.LineUse]intake.Use{
		kinorderv1.LineUse_LINE_USE_USED:     intake.Used,
		kinorderv1.LineUse_LINE_USE_ASKED:    intake.Asked,
		kinorderv1.LineUse_LINE_USE_REPORTED: intake.Reported,
		kinorderv1.LineUse_LINE_USE_RULER:    intake.Ruler,
	})
	renderKinds = pairs(sheet.Call, map[kinorderv1.RenderKind]sheet.Kind{
		kinorderv1.RenderKind_RENDER_KIND_CALL:     sheet.Call,
		kinorderv1.RenderKind_RENDER_KIND_READER:   sheet.Reader,
		kinorderv1.RenderKind_RENDER_KIND_FINDER:   sheet.Finder,
		kinorderv1.RenderKind_RENDER_KIND_CARDS:    sheet.Cards,
		kinorderv1.RenderKind_RENDER_KIND_TIMES:    sheet.Times,
		kinorderv1.RenderKind_RENDER_KIND_CHART:    sheet.Chart,
		kinorderv1.RenderKind_RENDER_KIND_STANDING: sheet.Standing,
		kinorderv1.RenderKind_RENDER_KIND_POCKET:   sheet.Pocket,
		kinorderv1.RenderKind_RENDER_KIND_PLANNER:  sheet.Planner,
	})
	// Without those that are not a form of package sheet.
	renderForms = enumeration[kinorderv1.RenderFormat, sheet.Form]{domain: map[kinorderv1.RenderFormat]sheet.Form{
		kinorderv1.RenderFormat_RENDER_FORMAT_TEXT:     sheet.Text,
		kinorderv1.RenderFormat_RENDER_FORMAT_HTML:     sheet.HTML,
		kinorderv1.RenderFormat_RENDER_FORMAT_CSV:      sheet.CSV,
		kinorderv1.RenderFormat_RENDER_FORMAT_CALENDAR: sheet.Calendar,
	}}
	renderPapers = pairs(sheet.AnyPaper, map[kinorderv1.RenderPaper]sheet.Paper{
		kinorderv1.RenderPaper_RENDER_PAPER_A4:     sheet.A4,
		kinorderv1.RenderPaper_RENDER_PAPER_LETTER: sheet.Letter,
	})
	renderPers = pairs(sheet.PerDefault, map[kinorderv1.RenderPer]sheet.Per{
		kinorderv1.RenderPer_RENDER_PER_PERSON: sheet.PerPerson,
		kinorderv1.RenderPer_RENDER_PER_CIRCLE: sheet.PerCircle,
	})
	severities = pairs(event.Info, map[kinorderv1.Severity]event.Severity{
		kinorderv1.Severity_SEVERITY_INFO:    event.Info,
		kinorderv1.Severity_SEVERITY_WARNING: event.Warning,
		kinorderv1.Severity_SEVERITY_ERROR:   event.Error,
	})
)

// reader turns wire messages into the domain and notes what has no meaning there. Everything else
// is for check.Event to judge.
type reader struct{ faults []event.Advice }

func (r *reader) fault(field, code, text string) {
	r.faults = append(r.faults, event.Advice{Code: code, Severity: event.Error, Message: wording.Said(text), Field: field})
}

// fromEnum returns the domain value of w. A number that is not in the contract is a fault: a guess
// could plan something that nobody asked for.
func fromEnum[W ~int32, D ~int](r *reader, e enumeration[W, D], w W, field string) D {
	d, ok := e.domain[w]
	if !ok {
		r.fault(field, "UNKNOWN_VALUE", fmt.Sprintf("the number %d is not one of the values that this field can have", w))
	}
	return d
}

// event accepts nil, which is an empty event.
func (r *reader) event(w *kinorderv1.Event) event.Event {
	if w == nil {
		return event.Event{}
	}
	return event.Event{
		Title:     w.GetTitle(),
		Date:      w.GetDate(),
		TimeZone:  w.GetTimeZone(),
		Sides:     each(w.GetSides(), func(s *kinorderv1.Side) event.Side { return event.Side{ID: s.GetId(), Label: s.GetLabel()} }),
		People:    eachAt(w.GetPeople(), r.person),
		Circles:   each(w.GetCircles(), circleFromWire),
		Groupings: eachAt(w.GetGroupings(), r.grouping),
		Blocks:    eachAt(w.GetBlocks(), r.block),
		Rules:     eachAt(w.GetRules(), r.rule),
		Walks:     each(w.GetWalks(), walkFromWire),
		Pace:      paceFromWire(r, w.GetPace()),
		Weights:   weightsFromWire(w.GetWeights()),
		Emphasis:  fromEnum(r, emphases, w.GetEmphasis(), "emphasis"),

		Confidence: int(w.GetConfidence()),
		Fit:        fromEnum(r, fits, w.GetFit(), "fit"),
		Latitude:   same(w.Latitude),
		Longitude:  same(w.Longitude),
		Kit:        kitFromWire(w.GetKit()),
		Honour:     w.GetHonour(),
		Order: each(w.GetOrder(), func(p *kinorderv1.HandPlace) event.HandPlace {
			return event.HandPlace{Grouping: p.GetGrouping(), Block: p.GetBlock(), Locked: p.GetLocked()}
		}),
		LeftOut: w.GetLeftOut(),
	}
}

func (r *reader) person(i int, w *kinorderv1.Person) event.Person {
	field := fmt.Sprintf("people[%d].", i)
	return event.Person{
		ID:       w.GetId(),
		Name:     w.GetName(),
		SayAs:    w.GetSayAs(),
		Relation: w.GetRelation(),
		Side:     w.GetSide(),
		AgeBand:  fromEnum(r, ageBands, w.GetAgeBand(), field+"ageBand"),
		HeightCM: int(w.GetHeightCm()),
		Needs: eachAt(w.GetNeeds(), func(j int, n kinorderv1.Need) event.Need {
			return fromEnum(r, needs, n, fmt.Sprintf("%sneeds[%d]", field, j))
		}),
		PresentFrom:   w.GetPresentFrom(),
		PresentUntil:  w.GetPresentUntil(),
		Absent:        w.GetAbsent(),
		ReleaseWeight: wide(w.ReleaseWeight),
		PrivateNote:   w.GetPrivateNote(),
		Presence:      each(w.GetPresence(), spanFromWire),
		Interpreter:   w.GetInterpreter(),
		Nicknames:     w.GetNicknames(),
	}
}

func spanFromWire(w *kinorderv1.Presence) event.Span {
	return event.Span{From: w.GetFrom(), Until: w.GetUntil()}
}

func walkFromWire(w *kinorderv1.Walk) event.Walk {
	return event.Walk{From: w.GetFrom(), To: w.GetTo(), Minutes: int(w.GetMinutes())}
}

func circleFromWire(w *kinorderv1.Circle) event.Circle {
	return event.Circle{ID: w.GetId(), Title: w.GetTitle(), Members: w.GetMembers(), Leader: w.GetLeader()}
}

func (r *reader) grouping(i int, w *kinorderv1.Grouping) event.Grouping {
	field := fmt.Sprintf("groupings[%d].", i)
	g := event.Grouping{
		ID:          w.GetId(),
		Title:       w.GetTitle(),
		Members:     w.GetMembers(),
		Without:     w.GetWithout(),
		EachOf:      w.GetEachOf(),
		Priority:    fromEnum(r, priorities, w.GetPriority(), field+"priority"),
		Blocks:      w.GetBlocks(),
		After:       w.GetAfter(),
		Pin:         fromEnum(r, pins, w.GetPin(), field+"pin"),
		Frames:      int(w.GetFrames()),
		PrivateNote: w.GetPrivateNote(),
		NotBefore:   w.GetNotBefore(),
		NotAfter:    w.GetNotAfter(),
		Confirms:    w.GetConfirms(),
		Worth:       same(w.Worth),
		Guests:      int(w.GetGuests()),
	}
	if w.Minutes != nil {
		minutes := w.GetMinutes()
		g.Minutes = &minutes
	}
	return g
}

func (r *reader) block(i int, w *kinorderv1.Block) event.Block {
	return event.Block{
		ID:           w.GetId(),
		Title:        w.GetTitle(),
		Place:        w.GetPlace(),
		Opens:        w.GetOpens(),
		Closes:       w.GetCloses(),
		Closing:      fromEnum(r, closings, w.GetClosing(), fmt.Sprintf("blocks[%d].closing", i)),
		Overrun:      wide(w.OverrunMinutes),
		Photographer: w.GetPhotographer(),
		Capacity:     int(w.GetCapacity()),
		StepFree:     w.GetStepFree(),
		Light:        fromEnum(r, lights, w.GetLight(), fmt.Sprintf("blocks[%d].light", i)),
		Latitude:     same(w.Latitude),
		Longitude:    same(w.Longitude),
		Facing:       w.GetFacing(),
		Indoors:      w.GetIndoors(),
		StandBackCM:  int(w.GetStandBackCm()),
		Space:        spaceFromWire(w.GetSpace()),
	}
}

func (r *reader) rule(i int, w *kinorderv1.Rule) event.Rule {
	rule := event.Rule{ID: w.GetId(), PrivateNote: w.GetPrivateNote()}
	switch {
	case w.GetApart() != nil:
		a := w.GetApart()
		rule.Apart = &event.Apart{
			People: a.GetPeople(),
			Scope:  fromEnum(r, scopes, a.GetScope(), fmt.Sprintf("rules[%d].apart.scope", i)),
			Until:  a.GetUntil(),
		}
	case w.GetTurns() != nil:
		rule.Turns = &event.Turns{People: w.GetTurns().GetPeople()}
	case w.GetSeniority() != nil:
		rule.Seniority = &event.Seniority{People: w.GetSeniority().GetPeople()}
	}
	return rule
}

func paceFromWire(r *reader, w *kinorderv1.Pace) event.Pace {
	if w == nil {
		return event.Pace{}
	}
	return event.Pace{
		SettleSeconds:     wide(w.SettleSeconds),
		PerStepInSeconds:  wide(w.PerStepInSeconds),
		PerStepOutSeconds: wide(w.PerStepOutSeconds),
		FreshSeconds:      wide(w.FreshSeconds),
		Arrange: each(w.GetArrange(), func(p *kinorderv1.ArrangePoint) event.ArrangePoint {
			return event.ArrangePoint{Newcomers: int(p.GetNewcomers()), Seconds: int(p.GetSeconds())}
		}),
		PerFrameSeconds:   wide(w.PerFrameSeconds),
		ElderSeconds:      wide(w.ElderSeconds),
		ChildSeconds:      wide(w.ChildSeconds),
		InfantSeconds:     wide(w.InfantSeconds),
		WheelchairSeconds: wide(w.WheelchairSeconds),
		OpeningSeconds:    wide(w.OpeningSeconds),
		FetchSeconds:      wide(w.FetchSeconds),
		Calling:           fromEnum(r, callings, w.GetCalling(), "pace.calling"),
		Frames: each(w.GetFrames(), func(p *kinorderv1.FramesPoint) event.FramesPoint {
			return event.FramesPoint{People: int(p.GetPeople()), Frames: int(p.GetFrames())}
		}),
		FramesConfidence:  wide(w.FramesConfidence),
		SlotSpreadPercent: wide(w.SlotSpreadPercent),
		DaySpreadPercent:  wide(w.DaySpreadPercent),
	}
}

func weightsFromWire(w *kinorderv1.Weights) event.Weights {
	if w == nil {
		return event.Weights{}
	}
	return event.Weights{
		Step:          wide(w.Step),
		ReleaseAdult:  wide(w.ReleaseAdult),
		ReleaseChild:  wide(w.ReleaseChild),
		ReleaseInfant: wide(w.ReleaseInfant),
		ReleaseElder:  wide(w.ReleaseElder),
		ReleaseNeed:   wide(w.ReleaseNeed),
		Idle:          wide(w.Idle),
	}
}

// each maps a list; an empty one stays nil.
func each[A, B any](list []A, f func(A) B) []B {
	return eachAt(list, func(_ int, a A) B { return f(a) })
}

// eachAt is each with the index.
func eachAt[A, B any](list []A, f func(int, A) B) []B {
	if len(list) == 0 {
		return nil
	}
	out := make([]B, len(list))
	for i, a := range list {
		out[i] = f(i, a)
	}
	return out
}

func wide(n *int32) *int {
	if n == nil {
		return nil
	}
	w := int(*n)
	return &w
}

// narrow clamps n to the range of the wire. Only absurd numbers exceed it, and check.Event refuses those by far smaller
// limits anyway.
func narrow(n int) int32 {
	return int32(min(max(n, math.MinInt32), math.MaxInt32))
}

func narrowPointer(n *int) *int32 {
	if n == nil {
		return nil
	}
	w := narrow(*n)
	return &w
}

// text makes s fit for the wire, which refuses a whole message for one broken character.
func text(s string) string { return strings.ToValidUTF8(s, "\uFFFD") }

func texts(list []string) []string { return each(list, text) }
