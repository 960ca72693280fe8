package weight

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/protobuf/encoding/protowire"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

func weighed(t *testing.T, m proto.Message, limit int) (int, error) {
	t.Helper()
	wire, err := proto.Marshal(m)
	require.NoError(t, err)
	return Message(m.ProtoReflect().Descriptor(), wire, limit)
}

func TestWeigh(t *testing.T) {
	many := &kinorderv1.RenderRequest{Sheet: &kinorderv1.CallSheet{Blocks: []*kinorderv1.SheetBlock{{}, {Entries: make([]*kinorderv1.SheetEntry, 100_000)}}}}
	for i := range many.Sheet.Blocks[1].Entries {
		many.Sheet.Blocks[1].Entries[i] = &kinorderv1.SheetEntry{}
	}
	_, err := weighed(t, many, 16<<20)
	var much *TooMuchError
	require.ErrorAs(t, err, &much, "200 kB that come to 30 MB")
	assert.Equal(t, "sheet.blocks.entries", much.Field)

	for name, wire := range map[string][]byte{
		"cut off":             {0x0a, 0x05, 0x01},
		"no field has this":   {0x07},
		"an end of no group":  {0x0c},
		"an endless number":   {0x08, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff},
		"sentences too deep":  sentences(MaxNesting),
		"inside of a message": protowire.AppendBytes([]byte{0x0a}, []byte{0x0a, 0x7f}),
	} {
		_, err := Message((&kinorderv1.ExportRequest{}).ProtoReflect().Descriptor(), wire, math.MaxInt)
		assert.ErrorIs(t, err, ErrMalformed, name)
	}
	_, err = Message((&kinorderv1.ExportRequest{}).ProtoReflect().Descriptor(), sentences(10), math.MaxInt)
	assert.NoError(t, err)
}

// sentences is a request to export with a sentence made of sentences.
func sentences(depth int) []byte {
	var wire []byte
	for range depth {
		argument := protowire.AppendBytes([]byte{6<<3 | 2}, wire)
		wire = protowire.AppendBytes([]byte{2<<3 | 2}, argument)
	}
	problem := protowire.AppendBytes([]byte{9<<3 | 2}, wire)
	return protowire.AppendBytes([]byte{4<<3 | 2}, problem)
}

// What decodes is weighed without fault, and nothing that is weighed without fault fails to decode for its form.
func FuzzWeigh(f *testing.F) {
	f.Add(sentences(3))
	f.Fuzz(func(t *testing.T, wire []byte) {
		req := &kinorderv1.ExportRequest{}
		_, err := Message(req.ProtoReflect().Descriptor(), wire, math.MaxInt)
		if (proto.UnmarshalOptions{DiscardUnknown: true, RecursionLimit: MaxNesting}).Unmarshal(wire, req) == nil {
			assert.NoError(t, err)
		}
	})
}

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
		got, err := JSON([]byte(text), 1<<20)
		assert.NoError(t, err)
		assert.Equal(t, want, got, text)
	}
	_, err := JSON([]byte(`{}`), 100)
	assert.ErrorAs(t, err, new(*TooMuchError))
}
