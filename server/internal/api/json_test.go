package api

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"google.golang.org/protobuf/reflect/protoreflect"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
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
