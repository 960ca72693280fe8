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
	if s.own.store == nil {
		return nil
	}
	return s.own.store.Ping(ctx)
}

// gauge has counted what is under way.
func (s *Server) gauge() {
	if s.counts == nil {
		return
	}
	s.counts.Gauge("kinorder_searches_running", "Searches that run.", func() int { running, _ := s.gate.Searches(); return running })
	s.counts.Gauge("kinorder_searches_waiting", "Searches that wait for a place.", func() int { _, waiting := s.gate.Searches(); return waiting })
	if s.hosted != nil {
		s.counts.Gauge("kinorder_viewers", "Viewers of runs.", s.hosted.viewers)
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
// there; where there are studios, into a new folder. The studio key is not in it.
func Backup(ctx context.Context, data, file string) error {
	return store.Place{Data: data}.Backup(ctx, file)
}

// Restore makes the store of a data folder, in which there must be none yet, out of a backup.
func Restore(ctx context.Context, file, data string) error {
	return store.Place{Data: data}.Restore(ctx, file)
}

// ErrNoExport says that something is no export of an event.
var ErrNoExport = api.ErrNoExport

// PutBack keeps an event as kinorder events export wrote it, in a place where a server may run, and returns its name. Studio
// names one of those that are hosted there, empty the server's own. ErrExists when there is an event of that name.
func PutBack(ctx context.Context, at Place, studio string, export []byte) (name string, err error) {
	kept, err := at.Open(ctx, store.Options{Studio: studio})
	if err != nil {
		return "", err
	}
	name, err = api.PutBack(ctx, kept, export)
	return name, errors.Join(err, kept.Close())
}

// A Place is where a server keeps things, Studios the list of those it hosts there.
type (
	Place   = store.Place
	Studios = store.Studios
	Limits  = store.Limits
)

// ValidStudio says whether a studio may have a name.
func ValidStudio(name string) bool { return store.ValidStudio(name) }

// The errors of Studios.
var (
	ErrNotFound = store.ErrNotFound
	ErrExists   = store.ErrExists
)
