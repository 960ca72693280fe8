package server

import (
	"encoding/json"
	"log/slog"
	"net"
	"os"
	"slices"
	"strconv"
	"sync"
	"time"

	"kinorder.example/server/internal/web/kept"
)

// phones lets phones in when somebody says so on the pages, for as long as the server runs, and again when it is started
// anew after it broke off on the same day, in the same network.
type phones struct {
	listen func() (net.Listener, *Authority, error)
	serve  func(net.Listener) error
	log    *slog.Logger
	// file is there while they are let in, with where; a program that broke off left it behind.
	file string

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
	p.keep(authority)
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

// letIn is when phones were let in, and the addresses of this machine then.
type letIn struct {
	At    time.Time
	Hosts []string
}

// dayLasts is how long after phones were let in a day may still run.
const dayLasts = 16 * time.Hour

// keep notes that phones are let in. Without the note they have to be let in by hand after the next start.
func (p *phones) keep(a *Authority) {
	hosts, _ := a.Reachable()
	raw, err := json.Marshal(letIn{time.Now(), hosts})
	if err == nil {
		err = os.WriteFile(p.file, raw, 0o600)
	}
	if err != nil {
		p.log.Warn("that phones are let in is not kept", "error", err)
	}
}

// before is how phones were let in before, if that was for a day that may still run.
func (p *phones) before() (letIn, bool) {
	var l letIn
	raw, err := os.ReadFile(p.file)
	if err != nil || json.Unmarshal(raw, &l) != nil {
		return letIn{}, false
	}
	return l, time.Since(l.At) < dayLasts
}

// again lets phones in by itself when the program broke off that had let them in, on the same day and where this machine has an
// address that it had then: nobody at a wedding thinks of it, and in another network nobody has said so.
func (p *phones) again(addresses func() []string) {
	l, lately := p.before()
	if !lately {
		return
	}
	here := addresses()
	if slices.ContainsFunc(l.Hosts, func(host string) bool { return slices.Contains(here, host) }) {
		_ = p.Open() // what cannot be opened is in the log, and on the pages
	}
}

// end says that the program has ended as it should: phones are let in when somebody says so.
func (p *phones) end() { _ = os.Remove(p.file) }

// Shut says that phones of a day that may still run were let in before the server was started, and are not any more.
func (p *phones) Shut() bool {
	p.mu.Lock()
	open := p.authority != nil
	p.mu.Unlock()
	_, lately := p.before()
	return lately && !open
}

// addresses are those of this machine at which phones would come in.
func (s *Server) addresses() []string {
	a, err := OpenAuthority(s.config.Data)
	if err != nil {
		return nil
	}
	good, _ := a.Reachable()
	return good
}

// Phones says where phones come in that were let in before the program broke off; shut, that somebody has to say so again.
func (s *Server) Phones() (at []string, shut bool) {
	if s.phones == nil {
		return nil, false
	}
	return s.phones.At(), s.phones.Shut()
}

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
