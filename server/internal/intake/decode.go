package intake

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"golang.org/x/text/unicode/norm"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/kin"
	"kinorder.example/server/internal/wording"
)

// maxFields is how many fields an object may have to be read at all: some forty are known.
const maxFields = 1000

// maxItems is how long a list may be to be read at all. The rules of an event set lower limits.
const maxItems = 4 * event.MaxPeople

// called reports whether a name is that of the field, in either of its spellings.
func (f field) called(name string) bool {
	return name == f.name || (strings.Contains(name, "_") && name == snake(f.name))
}

// decoder turns a tree into an event and gathers what does not fit. It goes on after a problem.
type decoder struct {
	src      *source
	problems []Problem
	count    int             // of problems, those beyond maxListed included
	faulty   map[string]bool // paths of fields that could not be read
}

// binding ties a value of an event to how it stands in a file: read reads it into its place, and written is what is
// written of what stood there before: string, int, *int, float64, *float64, bool, a list of these or of objects as
// []any, or an object as []field. Values that are empty are not written.
type binding struct {
	read    func(n *node, path string)
	written any
}

// field is a field of an object by its name in lowerCamelCase.
type field struct {
	name string
	binding
}

// report adds a problem at path.
func (d *decoder) report(at mark, code, path string, k wording.Key, args ...any) {
	if d.count++; d.count <= maxListed {
		d.problems = append(d.problems, *d.src.problem(at, code, path, k, args...))
	}
}

// fault reports a problem that kept the field at path from being read.
func (d *decoder) fault(at mark, code, path string, k wording.Key, args ...any) {
	d.unread(path)
	d.report(at, code, path, k, args...)
}

// unread notes that the field at path could not be read, so that what the rules say about it is
// left out. Past the problems that are listed it no longer matters.
func (d *decoder) unread(path string) {
	if d.faulty == nil {
		d.faulty = make(map[string]bool)
	}
	if d.count < maxListed {
		d.faulty[path] = true
	}
}

// wrong reports a value of the wrong kind.
func (d *decoder) wrong(n *node, path string, wanted wording.Message) {
	d.fault(d.src.of(n), CodeWrongType, path, "file.mustBe", lastOf(path), wanted, wording.Say(words[n.kind]))
}

// lastOf names the end of a path for a sentence: "entry 2 of members" of "groupings[3].members[1]".
func lastOf(path string) wording.Message {
	if path == "" {
		return wording.Say("file.theFile")
	}
	name, index, listed := strings.Cut(path[strings.LastIndexByte(path, '.')+1:], "[")
	if i, err := strconv.Atoi(strings.TrimSuffix(index, "]")); listed && err == nil {
		return wording.Say("file.entryOf", i+1, name)
	}
	return wording.Said(name)
}

// join appends a field to a path.
func join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}

// fields binds an object.
func (d *decoder) fields(fields []field) binding {
	return binding{func(n *node, path string) { d.object(n, path, fields) }, fields}
}

// always binds a number that is written even if it is 0.
func always(b binding) binding {
	switch v := b.written.(type) {
	case int:
		b.written = &v
	case float64:
		b.written = &v
	}
	return b
}

// object reads the fields of an object; null is an object without any.
func (d *decoder) object(n *node, path string, fields []field) {
	if n.kind == null {
		return
	}
	if n.kind != object {
		d.wrong(n, path, wording.Say("file.setOfFieldsSuchAs", examples(fields)))
		return
	}
	if len(n.fields) > maxFields {
		d.fault(d.src.of(n), event.CodeTooMany, path, "file.hasFieldsFarMoreThanThere", lastOf(path), len(n.fields))
		return
	}
	seen := make(map[string]entry, len(n.fields))
	for _, e := range n.fields {
		i := slices.IndexFunc(fields, func(f field) bool { return f.called(e.name) })
		if i < 0 {
			d.unknownField(e, path, fields, n)
			continue
		}
		name := fields[i].name
		if first, double := seen[name]; double {
			m := d.src.at(first)
			d.report(d.src.at(e), CodeDuplicateField, join(path, name), "file.fieldIsGivenTwiceFirstIn", name, m.line)
			continue
		}
		seen[name] = e
		fields[i].read(e.value, join(path, name))
	}
}

// examples names the first fields of a kind of object.
func examples(fields []field) string {
	var names []string
	for _, f := range fields[:min(3, len(fields))] {
		names = append(names, f.name)
	}
	return strings.Join(names, ", ")
}

// unknownField reports a field of n that does not exist, with the one it may be meant to be. When
// that one is not there, what the rules say about it would only repeat the problem.
func (d *decoder) unknownField(e entry, path string, fields []field, n *node) {
	if d.count >= maxListed {
		d.count++ // counted without looking for a suggestion
		return
	}
	at := d.src.at(e)
	var known []string
	for _, f := range fields {
		known = append(known, f.name)
	}
	if e.name == "<<" {
		d.report(at, CodeUnknownField, join(path, e.name), "file.mergingWithIsNotReadHere")
		return
	}
	if like, ok := kin.Closest(e.name, known); ok {
		if n.step(like) == nil {
			d.unread(join(path, like))
		}
		d.report(at, CodeUnknownField, join(path, clip(e.name)), "file.noFieldHereDidYouMean", show(e.name), like)
		return
	}
	d.report(at, CodeUnknownField, join(path, clip(e.name)), "file.noFieldHere", show(e.name), known)
}

// show puts a word of the file into a sentence, shortened and with odd characters escaped.
func show(s string) string { return strconv.Quote(clip(s)) }

// clip shortens a word of the file.
func clip(s string) string { return place.Shortened(s, 40) }

// note reads a text of several lines and never repeats it.
func (d *decoder) note(into *string) binding {
	return binding{func(n *node, path string) {
		switch n.kind {
		case null:
		case plain, text:
			*into = norm.NFC.String(n.value)
		default:
			d.wrong(n, path, wording.Say("file.textInQuotationMarks"))
		}
	}, *into}
}

// text reads a text, without the spaces around it.
func (d *decoder) text(into *string) binding {
	read := d.note(into).read
	return binding{func(n *node, path string) {
		read(n, path)
		*into = strings.TrimSpace(*into)
	}, *into}
}

// textOrNumber reads a text that may be a number without quotation marks, as degrees are.
func (d *decoder) textOrNumber(into *string) binding {
	read := d.text(into).read
	return binding{func(n *node, path string) {
		if n.kind == number {
			*into = n.value
			return
		}
		read(n, path)
	}, *into}
}

// flag reads true or false. YAML may also say yes or no.
func (d *decoder) flag(into *bool) binding {
	return binding{func(n *node, path string) {
		switch value := strings.ToLower(n.value); {
		case n.kind == null:
		case n.kind == boolean, n.kind == plain && (value == "true" || value == "false"):
			*into = value == "true"
		case n.kind == plain && (value == "yes" || value == "no"):
			*into = value == "yes"
		case n.kind == plain, n.kind == text:
			d.fault(d.src.of(n), CodeWrongType, path, "file.mustBeTrueOrFalseNot", lastOf(path), show(n.value))
		default:
			d.wrong(n, path, wording.Say("file.trueOrFalse"))
		}
	}, *into}
}

// number reads a whole number, also from a text in quotation marks.
func (d *decoder) number(into *int) binding {
	return binding{func(n *node, path string) {
		if v, ok := d.value(n, path, "file.wholeNumber"); ok {
			// 1e2 and 3.0 are whole numbers too.
			if v != math.Trunc(v) || math.Abs(v) > math.MaxInt32 {
				d.fault(d.src.of(n), CodeWrongType, path, "file.mustBeAWholeNumberNot", lastOf(path), show(n.value))
				return
			}
			*into = int(v)
		}
	}, *into}
}

// optionalDecimal reads a number that may be left out.
func (d *decoder) optionalDecimal(into **float64) binding {
	return binding{func(n *node, path string) {
		if v, ok := d.value(n, path, "file.aNumber"); ok {
			*into = &v
		}
	}, *into}
}

// decimal reads a number.
func (d *decoder) decimal(into *float64) binding {
	return binding{func(n *node, path string) {
		if v, ok := d.value(n, path, "file.aNumber"); ok {
			*into = v
		}
	}, *into}
}

// value reads any number. It returns false for null and for what is not a number.
func (d *decoder) value(n *node, path string, wanted wording.Key) (float64, bool) {
	switch n.kind {
	case null:
		return 0, false
	case plain, text, number:
		if v, err := strconv.ParseFloat(n.value, 64); err == nil && plainDecimal(n.value) {
			return v, true
		}
		k := wording.Key("file.mustBeNot")
		if strings.Contains(n.value, ",") {
			k = "file.mustBeNotWriteAPointFor"
		}
		d.fault(d.src.of(n), CodeWrongType, path, k, lastOf(path), wording.Say(wanted), show(n.value))
	default:
		d.wrong(n, path, wording.Say(wanted))
	}
	return 0, false
}

// plainDecimal reports whether a number is written in the decimal digits that everybody reads alike: no
// hexadecimal, no underscores, no infinity.
func plainDecimal(s string) bool {
	return strings.Trim(s, "0123456789.eE+-") == ""
}
