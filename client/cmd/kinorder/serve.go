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
	var address string
	var open bool
	c := &cobra.Command{
		Use:   "serve",
		Short: "Run the server",
		Long: `Serve answers gRPC calls (service kinorder.v1.Planner, with health and reflection) until
it is interrupted. It keeps nothing. The log names no guests.

It listens on this machine only. The connection is not encrypted and asks nobody who they
are; --open-to-network lets other machines in all the same, for a network that you trust.`,
		Example: `  kinorder serve
  kinorder serve --listen 127.0.0.1:9000`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error { return p.serve(c.Context(), address, open) },
	}
	c.Flags().StringVar(&address, "listen", server.DefaultAddress, "listen on this `ADDR`, host:port; port 0 takes a free one")
	c.Flags().BoolVar(&open, "open-to-network", false, "also listen on addresses that other machines can reach, without encryption")
	return c
}

func (p *Program) serve(ctx context.Context, address string, open bool) error {
	lis, err := p.listen(ctx, address, open)
	if err != nil {
		return err
	}
	log := slog.New(slog.NewTextHandler(p.Stderr, nil))
	s, err := server.New(server.Config{Log: log})
	if err != nil {
		return failed(err)
	}
	served := make(chan error, 1)
	go func() { served <- s.Serve(lis) }()
	log.Info("listening", "address", lis.Addr().String())
	select {
	case err := <-served:
		return failed(err)
	case <-ctx.Done():
	}
	log.Info("stopping")
	closing, cancel := context.WithTimeout(p.hard, closeTime)
	defer cancel()
	if err := errors.Join(s.Close(closing), <-served); err != nil {
		return failed(err)
	}
	return nil
}

func (p *Program) listen(ctx context.Context, address string, open bool) (net.Listener, error) {
	if _, _, err := net.SplitHostPort(address); err != nil {
		return nil, invalid(fmt.Errorf("--listen %s: write host and port, for example %s", address, server.DefaultAddress))
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
