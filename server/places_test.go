package server

import (
	"context"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/check"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
)

// lookAtPlaces are dial options with which a test fails when a refusal names a field that the request
// does not have.
func lookAtPlaces(t testing.TB) []grpc.DialOption {
	return []grpc.DialOption{
		grpc.WithUnaryInterceptor(func(ctx context.Context, method string, req, reply any, c *grpc.ClientConn, invoke grpc.UnaryInvoker, o ...grpc.CallOption) error {
			err := invoke(ctx, method, req, reply, c, o...)
			checkPlaces(t, req.(proto.Message), err)
			return err
		}),
		grpc.WithStreamInterceptor(func(ctx context.Context, d *grpc.StreamDesc, c *grpc.ClientConn, method string, open grpc.Streamer, o ...grpc.CallOption) (grpc.ClientStream, error) {
			stream, err := open(ctx, d, c, method, o...)
			return &lookingStream{ClientStream: stream, t: t}, err
		}),
	}
}

type lookingStream struct {
	grpc.ClientStream
	t   testing.TB
	req proto.Message
}

func (s *lookingStream) SendMsg(m any) error {
	s.req = m.(proto.Message)
	return s.ClientStream.SendMsg(m)
}

func (s *lookingStream) RecvMsg(m any) error {
	err := s.ClientStream.RecvMsg(m)
	checkPlaces(s.t, s.req, err)
	return err
}

func checkPlaces(t testing.TB, req proto.Message, err error) {
	for _, d := range status.Convert(err).Details() {
		bad, ok := d.(*errdetails.BadRequest)
		if !ok {
			continue
		}
		for i, v := range bad.GetFieldViolations() {
			assert.True(t, leads(req.ProtoReflect().Descriptor(), v.GetField()), "%q is no field of %T: %s", v.GetField(), req, v.GetDescription())
			if i == 0 {
				assert.Contains(t, status.Convert(err).Message(), v.GetField(), "the message and the details name one place")
			}
		}
	}
}

// leads reports whether a path leads to a field of a message, or to one of its oneofs. google.rpc.BadRequest:
// "the value must be a sequence of dot-separated identifiers that identify a protocol buffer field", with
// list elements in brackets.
func leads(d protoreflect.MessageDescriptor, path string) bool {
	first, rest, more := strings.Cut(path, ".")
	name, index, listed := strings.Cut(first, "[")
	if oneof := d.Oneofs().ByName(protoreflect.Name(name)); oneof != nil && !oneof.IsSynthetic() {
		return !more && !listed
	}
	field := d.Fields().ByName(protoreflect.Name(name))
	if field == nil || listed && !field.IsList() {
		return false
	}
	if listed {
		if _, err := strconv.ParseUint(strings.TrimSuffix(index, "]"), 10, 31); err != nil || !strings.HasSuffix(index, "]") {
			return false
		}
	}
	if !more {
		return true
	}
	return field.Message() != nil && listed == field.IsList() && leads(field.Message(), rest)
}

// Every field of an event is spoiled in its turn. What is then refused has to be named by its place.
func TestRefusalsLeadToTheField(t *testing.T) {
	r := start(t, Config{Data: t.TempDir(), StudioKey: studioKey}, func(_ context.Context, e event.Event, _ planning.Options) (event.CallSheet, error) {
		if faults := event.Faults(check.Event(e)); len(faults) > 0 {
			return event.CallSheet{}, &event.InvalidError{Faults: faults}
		}
		return event.CallSheet{}, nil
	})
	defer r.stop(t)
	content, err := os.ReadFile("../testdata/harbour-wedding.yaml")
	require.NoError(t, err)
	sound, _, err := r.client.Import(t.Context(), content, kinorderv1.ImportFormat_IMPORT_FORMAT_YAML)
	require.NoError(t, err)
	refused := map[string]bool{}
	note := func(err error) {
		for _, d := range status.Convert(err).Details() {
			if bad, ok := d.(*errdetails.BadRequest); ok {
				for _, v := range bad.GetFieldViolations() {
					refused[v.GetField()] = true
				}
			}
		}
	}
	spoil(sound.ProtoReflect(), func() {
		_, err := kinorderv1.NewPlannerClient(r.conn).Plan(t.Context(), &kinorderv1.PlanRequest{Event: sound})
		note(err)
	})
	for _, want := range []string{
		"event.time_zone", "event.people[0].age_band", "event.people[0].height_cm", "event.groupings[0].members[0]", "event.blocks[0].opens",
	} {
		assert.Contains(t, refused, want)
	}
	faulty := &kinorderv1.Event{Groupings: []*kinorderv1.Grouping{{Id: "one", Members: []string{"nobody"}}}}
	_, err = kinorderv1.NewEventsClient(shown{r.conn, studioKey}).CreateEvent(t.Context(), &kinorderv1.CreateEventRequest{StoredEvent: &kinorderv1.StoredEvent{Event: faulty}})
	note(err)
	assert.Contains(t, refused, "stored_event.event.groupings[0].members[0]")
}

// spoil gives each field of the first element of every list a value that cannot be, one at a time.
func spoil(m protoreflect.Message, try func()) {
	for i := range m.Descriptor().Fields().Len() {
		field := m.Descriptor().Fields().Get(i)
		switch {
		case field.IsList() && m.Get(field).List().Len() == 0:
		case field.IsList() && field.Message() != nil:
			spoil(m.Get(field).List().Get(0).Message(), try)
		case field.IsList():
			was := m.Get(field).List().Get(0)
			m.Get(field).List().Set(0, impossible(field))
			try()
			m.Get(field).List().Set(0, was)
		case field.Message() != nil:
			if m.Has(field) {
				spoil(m.Get(field).Message(), try)
			}
		case field.Kind() != protoreflect.BoolKind:
			had, was := m.Has(field), m.Get(field)
			m.Set(field, impossible(field))
			try()
			if m.Set(field, was); !had {
				m.Clear(field)
			}
		}
	}
}

func impossible(field protoreflect.FieldDescriptor) protoreflect.Value {
	switch field.Kind() {
	case protoreflect.StringKind:
		return protoreflect.ValueOfString("\u0001 nobody")
	case protoreflect.EnumKind:
		return protoreflect.ValueOfEnum(99)
	case protoreflect.DoubleKind:
		return protoreflect.ValueOfFloat64(-777)
	default:
		return protoreflect.ValueOfInt32(-777)
	}
}
