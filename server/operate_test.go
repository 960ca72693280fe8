package server

import (
	"context"
	"io"
	"net"
	"net/http"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/protobuf/types/known/emptypb"

	"kinorder.example/client"
	"kinorder.example/server/internal/planning"
)

// Metrics count calls by method, code and reason, and hold no name, no address and no label that callers make up.
func TestMetrics(t *testing.T) {
	r := start(t, Config{Data: t.TempDir(), StudioKey: studioKey, Metrics: true}, planning.Plan)
	address := pages(t, r)
	_, err := r.client.Plan(t.Context(), party(), client.PlanOptions{})
	require.NoError(t, err)
	_, err = r.client.CreateEvent(t.Context(), "party", party())
	require.Error(t, err)
	require.Error(t, r.conn.Invoke(t.Context(), "/made.up/LAPWING", &emptypb.Empty{}, &emptypb.Empty{}))

	lis, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(t.Context())
	served := make(chan error, 1)
	go func() { served <- r.server.ServeMetrics(ctx, lis) }()
	get := func(address string) (int, string) {
		t.Helper()
		answer, err := http.Get(address)
		require.NoError(t, err)
		defer answer.Body.Close()
		content, err := io.ReadAll(answer.Body)
		require.NoError(t, err)
		return answer.StatusCode, string(content)
	}
	_, counted := get("http://" + lis.Addr().String() + "/metrics")
	assert.Contains(t, counted, `kinorder_calls_total{code="OK",method="/kinorder.v1.Planner/Plan",reason=""} 1`)
	assert.Contains(t, counted, `kinorder_calls_total{code="Unauthenticated",method="/kinorder.v1.Events/CreateEvent",reason="SECRET_MISSING"} 1`)
	assert.Contains(t, counted, `method="unknown",reason="UNKNOWN_METHOD"`)
	assert.Contains(t, counted, `kinorder_search_seconds_count{end="proven",kind="plan"} 1`)
	assert.Contains(t, counted, "kinorder_searches_waiting 0")
	assert.Contains(t, counted, "kinorder_viewers 0")
	assert.NotContains(t, counted, "LAPWING")
	code, _ := get(address + "/metrics")
	assert.Equal(t, http.StatusNotFound, code, "not where the pages are")

	code, _ = get(address + "/readyz")
	assert.Equal(t, http.StatusOK, code)
	require.NoError(t, r.server.own.store.Close())
	code, said := get(address + "/readyz")
	assert.Equal(t, http.StatusServiceUnavailable, code)
	assert.Equal(t, "not ready\n", said)
	code, _ = get(address + "/healthz")
	assert.Equal(t, http.StatusOK, code)
	cancel()
	require.NoError(t, <-served)
	r.stop(t)
}
