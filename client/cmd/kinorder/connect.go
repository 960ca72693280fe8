package main

import (
	"context"
	"errors"
	"net"
	"runtime"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/test/bufconn"

	"kinorder.example/client"
	"kinorder.example/server"
)

// connect returns a client of the server at an address, or of a server of its own inside this
// process when there is none. Both go through the same calls.
func (p *Program) connect(address string) (*client.Client, error) {
	if p.address = address; address != "" {
		c, err := client.Dial(address)
		if err != nil {
			return nil, invalid(err)
		}
		p.closers = append(p.closers, c.Close)
		return c, nil
	}
	return p.embed()
}

// embed starts a server on an in-memory listener. It searches for one caller only, with all cores.
func (p *Program) embed() (*client.Client, error) {
	s, err := server.New(server.Config{Solves: 1, Queue: 1, Workers: runtime.GOMAXPROCS(0)})
	if err != nil {
		return nil, failed(err)
	}
	lis := bufconn.Listen(1 << 20)
	served := make(chan error, 1)
	go func() { served <- s.Serve(lis) }()
	p.closers = append(p.closers, func() error {
		ctx, cancel := context.WithTimeout(context.Background(), closeTime)
		defer cancel()
		return errors.Join(s.Close(ctx), <-served)
	})
	conn, err := grpc.NewClient("passthrough:///embedded",
		grpc.WithContextDialer(func(ctx context.Context, _ string) (net.Conn, error) { return lis.DialContext(ctx) }),
		grpc.WithTransportCredentials(insecure.NewCredentials()))
	if err != nil {
		return nil, failed(err)
	}
	p.closers = append(p.closers, conn.Close)
	return client.New(conn), nil
}

// closeTime is how long a server may take to answer the calls under way.
const closeTime = 10 * time.Second
