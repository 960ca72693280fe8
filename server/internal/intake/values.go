package intake

import (
	"reflect"
	"strconv"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/kin"
	"kinorder.example/server/internal/wording"
)

// enumeration lists the values that a field may have, in the order of their numbers in the API.
// The first stands for "not said".
type enumeration struct {
	what   wording.Key // in a sentence
	prefix string      // of the full names
	names  []string
	values []int64
}

func listed[T ~int](what wording.Key, prefix, names string, values ...T) enumeration {
	e := enumeration{what: what, prefix: prefix, names: append([]string{"unspecified"}, strings.Fields(names)...)}
	for _, v := range values {
		e.values = append(e.values, int64(v))
	}
	return e
}

var enumerations = map[reflect.Type]enumeration{
	reflect.TypeFor[event.AgeBand]():    listed("check.ageBand", "AGE_BAND_", "adult elder child infant", event.Adult, event.Adult, event.Elder, event.Child, event.Infant),
	reflect.TypeFor[event.Need]():       listed("check.need", "NEED_", "seat wheelchair step_free interpreter", event.NoNeed, event.Seat, event.Wheelchair, event.StepFree, event.Interpreter),
	reflect.TypeFor[event.Priority]():   listed("check.priority", "PRIORITY_", "must should nice", event.Should, event.Must, event.Should, event.Nice),
	reflect.TypeFor[event.Pin]():        listed("check.pin", "PIN_", "first last", event.PinNone, event.PinFirst, event.PinLast),
	reflect.TypeFor[event.ApartScope](): listed("check.scope", "APART_SCOPE_", "frame neighbours block", event.Frame, event.Frame, event.Neighbours, event.InBlock),
	reflect.TypeFor[event.Emphasis]():   listed("check.emphasis", "EMPHASIS_", "fewest_steps balanced early_release", event.Balanced, event.FewestSteps, event.Balanced, event.EarlyRelease),
	reflect.TypeFor[event.Light]():      listed("check.light", "LIGHT_", "good dim", event.GoodLight, event.GoodLight, event.DimLight),
	reflect.TypeFor[event.Calling]():    listed("check.calling", "CALLING_", "photographer caller waiting", event.PhotographerCalls, event.PhotographerCalls, event.CallerCalls, event.EverybodyWaits),
	reflect.TypeFor[event.Closing]():    listed("check.closing", "CLOSING_", "soft firm", event.SoftClosing, event.SoftClosing, event.FirmClosing),
	reflect.TypeFor[event.Fit]():        listed("check.fit", "FIT_", "likely safe", event.Likely, event.Likely, event.Safe),
}

// Numbered lists the values of an enumeration of events by their numbers in the API. The first is what "not said" means.
func Numbered(t reflect.Type) []int64 { return enumerations[t].values }

// bare writes the name of a value without case, spaces, hyphens and underscores.
func bare(s string) string {
	return strings.NewReplacer("-", "", "_", "", " ", "").Replace(strings.ToLower(s))
}

// find returns the value with a name, full or short, or with a number.
func (e enumeration) find(word string) (int64, bool) {
	short := strings.TrimPrefix(bare(word), bare(e.prefix))
	for i, name := range e.names {
		if short == bare(name) || word == strconv.Itoa(i) {
			return e.values[i], true
		}
	}
	return 0, false
}

// allowed lists the names for a sentence.
func (e enumeration) allowed() wording.Arg {
	return wording.Or(e.names[1:]...)
}

// choice binds a value of an enumeration.
func (d *decoder) choice(into reflect.Value, e enumeration) binding {
	return binding{func(n *node, path string) {
		switch n.kind {
		case null:
		case plain, text, number:
			v, ok := e.find(n.value)
			if !ok {
				d.fault(d.src.of(n), event.CodeUnknownValue, path, "file.isNo", wording.Say(e.what), show(n.value), e.hint(n.value))
				return
			}
			into.SetInt(v)
		default:
			d.wrong(n, path, wording.Say("%s", e.allowed()))
		}
	}, e.short(into.Int())}
}

// short is the name of a value, empty for the usual one.
func (e enumeration) short(v int64) string {
	for i := len(e.values) - 1; i > 0 && v != e.values[0]; i-- {
		if e.values[i] == v {
			return e.names[i]
		}
	}
	return ""
}

// hint says what may be meant, and what is allowed.
func (e enumeration) hint(word string) wording.Message {
	if like, ok := kin.Closest(word, e.names[1:]); ok {
		return wording.Say("file.didYouMeanItCanBe", like, e.allowed())
	}
	return wording.Say("file.write", e.allowed())
}
