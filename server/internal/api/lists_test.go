package api

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"testing/synctest"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc/codes"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/gate"
	required "kinorder.example/server/internal/needs"
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

// The largest events are read back from every form, or Export says which form to take instead.
func TestExportOfTheLargestIsReadBack(t *testing.T) {
	required.Time(t)
	s := New(Options{Memory: gate.NewMemory()})
	for name, word := range map[string]string{"short names": "Guest", "long names": "Somebody Whose Name Takes Up Most Of A Line", "long ids": ""} {
		e := &kinorderv1.Event{}
		for i := range 2000 {
			p := &kinorderv1.Person{Id: fmt.Sprint("p", i), Name: fmt.Sprint(word, " ", i)}
			if word == "" {
				p.Id, p.Name = fmt.Sprint("somebody-of-the-other-side-", i), fmt.Sprint("Somebody Of The Other Side ", i)
			}
			e.People = append(e.People, p)
		}
		photos, size := 500, 399
		if word == "" {
			photos, size = 3, 2000 // more than a cell holds
		}
		for i := range photos {
			g := &kinorderv1.Grouping{Id: fmt.Sprint("g", i)}
			for k := range size {
				g.Members = append(g.Members, e.People[(7*i+k)%2000].Id)
			}
			e.Groupings = append(e.Groupings, g)
		}
		for format := kinorderv1.ExportFormat_EXPORT_FORMAT_YAML; format <= kinorderv1.ExportFormat_EXPORT_FORMAT_XLSX; format++ {
			out, err := s.Export(t.Context(), &kinorderv1.ExportRequest{Event: e, Format: format, Table: kinorderv1.Table_TABLE_WHOLE})
			if word == "" && format >= kinorderv1.ExportFormat_EXPORT_FORMAT_CSV {
				assert.Equal(t, "this event in this form is larger than a file that is read: export it as YAML", statusOf(err).Message())
				continue
			}
			require.NoError(t, err, "%s: %s", name, format)
			back, err := s.Import(t.Context(), &kinorderv1.ImportRequest{Content: out.GetContent()})
			require.NoError(t, err, "%s: %s", name, format)
			for _, l := range back.GetLines() {
				require.LessOrEqual(t, utf8.RuneCountInString(l.GetText()), 1001, "what is shown of a line")
			}
			require.Len(t, back.GetEvent().GetGroupings(), photos, "%s: %s: %.400s", name, format, fmt.Sprint(back.GetProblems()))
			for i, g := range e.GetGroupings() {
				require.Equal(t, g.GetMembers(), back.GetEvent().GetGroupings()[i].GetMembers(), "%s: %s", name, format)
			}
		}
	}
}

// An export that nobody waits for is not written, and one that waits for memory ends.
func TestExportStopsWithItsCaller(t *testing.T) {
	e := &kinorderv1.Event{People: []*kinorderv1.Person{{Id: "ann", Name: "Ann"}}}
	synctest.Test(t, func(t *testing.T) {
		s := New(Options{Memory: gate.NewMemory()})
		gone, leave := context.WithCancel(t.Context())
		leave()
		_, err := s.Export(gone, &kinorderv1.ExportRequest{Event: e})
		assert.Equal(t, codes.Canceled, statusOf(err).Code())

		give, err := s.memory.Files.Take(t.Context(), 1<<40) // all that there is
		require.NoError(t, err)
		defer give()
		began := time.Now()
		_, err = s.Export(t.Context(), &kinorderv1.ExportRequest{Event: e, Format: kinorderv1.ExportFormat_EXPORT_FORMAT_XLSX})
		assert.Equal(t, codes.ResourceExhausted, statusOf(err).Code())
		assert.LessOrEqual(t, time.Since(began), readTime)
	})
}
