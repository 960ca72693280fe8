package api

import (
	"cmp"
	"fmt"
	"reflect"
	"strings"
	"sync"
	"time"

	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/types/known/durationpb"
	"google.golang.org/protobuf/types/known/timestamppb"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
)

// Messages and the values of the domain have the same fields under the same names, so one function converts them all:
// toWire and fromWire go over the fields of both. Instants end in Time on the wire and spans in Seconds; renamed has the
// other names that differ. What a message says besides is in derived.go.

// renamed has the names of fields of the domain that are called otherwise on the wire.
var renamed = map[string]string{
	"Block.Overrun":         "OverrunMinutes",
	"SheetEntry.Length":     "SlotSeconds",
	"Totals.SolveTime":      "SolveMillis",
	"StandingPlace.Guessed": "HeightGuessed",
	"Owed.Expected":         "ExpectTime",
	"Forecast.Closes":       "CloseTime",
	"Forecast.Safe":         "SafeFinishTime",
}

// bare are those that are left out of a message when they say nothing.
var bare = map[reflect.Type]bool{reflect.TypeFor[event.Kit](): true, reflect.TypeFor[event.Space](): true}

// conversion turns a value of the domain into one of the wire and back. Either is called on settable values that are
// zero. A conversion of a field knows its name; up is where the message stands in the request.
type conversion struct {
	write func(into, from reflect.Value)
	read  func(r *reader, into, from reflect.Value, up *path)
}

// toWire returns nil for nil.
func toWire[W, D any](from D) *W {
	var into *W
	between(reflect.TypeFor[D](), reflect.TypeFor[*W]()).write(reflect.ValueOf(&into).Elem(), reflect.ValueOf(&from).Elem())
	return into
}

// written is toWire for each of a list.
func written[W, D any](list []D) []*W { return each(list, toWire[W, D]) }

// fromWire reads a message that stands at a place in the request.
func fromWire[D, W any](r *reader, from *W, at *path) D {
	var into D
	between(reflect.TypeFor[D](), reflect.TypeFor[*W]()).read(r, reflect.ValueOf(&into).Elem(), reflect.ValueOf(&from).Elem(), at)
	return into
}

// found are the conversions that were asked for, by both types.
var found sync.Map

func between(domain, wire reflect.Type) conversion {
	key := [2]reflect.Type{domain, wire}
	if c, ok := found.Load(key); ok {
		return c.(conversion)
	}
	c := convert(domain, wire, "")
	found.Store(key, c)
	return c
}

// convert finds the conversion of a field, or of what has no name.
func convert(domain, wire reflect.Type, name string) conversion {
	numbers, isEnum := enumerations[wire]
	switch {
	case isEnum:
		return numbers.conversion(name)
	case domain == reflect.TypeFor[time.Time]():
		return instants(name)
	case domain == reflect.TypeFor[time.Duration]():
		return spans(wire, name)
	case domain.Kind() == reflect.Pointer:
		return pointers(domain, wire, name)
	case domain.Kind() == reflect.Struct:
		return messages(domain, wire, name)
	case domain.Kind() == reflect.Slice:
		return lists(domain, wire, name)
	case domain.Kind() == reflect.String:
		return conversion{
			func(into, from reflect.Value) { into.SetString(text(from.String())) },
			func(_ *reader, into, from reflect.Value, _ *path) { into.SetString(from.String()) },
		}
	case domain.Kind() == reflect.Int:
		return conversion{
			func(into, from reflect.Value) { into.SetInt(int64(narrow(int(from.Int())))) },
			func(_ *reader, into, from reflect.Value, _ *path) { into.SetInt(from.Int()) },
		}
	}
	return conversion{
		func(into, from reflect.Value) { into.Set(from) },
		func(_ *reader, into, from reflect.Value, _ *path) { into.Set(from) },
	}
}

// conversion is that of a field.
func (n numbers) conversion(name string) conversion {
	return conversion{
		func(into, from reflect.Value) { into.SetInt(n.wire[from.Int()]) },
		func(r *reader, into, from reflect.Value, up *path) {
			d, ok := n.domain[from.Int()]
			if !ok {
				r.unknown(up.field(name), from.Int())
			}
			into.SetInt(d)
		},
	}
}

func instants(name string) conversion {
	return conversion{
		func(into, from reflect.Value) { into.Set(reflect.ValueOf(instant(from.Interface().(time.Time)))) },
		func(r *reader, into, from reflect.Value, up *path) {
			if w := from.Interface().(*timestamppb.Timestamp); w != nil {
				into.Set(reflect.ValueOf(r.time(w, up.field(name))))
			}
		},
	}
}

// spans converts seconds, milliseconds and, of progress and forecasts only, durations.
func spans(wire reflect.Type, name string) conversion {
	of := func(v reflect.Value) time.Duration { return time.Duration(v.Int()) }
	switch wire.Kind() {
	case reflect.Int32:
		return conversion{
			func(into, from reflect.Value) { into.SetInt(int64(seconds(of(from)))) },
			func(r *reader, into, from reflect.Value, up *path) {
				if from.Int() < 0 {
					r.fault(up.field(name), event.CodeBadSeconds, "a time span cannot be below 0")
					return
				}
				into.SetInt(from.Int() * int64(time.Second))
			},
		}
	case reflect.Int64:
		return conversion{
			func(into, from reflect.Value) { into.SetInt(of(from).Milliseconds()) },
			func(_ *reader, into, from reflect.Value, _ *path) { into.SetInt(int64(millis(from.Int()))) },
		}
	}
	return conversion{write: func(into, from reflect.Value) { into.Set(reflect.ValueOf(durationpb.New(of(from)))) }}
}

// pointers converts what may be absent: nil is nil.
func pointers(domain, wire reflect.Type, name string) conversion {
	isMessage := domain.Elem().Kind() == reflect.Struct
	to := wire
	if !isMessage {
		to = wire.Elem()
	}
	inner := convert(domain.Elem(), to, name)
	return conversion{
		func(into, from reflect.Value) {
			switch {
			case from.IsNil():
			case isMessage:
				inner.write(into, from.Elem())
			default:
				into.Set(reflect.New(to))
				inner.write(into.Elem(), from.Elem())
			}
		},
		func(r *reader, into, from reflect.Value, up *path) {
			if from.IsNil() {
				return
			}
			into.Set(reflect.New(domain.Elem()))
			if !isMessage {
				from = from.Elem()
			}
			inner.read(r, into.Elem(), from, up)
		},
	}
}

// lists converts lists; an empty one stays nil.
func lists(domain, wire reflect.Type, name string) conversion {
	inner := convert(domain.Elem(), wire.Elem(), "")
	texts := wire.Elem().Kind() == reflect.String
	return conversion{
		func(into, from reflect.Value) {
			n := from.Len()
			if n == 0 {
				return
			}
			into.Set(reflect.MakeSlice(wire, n, n))
			for i := range n {
				inner.write(into.Index(i), from.Index(i))
			}
		},
		func(r *reader, into, from reflect.Value, up *path) {
			n := from.Len()
			switch {
			case n == 0:
				return
			case texts:
				into.Set(from)
				return
			}
			into.Set(reflect.MakeSlice(domain, n, n))
			for i := range n {
				inner.read(r, into.Index(i), from.Index(i), &path{up, name, i})
			}
		},
	}
}

// member converts a field of a message, both being those of the whole message.
type member struct {
	write func(message, domain reflect.Value)
	read  func(r *reader, domain, message reflect.Value, up *path)
}

// messages converts the fields of a message and of the struct that it stands for. Reading nil gives the zero value.
func messages(domain, wire reflect.Type, name string) conversion {
	var members []member
	for _, f := range reflect.VisibleFields(domain) {
		if f.Type == reflect.TypeFor[wording.Message]() {
			members = append(members, sentence(f, wire.Elem()))
		} else if w, known := counterpart(domain, f, wire.Elem()); known {
			members = append(members, plain(f, w))
		}
	}
	return conversion{
		func(into, from reflect.Value) {
			message := reflect.New(wire.Elem())
			for _, m := range members {
				m.write(message.Elem(), from)
			}
			derive(message.Interface(), from.Addr().Interface())
			if !bare[domain] || proto.Size(message.Interface().(proto.Message)) > 0 {
				into.Set(message)
			}
		},
		func(r *reader, into, from reflect.Value, up *path) {
			if from.IsNil() {
				return
			}
			if name != "" {
				up = &path{up, name, -1}
			}
			for _, m := range members {
				m.read(r, into, from.Elem(), up)
			}
			r.besides(into.Addr().Interface(), from.Interface(), up)
		},
	}
}

func plain(domain, wire reflect.StructField) member {
	c := convert(domain.Type, wire.Type, strings.ToLower(wire.Name[:1])+wire.Name[1:])
	return member{
		func(m, d reflect.Value) { c.write(m.Field(wire.Index[0]), d.FieldByIndex(domain.Index)) },
		func(r *reader, d, m reflect.Value, up *path) {
			c.read(r, d.FieldByIndex(domain.Index), m.Field(wire.Index[0]), up)
		},
	}
}

// sentence converts what is said: on the wire it stands in English beside its wording.
func sentence(domain reflect.StructField, message reflect.Type) member {
	english, ok := message.FieldByName("Text")
	if !ok {
		english, _ = message.FieldByName("Reason")
	}
	says, _ := message.FieldByName("Wording")
	return member{
		func(m, d reflect.Value) {
			said := d.FieldByIndex(domain.Index).Interface().(wording.Message)
			m.FieldByIndex(english.Index).SetString(text(said.String()))
			m.FieldByIndex(says.Index).Set(reflect.ValueOf(wordingToWire(said)))
		},
		func(_ *reader, d, m reflect.Value, _ *path) {
			w := m.FieldByIndex(says.Index).Interface().(*kinorderv1.Wording)
			said := wordingFromWire(w, m.FieldByIndex(english.Index).String())
			d.FieldByIndex(domain.Index).Set(reflect.ValueOf(said))
		},
	}
}

// counterpart finds the field of a message for a field of the domain.
func counterpart(domain reflect.Type, f reflect.StructField, message reflect.Type) (reflect.StructField, bool) {
	name := cmp.Or(renamed[domain.Name()+"."+f.Name], f.Name)
	return message.FieldByNameFunc(func(w string) bool {
		return strings.EqualFold(w, name) ||
			w == f.Name+"Time" && f.Type == reflect.TypeFor[time.Time]() ||
			w == f.Name+"Seconds" && f.Type == reflect.TypeFor[time.Duration]()
	})
}

// path is where a value stands in a request.
type path struct {
	up    *path
	name  string
	index int // in a list; else below 0
}

// field writes the place of a field as clients know it: people[3].needs[0]. Without a name it is that of the path.
func (p *path) field(name string) string {
	if p == nil {
		return name
	}
	at := p.up.field(p.name)
	if p.index >= 0 {
		at += fmt.Sprintf("[%d]", p.index)
	}
	if name != "" {
		at += "." + name
	}
	return at
}
