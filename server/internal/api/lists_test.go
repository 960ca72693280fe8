package api

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/gate"
)

// What Export writes, Import reads back: people and photographs in every form.
func TestExportImportRoundTrip(t *testing.T) {
	e := &kinorderv1.Event{
		People: []*kinorderv1.Person{
			{Id: "ann", Name: "=Ann", Relation: "mother", PrivateNote: "quiet"}, {Id: "bo", Name: "Bồ Nguyễn"}, {Id: "lin", Name: "林晓"},
		},
		Groupings: []*kinorderv1.Grouping{{Id: "all", Title: "All", Members: []string{"ann", "bo", "lin"}}, {Id: "two", Title: "Two", Members: []string{"ann", "bo"}}},
	}
	s := New(Options{Memory: gate.NewMemory()})
	for _, format := range []kinorderv1.ExportFormat{
		kinorderv1.ExportFormat_EXPORT_FORMAT_YAML, kinorderv1.ExportFormat_EXPORT_FORMAT_JSON, kinorderv1.ExportFormat_EXPORT_FORMAT_XLSX,
	} {
		out, err := s.Export(t.Context(), &kinorderv1.ExportRequest{Event: e, Format: format})
		require.NoError(t, err)
		back, err := s.Import(t.Context(), &kinorderv1.ImportRequest{Content: out.GetContent()})
		require.NoError(t, err)
		require.Len(t, back.GetEvent().GetPeople(), 3, format)
		for i, p := range e.GetPeople() {
			assert.Equal(t, p.GetName(), back.GetEvent().GetPeople()[i].GetName(), format)
		}
		for i, g := range e.GetGroupings() {
			assert.Equal(t, g.GetMembers(), back.GetEvent().GetGroupings()[i].GetMembers(), format)
		}
	}
}

func TestImportSaysWhatBecameOfEveryLine(t *testing.T) {
	s := New(Options{Memory: gate.NewMemory()})
	list := "Guests:\nAnn Berg, Bo Berg\n\nAnn + Bo\nAnn + all cousins\n"
	got, err := s.Import(t.Context(), &kinorderv1.ImportRequest{Content: []byte(list), Format: kinorderv1.ImportFormat_IMPORT_FORMAT_LIST})
	require.NoError(t, err)
	told := map[int32]bool{}
	for _, l := range got.GetLines() {
		assert.NotEqual(t, kinorderv1.LineUse_LINE_USE_UNSPECIFIED, l.GetUse())
		told[l.GetNumber()] = true
	}
	for i, line := range strings.Split(list, "\n") {
		if strings.TrimSpace(line) != "" {
			assert.True(t, told[int32(i+1)], "line %d", i+1)
		}
	}
}
