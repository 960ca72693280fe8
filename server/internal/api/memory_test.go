package api

import (
	"cmp"
	"fmt"
	"log/slog"
	"math"
	"net"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/encoding/gzip"
	"google.golang.org/grpc/mem"
	"google.golang.org/grpc/metadata"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/encoding/protowire"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"
	"google.golang.org/protobuf/types/known/durationpb"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/access"
	"kinorder.example/server/internal/api/weight"
	"kinorder.example/server/internal/gate"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/peak"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
)

const (
	studioKey = "a-studio-key-for-tests-only"
	owner     = "Bearer " + studioKey
)

// TestServeForMemory is the server that is measured.
func TestServeForMemory(t *testing.T) {
	peak.Serve(t, func() string {
		log := slog.New(slog.DiscardHandler)
		kept, err := store.OpenSQLite(t.Context(), t.TempDir(), store.Options{})
		require.NoError(t, err)
		service := New(Options{Plan: planning.Plan, Gate: gate.New(2, 8), Memory: gate.NewMemory(), Workers: 1, Log: log})
		s := grpc.NewServer(service.ServerOptions()...)
		service.Register(s)
		desk := run.NewDesk(run.DeskOptions{Store: kept, Replan: planning.Replan, Log: log})
		NewKeeper(service, KeeperOptions{Store: kept, Desk: desk, Guard: access.New(kept, studioKey)}).Register(s)
		lis, err := net.Listen("tcp", "127.0.0.1:0")
		require.NoError(t, err)
		go func() { _ = s.Serve(lis) }() // ends with the process
		return lis.Addr().String()
	}, func(string) string { return "" })
}

// bytesCodec sends and takes what is in a []byte.
type bytesCodec struct{}

func (bytesCodec) Name() string { return "proto" }
func (bytesCodec) Marshal(v any) (mem.BufferSlice, error) {
	return mem.BufferSlice{mem.SliceBuffer(*v.(*[]byte))}, nil
}
func (bytesCodec) Unmarshal(data mem.BufferSlice, v any) error {
	*v.(*[]byte) = nil
	return nil
}

// route leads from a message to a list somewhere inside of it.
type route []protoreflect.FieldDescriptor

func (r route) String() string {
	var names []string
	for _, f := range r {
		names = append(names, string(f.Name()))
	}
	return strings.Join(names, ".")
}

// routes finds every list in a message. A kind of message is entered twice at most on the way.
func routes(d protoreflect.MessageDescriptor, before route) []route {
	var out []route
	for i := range d.Fields().Len() {
		f := d.Fields().Get(i)
		r := append(slices.Clone(before), f)
		if f.Cardinality() == protoreflect.Repeated {
			out = append(out, r)
		}
		if m := f.Message(); m != nil && !f.IsMap() {
			entered := 0
			for _, b := range before {
				if b.Message() == m {
					entered++
				}
			}
			if entered < 2 {
				out = append(out, routes(m, r)...)
			}
		}
	}
	return out
}

// fill writes n elements into the list at the end of a route: empty ones, or with an empty message in each of
// their fields that can have one.
func (r route) fill(n int, furnished bool) []byte {
	last := r[len(r)-1]
	var element []byte
	if m := last.Message(); furnished && m != nil {
		for i := range m.Fields().Len() {
			if f := m.Fields().Get(i); f.Message() != nil {
				element = protowire.AppendBytes(protowire.AppendTag(element, f.Number(), protowire.BytesType), nil)
			}
		}
	}
	var one []byte
	switch {
	case last.Kind() == protoreflect.EnumKind:
		one = protowire.AppendVarint(protowire.AppendTag(nil, last.Number(), protowire.VarintType), 0)
	default:
		one = protowire.AppendBytes(protowire.AppendTag(nil, last.Number(), protowire.BytesType), element)
	}
	wire := slices.Repeat(one, n)
	for _, f := range slices.Backward(r[:len(r)-1]) {
		wire = protowire.AppendBytes(protowire.AppendTag(nil, f.Number(), protowire.BytesType), wire)
	}
	return wire
}

// flood is a request that comes to as much as possible.
type flood struct {
	name, method string
	wire         []byte
	n            int // elements
}

// floods are the requests of a method that come to as much as it lets through: one for each list.
func floods(m protoreflect.MethodDescriptor) []flood {
	method := fmt.Sprintf("/%s/%s", m.Parent().FullName(), m.Name())
	most := limitOf(method)
	var out []flood
	for _, r := range routes(m.Input(), nil) {
		for _, furnished := range []bool{false, true} {
			n := (most.bytes - 100) / (len(r.fill(2, furnished)) - len(r.fill(1, furnished)))
			comesTo, _ := weight.Message(m.Input(), r.fill(1000, furnished), math.MaxInt)
			n = min(n, most.weight/(comesTo/1000+1))
			out = append(out, flood{fmt.Sprintf("%s %v furnished=%v", m.Name(), r, furnished), method, r.fill(n, furnished), n})
		}
	}
	return out
}

// worst are the floods of a method with the most elements and with the fewest bytes.
func worst(m protoreflect.MethodDescriptor) []flood {
	all := floods(m)
	if len(all) == 0 {
		return nil
	}
	most := slices.MaxFunc(all, func(a, b flood) int { return cmp.Compare(a.n, b.n) })
	// Short ones come to what they may; what is longer is mostly text.
	fewest := slices.MinFunc(all, func(a, b flood) int { return cmp.Compare(len(a.wire), len(b.wire)) })
	return []flood{most, fewest}
}

// methods are all methods of the contract.
func methods() []protoreflect.MethodDescriptor {
	var out []protoreflect.MethodDescriptor
	for _, f := range []protoreflect.FileDescriptor{
		kinorderv1.File_kinorder_v1_planner_proto, kinorderv1.File_kinorder_v1_events_proto,
		kinorderv1.File_kinorder_v1_sheets_proto, kinorderv1.File_kinorder_v1_runs_proto,
	} {
		for i := range f.Services().Len() {
			for j := range f.Services().Get(i).Methods().Len() {
				out = append(out, f.Services().Get(i).Methods().Get(j))
			}
		}
	}
	return out
}

// measured is a server in a process of its own.
type measured struct {
	*peak.Process
	conn *grpc.ClientConn
}

func measure(t testing.TB) measured {
	p := peak.Start(t, "TestServeForMemory")
	conn, err := grpc.NewClient(p.Hello, grpc.WithTransportCredentials(insecure.NewCredentials()))
	require.NoError(t, err)
	t.Cleanup(func() { _ = conn.Close() })
	return measured{p, conn}
}

// take sends a request so many times at once and returns the most memory that the server took, and the codes.
func (m measured) take(t testing.TB, f flood, times int, secret string, options ...grpc.CallOption) (int, []codes.Code) {
	ctx := metadata.AppendToOutgoingContext(t.Context(), "authorization", secret)
	options = append(options, grpc.ForceCodecV2(bytesCodec{}), grpc.MaxCallRecvMsgSize(math.MaxInt32))
	got := make([]codes.Code, times)
	took := m.During(t, func() {
		var all sync.WaitGroup
		for i := range times {
			all.Go(func() { got[i] = status.Code(m.conn.Invoke(ctx, f.method, &f.wire, new([]byte), options...)) })
		}
		all.Wait()
	})
	return took, got
}

// Whatever a request is made of, it takes no more memory than is stated, and eight at once take no more than
// that.
func TestMemoryOfCalls(t *testing.T) {
	m := measure(t)
	all := []flood{}
	for _, method := range methods() {
		all = append(all, worst(method)...)
	}
	for name, content := range map[string]string{
		"a flow list":  "people: [" + strings.Repeat("q,", intake.MaxContent/3) + "]",
		"a long list":  strings.Repeat("a (b), ", 30_000),
		"many columns": "name,people\n" + strings.Repeat("x,", intake.MaxContent/3),
	} {
		wire, err := proto.Marshal(&kinorderv1.ImportRequest{Content: []byte(content)})
		require.NoError(t, err)
		all = append(all, flood{name, kinorderv1.Planner_Import_FullMethodName, wire, 0})
	}
	for _, f := range all {
		took, _ := m.take(t, f, 1, owner)
		assert.Less(t, took, peak.One, f.name)
		if peak.Heavy(took) {
			took, _ = m.take(t, f, 8, owner)
			assert.Less(t, took, peak.Eight, "eight times "+f.name)
		}
	}
}

// The largest event can be planned by eight at once, and all that is drawn of it takes no more than is stated.
func TestMemoryOfTheLargestEvent(t *testing.T) {
	m := measure(t)
	call := func(method string, req proto.Message, times int) (int, []codes.Code) {
		wire, err := proto.Marshal(req)
		require.NoError(t, err)
		return m.take(t, flood{"", method, wire, 0}, times, "")
	}
	e, _ := largest(60)
	plan := &kinorderv1.PlanRequest{Event: e, Budget: durationpb.New(100 * time.Millisecond)}
	took, got := call(kinorderv1.Planner_Plan_FullMethodName, plan, 8)
	assert.Equal(t, make([]codes.Code, 8), got)
	assert.Less(t, took, peak.Eight/2, "eight plans")

	e, s := largest(100)
	for kind := range kinorderv1.RenderKind_name {
		for format := range kinorderv1.RenderFormat_name {
			if kind == 0 || format == 0 {
				continue // one of the others
			}
			took, _ := call(kinorderv1.Planner_Render_FullMethodName, &kinorderv1.RenderRequest{
				Event: e, Sheet: s, Kind: kinorderv1.RenderKind(kind), Format: kinorderv1.RenderFormat(format),
			}, 1)
			assert.Less(t, took, peak.One, "%v as %v", kinorderv1.RenderKind(kind), kinorderv1.RenderFormat(format))
		}
	}
}

// What is refused costs no more than its bytes; without a secret not even those are read.
func TestMemoryOfRefusedCalls(t *testing.T) {
	m := measure(t)
	marks := route{kinorderv1.File_kinorder_v1_runs_proto.Messages().ByName("AddMarksRequest").Fields().ByName("marks")}
	flooded := flood{"AddMarks", kinorderv1.Runs_AddMarks_FullMethodName, marks.fill(maxArriving/2-100, false), 0}
	took, got := m.take(t, flooded, 80, "")
	assert.NotContains(t, got, codes.OK)
	assert.Contains(t, got, codes.Unauthenticated)
	assert.Less(t, took, 64<<20, "without a secret")

	took, got = m.take(t, flooded, 1, owner)
	assert.Equal(t, []codes.Code{codes.ResourceExhausted}, got)
	assert.Less(t, took, 64<<20, "too large for the method")
	took, _ = m.take(t, flooded, 80, owner)
	assert.Less(t, took, 2*peak.One, "eighty at once")

	// 16 MiB in 16 KiB.
	bomb := flood{"a bomb", kinorderv1.Planner_Check_FullMethodName, make([]byte, 16<<20), 0}
	took, got = m.take(t, bomb, 8, owner, grpc.UseCompressor(gzip.Name))
	assert.Equal(t, slices.Repeat([]codes.Code{codes.ResourceExhausted}, 8), got)
	assert.Less(t, took, peak.One, "unpacked no further than to the limit")
}

// BenchmarkMemoryOfCalls prints the most memory of each list of each call:
// go test ./server/internal/api -run - -bench Memory -benchtime 1x
func BenchmarkMemoryOfCalls(b *testing.B) {
	m := measure(b)
	for _, method := range methods() {
		for _, f := range floods(method) {
			b.Run(strings.ReplaceAll(f.name, " ", "_"), func(b *testing.B) {
				most := 0
				for b.Loop() {
					took, _ := m.take(b, f, 1, owner)
					most = max(most, took)
				}
				b.ReportMetric(float64(most)/(1<<20), "MiB-peak")
			})
		}
	}
}
