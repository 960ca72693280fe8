package api

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/drawing"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/sheet"
)

// Render answers Planner.Render.
func (s *Service) Render(ctx context.Context, req *kinorderv1.RenderRequest) (*kinorderv1.RenderResponse, error) {
	if req.GetEvent() == nil || req.GetSheet() == nil {
		return nil, missingParts(req)
	}
	var around, within, drawn reader
	o := around.renderOptions(req)
	if w := req.GetWidth(); w != 0 && (w < sheet.MinWidth || w > sheet.MaxWidth) {
		around.fault("width", event.CodeBadWidth, fmt.Sprintf("the width must be 0 or from %d to %d", sheet.MinWidth, sheet.MaxWidth))
	}
	e := within.event(req.GetEvent())
	c := drawn.sheet(req.GetSheet())
	drawn.strangers(e, c)
	faults := append(around.faults, append(under("event.", within.faults), under("sheet.", drawn.faults)...)...)
	if len(faults) > 0 {
		return nil, &invalidRequestError{faults}
	}
	if req.GetFormat() == kinorderv1.RenderFormat_RENDER_FORMAT_JSON {
		if err := drawing.Places(ctx, e, &c, s.enter, s.log); err != nil {
			return nil, err
		}
		content, err := sheetJSON(c)
		if err != nil {
			return nil, unquoted("render", err)
		}
		return &kinorderv1.RenderResponse{Content: content, ContentType: "application/json"}, nil
	}
	d, err := drawing.Ready(ctx, e, c, o, s.enter, s.log)
	var undrawable *sheet.InvalidError
	if errors.As(err, &undrawable) {
		return nil, &invalidRequestError{undrawable.Faults}
	}
	if err != nil {
		return nil, unquoted("render", err)
	}
	return &kinorderv1.RenderResponse{Content: d.Content, ContentType: d.ContentType, Language: d.Language}, nil
}

// renderForms are the formats that package sheet draws by itself.
var renderForms = map[kinorderv1.RenderFormat]sheet.Form{
	kinorderv1.RenderFormat_RENDER_FORMAT_TEXT:     sheet.Text,
	kinorderv1.RenderFormat_RENDER_FORMAT_HTML:     sheet.HTML,
	kinorderv1.RenderFormat_RENDER_FORMAT_CSV:      sheet.CSV,
	kinorderv1.RenderFormat_RENDER_FORMAT_CALENDAR: sheet.Calendar,
}

// renderOptions reads how to draw.
func (r *reader) renderOptions(req *kinorderv1.RenderRequest) sheet.Options {
	o := sheet.Options{
		Kind:     fromEnum[sheet.Kind](r, req.GetKind(), "kind"),
		Language: req.GetLanguage(),
		Paper:    fromEnum[sheet.Paper](r, req.GetPaper(), "paper"),
		Width:    int(req.GetWidth()),
		Per:      fromEnum[sheet.Per](r, req.GetPer(), "per"),
		Side:     req.GetSide(),
		Person:   req.GetPerson(),
		Lenses:   req.GetLensesAtEntries(),
		Stamp:    time.Now(),
	}
	switch req.GetFormat() {
	case kinorderv1.RenderFormat_RENDER_FORMAT_UNSPECIFIED:
		o.Form = o.Kind.Forms()[0]
	case kinorderv1.RenderFormat_RENDER_FORMAT_JSON:
		if o.Kind != sheet.Call {
			r.fault("format", event.CodeNotDrawn, "only the whole call sheet comes as JSON")
		}
	default:
		form, ok := renderForms[req.GetFormat()]
		if !ok {
			r.unknown("format", int64(req.GetFormat()))
		}
		o.Form = form
	}
	return o
}

// sheetJSON writes the protobuf JSON of a sheet.
func sheetJSON(c event.CallSheet) ([]byte, error) {
	return indented(protojson.MarshalOptions{EmitDefaultValues: true}, sheetToWire(c))
}

// indented writes protobuf JSON, indented by two spaces. protojson varies its spaces from build to
// build on purpose; indenting again gives the same bytes for the same message.
func indented(o protojson.MarshalOptions, m proto.Message) ([]byte, error) {
	raw, err := o.Marshal(m)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	if err := json.Indent(&out, raw, "", "  "); err != nil {
		return nil, err
	}
	out.WriteByte('\n')
	return out.Bytes(), nil
}

// strangers finds people and blocks on a sheet that are not in the event. Then the two do not belong together, and
// people would be printed as ids.
func (r *reader) strangers(e event.Event, c event.CallSheet) {
	people := map[string]bool{}
	for _, p := range e.People {
		people[p.ID] = true
	}
	blocks := map[string]bool{"": true}
	for _, b := range e.Blocks {
		blocks[b.ID] = true
	}
	check := func(known map[string]bool, id, format string, at ...any) {
		if !known[id] {
			r.fault(fmt.Sprintf(format, at...), event.CodeNotInEvent, "is not in the event: send the event that the sheet was made from")
		}
	}
	for i, b := range c.Blocks {
		check(blocks, b.Block, "blocks[%d].block", i)
		for j, entry := range b.Entries {
			for _, list := range []struct {
				name string
				ids  []string
			}{{"stepIn", entry.StepIn}, {"stepOut", entry.StepOut}, {"stay", entry.Stay}, {"released", entry.Released}, {"standby", entry.Standby}} {
				for k, id := range list.ids {
					check(people, id, "blocks[%d].entries[%d].%s[%d]", i, j, list.name, k)
				}
			}
		}
	}
	for i, p := range c.People {
		check(people, p.Person, "people[%d].person", i)
	}
}

func missingParts(req interface {
	GetEvent() *kinorderv1.Event
	GetSheet() *kinorderv1.CallSheet
}) error {
	var fields []string
	if req.GetEvent() == nil {
		fields = append(fields, "event")
	}
	if req.GetSheet() == nil {
		fields = append(fields, "sheet")
	}
	return missing(fields...)
}

// under puts a prefix before the places of faults.
func under(prefix string, faults []event.Advice) []event.Advice {
	return each(faults, func(f event.Advice) event.Advice {
		f.Field = prefix + f.Field
		return f
	})
}

// unquoted hides the text of err from the log, because it may quote a file.
func unquoted(operation string, err error) error {
	if known(err) {
		return err
	}
	return fmt.Errorf("%s: an error of type %T", operation, err)
}
