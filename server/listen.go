package server

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"net"
)

// ErrBeyondLoopback says that an address can be reached from other machines. The connection is not
// encrypted and asks nobody who they are, and guest lists hold names, ages and needs.
var ErrBeyondLoopback = errors.New("the address can be reached from other machines")

// ListenLoopback listens on a TCP address of this machine that no other machine can reach. Its error
// is ErrBeyondLoopback for any other address.
func ListenLoopback(ctx context.Context, address string) (net.Listener, error) {
	host, _, err := net.SplitHostPort(address)
	if err != nil {
		return nil, fmt.Errorf("server: %w", err)
	}
	if ip := net.ParseIP(host); host == "" || ip != nil && !ip.IsLoopback() {
		return nil, ErrBeyondLoopback
	}
	var listen net.ListenConfig
	lis, err := listen.Listen(ctx, "tcp", address)
	if err != nil {
		return nil, fmt.Errorf("server: %w", err)
	}
	// Asked of the listener and not of the name: a name may stand for any address.
	if tcp, ok := lis.Addr().(*net.TCPAddr); !ok || !tcp.IP.IsLoopback() {
		_ = lis.Close() // nothing was accepted
		return nil, ErrBeyondLoopback
	}
	return lis, nil
}

// WithTLS encrypts what comes over a listener with a certificate and its key, both files in PEM form.
// Its error says which file is at fault.
func WithTLS(lis net.Listener, certificate, key string) (net.Listener, error) {
	pair, err := tls.LoadX509KeyPair(certificate, key)
	if err != nil {
		return nil, fmt.Errorf("server: the certificate %s and its key %s cannot be used: %w", certificate, key, err)
	}
	return tls.NewListener(lis, &tls.Config{
		Certificates: []tls.Certificate{pair},
		MinVersion:   tls.VersionTLS12,
		NextProtos:   []string{"h2", "http/1.1"},
	}), nil
}
