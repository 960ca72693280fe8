package server

import (
	"crypto/tls"
	"encoding/pem"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/authority"
	"kinorder.example/server/internal/planning"
)

// The pages answer at addresses, at the names of the machine and at those that are given; a stranger's name,
// which can be made to point here, gets nothing.
func TestHostsOfStrangers(t *testing.T) {
	s, err := newServer(Config{Data: t.TempDir(), StudioKey: studioKey, Hosts: []string{"Photos.example", "*.studio.example"}}, planning.Plan)
	require.NoError(t, err)
	defer func() { assert.NoError(t, s.Close(t.Context())) }()
	names := authority.LocalNames()
	own := names[len(names)-1]
	for host, ok := range map[string]bool{
		"localhost:7466": true, "127.0.0.1:7466": true, "[::1]:7466": true, "[fe80::1%eth0]:7466": true, "192.168.7.20": true, "": true,
		own + ":7466": true, strings.ToUpper(own) + ".": true, "photos.example": true, "a.studio.example": true, "a.b.studio.example": false, "studio.example": false, "PHOTOS.example:443": true,
		"evil.example": false, "evil.photos.example": false, "photos.example.evil.example:7466": false, "other.local": false,
		"127.0.0.1.evil.example": false, "localhost.evil.example": false,
	} {
		for _, path := range []string{"/", "/trust", "/day/", "/day/live"} {
			r := httptest.NewRequest(http.MethodGet, path, nil)
			r.Host = host
			r.Header.Set("X-Forwarded-Host", "localhost") // what a script may say
			w := httptest.NewRecorder()
			s.pages.Handler().ServeHTTP(w, r)
			assert.Equal(t, !ok, w.Code == http.StatusMisdirectedRequest, "%s%s: %d", host, path, w.Code)
			if !ok {
				assert.Contains(t, w.Body.String(), "--host")
				assert.Contains(t, w.Header().Get("Content-Security-Policy"), "default-src 'none'")
			}
		}
	}
	for _, bad := range []string{"https://photos.example", "photos.example:443", "a.*.example", "-x", ""} {
		_, err := newServer(Config{Hosts: []string{bad}}, planning.Plan)
		assert.ErrorContains(t, err, "write the name alone", bad)
	}
}

func TestCertificateHosts(t *testing.T) {
	a, err := OpenAuthority(t.TempDir())
	require.NoError(t, err)
	signed, err := a.Certificate(&tls.ClientHelloInfo{Conn: &net.TCPConn{}})
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "cert.pem")
	require.NoError(t, os.WriteFile(file, pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: signed.Certificate[0]}), 0o600))
	names, err := CertificateHosts(file)
	require.NoError(t, err)
	assert.Equal(t, authority.LocalNames(), names)
	require.NoError(t, os.WriteFile(file, []byte("scrap"), 0o600))
	_, err = CertificateHosts(file)
	assert.ErrorContains(t, err, file+" holds no certificate")
}
