package server

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"time"

	healthv1 "google.golang.org/grpc/health/grpc_health_v1"

	"kinorder.example/server/internal/api"
	"kinorder.example/server/internal/store"
)

// Schema is the number of the schema in which this version keeps things.
func Schema() int { return store.Schema() }

// errStopping says that the server takes no new work.
var errStopping = errors.New("server: it is stopping")

// ready says whether the server can do its work: it is not stopping, and its store answers.
func (s *Server) ready(ctx context.Context) error {
	state, err := s.health.Check(ctx, &healthv1.HealthCheckRequest{Service: api.ServiceName})
	if err != nil || state.GetStatus() != healthv1.HealthCheckResponse_SERVING {
		return errors.Join(errStopping, err)
	}
	if s.store == nil {
		return nil
	}
	return s.store.Ping(ctx)
}

// gauge has counted what is under way.
func (s *Server) gauge() {
	if s.counts == nil {
		return
	}
	s.counts.Gauge("kinorder_searches_running", "Searches that run.", func() int { running, _ := s.gate.Searches(); return running })
	s.counts.Gauge("kinorder_searches_waiting", "Searches that wait for a place.", func() int { _, waiting := s.gate.Searches(); return waiting })
	if s.desk != nil {
		s.counts.Gauge("kinorder_viewers", "Viewers of runs.", s.desk.Viewers)
	}
}

// ServeMetrics answers on lis with what is counted, at /metrics, until ctx ends, and then returns nil. It closes lis.
func (s *Server) ServeMetrics(ctx context.Context, lis net.Listener) error {
	mux := http.NewServeMux()
	mux.Handle("GET /metrics", s.counts.Handler())
	answering := &http.Server{Handler: mux, ReadTimeout: metricsTime, WriteTimeout: metricsTime}
	stop := context.AfterFunc(ctx, func() { _ = answering.Close() })
	defer stop()
	if err := answering.Serve(lis); !errors.Is(err, http.ErrServerClosed) {
		return fmt.Errorf("server: metrics: %w", err)
	}
	return nil
}

// metricsTime is how long a reader of metrics may take.
const metricsTime = 10 * time.Second

// Backup writes all that is kept in a data folder into a new file, as of one moment, while a server goes on writing
// there. The studio key is not in it.
func Backup(ctx context.Context, data, file string) error { return store.Backup(ctx, data, file) }

// Restore makes the store of a data folder, in which there must be none yet, out of a backup.
func Restore(ctx context.Context, file, data string) error { return store.Restore(ctx, file, data) }
