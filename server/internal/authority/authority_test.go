package authority

import (
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"io"
	"net"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var made = time.Date(2026, 6, 20, 12, 0, 0, 0, time.UTC)

// machine is a host whose addresses and clock a test can change.
type machine struct {
	name      string
	addresses []string
	now       time.Time
}

func (m *machine) host() Host {
	return Host{
		Name: func() (string, error) { return m.name, nil },
		Addresses: func() ([]net.Addr, error) {
			var out []net.Addr
			for _, a := range m.addresses {
				out = append(out, &net.IPNet{IP: net.ParseIP(a)})
			}
			return out, nil
		},
		Now: func() time.Time { return m.now },
	}
}

// from is a connection that came in at an address of the machine.
type from struct {
	net.Conn
	at net.IP
}

func (f from) LocalAddr() net.Addr { return &net.TCPAddr{IP: f.at} }

func hello(at string) *tls.ClientHelloInfo {
	return &tls.ClientHelloInfo{Conn: from{at: net.ParseIP(at)}}
}

// verified checks what was signed as a client does (RFC 5280, section 6, by crypto/x509).
func verified(t *testing.T, a *Authority, m *machine, signed *tls.Certificate, name string) error {
	t.Helper()
	pool := x509.NewCertPool()
	require.True(t, pool.AppendCertsFromPEM(a.PEM()))
	_, err := signed.Leaf.Verify(x509.VerifyOptions{Roots: pool, DNSName: name, CurrentTime: m.now})
	return err
}

func TestCertificate(t *testing.T) {
	m := &machine{name: "Studio-Laptop", addresses: []string{"127.0.0.1", "192.168.7.20", "203.0.113.9", "fe80::1"}, now: made}
	a, err := Open(t.TempDir(), m.host())
	require.NoError(t, err)
	signed, err := a.Certificate(hello("192.168.7.20"))
	require.NoError(t, err)
	for _, name := range []string{"192.168.7.20", "127.0.0.1", "::1", "localhost", "studio-laptop.local"} {
		assert.NoError(t, verified(t, a, m, signed, name), name)
	}
	for _, name := range []string{"203.0.113.9", "192.168.7.21", "example.com", "studio-laptop"} {
		assert.Error(t, verified(t, a, m, signed, name), name)
	}
	lasts := signed.Leaf.NotAfter.Sub(signed.Leaf.NotBefore)
	assert.LessOrEqual(t, lasts, 825*24*time.Hour, "the longest that phones accept, from memory")

	again, err := a.Certificate(hello("127.0.0.1"))
	require.NoError(t, err)
	assert.Same(t, signed, again, "nothing has changed")

	m.addresses = append(m.addresses, "10.1.2.3")
	moved, err := a.Certificate(hello("10.1.2.3"))
	require.NoError(t, err)
	assert.NoError(t, verified(t, a, m, moved, "10.1.2.3"), "another venue, another network")

	m.now = m.now.Add(29*24*time.Hour + time.Hour)
	later, err := a.Certificate(hello("10.1.2.3"))
	require.NoError(t, err)
	assert.NoError(t, verified(t, a, m, later, "10.1.2.3"), "renewed before it ends")
	assert.NotSame(t, moved, later)
}

// A phone that trusts the authority must not thereby trust it with other people's servers, whatever
// somebody who took the key signs and whatever the machine is called.
func TestConstraints(t *testing.T) {
	for name, site := range map[string]string{
		"studio": "www.example.studio", "dev": "accounts.dev", "com": "www.example.com", "example.com": "www.example.com", "laptop": "laptop",
	} {
		m := &machine{name: name, addresses: []string{"192.168.7.20"}, now: made}
		a, err := Open(t.TempDir(), m.host())
		require.NoError(t, err)
		err = verified(t, a, m, forged(t, a, m, site), site)
		var invalid x509.CertificateInvalidError
		require.ErrorAs(t, err, &invalid, name)
		assert.Equal(t, x509.CANotAuthorizedForThisName, invalid.Reason, name)
		assert.NoError(t, verified(t, a, m, forged(t, a, m, "other.local"), "other.local"), "what it may vouch for")
	}
}

// forged is what somebody who took the key of an authority can sign.
func forged(t *testing.T, a *Authority, m *machine, name string) *tls.Certificate {
	t.Helper()
	template := &x509.Certificate{
		SerialNumber: serial(), NotBefore: m.now.Add(-early), NotAfter: m.now.Add(signedTime), DNSNames: []string{name},
		ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
	}
	der, err := x509.CreateCertificate(rand.Reader, template, a.certificate, a.key.Public(), a.key)
	require.NoError(t, err)
	leaf, err := x509.ParseCertificate(der)
	require.NoError(t, err)
	return &tls.Certificate{Certificate: [][]byte{der}, Leaf: leaf}
}

// An authority of a version that let it vouch for the machine's bare name is not used any more.
func TestOpenRefusesWhatMayVouchForTooMuch(t *testing.T) {
	folder := t.TempDir()
	m := &machine{name: "studio", now: made}
	old := template(m.host())
	old.PermittedDNSDomains = []string{"localhost", "local", "studio"}
	require.NoError(t, create(filepath.Join(folder, privateName), old))
	_, err := Open(folder, m.host())
	require.ErrorContains(t, err, privateName)
	require.ErrorContains(t, err, `whose name ends in "studio"; move it away`)
	require.ErrorContains(t, err, "remove the old one from them")
	require.NoError(t, os.Rename(filepath.Join(folder, privateName), filepath.Join(folder, "old")))
	_, err = Open(folder, m.host())
	require.NoError(t, err)
}

func TestOpenAgain(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "data")
	m := &machine{name: "studio", now: made}
	var wait sync.WaitGroup
	prints := make([][]string, 8)
	for i := range prints {
		wait.Go(func() {
			if a, err := Open(folder, m.host()); assert.NoError(t, err) {
				prints[i] = a.Fingerprint()
			}
		})
	}
	wait.Wait()
	for _, p := range prints {
		assert.Equal(t, prints[0], p, "servers that start together share one authority")
	}
	assert.Len(t, strings.Split(strings.Join(prints[0], ":"), ":"), 32)
	private, err := os.Stat(filepath.Join(folder, privateName))
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o600), private.Mode().Perm())
	public, err := os.ReadFile(filepath.Join(folder, PublicName))
	require.NoError(t, err)
	assert.NotContains(t, string(public), "PRIVATE")
	files, err := os.ReadDir(folder)
	require.NoError(t, err)
	assert.Len(t, files, 2, "no temporary file is left")

	m.name = "other" // the folder was carried to another machine
	a, err := Open(folder, m.host())
	require.NoError(t, err)
	assert.Equal(t, prints[0], a.Fingerprint())
	signed, err := a.Certificate(hello("192.168.7.20"))
	require.NoError(t, err)
	assert.NoError(t, verified(t, a, m, signed, "192.168.7.20"))
	assert.NoError(t, verified(t, a, m, signed, "other.local"))

	m.now = made.Add(authorityTime)
	_, err = Open(folder, m.host())
	assert.ErrorContains(t, err, "it ends on 2031-06-19; move it away")
	require.NoError(t, os.WriteFile(filepath.Join(folder, privateName), []byte("scrap"), 0o600))
	_, err = Open(folder, m.host())
	assert.ErrorContains(t, err, privateName)
}

func TestNames(t *testing.T) {
	for name, want := range map[string]string{
		"Studio.local": "studio", "studio.": "studio", "": "localhost", "a b": "localhost", "stúdio": "localhost", "*.example": "localhost", "a..b": "a",
		"Laptop.example.com": "laptop", ".local": "localhost",
	} {
		assert.Equal(t, want, (&machine{name: name}).host().name(), name)
	}
}

func TestReachable(t *testing.T) {
	m := &machine{name: "studio", addresses: []string{"127.0.0.1", "fd00::7", "192.168.7.20", "203.0.113.9", "fe80::1"}, now: made}
	a, err := Open(t.TempDir(), m.host())
	require.NoError(t, err)
	good, outside := a.Reachable()
	assert.Equal(t, []string{"192.168.7.20", "fd00::7", "studio.local"}, good)
	assert.Equal(t, []string{"203.0.113.9"}, outside)
}

// The whole way: a client that trusts the authority talks to a server that it signs for.
func TestHandshake(t *testing.T) {
	a, err := Open(t.TempDir(), Host{})
	require.NoError(t, err)
	lis, err := tls.Listen("tcp", "127.0.0.1:0", &tls.Config{GetCertificate: a.Certificate})
	require.NoError(t, err)
	defer lis.Close()
	go func() {
		if conn, err := lis.Accept(); err == nil {
			_, _ = conn.Write([]byte("hello"))
			_ = conn.Close()
		}
	}()
	pool := x509.NewCertPool()
	require.True(t, pool.AppendCertsFromPEM(a.PEM()))
	conn, err := tls.Dial("tcp", lis.Addr().String(), &tls.Config{RootCAs: pool})
	require.NoError(t, err)
	said, err := io.ReadAll(conn)
	require.NoError(t, err)
	assert.Equal(t, "hello", string(said))
}
