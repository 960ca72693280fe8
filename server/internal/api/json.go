package api

import (
	"compress/gzip"
	"context"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strings"

	"connectrpc.com/connect"
	"connectrpc.com/vanguard"
	"google.golang.org/grpc"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"
	"google.golang.org/protobuf/reflect/protoregistry"

	"kinorder.example/server/internal/api/weight"
	"kinorder.example/server/internal/gate"
)

// Errors of a request over HTTP.
var (
	errQuery   = errors.New("the path, the query or the headers do not fit the call")
	errCrossed = errors.New("the call comes from a page of another site")
	errPacked  = errors.New("the packed request cannot be unpacked")
)

// jsonError says where a JSON request is wrong, without quoting it.
type jsonError struct{ where, what string }

func (e *jsonError) Error() string { return "the JSON" + e.where + " " + e.what }

// jsonCodec reads requests that are JSON. It weighs them before it decodes them, and takes room meanwhile.
type jsonCodec struct {
	vanguard.JSONCodec
	memory *gate.Memory
	limits map[protoreflect.FullName]limit // of what is decoded
}

// Unmarshal implements vanguard.Codec. Its errors are those of every protocol.
func (c jsonCodec) Unmarshal(content []byte, into proto.Message) error {
	return c.within(content, into.ProtoReflect().Descriptor(), func() error { return c.JSONCodec.Unmarshal(content, into) })
}

// UnmarshalField implements vanguard.RESTCodec.
func (c jsonCodec) UnmarshalField(content []byte, into proto.Message, field protoreflect.FieldDescriptor) error {
	d := into.ProtoReflect().Descriptor()
	if field.Message() != nil {
		d = field.Message()
	}
	return c.within(content, d, func() error { return c.JSONCodec.UnmarshalField(content, into, field) })
}

func (c jsonCodec) within(content []byte, d protoreflect.MessageDescriptor, decode func() error) error {
	most, ok := c.limits[d.FullName()]
	if !ok {
		most = ofNames
	}
	if len(content) > most.bytes {
		return asConnect(&tooLargeError{what: "the request", size: len(content), limit: most.bytes})
	}
	comesTo, err := weight.JSON(content, most.weight)
	if err != nil {
		return asConnect(err)
	}
	give, err := c.memory.Requests.Take(context.Background(), int64(comesTo)*perJSON) // for at most gate.RoomTime
	if err != nil {
		return asConnect(err)
	}
	defer give()
	if err := decode(); err != nil {
		return asConnect(jsonFault(err))
	}
	return nil
}

// places of errors of package protojson.
var inJSON = regexp.MustCompile(`\(line (\d+):(\d+)\)`)

func jsonFault(err error) error {
	e := &jsonError{what: "does not fit the call"}
	if at := inJSON.FindStringSubmatch(err.Error()); at != nil {
		e.where = fmt.Sprintf(" at line %s, column %s", at[1], at[2])
	}
	for says, what := range map[string]string{"unknown field": "names a field that there is not", "syntax error": "is not JSON", "unexpected token": "is not of the kind that belongs there", "duplicate": "names a field twice"} {
		if strings.Contains(err.Error(), says) {
			e.what = what
		}
	}
	return e
}

// perJSON is how much memory decoding takes for each byte of weight: what is decoded, and the bytes of it as gRPC has them.
const perJSON = 2

// limitsOfJSON are the limits of requests as JSON by what they are decoded into: a request, or what a body stands for.
func limitsOfJSON(calls *grpc.Server) map[protoreflect.FullName]limit {
	out := map[protoreflect.FullName]limit{}
	set := func(d protoreflect.MessageDescriptor, l limit) {
		l.bytes = min(l.bytes+l.bytes/2, maxArriving) // JSON is longer
		if l.bytes > out[d.FullName()].bytes {
			out[d.FullName()] = l
		}
	}
	for name := range calls.GetServiceInfo() {
		found, err := protoregistry.GlobalFiles.FindDescriptorByName(protoreflect.FullName(name))
		service, ok := found.(protoreflect.ServiceDescriptor)
		if err != nil || !ok {
			continue
		}
		for i := range service.Methods().Len() {
			m := service.Methods().Get(i)
			l := limitOf(fmt.Sprintf("/%s/%s", name, m.Name()))
			set(m.Input(), l)
			for j := range m.Input().Fields().Len() {
				if part := m.Input().Fields().Get(j).Message(); part != nil {
					set(part, l)
				}
			}
		}
	}
	return out
}

// boundedGunzip unpacks no more than what a request may have.
type boundedGunzip struct {
	gzip.Reader
	left int
}

func newGzip() connect.Compressor { return gzip.NewWriter(io.Discard) }

func newBoundedGunzip() connect.Decompressor { return &boundedGunzip{} }

// Reset implements connect.Decompressor.
func (g *boundedGunzip) Reset(from io.Reader) error {
	g.left = maxArriving
	if err := g.Reader.Reset(from); err != nil {
		return asConnect(errPacked)
	}
	return nil
}

// Read implements connect.Decompressor.
func (g *boundedGunzip) Read(b []byte) (int, error) {
	if g.left == 0 {
		return 0, asConnect(&tooLargeError{what: "the unpacked request", size: maxArriving + 1, limit: maxArriving})
	}
	n, err := g.Reader.Read(b[:min(len(b), g.left)])
	g.left -= n
	if err != nil && !errors.Is(err, io.EOF) {
		err = asConnect(errPacked)
	}
	return n, err
}
