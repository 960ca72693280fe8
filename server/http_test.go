package server

import (
	"bytes"
	"compress/gzip"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
)

// pages serves the pages of a server and returns their address.
func pages(t testing.TB, r *running) string {
	t.Helper()
	lis, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	served := make(chan error, 1)
	go func() { served <- r.server.ServePages(lis) }()
	t.Cleanup(func() { assert.NoError(t, <-served) })
	return "http://" + lis.Addr().String()
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
	for _, role := range []kinorderv1.Role{kinorderv1.Role_ROLE_OWNER, kinorderv1.Role_ROLE_LEAD, kinorderv1.Role_ROLE_READER, kinorderv1.Role_ROLE_FAMILY} {
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
	assert.Len(t, paths, len(calls())-2, "all have a path but the streams that are no events")
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
	case service == "Webhooks":
		name = "webhooks/none"
	}
	set("name", name)
	set("stored_event", (&kinorderv1.StoredEvent{Name: "events/party", Event: faulty}).ProtoReflect())
	if m.Name() == "CreateRun" {
		set("run", (&kinorderv1.Run{Sheet: begun.GetSheet()}).ProtoReflect())
	}
	if m.Name() == "CreateWebhook" {
		set("webhook", (&kinorderv1.Webhook{Url: "https://127.0.0.1/"}).ProtoReflect())
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
			if strings.HasPrefix(name, "deep") {
				assert.Contains(t, e.Message, "nested deeper")
			}
		})
	}
	assert.NotContains(t, r.log.String(), "LAPWING")
	assert.NotContains(t, r.log.String(), "code=Internal")

	asked, err := http.NewRequestWithContext(t.Context(), http.MethodPost, address+"/v1/events:plan", strings.NewReader("{}"))
	require.NoError(t, err)
	asked.Host = "photos.example"
	assert.Equal(t, http.StatusMisdirectedRequest, answered(t, asked, "", nil).StatusCode, "under a name that is not ours")
}

// A field of the query that cannot be read is named, with what belongs there.
func TestQueryIsRefusedByField(t *testing.T) {
	r := start(t, Config{}, nil)
	address := pages(t, r)
	defer r.stop(t)
	for query, says := range map[string]string{"budget=2": "length of time in seconds", "available=LAPWING": "length of time in seconds", "emphasis=LAPWING": "openapi.yaml"} {
		resp, err := http.Post(address+"/v1/events:plan?"+query, "application/json", strings.NewReader("{}"))
		require.NoError(t, err)
		body, err := io.ReadAll(resp.Body)
		require.NoError(t, err)
		require.NoError(t, resp.Body.Close())
		field, _, _ := strings.Cut(query, "=")
		assert.Contains(t, string(body), `"`+field+`"`)
		assert.Contains(t, string(body), says)
		assert.NotContains(t, string(body), "LAPWING")
	}
}

// An answer that is too long for a protocol is refused with its reason, as a request is.
func TestAnswersOverHTTPAreBounded(t *testing.T) {
	r := start(t, Config{}, func(context.Context, event.Event, planning.Options) (event.CallSheet, error) {
		return event.CallSheet{LeftOut: []event.LeftOut{{Grouping: strings.Repeat("x", 9<<20)}}}, nil
	})
	address := pages(t, r)
	defer r.stop(t)
	plan := kinorderv1.File_kinorder_v1_planner_proto.Services().ByName("Planner").Methods().ByName("Plan")
	req := &kinorderv1.PlanRequest{Event: someEvent}
	got, ok := byPath(t, address, plan, "", req)
	require.True(t, ok)
	spoken := protocols(t, address)
	delete(spoken, "gRPC") // has no such limit
	for protocol, call := range spoken {
		for _, st := range []*status.Status{got, call(t, plan, "", req)} {
			e := refusal(t, client.Explain(st.Err()))
			assert.Equal(t, "REQUEST_TOO_LARGE", e.Reason, protocol)
			assert.Contains(t, e.Message, "the answer has 94", protocol)
		}
	}
}

// Whoever is refused is so before anything of the body has come.
func TestNothingIsReadOfWhoIsRefused(t *testing.T) {
	r := start(t, Config{}, planning.Plan)
	address := pages(t, r)
	defer r.stop(t)
	never, held := io.Pipe()
	defer held.Close()
	ask := func(path, kind string) *http.Response {
		asked, err := http.NewRequestWithContext(t.Context(), http.MethodPost, address+path, never)
		require.NoError(t, err)
		return answered(t, asked, "", http.Header{"Content-Type": {kind}})
	}
	st := restStatus(t, ask("/v1/events", "application/json"))
	assert.Equal(t, "NOTHING_KEPT", refusal(t, client.Explain(st.Err())).Reason)
	st = webStatus(t, ask("/kinorder.v1.Runs/WatchRun", "application/grpc-web+proto"))
	assert.Equal(t, "NOTHING_KEPT", refusal(t, client.Explain(st.Err())).Reason)
}

// Bodies that do not come hold nobody up but their own address.
func TestSlowBodiesHoldUpTheirOwnAddress(t *testing.T) {
	r := start(t, Config{}, planning.Plan)
	address := pages(t, r)
	defer r.stop(t)
	for range 16 {
		never, held := io.Pipe()
		asked, err := http.NewRequestWithContext(t.Context(), http.MethodPost, address+"/v1/events:check", never)
		require.NoError(t, err)
		asked.ContentLength = 4_000_000
		asked.Header.Set("Content-Type", "application/json")
		asked.Header.Set("X-Forwarded-For", "192.0.2.7")
		over := make(chan struct{})
		go func() {
			defer close(over)
			if resp, err := http.DefaultClient.Do(asked); err == nil {
				_ = resp.Body.Close()
			}
		}()
		_, err = held.Write([]byte("{ "))
		require.NoError(t, err)
		defer func() {
			_ = held.Close()
			<-over
		}()
	}
	body := `{"people":[{"id":"a","name":"Ann"},{"id":"b","name":"Bo"}],"groupings":[{"members":["a","b"]}]}`
	asked, err := http.NewRequestWithContext(t.Context(), http.MethodPost, address+"/v1/events:check", strings.NewReader(body))
	require.NoError(t, err)
	resp := answered(t, asked, "", http.Header{"Content-Type": {"application/json"}})
	assert.Equal(t, http.StatusOK, resp.StatusCode)
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
