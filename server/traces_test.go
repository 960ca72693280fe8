package server

import (
	"io"
	"net/http"
	"net/http/httptest"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	collector "go.opentelemetry.io/proto/otlp/collector/trace/v1"
	trace "go.opentelemetry.io/proto/otlp/trace/v1"
	"google.golang.org/grpc/metadata"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/types/known/emptypb"

	"kinorder.example/client"
	"kinorder.example/server/internal/planning"
)

// A collector hears of calls and of the searches in them, in the caller's trace, and of nobody.
func TestTraces(t *testing.T) {
	var mu sync.Mutex
	spans := map[string]*trace.Span{}
	hears := httptest.NewServer(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
		body, err := io.ReadAll(r.Body)
		assert.NoError(t, err)
		assert.Equal(t, "/v1/traces", r.URL.Path)
		var sent collector.ExportTraceServiceRequest
		assert.NoError(t, proto.Unmarshal(body, &sent))
		assert.NotContains(t, sent.String(), "LAPWING")
		assert.NotContains(t, sent.String(), "Ann")
		mu.Lock()
		defer mu.Unlock()
		for _, from := range sent.GetResourceSpans() {
			for _, scope := range from.GetScopeSpans() {
				for _, s := range scope.GetSpans() {
					spans[s.GetName()] = s
				}
			}
		}
	}))
	defer hears.Close()
	r := start(t, Config{Data: t.TempDir(), StudioKey: studioKey, Traces: hears.URL}, planning.Plan)
	const parent = "00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01"
	_, err := r.client.Plan(metadata.AppendToOutgoingContext(t.Context(), "traceparent", parent), party(), client.PlanOptions{})
	require.NoError(t, err)
	_, err = r.client.CreateEvent(t.Context(), "party", party())
	require.Error(t, err)
	require.Error(t, r.conn.Invoke(t.Context(), "/made.up/LAPWING", &emptypb.Empty{}, &emptypb.Empty{}))
	r.stop(t)

	call, search := spans["/kinorder.v1.Planner/Plan"], spans["plan"]
	require.NotNil(t, call)
	require.NotNil(t, search)
	assert.Equal(t, call.GetSpanId(), search.GetParentSpanId())
	assert.Equal(t, []byte{0xb7, 0xad, 0x6b, 0x71, 0x69, 0x20, 0x33, 0x31}, call.GetParentSpanId())
	assert.Contains(t, search.String(), "proven")
	assert.Contains(t, spans["/kinorder.v1.Events/CreateEvent"].String(), "SECRET_MISSING")
	assert.Contains(t, spans["unknown"].String(), "Unimplemented")
}
