package server

import (
	"log/slog"
	"net"
	"os"
	"strconv"
	"sync"
	"time"

	"kinorder.example/server/internal/web/kept"
)

// phones lets phones in when somebody says so on the pages, for as long as the server runs.
type phones struct {
	listen func() (net.Listener, *Authority, error)
	serve  func(net.Listener) error
	log    *slog.Logger
	// open is a file that is there while they are let in; empty for none. A program that broke off left it behind.
	open string

	mu        sync.Mutex
	authority *Authority // nil until they are let in
	port      int
}

// Open listens where phones come in.
func (p *phones) Open() error {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.authority != nil {
		return nil
	}
	lis, authority, err := p.listen()
	if err != nil {
		p.log.Error("phones cannot be let in", "error", err)
		return err
	}
	p.authority, p.port = authority, lis.Addr().(*net.TCPAddr).Port
	p.log.Info("phones are let in", "address", lis.Addr().String())
	if p.open != "" {
		if err := os.WriteFile(p.open, nil, 0o600); err != nil {
			p.log.Error("phones will not be let in by themselves", "error", err)
		}
	}
	go func() {
		if err := p.serve(lis); err != nil {
			p.log.Error("phones are not let in any more", "error", err)
			p.mu.Lock()
			defer p.mu.Unlock()
			p.authority = nil
		}
	}()
	return nil
}

// again lets phones in by itself when the program broke off that had let them in, on the same day: nobody at a wedding thinks of it.
func (p *phones) again() {
	if left, err := os.Stat(p.open); err == nil && time.Since(left.ModTime()) < 24*time.Hour {
		_ = p.Open() // what cannot be opened is in the log, and on the page
	}
}

// end says that the program has ended as it should: phones are let in when somebody says so.
func (p *phones) end() { _ = os.Remove(p.open) }

// At are the addresses of this machine in the networks that it is in now.
func (p *phones) At() []string {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.authority == nil {
		return nil
	}
	var out []string
	good, _ := p.authority.Reachable()
	for _, host := range good {
		out = append(out, "https://"+net.JoinHostPort(host, strconv.Itoa(p.port)))
	}
	return out
}

// Authority is what vouches for this machine there.
func (p *phones) Authority() kept.Authority {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.authority == nil {
		return nil
	}
	return p.authority
}
