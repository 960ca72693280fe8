package intake_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"google.golang.org/protobuf/proto"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/api"
	"kinorder.example/server/internal/gate"
	"kinorder.example/server/internal/intake"
)

// Random events come back equal through the calls, as YAML, as JSON, as a workbook and as one table, and through the files.
func TestRandomEventsComeBackEqual(t *testing.T) {
	random := rand.New(rand.NewPCG(11, 4))
	s := api.New(api.Options{Memory: gate.NewMemory()})
	rounds := 200
	if testing.Short() {
		rounds = 10
	}
	for round := range rounds {
		file := intake.WriteYAML(intake.RandomEvent(random), nil)
		first, err := s.Import(t.Context(), &kinorderv1.ImportRequest{Content: file, Format: kinorderv1.ImportFormat_IMPORT_FORMAT_YAML})
		require.NoError(t, err)
		for format := kinorderv1.ExportFormat_EXPORT_FORMAT_YAML; format <= kinorderv1.ExportFormat_EXPORT_FORMAT_XLSX; format++ {
			out, err := s.Export(t.Context(), &kinorderv1.ExportRequest{Event: first.GetEvent(), Format: format, Table: kinorderv1.Table_TABLE_WHOLE})
			require.NoError(t, err, "%d %s", round, format)
			if format == kinorderv1.ExportFormat_EXPORT_FORMAT_YAML {
				require.Equal(t, string(file), string(out.GetContent()), round)
			}
			back, err := s.Import(t.Context(), &kinorderv1.ImportRequest{Content: out.GetContent()})
			require.NoError(t, err, "%d %s", round, format)
			require.True(t, proto.Equal(first.GetEvent(), back.GetEvent()), "%d %s:\n%s\n%s\n%s", round, format,
				first.GetEvent(), back.GetEvent(), fmt.Sprint(back.GetProblems()))
		}
	}
}
