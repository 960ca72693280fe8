package intake

import (
	"strconv"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
)

// maxDepth is how deep lists and fields may be nested. An event needs six levels.
const maxDepth = 32

// maxMarks is how many marks of values a file may have: commas, brackets, colons, dashes and ends of lines. The largest
// event has two thirds of it, with 2000 people, and 500 groupings of 399 people each.
const maxMarks = 320_000

// maxHeld is how many tokens may stand between the outermost brackets of YAML. The library keeps them all until the
// last bracket, at some 500 bytes each, because what stands in brackets might be a key.
const maxHeld = 240_000

// crowd says where a file comes to far more than an event can have. It counts before anything is made of the file:
// there a value takes a hundred times what it takes in the file. What stands in texts counts too.
func (s *source) crowd(format Format) *Problem {
	c := crowd{last: '\n'}
	for i, b := range s.content {
		next := byte('\n')
		if i+1 < len(s.content) {
			next = s.content[i+1]
		}
		if c.add(b, next); c.marks > maxMarks || format == YAML && c.held > maxHeld {
			return s.problem(s.mark(i), event.CodeTooMany, "", "file.byThisLineTheFileHolds")
		}
	}
	return nil
}

// crowd counts the marks of a file, and the tokens between the outermost brackets.
type crowd struct {
	marks, held, depth int
	last               byte // the last that is no space
}

func (c *crowd) add(b, next byte) {
	switch b {
	case '[', '{':
		c.depth++
		c.marks++
	case ']', '}':
		c.depth = max(0, c.depth-1)
		if c.depth == 0 {
			c.held = 0
		}
	case ',':
		c.marks++
		c.held += min(c.depth, 1) * 2
	case ':', '-', '?':
		if next <= ' ' {
			c.marks++
			c.held += min(c.depth, 1) * 3
		}
	case '\n', '\r':
		if !strings.ContainsRune(",[{\n", rune(c.last)) {
			c.marks++
		}
		c.last = '\n'
	}
	if b > ' ' {
		c.last = b
	}
}

// kind says what stands at a node.
type kind int

const (
	null    kind = iota
	plain        // a YAML scalar without quotes: text, number or yes/no, as the field wants it
	text         // a text in quotes
	number       // a JSON number
	boolean      // true or false of JSON
	list
	object
)

// words names the kinds in a sentence.
var words = map[kind]wording.Key{
	null: "file.nothing", plain: "file.singleValue", text: "file.aText", number: "file.aNumber",
	boolean: "file.trueOrFalse", list: "file.aList", object: "file.setOfFields",
}

// node is one value of a file, whichever format it came from.
type node struct {
	kind   kind
	value  string // of a plain, text, number or boolean
	items  []*node
	fields []entry
	offset int  // of the first byte; below 0 when at holds the place
	at     mark // used when offset is below 0
}

// entry is one field of an object with the place of its name.
type entry struct {
	name   string
	offset int
	at     mark
	value  *node
}

// locate finds the node of a path such as "groupings[3].members[1]", or the nearest one that
// encloses it when the file does not have it.
func (n *node) locate(path string) *node {
	for _, step := range strings.FieldsFunc(path, func(r rune) bool { return r == '.' || r == '[' || r == ']' }) {
		next := n.step(step)
		if next == nil {
			return n
		}
		n = next
	}
	return n
}

func (n *node) step(step string) *node {
	if i, err := strconv.Atoi(step); err == nil {
		if n.kind == list && i >= 0 && i < len(n.items) {
			return n.items[i]
		}
		return nil
	}
	other := snake(step)
	for _, f := range n.fields {
		if f.name == step || f.name == other {
			return f.value
		}
	}
	return nil
}

// snake writes a lowerCamelCase name with underscores.
func snake(camel string) string {
	var b strings.Builder
	for _, r := range camel {
		if r >= 'A' && r <= 'Z' {
			b.WriteByte('_')
			r += 'a' - 'A'
		}
		b.WriteRune(r)
	}
	return b.String()
}
