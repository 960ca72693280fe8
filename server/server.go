// Package server is the kinorder server: it wires the gRPC service to what plans, reads and draws,
// and listens. It keeps nothing between calls, writes no files and opens no address by itself.
package server

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"runtime"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/health"
	healthv1 "google.golang.org/grpc/health/grpc_health_v1"
	"google.golang.org/grpc/keepalive"
	"google.golang.org/grpc/reflection"

	"kinorder.example/server/internal/api"
	"kinorder.example/server/internal/gate"
	"kinorder.example/server/internal/planning"
)

// DefaultAddress is where a server listens unless it is told otherwise: this machine only.
const DefaultAddress = "127.0.0.1:7465"

// Config of a Server. The zero value is fine.
type Config struct {
	// Log takes one line for each call, with counts and codes and never a name or a note. Nil
	// means no log.
	Log *slog.Logger
	// Solves is how many searches run at once. 0 means as many as there are cores.
	Solves int
	// Queue is how many callers wait for a search beyond that. 0 means four for each search.
	Queue int
	// Workers is how many cores one search may use. 0 means one.
	Workers int
}

// Server answers gRPC calls. Its methods are safe for use by several goroutines.
type Server struct {
	grpc   *grpc.Server
	health *health.Server
	gate   *gate.Gate
}

// New returns a server that is ready to Serve. Its error says which part of c is out of range.
func New(c Config) (*Server, error) { return newServer(c, planning.Plan) }

// newServer is New with another way to plan.
func newServer(c Config, plan api.PlanFunc) (*Server, error) {
	if c.Solves < 0 || c.Queue < 0 || c.Workers < 0 {
		return nil, errors.New("server: searches, queue and workers cannot be below 0")
	}
	if c.Log == nil {
		c.Log = slog.New(slog.DiscardHandler)
	}
	if c.Solves == 0 {
		c.Solves = runtime.GOMAXPROCS(0)
	}
	if c.Queue == 0 {
		c.Queue = 4 * c.Solves
	}
	door := gate.New(c.Solves, c.Queue)
	service := api.New(api.Options{Plan: plan, Gate: door, Workers: max(c.Workers, 1), Log: c.Log})
	s := &Server{
		grpc: grpc.NewServer(append(service.ServerOptions(),
			// A caller whose machine went to sleep must not keep a search running.
			grpc.KeepaliveParams(keepalive.ServerParameters{Time: 30 * time.Second, Timeout: 10 * time.Second}),
			grpc.MaxConcurrentStreams(100),
		)...),
		health: health.NewServer(),
		gate:   door,
	}
	service.Register(s.grpc)
	healthv1.RegisterHealthServer(s.grpc, s.health)
	s.health.SetServingStatus(api.ServiceName, healthv1.HealthCheckResponse_SERVING)
	reflection.Register(s.grpc)
	return s, nil
}

// Serve answers calls on lis until Close and then returns nil. It closes lis. A server can serve
// several listeners.
func (s *Server) Serve(lis net.Listener) error {
	if err := s.grpc.Serve(lis); err != nil && !errors.Is(err, grpc.ErrServerStopped) {
		return fmt.Errorf("server: %w", err)
	}
	return nil
}

// Close stops gracefully: health turns to NOT_SERVING, new calls are refused, searches end with the
// best sheet found so far, and calls under way are answered. When ctx ends first, what is left is
// cut off and the error is that of ctx. Close may be called again.
func (s *Server) Close(ctx context.Context) error {
	s.health.Shutdown()
	s.gate.Stop()
	done := make(chan struct{})
	go func() {
		s.grpc.GracefulStop()
		close(done)
	}()
	select {
	case <-done:
		return nil
	case <-ctx.Done():
		s.grpc.Stop()
		<-done
		return fmt.Errorf("server: stopped before all calls were answered: %w", ctx.Err())
	}
}
