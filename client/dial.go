package client

import (
	"crypto/tls"
	"fmt"
	"net"
	"strings"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/backoff"
	"google.golang.org/grpc/credentials"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/keepalive"
	"google.golang.org/grpc/resolver"
	"google.golang.org/grpc/resolver/manual"
)

// alive finds out within half a minute that a connection in use is dead, as when a laptop changes its
// network: without it a call waits for as long as the system believes in the connection, which is hours.
var alive = keepalive.ClientParameters{Time: 20 * time.Second, Timeout: 10 * time.Second}

// reconnect tries to connect at least every five seconds: on the day somebody waits for it.
var reconnect = grpc.ConnectParams{
	Backoff:           backoff.Config{BaseDelay: 200 * time.Millisecond, Multiplier: 1.6, Jitter: 0.2, MaxDelay: 5 * time.Second},
	MinConnectTimeout: 10 * time.Second,
}

// Dial returns a client of the server at an address: host:port, or the same after "http://" for a
// connection without encryption or "https://" for one with TLS. Without either, a loopback host is
// called without encryption and any other with TLS, trusting the machine's certificate authorities.
// Several addresses of servers on one database are separated by commas; the client uses one of them, and
// another when it cannot be reached. Options come last and so win. Dial does not wait for the server; the
// first call does.
func Dial(addresses string, options ...grpc.DialOption) (*Client, error) {
	targets, transport, err := parse(addresses)
	if err != nil {
		return nil, err
	}
	ours := []grpc.DialOption{grpc.WithTransportCredentials(transport), grpc.WithKeepaliveParams(alive), grpc.WithConnectParams(reconnect)}
	target := targets[0]
	if len(targets) > 1 {
		several := manual.NewBuilderWithScheme("kinorder")
		var state resolver.State
		for _, t := range targets {
			state.Addresses = append(state.Addresses, resolver.Address{Addr: t, ServerName: t})
		}
		several.InitialState(state)
		ours = append(ours, grpc.WithResolvers(several))
		target = "kinorder:///" + targets[0]
	}
	conn, err := grpc.NewClient(target, append(ours, options...)...)
	if err != nil {
		return nil, fmt.Errorf("client: %w", err)
	}
	c := New(conn)
	c.closer = conn
	return c, nil
}

// parse reads addresses. Either all of them are encrypted or none is.
func parse(addresses string) (targets []string, transport credentials.TransportCredentials, err error) {
	encrypted := 0
	for address := range strings.SplitSeq(addresses, ",") {
		address = strings.TrimSpace(address)
		rest, plain := strings.CutPrefix(address, "http://")
		rest, secure := strings.CutPrefix(rest, "https://")
		host, port, err := net.SplitHostPort(rest)
		if err != nil || host == "" || port == "" || plain && secure {
			return nil, nil, fmt.Errorf("the address %q cannot be read: write host and port, for example localhost:7465 or https://studio.example:443", address)
		}
		if ip := net.ParseIP(host); !plain && (secure || host != "localhost" && (ip == nil || !ip.IsLoopback())) {
			encrypted++
		}
		targets = append(targets, rest)
	}
	switch encrypted {
	case 0:
		return targets, insecure.NewCredentials(), nil
	case len(targets):
		return targets, credentials.NewTLS(&tls.Config{MinVersion: tls.VersionTLS12}), nil
	}
	return nil, nil, fmt.Errorf("of the addresses %q some would be called with encryption and some without: write https:// or http:// before each", addresses)
}
