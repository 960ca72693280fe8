// Package server is the kinorder server: it wires the gRPC services and the pages to what plans, reads,
// draws and keeps, and listens. It keeps something only where it is told to, and opens no address by
// itself.
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
	_ "google.golang.org/grpc/encoding/gzip" // callers may compress
	"google.golang.org/grpc/health"
	healthv1 "google.golang.org/grpc/health/grpc_health_v1"
	"google.golang.org/grpc/keepalive"
	"google.golang.org/grpc/reflection"

	"kinorder.example/server/internal/api"
	"kinorder.example/server/internal/gate"
	"kinorder.example/server/internal/metrics"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/traces"
	"kinorder.example/server/internal/web"
	"kinorder.example/server/internal/wording"
)

// DefaultAddress is where a server listens unless it is told otherwise: this machine only.
const DefaultAddress = "127.0.0.1:7465"

// DefaultPages is where the pages are served unless it is told otherwise: this machine only.
const DefaultPages = "127.0.0.1:7466"

// Languages are the tags of the languages that sheets and pages speak.
func Languages() []string { return wording.Languages() }

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
	// Data is the folder in which events and runs are kept, Postgres the connection string of a
	// database for them. Without either nothing is kept; both is an error.
	Data, Postgres string
	// StudioKey is the secret that opens every event and makes new ones. Empty means that there is
	// none; otherwise it has at least 22 characters.
	StudioKey string
	// Hosts are names under which the pages are asked for, beside those of this machine, such as the public
	// one of a proxy in front of it. "*.studio.example" stands for all names one step below.
	Hosts []string
	// Authority vouches for the server, for the page that explains it to phones; nil when it has a
	// certificate of somebody else's or none.
	Authority *Authority
	// PagesPort is the port at which the pages will be served, for the addresses of links; 0 when they won't be.
	PagesPort int
	// Phones opens an address for phones in the networks of this machine, encrypted by an authority, when somebody asks
	// for it on the pages. Nil where the server has such an address already.
	Phones func() (net.Listener, *Authority, error)
	// Metrics has what is done counted, for ServeMetrics.
	Metrics bool
	// Traces is where a collector takes traces of calls and searches, by OTLP over HTTP. Empty sends none.
	Traces string
	// WebhooksPrivate lets studios give addresses in networks that are not public, also without encryption.
	WebhooksPrivate bool
}

// MostMemory is what a server takes when every core searches and all the memory for requests is lent, in bytes.
func MostMemory() int64 {
	return int64(runtime.GOMAXPROCS(0))*planning.MemoryLimit + gate.MostMemory
}

// Server answers gRPC calls and serves pages. Its methods are safe for use by several goroutines.
type Server struct {
	config  Config
	grpc    *grpc.Server
	service *api.Service
	gate    *gate.Gate
	own     *studio // the server's own; without store when nothing is kept
	hosted  *hosted // the others; nil when nothing is kept
	phones  *phones // nil where the pages let nobody in
	web     web.Options
	pages   *web.Server
	health  *health.Server
	counts  *metrics.Metrics // nil when nothing is counted
	traces  *traces.Traces   // nil when nothing is traced
	calls   connections      // those of grpc
}

// New returns a server that is ready to Serve. Its error says which part of c is out of range.
func New(c Config) (*Server, error) { return newServer(c, planning.Plan) }

// newServer is New with another way to plan.
func newServer(c Config, plan planning.Func) (*Server, error) {
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
	known, err := knownHosts(c.Hosts)
	if err != nil {
		return nil, err
	}
	kept, err := openStore(c)
	if err != nil {
		return nil, err
	}
	door, memory := gate.New(c.Solves, c.Queue), gate.NewMemory()
	s := &Server{config: c, health: health.NewServer(), gate: door}
	if c.Metrics {
		s.counts = metrics.New()
	}
	if c.Traces != "" {
		if s.traces, err = traces.New(context.Background(), c.Traces, c.Log); err != nil {
			return nil, err
		}
	}
	plan = s.counted(plan)
	options := api.Options{Plan: plan, Gate: door, Memory: memory, Workers: max(c.Workers, 1), Log: c.Log, Metrics: s.counts, Traces: s.traces}
	if kept != nil {
		options.Studios = s.keeperOf
	}
	s.service = api.New(options)
	s.web = web.Options{Plan: plan, Gate: door, Memory: memory, Workers: max(c.Workers, 1), Log: c.Log, Known: known, Ready: s.ready}
	s.grpc = grpc.NewServer(append(s.service.ServerOptions(),
		// A caller whose machine went to sleep must not keep a search running.
		grpc.KeepaliveParams(keepalive.ServerParameters{Time: 30 * time.Second, Timeout: 10 * time.Second}),
		// Clients may ask as often: 10 seconds is the least that gRPC's own take, and timers are early at times.
		grpc.KeepaliveEnforcementPolicy(keepalive.EnforcementPolicy{MinTime: 8 * time.Second, PermitWithoutStream: true}),
		grpc.MaxConcurrentStreams(100),
		// A client introduces itself at once.
		grpc.ConnectionTimeout(10*time.Second),
	)...)
	return s, s.begin(kept)
}

// begin puts together what answers, with what is kept.
func (s *Server) begin(kept *store.Store) (err error) {
	c := s.config
	s.service.Register(s.grpc)
	s.own = s.newStudio(kept, store.Studio{})
	if kept != nil {
		s.hosted = newHosted(store.Place{Data: c.Data, Postgres: c.Postgres}, s.own, s.openStudio)
		s.web.Elsewhere = s.elsewhere
	}
	s.own.keeper.Register(s.grpc)
	for _, name := range api.KeptServices {
		serving := healthv1.HealthCheckResponse_NOT_SERVING
		if kept != nil {
			serving = healthv1.HealthCheckResponse_SERVING
		}
		s.health.SetServingStatus(name, serving)
	}
	s.gauge()
	if c.Authority != nil { // no nil pointers in interfaces
		s.web.Authority = c.Authority
	}
	healthv1.RegisterHealthServer(api.Registrar{ServiceRegistrar: s.grpc}, s.health)
	s.health.SetServingStatus(api.ServiceName, healthv1.HealthCheckResponse_SERVING)
	reflection.Register(s.grpc)
	if s.web.Calls, err = s.service.HTTP(s.grpc); err != nil {
		return err
	}
	s.web.CallPaths = api.CallPaths(s.grpc)
	s.pages = web.New(s.own.options(s.web))
	if s.phones != nil {
		s.phones.again(s.addresses)
	}
	return nil
}

// openStore opens what a Config names; nil for nothing.
func openStore(c Config) (*store.Store, error) {
	if c.StudioKey != "" && len(c.StudioKey) < leastKey {
		return nil, fmt.Errorf("server: the studio key has %d characters, and %d are the least", len(c.StudioKey), leastKey)
	}
	if c.Data != "" && c.Postgres != "" {
		return nil, errors.New("server: name a data folder or a database, not both")
	}
	if c.Data == "" && c.Postgres == "" {
		return nil, nil
	}
	ctx, cancel := context.WithTimeout(context.Background(), openTime)
	defer cancel()
	return store.Place{Data: c.Data, Postgres: c.Postgres}.Open(ctx, store.Options{})
}

const (
	// leastKey is the least length of a studio key: that of 128 bits in letters of 6.
	leastKey = 22
	// openTime is how long a store may take to open and bring its schema up to date.
	openTime = time.Minute
)

// Ticket is a path of the pages that signs one browser in, once, as the studio: for whoever starts the server on this
// machine. It is "/" where nothing is kept.
func (s *Server) Ticket() string {
	if s.own.work == nil {
		return "/"
	}
	return "/enter?ticket=" + s.own.work.Ticket()
}

// Serve answers calls on lis until Close and then returns nil. It closes lis. A server can serve
// several listeners.
func (s *Server) Serve(lis net.Listener) error {
	if err := s.grpc.Serve(over{lis, &s.calls}); err != nil && !errors.Is(err, grpc.ErrServerStopped) {
		return fmt.Errorf("server: %w", err)
	}
	return nil
}

// ServePages serves the pages over HTTP on lis until Close and then returns nil. It closes lis.
func (s *Server) ServePages(lis net.Listener) error {
	if err := s.pages.Serve(lis); err != nil {
		return fmt.Errorf("server: %w", err)
	}
	return nil
}

// Close stops gracefully: health turns to NOT_SERVING, new calls are refused, searches end with the
// best sheet found so far, viewers of runs are told to come back, and calls and pages under way are
// answered. When ctx ends first, what is left is
// cut off and the error is that of ctx. Close may be called again.
func (s *Server) Close(ctx context.Context) error {
	s.health.Shutdown()
	if s.phones != nil {
		s.phones.end()
	}
	s.gate.Stop()
	if s.hosted != nil {
		s.own.runs.Stop()
		s.hosted.stop()
	}
	s.calls.closeSilent()
	done := make(chan struct{})
	pages := make(chan error, 1)
	go func() {
		// Calls over HTTP are pages that gRPC answers: it would cut them off.
		pages <- s.pages.Close(ctx)
		s.grpc.GracefulStop()
		close(done)
	}()
	var err error
	select {
	case <-done:
		err = <-pages
	case <-ctx.Done():
		s.calls.closeAll()
		s.grpc.Stop()
		<-done
		<-pages // ended with ctx too
		err = fmt.Errorf("server: stopped before all calls were answered: %w", ctx.Err())
	}
	if s.hosted != nil {
		s.own.teller.Stop()
		err = errors.Join(err, s.hosted.close(ctx), s.own.store.Close())
	}
	return errors.Join(err, s.traces.Close(ctx))
}
