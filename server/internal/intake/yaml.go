package intake

import (
	"bytes"
	"errors"
	"strings"

	"go.yaml.in/yaml/v4"
	"go.yaml.in/yaml/v4/plugin/loaderlimits"

	"kinorder.example/server/internal/event"
)

// maxAliased is how many values the aliases of a file may stand for, all together; every aliasedText bytes of
// a text count as one more.
const (
	maxAliased  = 100_000
	aliasedText = 40
)

// yamlReader turns the nodes of the YAML library into a tree.
type yamlReader struct {
	src     *source
	aliased int
	inside  int // how many aliases enclose the node being read
}

// yaml parses YAML. Only the first fault of syntax can be told: what follows it has no meaning.
func (s *source) yaml() (*node, *Problem) {
	var document yaml.Node
	err := yaml.Load(s.content, &document, yaml.WithUniqueKeys(false),
		yaml.WithPlugin(loaderlimits.New(loaderlimits.DepthValue(maxDepth))))
	if err != nil {
		return nil, s.yamlFault(err)
	}
	if len(document.Content) == 0 {
		return nil, s.nothing()
	}
	r := &yamlReader{src: s}
	root, problem := r.value(document.Content[0], 0)
	return root, problem
}

// yamlFault says where and why the library gave up.
func (s *source) yamlFault(err error) *Problem {
	var load *yaml.LoadError
	if !errors.As(err, &load) {
		return s.problem(mark{1, 1}, CodeSyntax, "", "file.yamlCannotBeRead", err.Error())
	}
	at := s.clamp(mark{load.Mark.Line, load.Mark.Column})
	switch {
	case strings.Contains(load.Message, "no documents"):
		return s.nothing()
	case strings.Contains(load.Message, "found multiple"):
		return s.problem(s.secondDocument(), CodeSyntax, "", "file.secondDocumentStartsWithThisLine")
	case strings.Contains(load.Message, "exceeded max depth"):
		return s.problem(at, CodeTooDeep, "", "file.listsAndFieldsAreNestedMore", maxDepth)
	case s.tabAt(at):
		return s.problem(at, CodeSyntax, "", "file.tabStandsWhereTheLineIs")
	}
	from := load.ContextMark.Line
	says := func(part string) bool { return strings.Contains(load.Message, part) }
	switch {
	case says("mapping values are not allowed"):
		return s.problem(at, CodeSyntax, "", "file.colonMakesAFieldHereWhere")
	case says("cannot start any token"):
		return s.problem(at, CodeSyntax, "", "file.valueCannotStartWithThisCharacter")
	case says("unexpected end of stream"):
		return s.problem(s.clamp(mark{from, load.ContextMark.Column}), CodeSyntax, "", "file.quotationMarkThatOpensHereIs")
	case says("',' or '"):
		return s.problem(at, CodeSyntax, "", "file.commaOrTheClosingBracketIs", from)
	case says("'-' indicator"), says("expected key"):
		return s.problem(at, CodeSyntax, "", "file.lineDoesNotGoOnWith", from)
	case says("unknown anchor"):
		return s.problem(at, CodeSyntax, "", "file.refersToNothing")
	case says("incompatible YAML document"):
		return s.problem(at, CodeSyntax, "", "file.lineWithAsksForAnotherVersion")
	}
	return s.problem(at, CodeSyntax, "", "file.yamlCannotBeReadHere", load.Message)
}

// tabAt reports whether a tab indents the line of a place and stands there or before it.
func (s *source) tabAt(at mark) bool {
	line := s.content[s.starts[at.line-1]:]
	indent := line[:len(line)-len(bytes.TrimLeft(line, " \t"))]
	return bytes.IndexByte(indent, '\t') >= 0 && at.column <= len(indent)+1
}

// secondDocument finds the line that starts a second document.
func (s *source) secondDocument() mark {
	begun := false
	for i, start := range s.starts {
		line := s.content[start:]
		if begun && bytes.HasPrefix(line, []byte("---")) {
			return mark{i + 1, 1}
		}
		if i+1 < len(s.starts) {
			line = s.content[start:s.starts[i+1]]
		}
		line = bytes.TrimSpace(line)
		begun = begun || (len(line) > 0 && line[0] != '#' && line[0] != '%')
	}
	return mark{1, 1}
}

func (r *yamlReader) value(n *yaml.Node, depth int) (*node, *Problem) {
	out := &node{offset: -1, at: mark{n.Line, n.Column}}
	if depth > maxDepth {
		return nil, r.src.problem(r.src.of(out), CodeTooDeep, "", "file.listsAndFieldsAreNestedMore", maxDepth)
	}
	if n.Kind == yaml.AliasNode {
		r.inside++
		defer func() { r.inside-- }()
		return r.value(n.Alias, depth+1)
	}
	if r.inside > 0 {
		if r.aliased += 1 + len(n.Value)/aliasedText; r.aliased > maxAliased {
			return nil, r.src.problem(r.src.of(out), CodeTooDeep, "", "file.aliasesOfTheFileStandFor", maxAliased)
		}
	}
	if n.Style&yaml.TaggedStyle != 0 && n.Tag != "!!str" {
		return nil, r.src.problem(r.src.of(out), CodeSyntax, "", "file.tagHasNoMeaningHere", event.Quoted(n.Tag))
	}
	switch n.Kind {
	case yaml.SequenceNode:
		return out, r.list(out, n, depth)
	case yaml.MappingNode:
		return out, r.object(out, n, depth)
	}
	const surely = yaml.DoubleQuotedStyle | yaml.SingleQuotedStyle | yaml.LiteralStyle | yaml.FoldedStyle | yaml.TaggedStyle
	out.value = n.Value
	switch {
	case n.Style&surely != 0:
		out.kind = text
	case n.Tag == "!!null":
		out.kind = null
	default:
		out.kind = plain
	}
	return out, nil
}

func (r *yamlReader) list(out *node, n *yaml.Node, depth int) *Problem {
	out.kind = list
	for _, item := range n.Content {
		v, problem := r.value(item, depth+1)
		if problem != nil {
			return problem
		}
		out.items = append(out.items, v)
	}
	return nil
}

func (r *yamlReader) object(out *node, n *yaml.Node, depth int) *Problem {
	out.kind = object
	for i := 0; i+1 < len(n.Content); i += 2 {
		key := n.Content[i]
		at := mark{key.Line, key.Column}
		if key.Kind != yaml.ScalarNode {
			return r.src.problem(r.src.clamp(at), CodeSyntax, "", "file.listOrAliasStandsWhereThe")
		}
		v, problem := r.value(n.Content[i+1], depth+1)
		if problem != nil {
			return problem
		}
		out.fields = append(out.fields, entry{name: key.Value, offset: -1, at: at, value: v})
	}
	return nil
}
