package intake

import (
	"bytes"
	"fmt"
	"reflect"
	"strings"

	"kinorder.example/server/internal/check"
	"kinorder.example/server/internal/event"
)

// MaxPace is the size in bytes up to which a pace file is read.
const MaxPace = 64 << 10

// ErrPaceTooLarge is the error of ReadPace.
var ErrPaceTooLarge = fmt.Errorf("the pace file is larger than %d KiB: use what kinorder measure wrote", MaxPace>>10)

// WritePace writes a studio's pace as YAML that ReadPace reads back equal.
func WritePace(s event.StudioPace) []byte {
	w := &yamlWriter{}
	w.out.WriteString("# The pace of a studio, for the pace of events and for kinorder plan --pace. It holds no names.\n")
	w.fields((*decoder)(nil).studioPace(&s), "text", "photographs", "events", "setAside", "leastPhotographs", "heldOut", "pace", "parameters",
		"before", "after")
	if !bytes.Contains(w.out.Bytes(), []byte("\npace:")) {
		w.out.WriteString("pace: {}\n") // usual in all, and still a pace
	}
	return w.out.Bytes()
}

// ReadPace reads what WritePace wrote, or the same as JSON, with the field names of the API. All
// problems are returned together; with one of severity Error the pace holds what could be read and is
// not to be used. The error is ErrPaceTooLarge; then nothing was read.
func ReadPace(content []byte) (event.StudioPace, []Problem, error) {
	if len(content) > MaxPace {
		return event.StudioPace{}, nil, ErrPaceTooLarge
	}
	content = bytes.TrimPrefix(content, []byte("\uFEFF"))
	format := YAML
	if strings.HasPrefix(strings.TrimSpace(string(content)), "{") {
		format = JSON
	}
	src := newSource(content)
	if len(bytes.TrimSpace(content)) == 0 {
		return event.StudioPace{}, []Problem{*src.problem(mark{1, 1}, CodeEmptyFile, "", "file.fileIsEmpty")}, nil
	}
	root, problem := src.tree(format)
	if problem != nil {
		return event.StudioPace{}, []Problem{*problem}, nil
	}
	d := &decoder{src: src}
	var s event.StudioPace
	d.studioPace(&s).read(root, "")
	if pace := root.step("pace"); root.kind == null || root.kind == object && (pace == nil || pace.kind == null) {
		d.report(mark{1, 1}, event.CodeMissing, "pace", "file.fileHasNoPace")
	}
	return s, d.finish(root, append(check.Pace(s.Pace), checkFigures(s)...)), nil
}

func (d *decoder) studioPace(s *event.StudioPace) binding {
	return d.bind(reflect.ValueOf(s).Elem(), "")
}

// checkFigures finds figures that no fit gives. They are for reading and change no plan, but a file with
// them was damaged.
func checkFigures(s event.StudioPace) []event.Advice {
	const most = 100_000_000
	var out []event.Advice
	figure := func(field string, v float64) {
		if !(v >= 0 && v <= most) {
			out = append(out, check.NotInRange(field, v, 0, most))
		}
	}
	for _, f := range []struct {
		field string
		value int
	}{{"photographs", s.Photographs}, {"events", s.Events}, {"setAside", s.SetAside}, {"leastPhotographs", s.LeastPhotographs}, {"heldOut", s.HeldOut}} {
		figure(f.field, float64(f.value))
	}
	for i, p := range s.Parameters {
		at := fmt.Sprintf("parameters[%d].", i)
		figure(at+"value", p.Value)
		figure(at+"deviation", p.Deviation)
		figure(at+"usual", p.Usual)
	}
	for at, e := range map[string]*event.PaceError{"before.": s.Before, "after.": s.After} {
		if e != nil {
			figure(at+"photographSeconds", e.PhotographSeconds)
			figure(at+"eventSeconds", e.EventSeconds)
		}
	}
	return out
}
