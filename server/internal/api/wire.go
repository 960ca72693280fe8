package api

import (
	"context"
	"errors"
	"io"
	"slices"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/encoding"
	wire "google.golang.org/grpc/encoding/proto"
	"google.golang.org/grpc/mem"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/proto"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/api/weight"
	"kinorder.example/server/internal/intake"
)

// limit is the most that a request may have: bytes, and roughly its size after decoding.
type limit struct{ bytes, weight int }

// Limits by what a request carries. The largest event of any use has 2000 people and 500 groupings of 200 people:
// it has 1 MiB and weighs 4.
var (
	ofNames  = limit{64 << 10, 1 << 20} // and ids and times
	ofMarks  = limit{1 << 20, 4 << 20}
	ofEvent  = limit{intake.MaxContent + 64<<10, 16 << 20} // or a file
	ofSheets = limit{8 << 20, 32 << 20}                    // with their events, or many events
)

// maxArriving is the most bytes of a request whose size is not known yet.
const maxArriving = 8<<20 + 64<<10

// arrivalTime is how long a request may take to arrive, so that a slow one does not hold its room for long.
const arrivalTime = 20 * time.Second

// errSlow says that a request could not be read.
var errSlow = errors.New("the request did not arrive in time")

// limits are those of the methods that carry more than names.
var limits = map[string]limit{
	kinorderv1.Planner_Check_FullMethodName:      ofEvent,
	kinorderv1.Planner_Plan_FullMethodName:       ofEvent,
	kinorderv1.Planner_PlanStream_FullMethodName: ofEvent,
	kinorderv1.Planner_Import_FullMethodName:     ofEvent,
	kinorderv1.Planner_Export_FullMethodName:     ofEvent,
	kinorderv1.Planner_Arrange_FullMethodName:    ofEvent,
	kinorderv1.Planner_ApplyPace_FullMethodName:  ofEvent,
	kinorderv1.Events_CreateEvent_FullMethodName: ofEvent,
	kinorderv1.Events_UpdateEvent_FullMethodName: ofEvent,
	kinorderv1.Planner_Render_FullMethodName:     ofSheets,
	kinorderv1.Planner_FitPace_FullMethodName:    ofSheets,
	kinorderv1.Runs_AddMarks_FullMethodName:      ofMarks,
}

func limitOf(method string) limit {
	if l, ok := limits[method]; ok {
		return l
	}
	return ofNames
}

// Registrar registers services whose requests are only read once the call has been looked at: by itself gRPC
// reads and decodes the request of a unary call before any interceptor sees the call. On the wire a unary call is
// a stream of one message each way.
type Registrar struct {
	grpc.ServiceRegistrar
	// enter looks at a call before its request is read. Nil means nothing to look at.
	enter func(context.Context) (admission, error)
}

// admission is what was learned of a call before its request was read.
type admission struct {
	ctx context.Context
	// keeper answers the call, where that is another one than was registered.
	keeper *Keeper
	// known says that it has a secret that opens something.
	known  bool
	studio int64
	leave  func() // when it is answered
}

// RegisterService implements grpc.ServiceRegistrar.
func (r Registrar) RegisterService(d *grpc.ServiceDesc, implementation any) {
	streams := slices.Clone(d.Streams)
	for _, m := range d.Methods {
		one := func(service any, stream grpc.ServerStream) error {
			answer, err := m.Handler(service, stream.Context(), stream.RecvMsg, nil)
			if err != nil {
				return err
			}
			return stream.SendMsg(answer)
		}
		// Interceptors of streams are left out for what streams in neither direction.
		streams = append(streams, grpc.StreamDesc{StreamName: m.MethodName, Handler: one, ServerStreams: true})
	}
	if r.enter != nil {
		for i, s := range streams {
			streams[i].Handler = func(service any, stream grpc.ServerStream) error {
				in, err := r.enter(stream.Context())
				if err != nil {
					return err
				}
				defer in.leave()
				if a, ok := stream.(*admittedStream); ok {
					a.known = in.known
					if in.studio != 0 {
						a.call.counts = append(a.call.counts, "studio", in.studio)
					}
				}
				if in.keeper != nil {
					service = in.keeper
				}
				return s.Handler(service, entered{stream, in.ctx})
			}
		}
	}
	r.ServiceRegistrar.RegisterService(&grpc.ServiceDesc{
		ServiceName: d.ServiceName, HandlerType: d.HandlerType, Streams: streams, Metadata: d.Metadata,
	}, implementation)
}

// entered is a stream with what was learned of its caller.
type entered struct {
	grpc.ServerStream
	ctx context.Context
}

func (e entered) Context() context.Context { return e.ctx }

// frame is a message as it came.
type frame struct{ bytes mem.BufferSlice }

// encoded is a message that is encoded once and sent to many.
type encoded struct {
	body []byte
	err  error
}

func encode(m proto.Message) encoded {
	body, err := proto.Marshal(m)
	return encoded{body, err}
}

// codec is that of gRPC, and leaves frames and what is encoded as they are.
type codec struct{ encoding.CodecV2 }

func newCodec() codec { return codec{encoding.GetCodecV2(wire.Name)} }

func (c codec) Marshal(message any) (mem.BufferSlice, error) {
	if e, ok := message.(encoded); ok {
		return mem.BufferSlice{mem.SliceBuffer(e.body)}, e.err
	}
	return c.CodecV2.Marshal(message)
}

func (c codec) Unmarshal(data mem.BufferSlice, into any) error {
	f, ok := into.(*frame)
	if !ok {
		return c.CodecV2.Unmarshal(data, into)
	}
	f.bytes.Free() // of a second message, where one is allowed
	data.Ref()
	f.bytes = data
	return nil
}

// admittedStream reads a request only when there is room for it.
type admittedStream struct {
	grpc.ServerStream
	service *Service
	call    *call
	give    func() // gives the room of the request back
	known   bool   // its caller has a secret
}

// RecvMsg implements grpc.ServerStream.
func (a *admittedStream) RecvMsg(m any) error {
	message, ok := m.(proto.Message)
	if !ok {
		return a.ServerStream.RecvMsg(m)
	}
	ctx := a.Context()
	arrived, err := a.room(ctx)
	if err != nil {
		return err
	}
	defer arrived()
	f, err := a.arrive()
	if err != nil {
		return err
	}
	raw, err := a.call.gather(f)
	if err != nil {
		return err
	}
	defer raw.Free()
	comesTo, err := weight.Message(message.ProtoReflect().Descriptor(), raw.ReadOnlyData(), limitOf(a.call.method).weight)
	if err != nil {
		return err
	}
	a.give() // of the message before it
	a.give = func() {}
	give, err := a.service.memory.Requests.Take(ctx, int64(comesTo)*perWeight)
	if err != nil {
		return err
	}
	a.give = give
	if err := (proto.UnmarshalOptions{DiscardUnknown: true}).Unmarshal(raw.ReadOnlyData(), message); err != nil {
		return weight.ErrMalformed
	}
	a.call.count(message)
	return nil
}

// room takes the memory that a message needs while it arrives.
func (a *admittedStream) room(ctx context.Context) (func(), error) {
	bytes := int64(maxArriving)
	if length, ok := ctx.Value(lengthKey{}).(int64); ok {
		bytes = min(perByte*length+64<<10, bytes)
	}
	if a.known {
		return a.service.memory.Known.Take(ctx, bytes)
	}
	return a.service.memory.Arriving.Take(ctx, caller(ctx), bytes)
}

// arrive reads a message as it comes.
func (a *admittedStream) arrive() (frame, error) {
	type arrival struct {
		frame
		err error
	}
	arrived := make(chan arrival, 1)
	go func() {
		var f frame
		wantBody(a.Context())
		err := a.ServerStream.RecvMsg(&f) // ends with the call at the latest
		arrived <- arrival{f, err}
	}()
	slow := time.NewTimer(arrivalTime)
	defer slow.Stop()
	select {
	case got := <-arrived:
		// There is no message, or it cannot be unpacked, or it was JSON that has been refused already.
		if errors.Is(got.err, io.EOF) || status.Code(got.err) == codes.Internal {
			got.err = weight.ErrMalformed
		}
		return got.frame, got.err
	case <-slow.C:
		return frame{}, errSlow
	}
}

// SendMsg implements grpc.ServerStream. What turns answers into other protocols refuses larger ones with no reason.
func (a *admittedStream) SendMsg(m any) error {
	message, ok := m.(proto.Message)
	if answer, translated := a.Context().Value(translatedKey{}).(*refusals); ok && translated {
		answer.begun.Store(true)
		if size := proto.Size(message); size > maxArriving {
			return &tooLargeError{what: "the answer", size: size, limit: maxArriving}
		}
	}
	return a.ServerStream.SendMsg(m)
}

// translatedKey is for the refusals of a call that comes in another protocol than gRPC, in its context.
type translatedKey struct{}

// gather brings a message into one piece, unless it is too large.
func (c *call) gather(f frame) (mem.Buffer, error) {
	defer f.bytes.Free()
	size, most := f.bytes.Len(), limitOf(c.method).bytes
	c.counts = append(c.counts, "bytes", size)
	if size > most {
		return nil, &tooLargeError{what: "the request", size: size, limit: most}
	}
	return f.bytes.MaterializeToBuffer(mem.DefaultBufferPool()), nil
}

// perWeight is how much memory a request takes in all for each byte that it weighs: decoded, turned into the domain,
// looked at, answered, and what the garbage collector leaves for later. Measured by BenchmarkMemoryOfCalls.
const perWeight = 6
