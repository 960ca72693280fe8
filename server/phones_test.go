package server

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"errors"
	"log/slog"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Phones are let in once, encrypted, until the server ends; what cannot be opened can be tried again.
func TestPhonesAreLetIn(t *testing.T) {
	folder := t.TempDir()
	s, err := New(Config{Data: folder, StudioKey: "a-studio-key-of-32-characters-00"})
	require.NoError(t, err)
	var opened []net.Listener
	failing := true
	listen := func() (net.Listener, *Authority, error) {
		if failing {
			return nil, nil, errors.New("no such network")
		}
		a, err := OpenAuthority(folder)
		if err != nil {
			return nil, nil, err
		}
		lis, err := new(net.ListenConfig).Listen(t.Context(), "tcp", "127.0.0.1:0")
		opened = append(opened, lis)
		return WithOwnTLS(lis, a), a, err
	}
	p := &phones{serve: s.ServePages, log: slog.New(slog.DiscardHandler), listen: listen, open: filepath.Join(folder, "open")}
	p.again()
	assert.Empty(t, opened, "nobody has let them in")
	require.Error(t, p.Open())
	assert.Empty(t, p.At())
	assert.Nil(t, p.Authority())
	failing = false
	require.NoError(t, p.Open())
	require.NoError(t, p.Open())
	require.Len(t, opened, 1)
	assert.NotEmpty(t, p.Authority().Fingerprint())
	after := &phones{serve: p.serve, log: p.log, listen: listen, open: p.open}
	after.again()
	require.Len(t, opened, 2, "a program that broke off")
	long := time.Now().Add(-25 * time.Hour)
	require.NoError(t, os.Chtimes(p.open, long, long))
	(&phones{serve: p.serve, log: p.log, listen: listen, open: p.open}).again()
	p.end()
	(&phones{serve: p.serve, log: p.log, listen: listen, open: p.open}).again()
	require.Len(t, opened, 2, "neither on another day nor when it was ended")

	pem, err := os.ReadFile(filepath.Join(folder, AuthorityFile))
	require.NoError(t, err)
	pool := x509.NewCertPool()
	require.True(t, pool.AppendCertsFromPEM(pem))
	phone := http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: pool}}}
	got, err := phone.Get("https://" + opened[0].Addr().String() + "/day/")
	require.NoError(t, err)
	require.NoError(t, got.Body.Close())
	assert.Equal(t, http.StatusOK, got.StatusCode)
	phone.CloseIdleConnections()
	ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
	defer cancel()
	require.NoError(t, s.Close(ctx))
	_, err = phone.Get("https://" + opened[0].Addr().String() + "/day/")
	require.Error(t, err)
}
