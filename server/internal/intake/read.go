// Package intake reads the files that planners hand in and turns them into an event, with every
// problem at its line and column. It plans nothing, keeps nothing and fetches nothing.
package intake

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"kinorder.example/server/internal/check"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/effort"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/wording"
)

// MaxContent is the size in bytes up to which a file is read.
const MaxContent = 4 << 20

// maxListed is how many problems of reading are listed before the rest are only counted.
const maxListed = 200

// Errors of Read. Whatever is wrong inside a file is a Problem instead.
var (
	ErrTooLarge = errors.New("the file is larger than 4 MiB: upload only the event, without pictures or other data")
	ErrFormat   = errors.New("unknown format: event files, typed lists and spreadsheets can be read")
)

// Format is a file format.
type Format int

// The formats. The zero value tells them apart by the content.
const (
	Auto Format = iota
	YAML
	JSON
	List // as people type it into a message
	CSV  // with commas, semicolons or tabs
	XLSX
)

// Codes of problems that Read finds before the rules of an event apply.
const (
	CodeEmptyFile      = "EMPTY_FILE"      // there is nothing in the file
	CodeEncoding       = "ENCODING"        // the file is not UTF-8 text
	CodeSyntax         = "SYNTAX"          // the YAML or JSON cannot be read
	CodeTooDeep        = "TOO_DEEP"        // lists and fields are nested too deep, or aliases grow
	CodeUnknownField   = "UNKNOWN_FIELD"   // a field has a name that does not exist here
	CodeDuplicateField = "DUPLICATE_FIELD" // a field is given twice
	CodeWrongType      = "WRONG_TYPE"      // a list, text or number stands where another is expected
)

// Problem is something in a file that is wrong or doubtful.
type Problem = place.Problem

// Line is what became of one line of a typed list or row of a table, and Use how it was used.
type (
	Line = place.Line
	Use  = place.Use
)

// The uses of a line.
const (
	Used     = place.Used
	Asked    = place.Asked
	Reported = place.Reported
	Ruler    = place.Ruler
)

// Options say how to read a file. The zero value is fine.
type Options struct {
	Format Format
	// Base is an event whose people, circles and sides a typed list or a spreadsheet may refer to; its
	// groupings come first in what is read. YAML and JSON files stand for themselves.
	Base event.Event
	// Table and Columns are for spreadsheets: what the table holds, and columns by field (see
	// TableFields) as the text of a header or as letters. Both are found out by the headers otherwise.
	Table   TableKind
	Columns map[string]string
	// Today completes days that a typed list tells without their year. The zero time has them asked about.
	Today time.Time
	// Room is the memory that is taken from while a file is read. Nil takes none.
	Room Room
}

// Room lends memory, in bytes, when there is some; gate.Room does.
type Room interface {
	Take(ctx context.Context, bytes int64) (give func(), err error)
}

// roomFor is how much memory a file of so many bytes takes while it is read, at most. Measured by
// BenchmarkMemoryOfFiles; a list of names can come to hundreds of times its size.
func roomFor(format Format, size int) int64 {
	perByte, most := int64(3000), int64(200<<20)
	switch format {
	case YAML, JSON:
		perByte = 800
	case XLSX: // a small one can unpack to much
		return most
	}
	return min(64<<10+perByte*int64(size), most)
}

// Reading is what a file comes to.
type Reading struct {
	Event    event.Event
	Problems []Problem
	Lines    []Line // of a list or table: what became of each line that is not blank
	Language string // that the list is mostly in, such as "fr"; empty for YAML and JSON
}

// Read is ReadFile without the options.
func Read(content []byte, format Format) (event.Event, []Problem, error) {
	r, err := ReadFile(context.Background(), content, Options{Format: format})
	return r.Event, r.Problems, err
}

// ReadFile reads an event: YAML or JSON with the field names of the API, a typed list, or a
// spreadsheet. In YAML and JSON the names are in lowerCamelCase or with underscores; values of
// enumerations may be short and in any case (elder for AGE_BAND_ELDER). Texts are composed to NFC
// and stripped of spaces at both ends, private notes only composed.
//
// All problems are returned together, in the order of the file; those that check.Event finds are
// among them, so an event without a Problem of severity Error can be planned. With such a Problem
// the event holds what could be read. Nothing in the file is passed over in silence.
//
// A file that takes too long is refused as a whole, with a Problem that says which line takes the longest.
//
// The error is ErrTooLarge or ErrFormat, why ctx was done, or that of Room; then nothing was read.
func ReadFile(ctx context.Context, content []byte, o Options) (Reading, error) {
	if len(content) > MaxContent {
		return Reading{}, ErrTooLarge
	}
	if o.Format == Auto {
		o.Format = guess(content)
	}
	if o.Format == List && len(o.Columns) > 0 {
		o.Format = CSV // whoever says which column is which hands in a table
	}
	if o.Room != nil {
		give, err := o.Room.Take(ctx, roomFor(o.Format, len(content)))
		if err != nil {
			return Reading{}, err
		}
		defer give()
	}
	return readWithin(effort.New(ctx, effort.Most), content, o)
}

// readWithin reads a file of a known format.
func readWithin(m *effort.Meter, content []byte, o Options) (Reading, error) {
	var r Reading
	if (o.Format == List || o.Format == CSV) && noText(content) {
		p := Problem{Advice: event.Tell(event.Error, CodeEncoding, "", nil, wording.Say("file.fileHoldsNoText"))}
		return Reading{Event: o.Base, Problems: []Problem{p}}, nil
	}
	switch format := o.Format; format {
	case YAML, JSON:
		r = readTree(m, content, format)
	case List:
		r = readList(m, content, o.Base, o.Today)
	case CSV, XLSX:
		r = readTables(m, content, format, o)
	default:
		return Reading{}, ErrFormat
	}
	switch err := m.Err(); {
	case errors.Is(err, effort.ErrTooMuch):
		return tooMuch(m, r.Lines, o.Base), nil
	case err != nil:
		return Reading{}, err
	}
	if (o.Format == List || o.Format == CSV || o.Format == XLSX) && event.NewIndex(&r.Event).Crowded() {
		// What would be told of each line is far more than the list.
		a := event.Tell(event.Error, event.CodeTooMany, "", nil, wording.Say("check.circlesAndGroupingsNamePeopleMore", event.MaxNamings))
		return Reading{Event: o.Base, Problems: []Problem{{Advice: a}}}, nil
	}
	return r, nil
}

// tooMuch is what a file comes to that takes too long: nothing of it is used.
func tooMuch(m *effort.Meter, lines []Line, base event.Event) Reading {
	line := max(1, m.Worst())
	p := Problem{Line: line, Advice: event.Tell(event.Error, place.CodeTooLong, "", nil, wording.Say(
		"file.readingThisTakesTooLongAnd", line))}
	for i := range lines {
		if lines[i].Use != Ruler {
			lines[i] = Line{Number: lines[i].Number, Use: Reported}
		}
	}
	return Reading{Event: base, Problems: []Problem{p}, Lines: lines}
}

// faults checks an event for somebody who may leave.
func faults(m *effort.Meter, e event.Event) []event.Advice {
	advice, err := check.Within(m.Context(), e)
	if err != nil {
		m.Stop(err)
	}
	return advice
}

// readTree reads YAML or JSON.
func readTree(m *effort.Meter, content []byte, format Format) Reading {
	content = bytes.TrimPrefix(content, []byte("\uFEFF"))
	src := newSource(content)
	root, problem := src.tree(format)
	if problem != nil {
		return Reading{Problems: []Problem{*problem}}
	}
	if inside := root.step("event"); inside != nil && inside.kind == object {
		root = inside // the whole answer of import
	}
	d := &decoder{src: src}
	var e event.Event
	d.event(&e).read(root, "")
	return Reading{Event: e, Problems: d.finish(root, faults(m, e))}
}

// tree parses the content, or says why it cannot be parsed.
func (s *source) tree(format Format) (*node, *Problem) {
	if p := s.encoding(); p != nil {
		return nil, p
	}
	if len(bytes.TrimSpace(s.content)) == 0 {
		return nil, s.nothing()
	}
	if p := s.crowd(format); p != nil {
		return nil, p
	}
	if format == JSON {
		return s.json()
	}
	return s.yaml()
}

// nothing is the problem of a file without content.
func (s *source) nothing() *Problem {
	return s.problem(mark{1, 1}, CodeEmptyFile, "", "file.fileIsEmptyItNeedsPeopleAnd")
}

// encoding looks for bytes that are no text. Line separators that editors do not count as line
// ends are among them: with them no line number would be right.
func (s *source) encoding() *Problem {
	if bytes.HasPrefix(s.content, []byte("\xff\xfe")) || bytes.HasPrefix(s.content, []byte("\xfe\xff")) {
		return s.problem(mark{1, 1}, CodeEncoding, "", "file.fileIsSavedAsUtf16")
	}
	for at := 0; at < len(s.content); {
		r, size := utf8.DecodeRune(s.content[at:])
		switch {
		case r == utf8.RuneError && size == 1:
			return s.problem(s.mark(at), CodeEncoding, "", "file.byteOfTheFile", at+1, fmt.Sprintf("%02x", s.content[at]))
		case r == '\t' || r == '\n' || r == '\r':
		case unicode.IsControl(r) || r == '\u2028' || r == '\u2029':
			return s.problem(s.mark(at), CodeEncoding, "", "file.invisibleCharacterStandsHere", fmt.Sprintf("U+%04X", r))
		}
		at += size
	}
	return nil
}

// finish puts the problems of reading and the advice of the event's rules into the order of the
// file. Advice that only follows from a field that could not be read is left out.
func (d *decoder) finish(root *node, advice []event.Advice) []Problem {
	list := d.problems
	var last []Problem
	if n := d.count - len(d.problems); n > 0 {
		last = append(last, Problem{Advice: event.Tell(event.Error, event.CodeMoreNotListed, "", nil,
			wording.Say("file.moreProblemsOfReadingAreNot", n))})
	}
	for _, a := range advice {
		switch {
		case a.Code == event.CodeMoreNotListed:
			last = append(last, Problem{Advice: a})
		case !d.follows(a):
			m := d.src.of(root.locate(a.Field))
			list = append(list, Problem{Advice: a, Line: m.line, Column: m.column})
		}
	}
	slices.SortStableFunc(list, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	return append(list, last...)
}

// follows reports whether the advice is about a field that could not be read, or says that
// somebody is in no grouping when a grouping or circle could not be read.
func (d *decoder) follows(a event.Advice) bool {
	for path := range d.faulty {
		if path == "" || a.Field == path || strings.HasPrefix(a.Field, path+".") || strings.HasPrefix(a.Field, path+"[") {
			return true
		}
		if a.Code == event.CodeInNoGrouping && (strings.HasPrefix(path, "groupings") || strings.HasPrefix(path, "circles")) {
			return true
		}
	}
	return false
}
