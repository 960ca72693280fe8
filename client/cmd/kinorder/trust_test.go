package main

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"errors"
	"io"
	"math/big"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A server that vouches for itself: a program that is given its certificate trusts it, and a browser
// that left https out is pointed to the page that explains it.
func TestServeOwnTLS(t *testing.T) {
	folder := t.TempDir()
	server := serveProcess(t, "--listen", "127.0.0.1:0", "--http", "127.0.0.1:0", "--data", folder, "--tls-own")
	defer server.kill(t)
	authority := filepath.Join(folder, "authority.pem")
	_, port, err := net.SplitHostPort(server.address)
	require.NoError(t, err)
	got := run(t, &Program{}, "events", "--server", "https://127.0.0.1:"+port, "--ca-file", authority, "--secret-file", filepath.Join(folder, "studio.key"))
	assert.Equal(t, exitDone, got.code, got.stderr)

	for address, says := range map[string]string{"localhost:": "write https:// before the address", "https://localhost:": "with --ca-file"} {
		got = run(t, &Program{}, "events", "--server", address+port, "--secret-file", filepath.Join(folder, "studio.key"))
		assert.Equal(t, exitFailed, got.code)
		assert.Contains(t, got.stderr, says)
	}

	content, err := os.ReadFile(authority)
	require.NoError(t, err)
	pool := x509.NewCertPool()
	require.True(t, pool.AppendCertsFromPEM(content))
	browser := http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: pool}}}
	defer browser.CloseIdleConnections()
	page := regexp.MustCompile(`https(://\S+)`).FindStringSubmatch(server.said(t))
	require.NotNil(t, page, server.said(t))
	for _, path := range []string{"trust", "trust/kinorder.crt"} {
		r, err := http.NewRequestWithContext(t.Context(), http.MethodGet, "http"+page[1]+path, nil)
		require.NoError(t, err)
		answer, err := browser.Do(r)
		require.NoError(t, err)
		body, err := io.ReadAll(answer.Body)
		require.NoError(t, errors.Join(err, answer.Body.Close()))
		assert.Equal(t, http.StatusOK, answer.StatusCode)
		assert.Equal(t, "https", answer.Request.URL.Scheme)
		if path != "trust" {
			assert.Equal(t, "application/x-x509-ca-cert", answer.Header.Get("Content-Type"))
			c, err := x509.ParseCertificate(body)
			require.NoError(t, err)
			assert.True(t, c.IsCA)
			continue
		}
		_, printed, found := strings.Cut(server.said(t), "fingerprint:\n")
		require.True(t, found, server.said(t))
		for _, group := range strings.Fields(printed)[:4] {
			assert.Contains(t, string(body), group)
		}
	}
}

// A server beyond this machine speaks TLS; a program that is given its certificate trusts it.
func TestServeTLS(t *testing.T) {
	certificate, private := selfMade(t)
	server := serveProcess(t, "--listen", "127.0.0.1:0", "--data", t.TempDir(), "--key-file", file(t, "k", key), "--tls-cert", certificate, "--tls-key", private)
	defer server.kill(t)
	t.Setenv("KINORDER_SECRET", key)
	_, port, err := net.SplitHostPort(server.address)
	require.NoError(t, err)
	got := run(t, &Program{}, "events", "--server", "https://127.0.0.1:"+port, "--ca-file", certificate)
	assert.Equal(t, exitDone, got.code, got.stderr)
	got = run(t, &Program{}, "events", "--server", "https://127.0.0.1:"+port)
	assert.Equal(t, exitFailed, got.code, "a certificate that nobody vouches for")
}

// selfMade makes a certificate for this machine and its key.
func selfMade(t *testing.T) (certificate, private string) {
	t.Helper()
	k, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	require.NoError(t, err)
	template := &x509.Certificate{
		SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: "test"}, NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour),
		IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)}, IsCA: true, BasicConstraintsValid: true,
	}
	der, err := x509.CreateCertificate(rand.Reader, template, template, &k.PublicKey, k)
	require.NoError(t, err)
	secret, err := x509.MarshalPKCS8PrivateKey(k)
	require.NoError(t, err)
	certificate = file(t, "cert.pem", string(pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: der})))
	private = file(t, "key.pem", string(pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: secret})))
	return certificate, private
}
