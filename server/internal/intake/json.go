package intake

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// jsonReader builds a tree from the tokens of a JSON file.
type jsonReader struct {
	src *source
	dec *json.Decoder
}

// errTooDeep says that a file nests deeper than maxDepth.
var errTooDeep = errors.New("nested too deep")

// json parses JSON. Only the first fault of syntax can be told: what follows it has no meaning.
func (s *source) json() (*node, *Problem) {
	r := &jsonReader{src: s, dec: json.NewDecoder(bytes.NewReader(s.content))}
	r.dec.UseNumber()
	root, err := r.value(0)
	if err == nil {
		if _, trailing := r.dec.Token(); !errors.Is(trailing, io.EOF) {
			return nil, s.problem(s.mark(r.next()), CodeSyntax, "", "file.eventHasEndedBeforeThis")
		}
		return root, nil
	}
	var syntax *json.SyntaxError
	switch {
	case errors.Is(err, errTooDeep):
		return nil, s.problem(s.mark(r.next()), CodeTooDeep, "", "file.listsAndFieldsAreNestedMore", maxDepth)
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		return nil, s.problem(s.mark(len(s.content)), CodeSyntax, "", "file.fileEndsTooEarly")
	case errors.As(err, &syntax):
		return nil, s.jsonFault(r.fault(syntax), syntax)
	}
	return nil, s.problem(s.mark(r.next()), CodeSyntax, "", "file.jsonCannotBeReadHere", err.Error())
}

// jsonFault says in plain words what stands at an offset and must not.
func (s *source) jsonFault(offset int, err *json.SyntaxError) *Problem {
	at := s.mark(offset)
	switch {
	case strings.Contains(err.Error(), "in string literal"):
		return s.problem(at, CodeSyntax, "", "file.textHasALineBreakOr")
	case strings.Contains(err.Error(), "escape"):
		return s.problem(at, CodeSyntax, "", "file.backslashStandsBeforeACharacterThat")
	}
	r, _ := utf8.DecodeRune(s.content[min(offset, len(s.content)):])
	return s.problem(at, CodeSyntax, "", "file.jsonCannotBeReadAt", show(string(r)))
}

// fault returns the offset of the character that a syntax error is about.
func (r *jsonReader) fault(err *json.SyntaxError) int {
	return max(int(err.Offset)-1, r.next())
}

// next returns the offset at which the next token starts.
func (r *jsonReader) next() int {
	at := int(r.dec.InputOffset())
	for at < len(r.src.content) && bytes.IndexByte([]byte(" \t\r\n,:"), r.src.content[at]) >= 0 {
		at++
	}
	return at
}

func (r *jsonReader) value(depth int) (*node, error) {
	if depth > maxDepth {
		return nil, errTooDeep
	}
	n := &node{offset: r.next()}
	token, err := r.dec.Token()
	if err != nil {
		return nil, err
	}
	switch t := token.(type) {
	case json.Delim:
		if t == '{' {
			return n, r.object(n, depth)
		}
		return n, r.list(n, depth)
	case string:
		n.kind, n.value = text, t
	case json.Number:
		n.kind, n.value = number, t.String()
	case bool:
		n.kind, n.value = boolean, fmt.Sprint(t)
	}
	return n, nil
}

func (r *jsonReader) object(n *node, depth int) error {
	n.kind = object
	for r.dec.More() {
		f := entry{offset: r.next()}
		token, err := r.dec.Token()
		if err != nil {
			return err
		}
		f.name, _ = token.(string) // the decoder refuses any other name
		if f.value, err = r.value(depth + 1); err != nil {
			return err
		}
		n.fields = append(n.fields, f)
	}
	_, err := r.dec.Token()
	return err
}

func (r *jsonReader) list(n *node, depth int) error {
	n.kind = list
	for r.dec.More() {
		item, err := r.value(depth + 1)
		if err != nil {
			return err
		}
		n.items = append(n.items, item)
	}
	_, err := r.dec.Token()
	return err
}
