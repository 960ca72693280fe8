package server

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"encoding/json"
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
	p := &phones{serve: s.ServePages, log: slog.New(slog.DiscardHandler), listen: listen, file: filepath.Join(folder, "open")}
	here := func() []string {
		l, _ := p.before()
		return l.Hosts
	}
	p.again(here)
	assert.Empty(t, opened, "nobody has let them in")
	require.Error(t, p.Open())
	assert.Empty(t, p.At())
	assert.Nil(t, p.Authority())
	failing = false
	require.NoError(t, p.Open())
	require.NoError(t, p.Open())
	require.Len(t, opened, 1)
	assert.NotEmpty(t, p.Authority().Fingerprint())
	after := &phones{serve: p.serve, log: p.log, listen: listen, file: p.file}
	after.again(here)
	require.Len(t, opened, 2, "a program that broke off")
	p.end()
	(&phones{serve: p.serve, log: p.log, listen: listen, file: p.file}).again(here)
	require.Len(t, opened, 2, "it was ended")

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

// After the server was killed and started again in the same network, the phones of that day get in without a press; in another
// network, and on another day, they don't.
func TestPhonesComeBack(t *testing.T) {
	folder := t.TempDir()
	opened := 0
	start := func() *phones {
		return &phones{
			file: filepath.Join(folder, "phones.json"), log: slog.New(slog.DiscardHandler),
			serve: func(net.Listener) error { return nil },
			listen: func() (net.Listener, *Authority, error) {
				a, err := OpenAuthority(folder)
				require.NoError(t, err)
				lis, err := new(net.ListenConfig).Listen(t.Context(), "tcp", "127.0.0.1:0")
				t.Cleanup(func() { _ = lis.Close() })
				opened++
				return lis, a, err
			},
		}
	}
	first := start()
	at := func(hosts ...string) func() []string { return func() []string { return hosts } }
	first.again(at("192.168.7.20"))
	assert.False(t, first.Shut(), "nobody was let in yet")
	require.NoError(t, first.Open())
	assert.False(t, first.Shut())
	write := func(then time.Time) {
		raw, err := json.Marshal(letIn{then, []string{"192.168.7.20"}})
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(first.file, raw, 0o600))
	}
	assert.FileExists(t, first.file)
	write(time.Now().Add(-3 * time.Hour))

	elsewhere := start()
	elsewhere.again(at("10.0.0.4"))
	assert.Equal(t, 1, opened)
	assert.True(t, elsewhere.Shut(), "somebody has to say so")

	again := start()
	again.again(at("fd00::2", "192.168.7.20"))
	assert.Equal(t, 2, opened)
	assert.False(t, again.Shut())

	write(time.Now().Add(-20 * time.Hour))
	later := start()
	later.again(at("192.168.7.20"))
	assert.Equal(t, 2, opened)
	assert.False(t, later.Shut(), "that day is over")
}
