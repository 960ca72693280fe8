package api

import (
	"fmt"
	"math"
	"time"

	"google.golang.org/protobuf/types/known/durationpb"
	"google.golang.org/protobuf/types/known/timestamppb"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
)

// sheetToWire loses only fractions of seconds, which sheets do not have. Times of entries and everything in minutes are
// for people to read and follow from the rest.
func sheetToWire(s event.CallSheet) *kinorderv1.CallSheet {
	return &kinorderv1.CallSheet{
		Blocks: each(s.Blocks, sheetBlockToWire),
		LeftOut: each(s.LeftOut, func(l event.LeftOut) *kinorderv1.LeftOut {
			return &kinorderv1.LeftOut{Grouping: text(l.Grouping), Reason: text(l.Why.String()), Wording: wordingToWire(l.Why), Priority: priorities.wire[l.Priority]}
		}),
		People: each(s.People, personTimesToWire),
		Totals: totalsToWire(s.Totals),
		Advice: each(s.Advice, adviceToWire),
	}
}

func sheetBlockToWire(b event.SheetBlock) *kinorderv1.SheetBlock {
	w := &kinorderv1.SheetBlock{
		Block:         text(b.Block),
		StartTime:     instant(b.Start),
		StepIns:       narrow(b.StepIns),
		Minutes:       minutes(b.Length),
		LengthSeconds: seconds(b.Length),

		SafeLengthSeconds: seconds(b.SafeLength),
		OverrunSeconds:    seconds(b.Overrun),
		Light:             lightToWire(b.Light),
		Entries: each(b.Entries, func(e event.SheetEntry) *kinorderv1.SheetEntry {
			return sheetEntryToWire(e, b.Start, b.SafeLength > 0)
		}),
	}
	if !b.Start.IsZero() {
		w.FinishTime = instant(b.Start.Add(b.Length))
		if b.SafeLength > 0 {
			w.SafeFinishTime = instant(b.Start.Add(b.SafeLength))
		}
	}
	return w
}

func sheetEntryToWire(e event.SheetEntry, blockStart time.Time, blockSafe bool) *kinorderv1.SheetEntry {
	w := &kinorderv1.SheetEntry{
		Grouping:      text(e.Grouping),
		Title:         text(e.Title),
		Minutes:       minutes(e.Length),
		StepIn:        texts(e.StepIn),
		StepOut:       texts(e.StepOut),
		Stay:          texts(e.Stay),
		Released:      texts(e.Released),
		Standby:       texts(e.Standby),
		Frames:        narrow(e.Frames),
		OffsetSeconds: seconds(e.Offset),
		SlotSeconds:   seconds(e.Length),
		WaitSeconds:   seconds(e.Wait),
		Near:          texts(e.Near),

		SafeOffsetSeconds: seconds(e.SafeOffset),
		BlinksLikely:      e.BlinksLikely,
		Lens:              lensToWire(e.Lens),
		Standing:          standingToWire(e.Standing),
	}
	if !blockStart.IsZero() {
		w.StartTime = instant(blockStart.Add(e.Offset))
		if blockSafe {
			w.SafeStartTime = instant(blockStart.Add(e.SafeOffset))
		}
	}
	return w
}

func personTimesToWire(p event.PersonTimes) *kinorderv1.PersonTimes {
	return &kinorderv1.PersonTimes{
		Person:      text(p.Person),
		CallTime:    instant(p.Call),
		ReleaseTime: instant(p.Release),
		TimesIn:     narrow(p.TimesIn),
		IdleMinutes: minutes(p.Idle),
		IdleSeconds: seconds(p.Idle),
		Groupings:   narrow(p.Groupings),
	}
}

func totalsToWire(t event.Totals) *kinorderv1.Totals {
	return &kinorderv1.Totals{
		Groupings:        narrow(t.Groupings),
		StepIns:          narrow(t.StepIns),
		RequestedStepIns: narrow(t.RequestedStepIns),
		FloorStepIns:     narrow(t.FloorStepIns),
		FloorReached:     t.FloorReached,
		Minutes:          minutes(t.Length),
		LengthSeconds:    seconds(t.Length),
		Cost:             t.Cost,
		Bound:            t.Bound,
		Gap:              t.Gap(),
		Proven:           t.Proven,
		SolveMillis:      t.SolveTime.Milliseconds(),
	}
}

func progressToWire(p planning.Progress) *kinorderv1.PlanProgress {
	return &kinorderv1.PlanProgress{
		Cost:    p.Cost,
		Bound:   p.Bound,
		Gap:     p.Gap,
		Elapsed: durationpb.New(p.Elapsed),
		StepIns: narrow(p.StepIns),
		Sheet:   sheetToWire(p.Sheet),
	}
}

// sheet reads a sheet that a caller sends back to have it drawn.
func (r *reader) sheet(w *kinorderv1.CallSheet) event.CallSheet {
	return event.CallSheet{
		Blocks: eachAt(w.GetBlocks(), r.sheetBlock),
		LeftOut: eachAt(w.GetLeftOut(), func(i int, l *kinorderv1.LeftOut) event.LeftOut {
			return event.LeftOut{
				Grouping: l.GetGrouping(),
				Why:      wordingFromWire(l.GetWording(), l.GetReason()),
				Priority: fromEnum(r, priorities, l.GetPriority(), fmt.Sprintf("leftOut[%d].priority", i)),
			}
		}),
		People: eachAt(w.GetPeople(), r.personTimes),
		Totals: r.totals(w.GetTotals()),
		Advice: eachAt(w.GetAdvice(), r.advice),
	}
}

func (r *reader) sheetBlock(i int, w *kinorderv1.SheetBlock) event.SheetBlock {
	return event.SheetBlock{
		Block:   w.GetBlock(),
		Start:   r.time(w.GetStartTime(), fmt.Sprintf("blocks[%d].startTime", i)),
		Length:  r.span(w.GetLengthSeconds(), fmt.Sprintf("blocks[%d].lengthSeconds", i)),
		StepIns: int(w.GetStepIns()),

		SafeLength: r.span(w.GetSafeLengthSeconds(), fmt.Sprintf("blocks[%d].safeLengthSeconds", i)),
		Overrun:    r.span(w.GetOverrunSeconds(), fmt.Sprintf("blocks[%d].overrunSeconds", i)),
		Light:      r.light(w.GetLight(), fmt.Sprintf("blocks[%d].light.", i)),
		Entries: eachAt(w.GetEntries(), func(j int, e *kinorderv1.SheetEntry) event.SheetEntry {
			return r.sheetEntry(e, fmt.Sprintf("blocks[%d].entries[%d].", i, j))
		}),
	}
}

func (r *reader) sheetEntry(w *kinorderv1.SheetEntry, field string) event.SheetEntry {
	return event.SheetEntry{
		Grouping: w.GetGrouping(),
		Title:    w.GetTitle(),
		Offset:   r.span(w.GetOffsetSeconds(), field+"offsetSeconds"),
		Length:   r.span(w.GetSlotSeconds(), field+"slotSeconds"),
		StepIn:   w.GetStepIn(),
		StepOut:  w.GetStepOut(),
		Stay:     w.GetStay(),
		Released: w.GetReleased(),
		Standby:  w.GetStandby(),
		Frames:   int(w.GetFrames()),
		Wait:     r.span(w.GetWaitSeconds(), field+"waitSeconds"),
		Near:     w.GetNear(),

		SafeOffset:   r.span(w.GetSafeOffsetSeconds(), field+"safeOffsetSeconds"),
		BlinksLikely: w.GetBlinksLikely(),
		Lens:         r.lens(w.GetLens(), field+"lens."),
		Standing:     r.standing(w.GetStanding(), field+"standing."),
	}
}

func (r *reader) personTimes(i int, w *kinorderv1.PersonTimes) event.PersonTimes {
	field := fmt.Sprintf("people[%d].", i)
	return event.PersonTimes{
		Person:    w.GetPerson(),
		Call:      r.time(w.GetCallTime(), field+"callTime"),
		Release:   r.time(w.GetReleaseTime(), field+"releaseTime"),
		TimesIn:   int(w.GetTimesIn()),
		Idle:      r.span(w.GetIdleSeconds(), field+"idleSeconds"),
		Groupings: int(w.GetGroupings()),
	}
}

func (r *reader) totals(w *kinorderv1.Totals) event.Totals {
	return event.Totals{
		Groupings:        int(w.GetGroupings()),
		StepIns:          int(w.GetStepIns()),
		RequestedStepIns: int(w.GetRequestedStepIns()),
		FloorStepIns:     int(w.GetFloorStepIns()),
		FloorReached:     w.GetFloorReached(),
		Length:           r.span(w.GetLengthSeconds(), "totals.lengthSeconds"),
		Cost:             w.GetCost(),
		Bound:            w.GetBound(),
		Proven:           w.GetProven(),
		SolveTime:        millis(w.GetSolveMillis()),
	}
}

func (r *reader) advice(i int, w *kinorderv1.Advice) event.Advice {
	return event.Advice{
		Code:     w.GetCode(),
		Severity: fromEnum(r, severities, w.GetSeverity(), fmt.Sprintf("advice[%d].severity", i)),
		Message:  wordingFromWire(w.GetWording(), w.GetText()),
		Subjects: w.GetSubjects(),
		Field:    w.GetField(),
	}
}

// time reads an instant; nil is the zero time. The last year leaves room for what is added to it:
// the wire ends with the year 9999, and the longest span is 68 years.
func (r *reader) time(w *timestamppb.Timestamp, field string) time.Time {
	if w == nil {
		return time.Time{}
	}
	if w.CheckValid() != nil || w.AsTime().Year() > 9900 {
		r.fault(field, "BAD_TIME", "the instant is outside the years 1 to 9900")
		return time.Time{}
	}
	return w.AsTime()
}

func instant(t time.Time) *timestamppb.Timestamp {
	if t.IsZero() {
		return nil
	}
	return timestamppb.New(t)
}

// minutes rounds to one decimal.
func minutes(d time.Duration) float64 { return math.Round(d.Minutes()*10) / 10 }

func seconds(d time.Duration) int32 { return narrow(int(d / time.Second)) }

func (r *reader) span(s int32, field string) time.Duration {
	if s < 0 {
		r.fault(field, "BAD_SECONDS", "a time span cannot be below 0")
		return 0
	}
	return time.Duration(s) * time.Second
}

// millis keeps an absurdly large number from overflowing into a negative time.
func millis(n int64) time.Duration {
	const most = int64(math.MaxInt64 / time.Millisecond)
	return time.Duration(min(max(n, -most), most)) * time.Millisecond
}
