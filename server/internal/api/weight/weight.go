// Package weight tells how much memory a request takes once it is decoded, a message or JSON, without decoding it.
package weight

import (
	"errors"
	"fmt"
	"reflect"
	"sync"

	"google.golang.org/protobuf/encoding/protowire"
	"google.golang.org/protobuf/reflect/protoreflect"
	"google.golang.org/protobuf/reflect/protoregistry"
)

// MaxNesting is how deep messages may be inside of each other. A sentence made of sentences needs some ten.
const MaxNesting = 64

// TooMuchError says that a request comes to more than is read, although its bytes may be few.
type TooMuchError struct {
	Field string // where it became too much
	Limit int    // bytes
}

func (e *TooMuchError) Error() string {
	return fmt.Sprintf("the request comes to more than %d MiB once it is read; the last was in %s", e.Limit>>20, e.Field)
}

// Message returns about how many bytes a message takes once it is decoded, without decoding it: two bytes on the
// wire can stand for an object of hundreds. Its errors are ErrMalformed and, as soon as there are more than
// limit, *TooMuchError.
func Message(d protoreflect.MessageDescriptor, wire []byte, limit int) (int, error) {
	s := scale{limit: limit}
	err := s.message(d, wire, 0)
	return s.weight, err
}

// scale is one weighing.
type scale struct{ weight, limit int }

func (s *scale) message(d protoreflect.MessageDescriptor, wire []byte, depth int) error {
	if depth > MaxNesting {
		return ErrMalformed
	}
	s.weight += sizeOf(d)
	for len(wire) > 0 {
		number, kind, n := protowire.ConsumeTag(wire)
		if n < 0 {
			return ErrMalformed
		}
		wire = wire[n:]
		if n = protowire.ConsumeFieldValue(number, kind, wire); n < 0 {
			return ErrMalformed
		}
		if f := d.Fields().ByNumber(number); f != nil { // others are not decoded
			err := s.field(f, kind, wire[:n], depth)
			if err == nil && s.weight > s.limit {
				err = &TooMuchError{Limit: s.limit}
			}
			var much *TooMuchError
			if errors.As(err, &much) {
				much.Field = join(string(f.Name()), much.Field)
			}
			if err != nil {
				return err
			}
		}
		wire = wire[n:]
	}
	return nil
}

func join(field, rest string) string {
	if rest == "" {
		return field
	}
	return field + "." + rest
}

// The bytes that decoding takes beside the content, on a 64-bit machine.
const (
	ofNumber = 16 // one of a list, in a message and in the domain
	ofText   = 24 // its header, and what is lost by rounding up
	ofEntry  = 96 // of a map
)

// field weighs one value on the wire.
func (s *scale) field(f protoreflect.FieldDescriptor, kind protowire.Type, value []byte, depth int) error {
	if kind != protowire.BytesType {
		s.weight += ofNumber
		return nil
	}
	content, _ := protowire.ConsumeBytes(value)
	switch {
	case f.IsMap():
		s.weight += ofEntry + len(content)
	case f.Message() != nil:
		return s.message(f.Message(), content, depth+1)
	case f.Kind() == protoreflect.StringKind || f.Kind() == protoreflect.BytesKind:
		s.weight += ofText + len(content)
	default: // numbers packed together, a byte each at least
		s.weight += ofNumber * len(content)
	}
	return nil
}

// sizes are the bytes of an empty message by its name.
var sizes sync.Map

func sizeOf(d protoreflect.MessageDescriptor) int {
	if n, ok := sizes.Load(d.FullName()); ok {
		return n.(int)
	}
	const pointer = 8 // by which the message above holds it
	n := pointer
	if t, err := protoregistry.GlobalTypes.FindMessageByName(d.FullName()); err == nil {
		n += int(reflect.TypeOf(t.Zero().Interface()).Elem().Size())
	}
	sizes.Store(d.FullName(), n)
	return n
}

// ErrMalformed says that bytes are no message of the contract.
var ErrMalformed = errors.New("the bytes are not a message of the contract")

// ErrDeep says that JSON is nested deeper than any message is.
var ErrDeep = errors.New("the JSON is nested deeper than any request")

// ofObject is what an object takes at most once it is decoded, empty; ofValue what a value of a list or a field does
// beside its bytes.
const ofObject, ofValue = 640, 24

// JSON returns what JSON comes to at most once it is decoded: of each object as much as the largest takes. Its
// errors are ErrDeep and a TooMuchError.
func JSON(content []byte, most int) (int, error) {
	weight, depth, inText := len(content), 0, false
	for i := 0; i < len(content); i++ {
		switch c := content[i]; {
		case inText && c == '\\':
			i++
		case c == '"':
			inText = !inText
		case inText:
		case c == '{':
			weight += ofObject
			depth++
		case c == '[':
			depth++
		case c == '}', c == ']':
			depth--
		case c == ',':
			weight += ofValue
		}
		if weight > most {
			return 0, &TooMuchError{Field: "the JSON", Limit: most}
		}
		if depth > 2*MaxNesting {
			return 0, ErrDeep
		}
	}
	return weight, nil
}
