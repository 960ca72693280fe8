package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"os"
	"path/filepath"
	"runtime/debug"
	"slices"
	"time"

	"github.com/spf13/cobra"

	"kinorder.example/server"
)

// serveFlags are the flags of serve.
type serveFlags struct {
	address, pages, metrics string
	data, postgres, keyFile string
	certificate, key        string
	own, open               bool
	browse                  bool // open the page
	logLevel                slog.Level
	logJSON                 bool
	hosts                   []string
	webhooksPrivate         bool
	otlp                    string
}

func (p *Program) serveCommand() *cobra.Command {
	var o serveFlags
	c := &cobra.Command{
		Use:   "serve",
		Short: "Run the server and the planner's page",
		Long: `Serve serves the planner's page to browsers and answers gRPC calls (services Planner,
Events, Sheets and Runs of kinorder.v1, with health and reflection) until it is interrupted. It
prints the address of the page. The log names no guests.

Without --data or --postgres it plans and keeps nothing. With --data it keeps events and runs in
a file in that folder; with --postgres in a database that several servers may share. The studio
key opens every event and makes new ones; --data makes one in the folder, in the file studio.key.

Every flag may stand in the environment instead, --log-level as KINORDER_LOG_LEVEL, or in a file,
log-level: warn. A flag counts before a variable, and that before the file.

It listens on this machine only. An address that other machines can reach needs --tls-cert and
--tls-key, or --tls-own: then the server vouches for itself, and its page /trust explains how a
phone comes to trust it. --open-to-network lets them in without encryption, for a network that you
trust; without signal phones cannot load the page again then.`,
		Example: `  kinorder serve
  kinorder serve --data ~/kinorder
  kinorder serve --data ~/kinorder --http :7466 --tls-own
  kinorder serve --http 127.0.0.1:8080 --listen 127.0.0.1:9000
  kinorder serve --http off
  kinorder serve --listen :7465 --http off --data ~/kinorder --tls-cert studio.pem --tls-key studio-key.pem
  KINORDER_POSTGRES=postgres://studio@db.example/kinorder kinorder serve --key-file studio.key`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			if err := settings(c); err != nil {
				return err
			}
			if err := o.check(); err != nil {
				return err
			}
			return p.serve(c.Context(), o)
		},
	}
	f := c.Flags()
	f.StringVar(&o.address, "listen", server.DefaultAddress, "answer gRPC on this `ADDR`, host:port; port 0 takes a free one, off opens none")
	f.StringVar(&o.pages, "http", server.DefaultPages, "serve the planner's page on this `ADDR`, host:port; port 0 takes a free one, off serves none")
	f.TextVar(&o.logLevel, "log-level", slog.LevelInfo, "log from this `LEVEL` on: debug, info, warn or error")
	f.BoolVar(&o.logJSON, "log-json", false, "log JSON, a line for each entry")
	f.BoolVar(&o.open, "open-to-network", false, "also listen on addresses that other machines can reach, without encryption")
	f.String("config", "", "take what no flag and no variable says from this YAML `FILE`, by the names of the flags")
	f.StringVar(&o.metrics, "metrics", off, "answer Prometheus at /metrics on this `ADDR`, host:port")
	f.StringVar(&o.data, "data", "", "keep events and runs in this `FOLDER`")
	f.StringVar(&o.postgres, "postgres", "", "keep events and runs in the PostgreSQL database of this connection `STRING`; as KINORDER_POSTGRES its password is not in the list of processes")
	f.StringVar(&o.keyFile, "key-file", "", "the `FILE` of the studio key (default: studio.key in the data folder)")
	f.StringVar(&o.certificate, "tls-cert", "", "the `FILE` of the certificate for TLS, PEM")
	f.StringVar(&o.key, "tls-key", "", "the `FILE` of its key, PEM")
	f.StringArrayVar(&o.hosts, "host", nil, "the pages are asked for under this `NAME` too, such as the public one of a proxy; may be repeated")
	f.StringVar(&o.otlp, "otlp", "", "send traces of calls and searches to the OpenTelemetry collector at this `URL`, such as http://127.0.0.1:4318")
	f.BoolVar(&o.webhooksPrivate, "webhooks-private", false, "let studios have addresses told that are in networks that are not public, also without encryption")
	f.BoolVar(&o.own, "tls-own", false, "speak TLS with a certificate of the server's own, kept in the data folder")
	return c
}

// check says which flags do not go together.
func (o serveFlags) check() error {
	switch {
	case o.data != "" && o.postgres != "":
		return errors.New("name --data or --postgres, not both")
	case o.address == off && o.pages == off:
		return errors.New("--listen off and --http off leave nothing to serve")
	case (o.certificate == "") != (o.key == ""):
		return errors.New("--tls-cert and --tls-key go together")
	case o.own && (o.certificate != "" || o.data == ""):
		return errors.New("--tls-own keeps what it makes in the folder of --data, and stands in place of --tls-cert")
	}
	return nil
}

// names are those that the flags name.
func (o serveFlags) names() ([]string, error) {
	out := o.hosts
	if host, _, err := net.SplitHostPort(o.pages); err == nil && host != "" && net.ParseIP(host) == nil {
		out = append(out, host)
	}
	if o.certificate == "" {
		return out, nil
	}
	vouched, err := server.CertificateHosts(o.certificate)
	return append(out, vouched...), err
}

// config is what the flags ask of the server.
func (o serveFlags) config(log *slog.Logger) (server.Config, error) {
	hosts, err := o.names()
	if err != nil {
		return server.Config{}, invalid(err)
	}
	config := server.Config{Metrics: o.metrics != off, WebhooksPrivate: o.webhooksPrivate, Traces: o.otlp, Log: log, Data: o.data, Postgres: o.postgres, Hosts: hosts}
	if o.data != "" || o.postgres != "" {
		key, from, err := studioKey(o.keyFile, o.data)
		if err != nil {
			return server.Config{}, err
		}
		config.StudioKey = key
		log.Info("the studio key opens every event", "file", from)
	}
	if o.own {
		if config.Authority, err = server.OpenAuthority(o.data); err != nil {
			return server.Config{}, failed(err)
		}
	}
	return config, nil
}

// limitMemory has the garbage collector work harder before the server takes more than it needs. The variable
// GOMEMLIMIT of whoever runs it counts instead.
func limitMemory() {
	if os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(server.MostMemory())
	}
}

func (p *Program) serve(ctx context.Context, o serveFlags) error {
	limitMemory()
	log := o.log(p.Stderr)
	config, err := o.config(log)
	if err != nil {
		return err
	}
	calls, web, err := p.listeners(ctx, o, config.Authority)
	if err != nil {
		return err
	}
	opened := slices.DeleteFunc([]net.Listener{calls, web}, func(l net.Listener) bool { return l == nil })
	if web != nil {
		config.PagesPort = web.Addr().(*net.TCPAddr).Port
	}
	if o.browse && o.data != "" {
		config.Phones = p.letPhonesIn(ctx, o.data)
	}
	s, err := server.New(config)
	if err != nil {
		return failed(errors.Join(err, closeAll(opened)))
	}
	var serving []func() error
	if calls != nil {
		serving = append(serving, func() error { return s.Serve(calls) })
	}
	if web != nil {
		serving = append(serving, func() error { return s.ServePages(web) })
		if err := p.welcome(o, s, config.Authority, web.Addr()); err != nil {
			return errors.Join(err, closeAll(opened), p.abandon(s))
		}
	}
	if o.metrics != off {
		counted, err := p.listen(ctx, "--metrics", o.metrics, "127.0.0.1:7467, or "+off, o.protection(config.Authority))
		if err != nil {
			return errors.Join(err, closeAll(opened), p.abandon(s))
		}
		serving = append(serving, func() error { return s.ServeMetrics(ctx, counted) })
	}
	log.Info("listening", "address", opened[0].Addr().String())
	return p.untilStopped(ctx, log, s, serving)
}

// welcome says where the pages are, and opens them when that is asked for: signed in, because whoever started the
// program may read all that it keeps.
func (p *Program) welcome(o serveFlags, s *server.Server, authority *server.Authority, address net.Addr) error {
	if !o.browse {
		return p.print(o.protection(authority).welcome(address, o.data, p.qrLines))
	}
	page := "http://" + address.String() + s.Ticket()
	text := "The planner's page: " + page + "\n"
	if o.data != "" {
		text += "Your events are kept in " + o.data + "\n"
	}
	switch at, shut := s.Phones(); {
	case len(at) > 0:
		text += "Phones are let in again, as before: " + at[0] + "\n"
	case shut:
		text += "Phones that were let in before are shut out now: let them in on the page.\n"
	}
	if err := p.print(text); err != nil {
		return err
	}
	if p.Open != nil {
		_ = p.Open(page) // the address is printed
	}
	return nil
}

// untilStopped serves until ctx ends or one of serving does, and closes the server.
func (p *Program) untilStopped(ctx context.Context, log *slog.Logger, s *server.Server, serving []func() error) error {
	served := make(chan error, len(serving))
	for _, serve := range serving {
		go func() { served <- serve() }()
	}
	var err error
	left := len(serving)
	select {
	case err = <-served:
		left--
	case <-ctx.Done():
		log.Info("stopping")
	}
	ended := make(chan error, 1)
	closing, cancel := context.WithTimeout(p.hard, closeTime)
	defer cancel()
	go func() {
		err := s.Close(closing)
		for range left {
			err = errors.Join(err, <-served)
		}
		ended <- err
	}()
	err = errors.Join(err, p.within(closing, ended))
	if err != nil {
		return failed(err)
	}
	return nil
}

// log is where the server writes what operators need.
func (o serveFlags) log(to io.Writer) *slog.Logger {
	how := &slog.HandlerOptions{Level: o.logLevel}
	if o.logJSON {
		return slog.New(slog.NewJSONHandler(to, how))
	}
	return slog.New(slog.NewTextHandler(to, how))
}

// protection is what protects the addresses.
func (o serveFlags) protection(authority *server.Authority) listenOptions {
	return listenOptions{open: o.open, certificate: o.certificate, key: o.key, authority: authority}
}

// listeners open the addresses for calls and for pages; nil for one that is off.
func (p *Program) listeners(ctx context.Context, o serveFlags, authority *server.Authority) (calls, web net.Listener, err error) {
	at := o.protection(authority)
	if o.address != off {
		if calls, err = p.listen(ctx, "--listen", o.address, server.DefaultAddress+", or "+off, at); err != nil {
			return nil, nil, err
		}
	}
	if o.pages != off {
		if web, err = p.listen(ctx, "--http", o.pages, server.DefaultPages+", or "+off, at); err != nil && calls != nil {
			err = errors.Join(err, calls.Close())
		}
	}
	return calls, web, err
}

func closeAll(list []net.Listener) error {
	var err error
	for _, l := range list {
		err = errors.Join(err, l.Close())
	}
	return err
}

// within waits for a server to end, but not for one that does not although its time is over.
func (p *Program) within(closing context.Context, ended <-chan error) error {
	select {
	case err := <-ended:
		return err
	case <-closing.Done():
	}
	select {
	case err := <-ended:
		return err
	case <-time.After(graceTime):
		return errors.New("the server could not end what it was doing, and was left")
	}
}

// graceTime is how long a server that was told to stop at once may take to.
const graceTime = 2 * time.Second

// off is the address that is not opened.
const off = "off"

// abandon closes a server that never served.
func (p *Program) abandon(s *server.Server) error {
	ctx, cancel := context.WithTimeout(p.hard, closeTime)
	defer cancel()
	return s.Close(ctx)
}

// listenOptions are what protects the addresses of a server.
type listenOptions struct {
	certificate, key string            // files; empty for none
	authority        *server.Authority // nil for none
	open             bool              // other machines may come without encryption
}

func (l listenOptions) secure() bool { return l.certificate != "" || l.authority != nil }

// welcome says where the pages are.
func (l listenOptions) welcome(address net.Addr, data string, draw func(string) string) string {
	switch {
	case l.authority != nil:
		return ownTrust(l.authority, filepath.Join(data, server.AuthorityFile), address, draw)
	case l.secure():
		return fmt.Sprintf("The planner's page: https://%s/\n", address)
	}
	return fmt.Sprintf("The planner's page: http://%s/\n", address)
}

// listen listens on the address of a flag.
func (p *Program) listen(ctx context.Context, flag, address, example string, o listenOptions) (net.Listener, error) {
	if _, _, err := net.SplitHostPort(address); err != nil {
		return nil, invalid(fmt.Errorf("%s %s: write host and port, for example %s", flag, address, example))
	}
	var lis net.Listener
	var err error
	if o.open || o.secure() {
		var config net.ListenConfig
		lis, err = config.Listen(ctx, "tcp", address)
	} else {
		lis, err = server.ListenLoopback(ctx, address)
	}
	if errors.Is(err, server.ErrBeyondLoopback) {
		return nil, invalid(fmt.Errorf("%s can be reached from other machines, without encryption: choose 127.0.0.1, give --tls-own or --tls-cert and --tls-key, or add --open-to-network", address))
	}
	if err != nil {
		return nil, failed(err)
	}
	lis = server.LimitConnections(lis)
	switch {
	case o.authority != nil:
		return server.WithOwnTLS(lis, o.authority), nil
	case !o.secure():
		return lis, nil
	}
	encrypted, err := server.WithTLS(lis, o.certificate, o.key)
	if err != nil {
		return nil, invalid(errors.Join(err, lis.Close()))
	}
	return encrypted, nil
}
