package intake

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"sync"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
)

// The fields of an event and of its parts, for reading and for writing, are those of the structs. Their names are those
// of the API.

// eventFields are the fields of an event in the order in which they are told, the most important first.
var eventFields = strings.Fields(`title people groupings date timeZone sides circles blocks rules pace emphasis weights walks
	confidence fit latitude longitude kit honour order leftOut`)

// figures are parts whose numbers are written even if they are 0.
var figures = []reflect.Type{
	reflect.TypeFor[event.ArrangePoint](), reflect.TypeFor[event.FramesPoint](), reflect.TypeFor[event.StudioPace](),
	reflect.TypeFor[event.PaceParameter](), reflect.TypeFor[event.PaceError](),
}

// fieldNames are the names of the fields of structs that were asked for, by type.
var fieldNames sync.Map

func namesOf(t reflect.Type) []string {
	if known, ok := fieldNames.Load(t); ok {
		return known.([]string)
	}
	names := make([]string, t.NumField())
	for i := range names {
		switch name := t.Field(i).Name; name {
		case "ID":
			names[i] = "id"
		case "Overrun":
			names[i] = "overrunMinutes"
		default:
			name = strings.ToLower(name[:1]) + name[1:]
			names[i] = strings.NewReplacer("CM", "Cm", "MM", "Mm").Replace(name)
		}
	}
	fieldNames.Store(t, names)
	return names
}

func (d *decoder) event(e *event.Event) binding { return d.bind(reflect.ValueOf(e).Elem(), "") }

// bind binds a value, which has a name when it is a field.
func (d *decoder) bind(v reflect.Value, name string) binding {
	switch into := v.Addr().Interface().(type) {
	case *string:
		switch name {
		case "privateNote":
			return d.note(into)
		case "facing":
			return d.textOrNumber(into)
		}
		return d.text(into)
	case *bool:
		return d.flag(into)
	case *int:
		return d.number(into)
	case *float64:
		return d.decimal(into)
	case **float64:
		return d.optionalDecimal(into)
	}
	if e, known := enumerations[v.Type()]; known {
		return d.choice(v, e)
	}
	switch v.Kind() {
	case reflect.Pointer:
		return d.optional(v)
	case reflect.Slice:
		return d.items(v)
	}
	return d.fields(d.fieldsOf(v))
}

func (d *decoder) fieldsOf(v reflect.Value) []field {
	names := namesOf(v.Type())
	fields := make([]field, len(names))
	for i, name := range names {
		fields[i] = field{name, d.bind(v.Field(i), name)}
		if slices.Contains(figures, v.Type()) {
			fields[i].binding = always(fields[i].binding)
		}
	}
	if v.Type() == reflect.TypeFor[event.Event]() {
		slices.SortFunc(fields, func(a, b field) int { return slices.Index(eventFields, a.name) - slices.Index(eventFields, b.name) })
	}
	return fields
}

// optional binds what may be left out: null leaves nil, and what is there is written even if it is 0.
func (d *decoder) optional(v reflect.Value) binding {
	b := binding{read: func(n *node, path string) {
		if n.kind != null {
			v.Set(reflect.New(v.Type().Elem()))
			d.bind(v.Elem(), "").read(n, path)
		}
	}}
	if !v.IsNil() {
		b.written = always(d.bind(v.Elem(), "")).written
	}
	return b
}

// items binds a list; null is an empty one.
func (d *decoder) items(v reflect.Value) binding {
	var held []any
	for i := range v.Len() {
		held = append(held, d.bind(v.Index(i), "").written)
	}
	return binding{func(n *node, path string) {
		switch {
		case n.kind == null:
		case n.kind != list:
			d.wrong(n, path, wording.Say("file.listEachEntryWithBeforeIt"))
		case len(n.items) > maxItems:
			d.fault(d.src.of(n), event.CodeTooMany, path, "file.listHasEntriesFarMoreThan", lastOf(path), len(n.items))
		default:
			v.Set(reflect.MakeSlice(v.Type(), len(n.items), len(n.items)))
			for i, item := range n.items {
				at := fmt.Sprintf("%s[%d]", path, i)
				if item.kind == null {
					d.fault(d.src.of(item), CodeWrongType, at, "file.isEmpty", lastOf(at))
					continue
				}
				d.bind(v.Index(i), "").read(item, at)
			}
		}
	}, held}
}
