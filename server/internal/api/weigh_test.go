package api

import (
	"context"
	"errors"
	"fmt"
	"math"
	"testing"
	"testing/synctest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc"
	"google.golang.org/protobuf/encoding/protowire"
	"google.golang.org/protobuf/proto"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/gate"
)

func weighed(t *testing.T, m proto.Message, limit int) (int, error) {
	t.Helper()
	wire, err := proto.Marshal(m)
	require.NoError(t, err)
	return weigh(m.ProtoReflect().Descriptor(), wire, limit)
}

func TestWeigh(t *testing.T) {
	many := &kinorderv1.RenderRequest{Sheet: &kinorderv1.CallSheet{Blocks: []*kinorderv1.SheetBlock{{}, {Entries: make([]*kinorderv1.SheetEntry, 100_000)}}}}
	for i := range many.Sheet.Blocks[1].Entries {
		many.Sheet.Blocks[1].Entries[i] = &kinorderv1.SheetEntry{}
	}
	_, err := weighed(t, many, 16<<20)
	var much *tooMuchError
	require.ErrorAs(t, err, &much, "200 kB that come to 30 MB")
	assert.Equal(t, "sheet.blocks.entries", much.field)

	for name, wire := range map[string][]byte{
		"cut off":             {0x0a, 0x05, 0x01},
		"no field has this":   {0x07},
		"an end of no group":  {0x0c},
		"an endless number":   {0x08, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff},
		"sentences too deep":  sentences(maxNesting),
		"inside of a message": protowire.AppendBytes([]byte{0x0a}, []byte{0x0a, 0x7f}),
	} {
		_, err := weigh((&kinorderv1.ExportRequest{}).ProtoReflect().Descriptor(), wire, math.MaxInt)
		assert.ErrorIs(t, err, errMalformed, name)
	}
	_, err = weigh((&kinorderv1.ExportRequest{}).ProtoReflect().Descriptor(), sentences(10), math.MaxInt)
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
		_, err := weigh(req.ProtoReflect().Descriptor(), wire, math.MaxInt)
		if (proto.UnmarshalOptions{DiscardUnknown: true, RecursionLimit: maxNesting}).Unmarshal(wire, req) == nil {
			assert.NoError(t, err)
		}
	})
}

// largest is an event of as many people and groupings as there may be, with its sheet.
func largest(members int) (*kinorderv1.Event, *kinorderv1.CallSheet) {
	e, s := &kinorderv1.Event{Sides: []*kinorderv1.Side{{Id: "side", Label: "A side"}}}, &kinorderv1.CallSheet{}
	id := func(i int) string { return fmt.Sprintf("person-%04d", i%event.MaxPeople) }
	for i := range event.MaxPeople {
		e.People = append(e.People, &kinorderv1.Person{
			Id: id(i), Name: fmt.Sprintf("Somebody Of The Name %d", i), SayAs: "some body", Relation: "cousin of somebody", Side: "side", PrivateNote: "a line that nobody is told",
		})
		s.People = append(s.People, &kinorderv1.PersonTimes{Person: id(i), IdleSeconds: 1000})
	}
	b := &kinorderv1.SheetBlock{}
	for i := range event.MaxPhotographs {
		g := &kinorderv1.Grouping{Id: fmt.Sprintf("grouping-%03d", i), Title: fmt.Sprintf("The photograph of many %d", i)}
		row := &kinorderv1.StandingRow{}
		for k := range members {
			g.Members = append(g.Members, id(i+k))
			row.Places = append(row.Places, &kinorderv1.StandingPlace{Person: id(i + k), XCm: int32(k * 60), HeadCm: 170, WidthCm: 60})
		}
		e.Groupings = append(e.Groupings, g)
		b.Entries = append(b.Entries, &kinorderv1.SheetEntry{
			Grouping: g.Id, Title: g.Title, StepIn: g.Members, Stay: g.Members, StepOut: g.Members, Standby: g.Members,
			Standing: &kinorderv1.Standing{Rows: []*kinorderv1.StandingRow{row}},
		})
	}
	s.Blocks = []*kinorderv1.SheetBlock{b}
	return e, s
}

// Nothing that anybody needs is refused for what it comes to: the largest event with 300 people in every one of
// its photographs, and its sheet with 100 in each and all places, which is as much as is drawn.
func TestLargestRequestsAreLetIn(t *testing.T) {
	e, _ := largest(300)
	in := func(m proto.Message, most limit) {
		t.Helper()
		assert.Less(t, proto.Size(m), most.bytes)
		_, err := weighed(t, m, most.weight)
		assert.NoError(t, err)
	}
	in(&kinorderv1.PlanRequest{Event: e}, ofEvent)
	e, s := largest(100)
	in(&kinorderv1.RenderRequest{Event: e, Sheet: s}, ofSheets)
}

// Every method that carries more than names has limits of its own.
func TestLimitsOfMethods(t *testing.T) {
	for _, m := range methods() {
		lists := 0
		for _, r := range routes(m.Input(), nil) {
			if r[len(r)-1].Parent().FullName() != "google.protobuf.FieldMask" {
				lists++
			}
		}
		_, own := limits[fmt.Sprintf("/%s/%s", m.Parent().FullName(), m.Name())]
		assert.Equal(t, lists > 0, own, m.FullName())
	}
}

// silent is a stream on which nothing comes.
type silent struct {
	grpc.ServerStream
	ctx context.Context
}

func (s silent) Context() context.Context { return s.ctx }
func (s silent) RecvMsg(any) error        { <-s.ctx.Done(); return s.ctx.Err() }

// A request that does not come gives its room up to others.
func TestSlowRequests(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := New(Options{Memory: &gate.Memory{Arriving: gate.NewRoom(10), Requests: gate.NewRoom(10)}})
		recv := func() error {
			ctx, end := context.WithCancel(t.Context())
			defer end()
			return (&admittedStream{ServerStream: silent{ServerStream: nil, ctx: ctx}, service: s, call: &call{}}).RecvMsg(&kinorderv1.CheckRequest{})
		}
		second := make(chan error)
		go func() { second <- recv() }()
		synctest.Wait()
		assert.ErrorIs(t, recv(), gate.ErrCrowded)
		assert.ErrorIs(t, <-second, errSlow)
		assert.True(t, errors.Is(recv(), errSlow), "there is room again")
	})
}
