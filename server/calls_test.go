package server

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc"
	"google.golang.org/grpc/metadata"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"
	"google.golang.org/protobuf/reflect/protoregistry"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/api"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/wording"
)

// calls are all calls of the contract, whichever of its files they are in: none can be forgotten.
func calls() []protoreflect.MethodDescriptor {
	var out []protoreflect.MethodDescriptor
	protoregistry.GlobalFiles.RangeFilesByPackage("kinorder.v1", func(file protoreflect.FileDescriptor) bool {
		for i := range file.Services().Len() {
			for j := range file.Services().Get(i).Methods().Len() {
				out = append(out, file.Services().Get(i).Methods().Get(j))
			}
		}
		return true
	})
	slices.SortFunc(out, func(a, b protoreflect.MethodDescriptor) int {
		return strings.Compare(string(a.FullName()), string(b.FullName()))
	})
	return out
}

// Whatever makes something can be asked for again without harm, and what is kept is served by services that ask for a
// secret.
func TestEveryCallHasItsManners(t *testing.T) {
	n := 0
	for _, m := range calls() {
		if strings.HasPrefix(string(m.Name()), "Create") {
			n++
			assert.NotNil(t, m.Input().Fields().ByName("request_id"), "%s", m.FullName())
		}
		service := string(m.Parent().FullName())
		assert.True(t, service == api.ServiceName || slices.Contains(api.KeptServices, service), "%s", service)
	}
	assert.GreaterOrEqual(t, n, 5)
}

func made(d protoreflect.MessageDescriptor) proto.Message {
	kind, err := protoregistry.GlobalTypes.FindMessageByName(d.FullName())
	if err != nil {
		panic(err) // a message of the contract
	}
	return kind.New().Interface()
}

// send makes any call, and returns its error. Of a stream it takes the first message.
func send(t *testing.T, conn grpc.ClientConnInterface, m protoreflect.MethodDescriptor, secret string, req proto.Message) error {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	if secret != "" {
		ctx = metadata.AppendToOutgoingContext(ctx, "authorization", "Bearer "+secret)
	}
	name := fmt.Sprintf("/%s/%s", m.Parent().FullName(), m.Name())
	answer := made(m.Output())
	if !m.IsStreamingServer() {
		return conn.Invoke(ctx, name, req, answer)
	}
	stream, err := conn.NewStream(ctx, &grpc.StreamDesc{ServerStreams: true}, name)
	require.NoError(t, err)
	require.NoError(t, stream.SendMsg(req))
	require.NoError(t, stream.CloseSend())
	if err := stream.RecvMsg(answer); !errors.Is(err, io.EOF) {
		return err
	}
	return nil
}

// breaker breaks requests, each time the same for the same seed.
type breaker struct {
	*rand.Rand
	often float64 // how many of the fields
}

// breakUp changes some of the fields of a message, at any depth.
func (b breaker) breakUp(m protoreflect.Message, depth int) {
	fields := m.Descriptor().Fields()
	for i := range fields.Len() {
		f := fields.Get(i)
		change := b.Float64() < b.often
		switch {
		case f.IsMap():
			if change {
				m.Mutable(f).Map().Set(protoreflect.ValueOfString("nothing").MapKey(), protoreflect.ValueOfString("Z?"))
			}
		case f.IsList():
			list := m.Mutable(f).List()
			if change && depth > 0 {
				for range 1 + b.IntN(2) {
					list.Append(list.NewElement())
				}
			}
			for k := range list.Len() {
				if f.Message() != nil {
					b.breakUp(list.Get(k).Message(), depth-1)
				} else if change {
					list.Set(k, b.value(f))
				}
			}
		case f.Message() == nil:
			if change {
				m.Set(f, b.value(f))
			}
		case m.Has(f) || change && depth > 0 && f.Message().FullName() != "kinorder.v1.Wording":
			b.breakUp(m.Mutable(f).Message(), depth-1)
		}
	}
}

// ofPeople are texts that are in no error and no log.
var ofPeople = regexp.MustCompile(`^(title|say_as|relation|nicknames|private_note|note|place|photographer|display_name|label|text|reason|content|lens)$`)

func (b breaker) value(f protoreflect.FieldDescriptor) protoreflect.Value {
	pick := func(list ...string) string { return list[b.IntN(len(list))] }
	number := []int64{-1, 0, 1, 99, 1 << 30}[b.IntN(5)]
	switch f.Kind() {
	case protoreflect.StringKind:
		switch {
		case ofPeople.MatchString(string(f.Name())) || f.FullName() == "kinorder.v1.Person.name":
			return protoreflect.ValueOfString(marker + pick("", " and more", strings.Repeat("x", 3000)))
		case f.Name() == "name" || f.Name() == "parent" || f.Name() == "sheet":
			return protoreflect.ValueOfString(pick("events/party", "events/party/sheets/none", "party", ""))
		}
		return protoreflect.ValueOfString(pick("ann", "bo", "all", "garden", "b", "nobody", "", "25:99", "14:00", "no id!", "Mars/Base"))
	case protoreflect.BytesKind:
		return protoreflect.ValueOfBytes([]byte(pick("people: ["+marker, marker, "\xff", "")))
	case protoreflect.EnumKind:
		return protoreflect.ValueOfEnum(protoreflect.EnumNumber(number))
	case protoreflect.BoolKind:
		return protoreflect.ValueOfBool(true)
	case protoreflect.Int32Kind:
		return protoreflect.ValueOfInt32(int32(number))
	case protoreflect.Int64Kind:
		return protoreflect.ValueOfInt64(number << b.IntN(30))
	case protoreflect.DoubleKind:
		return protoreflect.ValueOfFloat64(float64(number) * 1e6)
	default:
		panic("a kind of field that is new in the contract: " + f.Kind().String())
	}
}

var step = regexp.MustCompile(`^([a-z][a-z0-9_]*)(?:\[(\d+)\])?$`)

// resolve says why the path of a violation leads to no field of a request.
func resolve(m protoreflect.Message, path string) error {
	steps := strings.Split(path, ".")
	for i, s := range steps {
		last := i == len(steps)-1
		parts := step.FindStringSubmatch(s)
		if parts == nil {
			return fmt.Errorf("%q is no field", s)
		}
		if last && parts[2] == "" && m.Descriptor().Oneofs().ByName(protoreflect.Name(s)) != nil {
			return nil
		}
		f := m.Descriptor().Fields().ByTextName(parts[1])
		switch {
		case f == nil:
			return fmt.Errorf("%s has no field %q", m.Descriptor().Name(), parts[1])
		case parts[2] != "" && !f.IsList():
			return fmt.Errorf("%q is no list", parts[1])
		case f.IsMap() && last:
			return nil
		case f.IsMap():
			key := protoreflect.ValueOfString(steps[i+1]).MapKey()
			if i != len(steps)-2 || !m.Get(f).Map().Has(key) {
				return fmt.Errorf("%q is no key of %q", steps[i+1], parts[1])
			}
			return nil
		case f.IsList() && parts[2] != "":
			at, err := strconv.Atoi(parts[2])
			if err != nil || at >= m.Get(f).List().Len() {
				return fmt.Errorf("%q is beyond the end", s)
			}
			if last {
				return nil
			}
			if f.Message() == nil {
				return fmt.Errorf("%q holds no messages", s)
			}
			m = m.Get(f).List().Get(at).Message()
		case last:
			return nil
		case f.IsList() || f.Message() == nil:
			return fmt.Errorf("%q holds no fields", s)
		default:
			m = m.Get(f).Message()
		}
	}
	return nil
}

// Whatever is wrong with a request of any call, each violation leads to a field of that request, and no error of
// anybody and no log says what people wrote of each other.
func TestEveryFaultLeadsToItsField(t *testing.T) {
	noSearch := func(context.Context, event.Event, planning.Options) (event.CallSheet, error) {
		return event.CallSheet{}, nil
	}
	r := start(t, Config{Data: t.TempDir(), StudioKey: studioKey}, noSearch)
	defer r.stop(t)
	studio := r.client.WithSecret(studioKey)
	_, err := studio.CreateEvent(t.Context(), "party", secretive())
	require.NoError(t, err)
	sheet, err := studio.CreateSheet(t.Context(), "events/party", client.PlanOptions{})
	require.NoError(t, err)
	begun, err := studio.CreateRun(t.Context(), "events/party", sheet.GetName())
	require.NoError(t, err)
	holders := []string{studioKey, studioKey, studioKey, ""}
	for _, role := range []kinorderv1.Role{kinorderv1.Role_ROLE_OWNER, kinorderv1.Role_ROLE_LEAD, kinorderv1.Role_ROLE_READER} {
		link, err := studio.CreateLink(t.Context(), "events/party", role, "", time.Time{})
		require.NoError(t, err)
		holders = append(holders, link.GetSecret())
	}
	// Requests that are sound but for what is broken; those of other calls begin empty.
	e := secretive()
	stored := &kinorderv1.StoredEvent{Name: "events/party", Event: e}
	drawn := &kinorderv1.CallSheet{Blocks: []*kinorderv1.SheetBlock{{Block: "garden", Entries: []*kinorderv1.SheetEntry{{Grouping: "all", StepIn: []string{"ann", "bo"}}}}}}
	mark := &kinorderv1.Mark{Id: "01890000-0000-7000-8000-000000000001", HappenTime: begun.GetCreateTime(), Kind: &kinorderv1.Mark_Note{Note: marker}}
	sound := map[string]proto.Message{
		"Check": &kinorderv1.CheckRequest{Event: e}, "Plan": &kinorderv1.PlanRequest{Event: e}, "PlanStream": &kinorderv1.PlanStreamRequest{Event: e},
		"Import": &kinorderv1.ImportRequest{Content: []byte("Ann and Bo"), Base: e}, "Export": &kinorderv1.ExportRequest{Event: e},
		"Arrange":     &kinorderv1.ArrangeRequest{Event: e, Grouping: "all"},
		"Render":      &kinorderv1.RenderRequest{Event: e, Sheet: drawn},
		"FitPace":     &kinorderv1.FitPaceRequest{Runs: []*kinorderv1.FinishedRun{{Event: e, Marks: []*kinorderv1.Mark{mark}}}},
		"ApplyPace":   &kinorderv1.ApplyPaceRequest{Event: e, Content: []byte("pace: {}")},
		"CreateEvent": &kinorderv1.CreateEventRequest{EventId: "party", StoredEvent: stored},
		"UpdateEvent": &kinorderv1.UpdateEventRequest{StoredEvent: stored},
		"GetEvent":    &kinorderv1.GetEventRequest{Name: "events/party"}, "CreateLink": &kinorderv1.CreateLinkRequest{Parent: "events/party", Link: &kinorderv1.Link{Role: 3}},
		"ListLinks":     &kinorderv1.ListLinksRequest{Parent: "events/party"},
		"CreateWebhook": &kinorderv1.CreateWebhookRequest{Webhook: &kinorderv1.Webhook{Url: "https://127.0.0.1/"}}, // which is refused
		"CreateSheet":   &kinorderv1.CreateSheetRequest{Parent: "events/party"}, "ListSheets": &kinorderv1.ListSheetsRequest{Parent: "events/party"},
		"CreateRun": &kinorderv1.CreateRunRequest{Parent: "events/party", Run: &kinorderv1.Run{Sheet: sheet.GetName()}},
		"ListRuns":  &kinorderv1.ListRunsRequest{Parent: "events/party"},
		"AddMarks":  &kinorderv1.AddMarksRequest{Name: begun.GetName(), Marks: []*kinorderv1.Mark{mark}},
		"WatchRun":  &kinorderv1.WatchRunRequest{Name: begun.GetName()},
	}
	listed, err := os.ReadFile("internal/event/codes.go")
	require.NoError(t, err)
	places := map[string]bool{}
	for i, call := range calls() {
		for seed := range uint64(60) {
			b := breaker{rand.New(rand.NewPCG(seed, uint64(i))), []float64{0.02, 0.1, 0.4}[seed%3]}
			req := made(call.Input())
			if base := sound[string(call.Name())]; base != nil {
				req = proto.Clone(base)
			}
			if seed > 0 {
				b.breakUp(req.ProtoReflect(), 4)
			} else {
				req = made(call.Input()) // with nothing
			}
			err := send(t, r.conn, call, holders[seed%uint64(len(holders))], req)
			text := status.Convert(err).Proto().String()
			if !assert.NotContains(t, text, marker, "%s, seed %d", call.Name(), seed) {
				continue
			}
			for _, detail := range status.Convert(err).Details() {
				bad, _ := detail.(*errdetails.BadRequest)
				for _, v := range bad.GetFieldViolations() {
					assert.NoError(t, resolve(req.ProtoReflect(), v.GetField()), "%s, seed %d: %q: %s", call.Name(), seed, v.GetField(), v.GetDescription())
					assert.Contains(t, string(listed), `= "`+v.GetReason()+`" `, "every code is listed for whoever calls")
					places[regexp.MustCompile(`\[\d+\]`).ReplaceAllString(fmt.Sprint(call.Name(), " ", v.GetField()), "[]")] = true
				}
			}
		}
	}
	assert.NotContains(t, r.log.String(), marker)
	assert.Greater(t, len(places), 200, "fields of calls of which violations speak")
}

// What is wrong with an event that is kept is in no field of a request to plan it.
func TestFaultsOfAKeptEventLeadToItsName(t *testing.T) {
	r := start(t, Config{Data: t.TempDir(), StudioKey: studioKey}, func(context.Context, event.Event, planning.Options) (event.CallSheet, error) {
		return event.CallSheet{}, &event.InvalidError{Faults: []event.Advice{{Code: "TOO_FEW", Field: "groupings[0].notBefore", Message: wording.Said("is wrong")}}}
	})
	defer r.stop(t)
	studio := r.client.WithSecret(studioKey)
	e, err := studio.CreateEvent(t.Context(), "party", party())
	require.NoError(t, err)
	_, err = studio.CreateSheet(t.Context(), e.GetName(), client.PlanOptions{})
	assert.Equal(t, []client.Violation{{Field: "parent", Code: "TOO_FEW", Text: "event.groupings[0].not_before: is wrong"}}, refusal(t, err).Violations)
}
