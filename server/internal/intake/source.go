package intake

import (
	"sort"
	"unicode/utf8"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
)

// mark is a place in a file: line and column in characters, both from 1.
type mark struct{ line, column int }

// source is the content of a file with its line starts.
type source struct {
	content []byte
	starts  []int // offset of the first byte of each line
	counts  []int // of the characters before every stride bytes
}

// stride is short, so that a place in a line of megabytes is found without counting all of it.
const stride = 256

// newSource finds the lines. They end with \n, \r\n or \r.
func newSource(content []byte) *source {
	s := &source{content: content, starts: []int{0}}
	n := 0
	for i, b := range content {
		if i%stride == 0 {
			s.counts = append(s.counts, n)
		}
		if utf8.RuneStart(b) {
			n++
		}
		if b == '\n' || (b == '\r' && (i+1 == len(content) || content[i+1] != '\n')) {
			s.starts = append(s.starts, i+1)
		}
	}
	if len(content)%stride == 0 {
		s.counts = append(s.counts, n)
	}
	return s
}

// mark returns the place of a byte offset, which may be that of the end.
func (s *source) mark(offset int) mark {
	offset = max(0, min(offset, len(s.content)))
	line := sort.SearchInts(s.starts, offset+1) - 1
	return mark{line + 1, s.before(offset) - s.before(s.starts[line]) + 1}
}

// before counts the characters before an offset.
func (s *source) before(offset int) int {
	k := offset / stride
	n := s.counts[k]
	for _, b := range s.content[k*stride : offset] {
		if utf8.RuneStart(b) {
			n++
		}
	}
	return n
}

// of returns the place of a node.
func (s *source) of(n *node) mark {
	if n.offset >= 0 {
		return s.mark(n.offset)
	}
	if s.content == nil {
		return n.at // a table: its places are rows and columns
	}
	return s.clamp(n.at)
}

// at returns the place of the name of a field.
func (s *source) at(e entry) mark { return s.of(&node{offset: e.offset, at: e.at}) }

// clamp brings a place that a library gives into the file.
func (s *source) clamp(at mark) mark {
	line := max(1, min(at.line, len(s.starts)))
	end := len(s.content)
	if line < len(s.starts) {
		end = s.starts[line] - 1 // before the end of the line
	}
	return mark{line, max(1, min(at.column, s.mark(end).column))}
}

// problem makes a Problem of severity Error.
func (s *source) problem(at mark, code, path string, k wording.Key, args ...any) *Problem {
	return &Problem{Advice: event.Tell(event.Error, code, path, nil, wording.Say(k, args...)), Line: at.line, Column: at.column}
}
