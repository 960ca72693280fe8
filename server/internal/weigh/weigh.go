// Package weigh tells what JSON comes to before it is decoded: two bytes of it can stand for an object of
// hundreds. It decodes nothing.
package weigh

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"strings"
)

// ErrTooMuch says that JSON comes to more than the limit.
var ErrTooMuch = errors.New("comes to too much")

// maxNesting is how deep values may be inside of each other. A sentence made of sentences needs some ten.
const maxNesting = 64

// JSON returns about how many bytes the content takes once json.Unmarshal has put it into a value of the type of
// into. Its errors are ErrTooMuch, as soon as there are more than limit, and those of a json.Decoder. Types that
// decode themselves are not looked into.
func JSON(content []byte, into any, limit int) (int, error) {
	s := scale{in: json.NewDecoder(bytes.NewReader(content)), limit: limit}
	s.in.UseNumber()
	t := reflect.TypeOf(into)
	err := s.value(t, 0)
	return s.weight, err
}

// scale is one weighing.
type scale struct {
	in            *json.Decoder
	weight, limit int
}

func (s *scale) add(t reflect.Type, more int) {
	if t != nil {
		s.weight += int(t.Size())
	}
	s.weight += more
}

// value weighs the next value, which goes into a type; nil for one that is passed over. The place of the value
// itself has been weighed already.
func (s *scale) value(t reflect.Type, depth int) error {
	for t != nil && t.Kind() == reflect.Pointer {
		t = t.Elem()
		s.add(t, 0)
	}
	token, err := s.in.Token()
	if err != nil {
		return err
	}
	if text, ok := token.(string); ok {
		s.add(nil, len(text))
	}
	if s.weight > s.limit || depth > maxNesting {
		return ErrTooMuch
	}
	switch token {
	case json.Delim('['):
		return s.list(t, depth)
	case json.Delim('{'):
		return s.object(t, depth)
	}
	return nil
}

func (s *scale) list(t reflect.Type, depth int) error {
	var element reflect.Type
	if t != nil && (t.Kind() == reflect.Slice || t.Kind() == reflect.Array) {
		element = t.Elem()
	}
	for s.in.More() {
		s.add(element, 0)
		if err := s.value(element, depth+1); err != nil {
			return err
		}
	}
	_, err := s.in.Token()
	return err
}

func (s *scale) object(t reflect.Type, depth int) error {
	for s.in.More() {
		token, err := s.in.Token()
		if err != nil {
			return err
		}
		var field reflect.Type
		if name := fmt.Sprint(token); t != nil {
			switch t.Kind() {
			case reflect.Struct:
				field = fieldOf(t, name)
			case reflect.Map:
				const ofEntry = 48 // beside the key and the value
				field = t.Elem()
				s.add(field, ofEntry+len(name))
			}
		}
		if err := s.value(field, depth+1); err != nil {
			return err
		}
	}
	_, err := s.in.Token()
	return err
}

// fieldOf is the type of a field by its name in JSON, nil when there is none. Case makes no difference, as for
// json.Unmarshal.
func fieldOf(t reflect.Type, name string) reflect.Type {
	for _, f := range reflect.VisibleFields(t) {
		called, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		if called == "" {
			called = f.Name
		}
		if strings.EqualFold(called, name) {
			return f.Type
		}
	}
	return nil
}
