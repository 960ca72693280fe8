package api

import (
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"testing/synctest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc"
	"google.golang.org/protobuf/reflect/protoreflect"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/gate"
)

// An object of JSON is weighed as the largest message of the contract: none may be larger.
func TestObjectsWeighAsMuchAsTheLargestMessage(t *testing.T) {
	seen := 0
	var look func(protoreflect.MessageDescriptors)
	look = func(all protoreflect.MessageDescriptors) {
		for i := range all.Len() {
			if m := all.Get(i); !m.IsMapEntry() {
				seen++
				assert.LessOrEqual(t, sizeOf(m), ofObject, m.FullName())
				look(m.Messages())
			}
		}
	}
	for _, f := range []protoreflect.FileDescriptor{
		kinorderv1.File_kinorder_v1_event_proto, kinorderv1.File_kinorder_v1_sheet_proto, kinorderv1.File_kinorder_v1_wording_proto,
		kinorderv1.File_kinorder_v1_planner_proto, kinorderv1.File_kinorder_v1_events_proto, kinorderv1.File_kinorder_v1_sheets_proto,
		kinorderv1.File_kinorder_v1_runs_proto,
	} {
		look(f.Messages())
	}
	assert.Greater(t, seen, 80)
}

func TestWeighJSON(t *testing.T) {
	for text, want := range map[string]int{
		`{}`:             2 + ofObject,
		`{"a":[1,2]}`:    11 + ofObject + ofValue,
		`{"a":"{[,\"{"}`: 14 + ofObject,
	} {
		got, err := weighJSON([]byte(text), 1<<20)
		assert.NoError(t, err)
		assert.Equal(t, want, got, text)
	}
	_, err := weighJSON([]byte(`{}`), 100)
	assert.ErrorAs(t, err, new(*tooMuchError))
}

// A file that is refused before anybody reads it leaves nobody behind who would send it.
func TestFilesThatNobodyReads(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := New(Options{Memory: gate.NewMemory(), Log: slog.New(slog.DiscardHandler)})
		calls := grpc.NewServer(s.ServerOptions()...)
		s.Register(calls)
		h, err := s.HTTP(calls)
		require.NoError(t, err)
		r := httptest.NewRequest(http.MethodPost, importPath, strings.NewReader("Ann"))
		r.Header.Set("X-Server-Timeout", "soon")
		answer := httptest.NewRecorder()
		h.ServeHTTP(answer, r)
		assert.Equal(t, http.StatusBadRequest, answer.Code)
	})
}
