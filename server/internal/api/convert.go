package api

import (
	"fmt"
	"math"
	"strings"
	"time"

	"google.golang.org/protobuf/types/known/timestamppb"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
)

// reader turns wire messages into the domain and notes what has no meaning there. Everything else
// is for check.Event to judge.
type reader struct{ faults []event.Advice }

func (r *reader) fault(field, code, text string) {
	r.faults = append(r.faults, event.Advice{Code: code, Severity: event.Error, Message: wording.Said(text), Field: field})
}

// unknown notes a number that is no value of an enumeration of the contract: a guess could plan something that nobody
// asked for.
func (r *reader) unknown(field string, n int64) {
	r.fault(field, event.CodeUnknownValue, fmt.Sprintf("the number %d is not one of the values that this field can have", n))
}

// event accepts nil, which is an empty event.
func (r *reader) event(w *kinorderv1.Event) event.Event { return fromWire[event.Event](r, w, nil) }

// eventToWire loses nothing: reader.event gives back an equal event.
func eventToWire(e event.Event) *kinorderv1.Event { return toWire[kinorderv1.Event](e) }

// sheet reads a sheet that a caller sends back to have it drawn.
func (r *reader) sheet(w *kinorderv1.CallSheet) event.CallSheet {
	return fromWire[event.CallSheet](r, w, nil)
}

// sheetToWire loses only fractions of seconds, which sheets do not have. Times of entries and everything in minutes are
// for people to read and follow from the rest.
func sheetToWire(s event.CallSheet) *kinorderv1.CallSheet { return toWire[kinorderv1.CallSheet](s) }

// time reads an instant; nil is the zero time. The last year leaves room for what is added to it:
// the wire ends with the year 9999, and the longest span is 68 years.
func (r *reader) time(w *timestamppb.Timestamp, field string) time.Time {
	if w == nil {
		return time.Time{}
	}
	if w.CheckValid() != nil || w.AsTime().Year() > 9900 {
		r.fault(field, event.CodeBadTime, "the instant is outside the years 1 to 9900")
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

// millis keeps an absurdly large number from overflowing into a negative time.
func millis(n int64) time.Duration {
	const most = int64(math.MaxInt64 / time.Millisecond)
	return time.Duration(min(max(n, -most), most)) * time.Millisecond
}

// decimal reads a figure of a sheet, which is never below 0 and never very large.
func (r *reader) decimal(v float64, field string) float64 {
	if !(v >= 0 && v <= 10_000) {
		r.fault(field, event.CodeOutOfRange, "the number must be from 0 to 10000")
		return 0
	}
	return v
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

// narrow clamps n to the range of the wire. Only absurd numbers exceed it, and check.Event refuses those by far smaller
// limits anyway.
func narrow(n int) int32 {
	return int32(min(max(n, math.MinInt32), math.MaxInt32))
}

// text makes s fit for the wire, which refuses a whole message for one broken character.
func text(s string) string { return strings.ToValidUTF8(s, "\uFFFD") }

func texts(list []string) []string { return each(list, text) }
