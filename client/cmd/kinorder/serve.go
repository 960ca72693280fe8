package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"

	"github.com/spf13/cobra"

	"kinorder.example/server"
)

func (p *Program) serveCommand() *cobra.Command {
	var address, pages string
	var open bool
	c := &cobra.Command{
		Use:   "serve",
		Short: "Run the server and the planner's page",
		Long: `Serve serves the planner's page to browsers and answers gRPC calls (service
kinorder.v1.Planner, with health and reflection) until it is interrupted. It prints the
address of the page. It keeps nothing. The log names no guests.

It listens on this machine only. The connection is not encrypted and asks nobody who they
are; --open-to-network lets other machines in all the same, for a network that you trust.`,
		Example: `  kinorder serve
  kinorder serve --http 127.0.0.1:8080 --listen 127.0.0.1:9000
  kinorder serve --http off`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error { return p.serve(c.Context(), address, pages, open) },
	}
	c.Flags().StringVar(&address, "listen", server.DefaultAddress, "listen on this `ADDR`, host:port; port 0 takes a free one")
	c.Flags().StringVar(&pages, "http", server.DefaultPages, "serve the planner's page on this `ADDR`, host:port; port 0 takes a free one, off serves none")
	c.Flags().BoolVar(&open, "open-to-network", false, "also listen on addresses that other machines can reach, without encryption")
	return c
}

func (p *Program) serve(ctx context.Context, address, pages string, open bool) error {
	lis, err := p.listen(ctx, "--listen", address, server.DefaultAddress, open)
	if err != nil {
		return err
	}
	log := slog.New(slog.NewTextHandler(p.Stderr, nil))
	s, err := server.New(server.Config{Log: log})
	if err != nil {
		return failed(err)
	}
	serving := []func() error{func() error { return s.Serve(lis) }}
	if pages != noPages {
		web, err := p.listen(ctx, "--http", pages, server.DefaultPages+", or "+noPages, open)
		if err != nil {
			return errors.Join(err, lis.Close())
		}
		serving = append(serving, func() error { return s.ServePages(web) })
		if err := p.print(fmt.Sprintf("The planner's page: http://%s/\n", web.Addr())); err != nil {
			return errors.Join(err, lis.Close(), web.Close())
		}
	}
	served := make(chan error, len(serving))
	for _, serve := range serving {
		go func() { served <- serve() }()
	}
	log.Info("listening", "address", lis.Addr().String())
	left := len(serving)
	select {
	case err = <-served:
		left--
	case <-ctx.Done():
		log.Info("stopping")
	}
	closing, cancel := context.WithTimeout(p.hard, closeTime)
	defer cancel()
	err = errors.Join(err, s.Close(closing))
	for range left {
		err = errors.Join(err, <-served)
	}
	if err != nil {
		return failed(err)
	}
	return nil
}

// noPages is the address that serves no page.
const noPages = "off"

// listen listens on the address of a flag.
func (p *Program) listen(ctx context.Context, flag, address, example string, open bool) (net.Listener, error) {
	if _, _, err := net.SplitHostPort(address); err != nil {
		return nil, invalid(fmt.Errorf("%s %s: write host and port, for example %s", flag, address, example))
	}
	if open {
		var config net.ListenConfig
		lis, err := config.Listen(ctx, "tcp", address)
		if err != nil {
			return nil, failed(err)
		}
		return lis, nil
	}
	lis, err := server.ListenLoopback(ctx, address)
	if errors.Is(err, server.ErrBeyondLoopback) {
		return nil, invalid(fmt.Errorf("%s can be reached from other machines, without encryption: choose 127.0.0.1, or add --open-to-network", address))
	}
	if err != nil {
		return nil, failed(err)
	}
	return lis, nil
}
