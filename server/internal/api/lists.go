package api

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"google.golang.org/protobuf/encoding/protojson"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/wording"
)

// Import answers Planner.Import.
func (s *Service) Import(ctx context.Context, req *kinorderv1.ImportRequest) (*kinorderv1.ImportResponse, error) {
	if len(req.GetContent()) > intake.MaxContent {
		return nil, &tooLargeError{what: "the file", size: len(req.GetContent()), limit: intake.MaxContent}
	}
	var r, within reader
	o := intake.Options{
		Format:  fromEnum[intake.Format](&r, req.GetFormat(), "format"),
		Table:   fromEnum[intake.TableKind](&r, req.GetTable(), "table"),
		Columns: req.GetColumns(),
		Base:    within.event(req.GetBase()),
		Room:    s.memory.Files,
		Today:   time.Now().UTC(),
	}
	known := intake.TableFields()
	for field := range req.GetColumns() {
		if !slices.Contains(known, field) {
			r.fault("columns", event.CodeUnknownValue, "a column is given for a field that does not exist; there are: "+strings.Join(known, ", "))
		}
	}
	if faults := append(r.faults, under("base.", within.faults)...); len(faults) > 0 {
		return nil, &invalidRequestError{faults}
	}
	ctx, cancel := soon(ctx)
	defer cancel()
	got, err := intake.ReadFile(ctx, req.GetContent(), o)
	if err != nil {
		return nil, unquoted("import", err)
	}
	return importToWire(got), nil
}

// Export answers Planner.Export.
func (s *Service) Export(ctx context.Context, req *kinorderv1.ExportRequest) (*kinorderv1.ExportResponse, error) {
	if req.GetEvent() == nil {
		return nil, missing("event")
	}
	var around, within reader
	kind := fromEnum[intake.TableKind](&around, req.GetTable(), "table")
	problems := eachAt(req.GetProblems(), around.problem)
	if _, ok := kinorderv1.ExportFormat_name[int32(req.GetFormat())]; !ok {
		around.unknown("format", int64(req.GetFormat()))
	}
	e := within.event(req.GetEvent())
	if faults := append(around.faults, under("event.", within.faults)...); len(faults) > 0 {
		return nil, &invalidRequestError{faults}
	}
	ctx, cancel := soon(ctx)
	defer cancel()
	if req.GetFormat() == kinorderv1.ExportFormat_EXPORT_FORMAT_XLSX {
		give, err := s.memory.Files.Take(ctx, intake.RoomForWorkbook(e))
		if err != nil {
			return nil, unquoted("export", err)
		}
		defer give()
	}
	if err := context.Cause(ctx); err != nil { // writing takes a tenth of a second at most
		return nil, unquoted("export", err)
	}
	content, mediaType, err := export(e, req.GetFormat(), kind, problems)
	if errors.Is(err, intake.ErrNoTable) || err == nil && len(content) > intake.MaxContent { // Import would not take it
		do := "export it as YAML"
		if req.GetFormat() <= kinorderv1.ExportFormat_EXPORT_FORMAT_YAML {
			do = "shorten its notes and ids"
		}
		err = &tooLargeError{what: "this event in this form", limit: intake.MaxContent, do: do}
	}
	if err != nil {
		return nil, unquoted("export", err)
	}
	return &kinorderv1.ExportResponse{Content: content, ContentType: mediaType}, nil
}

// export writes an event in a form and says its media type.
func export(e event.Event, format kinorderv1.ExportFormat, kind intake.TableKind, problems []intake.Problem) ([]byte, string, error) {
	switch format {
	case kinorderv1.ExportFormat_EXPORT_FORMAT_JSON:
		content, err := indented(protojson.MarshalOptions{}, eventToWire(e))
		if err == nil && len(content) > intake.MaxContent {
			content, err = protojson.Marshal(eventToWire(e))
		}
		return content, "application/json", err
	case kinorderv1.ExportFormat_EXPORT_FORMAT_CSV:
		if kind == intake.AnyTable {
			kind = intake.PeopleTable
		}
		content, err := intake.WriteCSV(e, kind)
		return content, "text/csv; charset=utf-8; header=present", err
	case kinorderv1.ExportFormat_EXPORT_FORMAT_XLSX:
		content, err := intake.WriteXLSX(e)
		return content, "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", err
	default:
		return intake.WriteYAML(e, problems), "application/yaml; charset=utf-8", nil
	}
}

// problem reads a problem back, for the comments of an exported file.
func (r *reader) problem(i int, w *kinorderv1.ImportProblem) intake.Problem {
	return intake.Problem{
		Advice: event.Advice{Code: w.GetCode(), Severity: fromEnum[event.Severity](r, w.GetSeverity(), fmt.Sprintf("problems[%d].severity", i)), Message: wording.Said(w.GetText()), Field: w.GetField()},
		Line:   int(w.GetLine()), Column: int(w.GetColumn()), Written: w.GetWritten(), Candidates: w.GetCandidates(),
	}
}
