package server

import (
	"bytes"
	"compress/gzip"
	"encoding/base64"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/textproto"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

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

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/planning"
)

// pages serves the pages of a server and returns their address.
func pages(t *testing.T, r *running) string {
	t.Helper()
	lis, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	served := make(chan error, 1)
	go func() { served <- r.server.ServePages(lis) }()
	t.Cleanup(func() { assert.NoError(t, <-served) })
	return "http://" + lis.Addr().String()
}

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
		"Connect": func(t *testing.T, m protoreflect.MethodDescriptor, secret string, req proto.Message) *status.Status {
			body, err := protojson.Marshal(req)
			require.NoError(t, err)
			kind := "application/json"
			if m.IsStreamingServer() {
				kind, body = "application/connect+json", enveloped(body)
			}
			answer := post(t, address, m, secret, http.Header{"Content-Type": {kind}, "Connect-Protocol-Version": {"1"}}, body)
			return connectStatus(t, m, answer)
		},
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

// Whoever calls, with whatever secret, hears the same in every protocol: what gRPC refuses, all refuse.
func TestEveryProtocolRefusesAlike(t *testing.T) {
	r := start(t, Config{Data: t.TempDir(), StudioKey: studioKey}, planning.Plan)
	address := pages(t, r)
	defer r.stop(t)
	studio := r.client.WithSecret(studioKey)
	for _, id := range []string{"party", "other"} {
		_, err := studio.CreateEvent(t.Context(), id, party())
		require.NoError(t, err)
	}
	sheet, err := studio.CreateSheet(t.Context(), "events/party", client.PlanOptions{})
	require.NoError(t, err)
	begun, err := studio.CreateRun(t.Context(), "events/party", sheet.GetName())
	require.NoError(t, err)
	holders := map[string]string{"nobody": "", "studio": studioKey}
	for _, role := range []kinorderv1.Role{kinorderv1.Role_ROLE_OWNER, kinorderv1.Role_ROLE_LEAD, kinorderv1.Role_ROLE_READER} {
		link, err := studio.CreateLink(t.Context(), "events/party", role, "", time.Time{})
		require.NoError(t, err)
		holders[role.String()] = link.GetSecret()
	}
	stranger, err := studio.CreateLink(t.Context(), "events/other", kinorderv1.Role_ROLE_OWNER, "", time.Time{})
	require.NoError(t, err)
	holders["stranger"] = stranger.GetSecret()
	faulty := &kinorderv1.Event{People: []*kinorderv1.Person{{Id: "ann"}}, Groupings: []*kinorderv1.Grouping{{Id: "g", Members: []string{"ann", "who"}}}}
	spoken := protocols(t, address)
	paths := map[string]bool{}
	for _, m := range calls() {
		for _, req := range []proto.Message{made(m.Input()), about(m, begun, faulty)} {
			for holder, secret := range holders {
				if holder == "studio" && strings.HasPrefix(string(m.Name()), "Delete") {
					continue // it may
				}
				want := status.Convert(send(t, r.conn, m, secret, req))
				for protocol, call := range spoken {
					same(t, want, call(t, m, secret, req), m.Name(), holder, protocol)
				}
				if got, ok := byPath(t, address, m, secret, req); ok {
					paths[string(m.Name())] = true
					same(t, want, got, m.Name(), holder, "JSON")
				}
			}
		}
	}
	assert.Len(t, paths, len(calls())-3, "all but the streams have a path")
	assert.NotContains(t, r.log.String(), "LAPWING")
}

// about is a request about what is kept, with a faulty event where it takes one.
func about(m protoreflect.MethodDescriptor, begun *kinorderv1.Run, faulty *kinorderv1.Event) proto.Message {
	req := made(m.Input()).ProtoReflect()
	set := func(field string, value any) {
		if f := req.Descriptor().Fields().ByName(protoreflect.Name(field)); f != nil {
			req.Set(f, protoreflect.ValueOf(value))
		}
	}
	set("parent", "events/party")
	name := "events/party"
	switch service := m.Parent().Name(); {
	case service == "Sheets":
		name = begun.GetSheet()
	case service == "Runs":
		name = begun.GetName()
	case m.Name() == "RevokeLink":
		name = "events/party/links/none"
	}
	set("name", name)
	set("stored_event", (&kinorderv1.StoredEvent{Name: "events/party", Event: faulty}).ProtoReflect())
	if m.Name() == "CreateRun" {
		set("run", (&kinorderv1.Run{Sheet: begun.GetSheet()}).ProtoReflect())
	}
	if m.Name() == "CreateLink" {
		set("link", (&kinorderv1.Link{Role: kinorderv1.Role_ROLE_UNSPECIFIED, DisplayName: "x"}).ProtoReflect())
	}
	set("event", faulty.ProtoReflect())
	return req.Interface()
}

// Limits hold for JSON before it is decoded, packed or not; what is no request is told as such, and quoted nowhere.
func TestJSONIsBounded(t *testing.T) {
	r := start(t, Config{}, planning.Plan)
	address := pages(t, r)
	defer r.stop(t)
	try := func(body, path string, h http.Header) *client.Error {
		t.Helper()
		asked, err := http.NewRequestWithContext(t.Context(), http.MethodPost, address+path, io.MultiReader(strings.NewReader(body))) // of unknown length
		require.NoError(t, err)
		if h.Get("Content-Type") == "" {
			h.Set("Content-Type", "application/json")
		}
		st := restStatus(t, answered(t, asked, "", h))
		require.NotEqual(t, codes.OK, st.Code())
		return refusal(t, client.Explain(st.Err()))
	}
	packed := func(text string) string {
		var b bytes.Buffer
		w := gzip.NewWriter(&b)
		_, err := io.WriteString(w, text)
		require.NoError(t, err)
		require.NoError(t, w.Close())
		return b.String()
	}
	many := `{"people":[` + strings.Repeat(`{},`, 100_000) + `{}]}`
	long := strings.Repeat(" ", 10<<20)
	for name, tt := range map[string]struct {
		body, path, reason string
		header             http.Header
	}{
		"many objects":     {many, "/v1/events:plan", "REQUEST_TOO_LARGE", http.Header{}},
		"many, packed":     {packed(many), "/v1/events:plan", "REQUEST_TOO_LARGE", http.Header{"Content-Encoding": {"gzip"}}},
		"long":             {long, "/v1/events:plan", "REQUEST_TOO_LARGE", http.Header{}},
		"long, packed":     {packed(strings.Repeat(long, 20)), "/v1/events:plan", "REQUEST_TOO_LARGE", http.Header{"Content-Encoding": {"gzip"}}},
		"a long file":      {long, "/v1/events:import", "REQUEST_TOO_LARGE", http.Header{"Content-Type": {"text/plain"}}},
		"a long name":      {`{"parent":"` + strings.Repeat("x", 200<<10) + `"}`, "/v1/events/party/sheets", "NOTHING_KEPT", http.Header{}},
		"deep":             {strings.Repeat(`{"a":`, 1000), "/v1/events:plan", "INVALID_REQUEST", http.Header{}},
		"deep lists":       {strings.Repeat(`[`, 1000), "/v1/events:plan", "INVALID_REQUEST", http.Header{}},
		"not packed":       {"LAPWING", "/v1/events:plan", "INVALID_REQUEST", http.Header{"Content-Encoding": {"gzip"}}},
		"no JSON":          {`{"title":"LAPWING" LAPWING`, "/v1/events:plan", "INVALID_REQUEST", http.Header{}},
		"another type":     {`{"title":{"x":"LAPWING"}}`, "/v1/events:plan", "INVALID_REQUEST", http.Header{}},
		"no such enum":     {`{"emphasis":"LAPWING"}`, "/v1/events:plan", "INVALID_REQUEST", http.Header{}},
		"no such field":    {`{"LAPWING":"x"}`, "/v1/events:plan", "INVALID_REQUEST", http.Header{}},
		"no such query":    {`{}`, "/v1/events:plan?LAPWING=1", "INVALID_REQUEST", http.Header{}},
		"query of no time": {`{}`, "/v1/events:plan?budget=LAPWING", "INVALID_REQUEST", http.Header{}},
		"no such format":   {`Ann`, "/v1/events:import?format=LAPWING", "INVALID_REQUEST", http.Header{"Content-Type": {"text/plain"}}},
		"another media":    {`Ann`, "/v1/events:plan", "INVALID_REQUEST", http.Header{"Content-Type": {"text/plain"}}},
		"no such call":     {`{}`, "/v1/events:plant", "UNKNOWN_METHOD", http.Header{}},
		"another site":     {`{}`, "/v1/events:plan", "FORBIDDEN", http.Header{"Sec-Fetch-Site": {"cross-site"}}},
	} {
		t.Run(name, func(t *testing.T) {
			e := try(tt.body, tt.path, tt.header)
			assert.Equal(t, tt.reason, e.Reason, e.Message)
			assert.NotContains(t, e.Message, "LAPWING")
		})
	}
	assert.NotContains(t, r.log.String(), "LAPWING")
	assert.NotContains(t, r.log.String(), "code=Internal")

	asked, err := http.NewRequestWithContext(t.Context(), http.MethodPost, address+"/v1/events:plan", strings.NewReader("{}"))
	require.NoError(t, err)
	asked.Host = "photos.example"
	assert.Equal(t, http.StatusMisdirectedRequest, answered(t, asked, "", nil).StatusCode, "under a name that is not ours")
}

// What README promises: a file becomes an event, an event a sheet, and a sheet a page, with nothing but HTTP.
func TestJSONFromAListToASheet(t *testing.T) {
	r := start(t, Config{}, planning.Plan)
	address := pages(t, r)
	defer r.stop(t)
	ask := func(path, kind string, body []byte) map[string]json.RawMessage {
		t.Helper()
		asked, err := http.NewRequestWithContext(t.Context(), http.MethodPost, address+path, bytes.NewReader(body))
		require.NoError(t, err)
		answer := answered(t, asked, "", http.Header{"Content-Type": {kind}})
		var out map[string]json.RawMessage
		require.NoError(t, json.NewDecoder(answer.Body).Decode(&out))
		require.Equal(t, http.StatusOK, answer.StatusCode, out)
		return out
	}
	imported := ask("/v1/events:import?format=IMPORT_FORMAT_LIST", "text/plain", []byte("Guests:\nAnn\nBo\nCy\n\n1. Ann + Bo + Cy\n2. Ann + Bo\n"))
	checked := ask("/v1/events:check", "application/json", imported["event"])
	assert.NotContains(t, string(checked["advice"]), "SEVERITY_ERROR")
	planned := ask("/v1/events:plan?budget=1s&emphasis=EMPHASIS_FEWEST_STEPS", "application/json", imported["event"])
	var sheet kinorderv1.CallSheet
	require.NoError(t, protojson.Unmarshal(planned["sheet"], &sheet))
	assert.Equal(t, int32(2), sheet.GetTotals().GetGroupings())
	drawn := ask("/v1/callSheets:render", "application/json", []byte(fmt.Sprintf(`{"event":%s,"sheet":%s,"format":"RENDER_FORMAT_HTML"}`, imported["event"], planned["sheet"])))
	assert.Contains(t, string(drawn["contentType"]), "text/html")

	answer, err := http.Get(address + "/openapi.yaml")
	require.NoError(t, err)
	defer answer.Body.Close()
	contract, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	assert.Contains(t, string(contract), "/v1/events:plan")
}

// A stream lasts as long as it is read, and ends with the reason when the server stops.
func TestWatchOverHTTPUntilTheServerStops(t *testing.T) {
	r := start(t, Config{Data: t.TempDir(), StudioKey: studioKey}, planning.Plan)
	address := pages(t, r)
	studio := r.client.WithSecret(studioKey)
	_, err := studio.CreateEvent(t.Context(), "party", party())
	require.NoError(t, err)
	sheet, err := studio.CreateSheet(t.Context(), "events/party", client.PlanOptions{})
	require.NoError(t, err)
	begun, err := studio.CreateRun(t.Context(), "events/party", sheet.GetName())
	require.NoError(t, err)
	watch := kinorderv1.File_kinorder_v1_runs_proto.Services().Get(0).Methods().ByName("WatchRun")
	body, err := protojson.Marshal(&kinorderv1.WatchRunRequest{Name: begun.GetName()})
	require.NoError(t, err)
	answer := post(t, address, watch, studioKey, http.Header{"Content-Type": {"application/connect+json"}, "Connect-Protocol-Version": {"1"}}, enveloped(body))
	flags, first := envelope(t, answer.Body)
	require.Zero(t, flags, string(first))
	r.stop(t)
	for flags == 0 {
		flags, first = envelope(t, answer.Body)
	}
	assert.Contains(t, string(first), "unavailable")
}
