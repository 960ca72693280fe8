package intake

import (
	"strconv"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/kin"
	"kinorder.example/server/internal/wording"
)

// enumeration lists the values that a field may have, in the order of their numbers in the API.
// The first stands for "not said".
type enumeration[T comparable] struct {
	what   wording.Key // in a sentence
	prefix string      // of the full names
	names  []string
	values []T
}

var (
	ageBands = enumeration[event.AgeBand]{
		"check.ageBand", "AGE_BAND_", []string{"unspecified", "adult", "elder", "child", "infant"},
		[]event.AgeBand{event.Adult, event.Adult, event.Elder, event.Child, event.Infant},
	}
	needWords = enumeration[event.Need]{
		"check.need", "NEED_", []string{"unspecified", "seat", "wheelchair", "step_free", "interpreter"},
		[]event.Need{event.NoNeed, event.Seat, event.Wheelchair, event.StepFree, event.Interpreter},
	}
	priorities = enumeration[event.Priority]{
		"check.priority", "PRIORITY_", []string{"unspecified", "must", "should", "nice"},
		[]event.Priority{event.Should, event.Must, event.Should, event.Nice},
	}
	pins = enumeration[event.Pin]{
		"check.pin", "PIN_", []string{"unspecified", "first", "last"},
		[]event.Pin{event.PinNone, event.PinFirst, event.PinLast},
	}
	scopes = enumeration[event.ApartScope]{
		"check.scope", "APART_SCOPE_", []string{"unspecified", "frame", "neighbours", "block"},
		[]event.ApartScope{event.Frame, event.Frame, event.Neighbours, event.InBlock},
	}
	emphases = enumeration[event.Emphasis]{
		"check.emphasis", "EMPHASIS_", []string{"unspecified", "fewest_steps", "balanced", "early_release"},
		[]event.Emphasis{event.Balanced, event.FewestSteps, event.Balanced, event.EarlyRelease},
	}
	lights = enumeration[event.Light]{
		"check.light", "LIGHT_", []string{"unspecified", "good", "dim"},
		[]event.Light{event.GoodLight, event.GoodLight, event.DimLight},
	}
	callings = enumeration[event.Calling]{
		"check.calling", "CALLING_", []string{"unspecified", "photographer", "caller", "waiting"},
		[]event.Calling{event.PhotographerCalls, event.PhotographerCalls, event.CallerCalls, event.EverybodyWaits},
	}
	closings = enumeration[event.Closing]{
		"check.closing", "CLOSING_", []string{"unspecified", "soft", "firm"},
		[]event.Closing{event.SoftClosing, event.SoftClosing, event.FirmClosing},
	}
	fits = enumeration[event.Fit]{
		"check.fit", "FIT_", []string{"unspecified", "likely", "safe"},
		[]event.Fit{event.Likely, event.Likely, event.Safe},
	}
)

// bare writes the name of a value without case, spaces, hyphens and underscores.
func bare(s string) string {
	return strings.NewReplacer("-", "", "_", "", " ", "").Replace(strings.ToLower(s))
}

// find returns the value with a name, full or short, or with a number.
func (e enumeration[T]) find(word string) (T, bool) {
	short := strings.TrimPrefix(bare(word), bare(e.prefix))
	for i, name := range e.names {
		if short == bare(name) || word == strconv.Itoa(i) {
			return e.values[i], true
		}
	}
	var none T
	return none, false
}

// allowed lists the names for a sentence.
func (e enumeration[T]) allowed() wording.Arg {
	return wording.Or(e.names[1:]...)
}

// choice binds a value of an enumeration.
func choice[T comparable](d *decoder, into *T, e enumeration[T]) binding {
	return binding{func(n *node, path string) {
		switch n.kind {
		case null:
		case plain, text, number:
			v, ok := e.find(n.value)
			if !ok {
				d.fault(d.src.of(n), event.CodeUnknownValue, path, "file.isNo", wording.Say(e.what), show(n.value), e.hint(n.value))
				return
			}
			*into = v
		default:
			d.wrong(n, path, wording.Say("%s", e.allowed()))
		}
	}, e.short(*into)}
}

// short is the name of a value, empty for the usual one.
func (e enumeration[T]) short(v T) string {
	for i := len(e.values) - 1; i > 0 && v != e.values[0]; i-- {
		if e.values[i] == v {
			return e.names[i]
		}
	}
	return ""
}

// hint says what may be meant, and what is allowed.
func (e enumeration[T]) hint(word string) wording.Message {
	if like, ok := kin.Closest(word, e.names[1:]); ok {
		return wording.Say("file.didYouMeanItCanBe", like, e.allowed())
	}
	return wording.Say("file.write", e.allowed())
}
