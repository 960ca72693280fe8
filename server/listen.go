package server

import (
	"bufio"
	"bytes"
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"

	"kinorder.example/server/internal/authority"
)

// Authority vouches for this machine before phones that were told once to trust it.
type Authority = authority.Authority

// AuthorityFile is where a data folder has the authority's certificate, for programs that are to trust it.
const AuthorityFile = authority.PublicName

// OpenAuthority reads the authority that a data folder keeps, or makes one there. Its error names the
// file and says what to do.
func OpenAuthority(folder string) (*Authority, error) {
	return authority.Open(folder, authority.Host{})
}

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
	return encrypted(lis, &tls.Config{Certificates: []tls.Certificate{pair}}), nil
}

// WithOwnTLS encrypts what comes over a listener with certificates that an authority signs for the
// addresses that this machine has at the moment.
func WithOwnTLS(lis net.Listener, a *Authority) net.Listener {
	return encrypted(lis, &tls.Config{GetCertificate: a.Certificate})
}

func encrypted(lis net.Listener, config *tls.Config) net.Listener {
	config.MinVersion = tls.VersionTLS12
	config.NextProtos = []string{"h2", "http/1.1"}
	return tls.NewListener(pointing{lis}, config)
}

// pointing is a listener whose connections answer a browser that came without encryption: somebody
// typed the address and left https out.
type pointing struct{ net.Listener }

func (p pointing) Accept() (net.Conn, error) {
	conn, err := p.Listener.Accept()
	if err != nil {
		return nil, err
	}
	return &pointingConn{Conn: conn}, nil
}

// pointingConn points a request in clear text to the encrypted address.
type pointingConn struct {
	net.Conn
	asked bool
}

// Read passes on what comes. A handshake of TLS begins with the byte 22 (RFC 8446, section 5.1), a
// request of HTTP with a letter.
func (c *pointingConn) Read(b []byte) (int, error) {
	n, err := c.Conn.Read(b)
	if c.asked || n == 0 {
		return n, err
	}
	c.asked = true
	if b[0] < 'A' || b[0] > 'Z' {
		return n, err
	}
	const most = 8 << 10
	rest := io.LimitReader(c.Conn, most)
	r, wrong := http.ReadRequest(bufio.NewReader(io.MultiReader(bytes.NewReader(b[:n]), rest)))
	if wrong == nil && r.Host != "" && r.Method == http.MethodGet {
		_, _ = fmt.Fprintf(c.Conn, "HTTP/1.1 307 Temporary Redirect\r\nLocation: https://%s%s\r\nContent-Length: 0\r\nConnection: close\r\n\r\n", r.Host, r.URL.RequestURI())
	}
	return 0, io.EOF
}
