package server

import (
	"bytes"
	"encoding/base64"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"net/http"
	"net/textproto"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/genproto/googleapis/api/annotations"
	rpcstatus "google.golang.org/genproto/googleapis/rpc/status"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"
	"google.golang.org/protobuf/types/known/anypb"
)

// caller makes a call in one protocol, and returns its status; of a stream that of its first message.
type caller func(t *testing.T, m protoreflect.MethodDescriptor, secret string, req proto.Message) *status.Status

// protocols are those that are spoken at an address beside JSON at paths.
func protocols(t *testing.T, address string) map[string]caller {
	t.Helper()
	conn, err := grpc.NewClient(strings.TrimPrefix(address, "http://"), grpc.WithTransportCredentials(insecure.NewCredentials()))
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, conn.Close()) })
	return map[string]caller{
		"gRPC": func(t *testing.T, m protoreflect.MethodDescriptor, secret string, req proto.Message) *status.Status {
			return status.Convert(send(t, conn, m, secret, req))
		},
		"gRPC-Web": func(t *testing.T, m protoreflect.MethodDescriptor, secret string, req proto.Message) *status.Status {
			body, err := proto.Marshal(req)
			require.NoError(t, err)
			answer := post(t, address, m, secret, http.Header{"Content-Type": {"application/grpc-web+proto"}}, enveloped(body))
			return webStatus(t, answer)
		},
		"Connect":                     connectCaller(address, http.Header{"Connect-Protocol-Version": {"1"}}),
		"Connect without its version": connectCaller(address, nil),
	}
}

func connectCaller(address string, version http.Header) caller {
	return func(t *testing.T, m protoreflect.MethodDescriptor, secret string, req proto.Message) *status.Status {
		body, err := protojson.Marshal(req)
		require.NoError(t, err)
		kind := "application/json; charset=utf-8"
		if m.IsStreamingServer() {
			kind, body = "application/connect+json", enveloped(body)
		}
		h := http.Header{"Content-Type": {kind}}
		maps.Copy(h, version)
		return connectStatus(t, m, post(t, address, m, secret, h, body))
	}
}

func enveloped(body []byte) []byte {
	return append(binary.BigEndian.AppendUint32([]byte{0}, uint32(len(body))), body...)
}

func post(t *testing.T, address string, m protoreflect.MethodDescriptor, secret string, h http.Header, body []byte) *http.Response {
	t.Helper()
	r, err := http.NewRequestWithContext(t.Context(), http.MethodPost, fmt.Sprintf("%s/%s/%s", address, m.Parent().FullName(), m.Name()), bytes.NewReader(body))
	require.NoError(t, err)
	return answered(t, r, secret, h)
}

func answered(t *testing.T, r *http.Request, secret string, h http.Header) *http.Response {
	t.Helper()
	for name, values := range h {
		r.Header[name] = values
	}
	if secret != "" {
		r.Header.Set("Authorization", "Bearer "+secret)
	}
	answer, err := http.DefaultClient.Do(r)
	require.NoError(t, err)
	t.Cleanup(func() { _ = answer.Body.Close() })
	return answer
}

// envelope reads the next part of a stream.
func envelope(t *testing.T, from io.Reader) (flags byte, body []byte) {
	t.Helper()
	head := make([]byte, 5)
	_, err := io.ReadFull(from, head)
	require.NoError(t, err)
	body = make([]byte, binary.BigEndian.Uint32(head[1:]))
	_, err = io.ReadFull(from, body)
	require.NoError(t, err)
	return head[0], body
}

func webStatus(t *testing.T, answer *http.Response) *status.Status {
	t.Helper()
	h := answer.Header
	if h.Get("Grpc-Status") == "" {
		flags, body := envelope(t, answer.Body)
		if flags&0x80 == 0 {
			return status.New(codes.OK, "")
		}
		h = http.Header{}
		for line := range strings.Lines(string(body)) {
			name, value, _ := strings.Cut(strings.TrimSpace(line), ":")
			h.Set(textproto.CanonicalMIMEHeaderKey(name), strings.TrimSpace(value))
		}
	}
	var st rpcstatus.Status
	if h.Get("Grpc-Status") != "0" {
		raw, err := base64.RawStdEncoding.DecodeString(strings.TrimRight(h.Get("Grpc-Status-Details-Bin"), "="))
		require.NoError(t, err)
		require.NoError(t, proto.Unmarshal(raw, &st))
	}
	return status.FromProto(&st)
}

func connectStatus(t *testing.T, m protoreflect.MethodDescriptor, answer *http.Response) *status.Status {
	t.Helper()
	type failure struct {
		Code, Message string
		Details       []struct{ Type, Value string }
	}
	var e failure
	switch {
	case m.IsStreamingServer():
		flags, body := envelope(t, answer.Body)
		if flags&2 == 0 {
			return status.New(codes.OK, "")
		}
		var end struct{ Error failure }
		require.NoError(t, json.Unmarshal(body, &end))
		e = end.Error
	case answer.StatusCode == http.StatusOK:
		return status.New(codes.OK, "")
	default:
		require.NoError(t, json.NewDecoder(answer.Body).Decode(&e))
	}
	st := &rpcstatus.Status{Message: e.Message}
	var code codes.Code
	if e.Code != "" {
		require.NoError(t, code.UnmarshalJSON([]byte(`"`+strings.ToUpper(strings.ReplaceAll(e.Code, "canceled", "cancelled"))+`"`)))
	}
	st.Code = int32(code)
	for _, d := range e.Details {
		raw, err := base64.RawStdEncoding.DecodeString(strings.TrimRight(d.Value, "="))
		require.NoError(t, err)
		st.Details = append(st.Details, &anypb.Any{TypeUrl: "type.googleapis.com/" + d.Type, Value: raw})
	}
	return status.FromProto(st)
}

var inPath = regexp.MustCompile(`\{([\w.]+)=([^}]*)\}`)

// byPath makes a call by its path, when it has one and the request fits it.
func byPath(t *testing.T, address string, m protoreflect.MethodDescriptor, secret string, req proto.Message) (*status.Status, bool) {
	t.Helper()
	rule, _ := proto.GetExtension(m.Options(), annotations.E_Http).(*annotations.HttpRule)
	method, path := "", ""
	for name, p := range map[string]string{"GET": rule.GetGet(), "POST": rule.GetPost(), "PATCH": rule.GetPatch(), "DELETE": rule.GetDelete()} {
		if p != "" {
			method, path = name, p
		}
	}
	if m.Name() == "WatchRun" { // a stream of events, which annotations do not know
		method, path = http.MethodGet, "/v1/{name=events/*/runs/*}:watch"
	}
	var whole map[string]any
	raw, err := protojson.MarshalOptions{UseProtoNames: true}.Marshal(req)
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(raw, &whole))
	fits := path != ""
	path = inPath.ReplaceAllStringFunc(path, func(v string) string {
		parts := strings.Split(inPath.FindStringSubmatch(v)[1], ".")
		at := whole
		for _, p := range parts[:len(parts)-1] {
			at, _ = at[p].(map[string]any)
		}
		value, _ := at[parts[len(parts)-1]].(string)
		fits = fits && value != ""
		return value
	})
	if !fits {
		return nil, false
	}
	var body any
	query := url.Values{}
	switch rule.GetBody() {
	case "*":
		body = whole
	case "":
	default:
		if body = whole[rule.GetBody()]; body == nil {
			return nil, false // a body that is empty is an empty message there
		}
		for name, value := range whole {
			if text, ok := value.(string); ok && name != rule.GetBody() && !strings.Contains(path, text) {
				query.Set(name, text)
			}
		}
	}
	content := []byte(nil)
	if body != nil {
		content, err = json.Marshal(body)
		require.NoError(t, err)
	}
	r, err := http.NewRequestWithContext(t.Context(), method, address+path+"?"+query.Encode(), bytes.NewReader(content))
	require.NoError(t, err)
	h := http.Header{}
	if body != nil {
		h.Set("Content-Type", "application/json")
	}
	return restStatus(t, answered(t, r, secret, h)), true
}

func restStatus(t *testing.T, answer *http.Response) *status.Status {
	t.Helper()
	if answer.StatusCode == http.StatusOK {
		return status.New(codes.OK, "")
	}
	content, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	var st rpcstatus.Status
	require.NoError(t, protojson.Unmarshal(content, &st), string(content))
	return status.FromProto(&st)
}

// same compares statuses whole.
func same(t *testing.T, want, got *status.Status, where ...any) {
	t.Helper()
	if want.Code() == codes.OK && got.Code() == codes.OK {
		return
	}
	assert.True(t, proto.Equal(want.Proto(), got.Proto()), "%v: over gRPC\n%s\nand here\n%s", where, want.Proto(), got.Proto())
}
