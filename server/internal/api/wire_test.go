package api

import (
	"context"
	"errors"
	"fmt"
	"testing"
	"testing/synctest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc"
	"google.golang.org/protobuf/proto"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/api/weight"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/gate"
)

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

func encodedAs(t *testing.T, m proto.Message) []byte {
	t.Helper()
	content, err := proto.Marshal(m)
	require.NoError(t, err)
	return content
}

// Nothing that anybody needs is refused for what it comes to: the largest event with 300 people in every one of
// its photographs, and its sheet with 100 in each and all places, which is as much as is drawn.
func TestLargestRequestsAreLetIn(t *testing.T) {
	e, _ := largest(300)
	in := func(m proto.Message, most limit) {
		t.Helper()
		assert.Less(t, proto.Size(m), most.bytes)
		_, err := weight.Message(m.ProtoReflect().Descriptor(), encodedAs(t, m), most.weight)
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
		s := New(Options{Memory: &gate.Memory{Arriving: gate.NewShared(10, 10), Known: gate.NewRoom(10), Requests: gate.NewRoom(10)}})
		known := false
		recv := func() error {
			ctx, end := context.WithCancel(t.Context())
			defer end()
			return (&admittedStream{ServerStream: silent{ServerStream: nil, ctx: ctx}, service: s, call: &call{}, known: known}).RecvMsg(&kinorderv1.CheckRequest{})
		}
		second := make(chan error)
		go func() { second <- recv() }()
		synctest.Wait()
		assert.ErrorIs(t, recv(), gate.ErrCrowded)
		assert.ErrorIs(t, <-second, errSlow)
		assert.True(t, errors.Is(recv(), errSlow), "there is room again")
		go func() { second <- recv() }()
		synctest.Wait()
		known = true
		assert.ErrorIs(t, recv(), errSlow, "strangers do not hold up who has a secret")
		assert.ErrorIs(t, <-second, errSlow)
	})
}
