package gate

import (
	"errors"
	"net/netip"
	"strings"
	"sync"
)

// Places counts who is being served, so that no caller can take all places. The zero value is ready to use,
// and safe for use by several goroutines.
type Places struct {
	mu    sync.Mutex
	taken map[string]int
}

// Share limits the places for callers who have something in common.
type Share struct {
	Of   string // such as a link, or an address
	Most int
}

// How many may watch runs at once. All guests may share one link, and all phones behind a router one address, so
// readers can use only part of the places: the rest are kept for leads.
const (
	MostWatching          = 400
	mostWatchingOfReaders = 300
	mostWatchingOfOne     = 200
)

// ErrWatched says that no place is left in a share of those who watch runs.
var ErrWatched = errors.New("as many watch runs as may at once, with this link, from this address or in all")

// Watching returns the shares that somebody who watches a run counts against. link is empty for the studio itself.
func Watching(link, from string, reads bool) []Share {
	shares := []Share{{Of: "link " + link, Most: mostWatchingOfOne}, {Of: "all", Most: MostWatching}}
	if reads {
		shares = append(shares, Share{Of: "from " + from, Most: mostWatchingOfOne}, Share{Of: "readers", Most: mostWatchingOfReaders})
	}
	return shares
}

// Take takes a place in every share, or in none when one of them is full. Take never blocks; call leave to
// give the places back.
func (p *Places) Take(shares ...Share) (leave func(), ok bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, s := range shares {
		if p.taken[s.Of] >= s.Most {
			return nil, false
		}
	}
	if p.taken == nil {
		p.taken = map[string]int{}
	}
	for _, s := range shares {
		p.taken[s.Of]++
	}
	return func() {
		p.mu.Lock()
		defer p.mu.Unlock()
		for _, s := range shares {
			if p.taken[s.Of]--; p.taken[s.Of] == 0 {
				delete(p.taken, s.Of)
			}
		}
	}, true
}

// From identifies a caller for counting: an IPv4 address, or the /64 of an IPv6 address, since one machine can use
// any number of addresses in a /64. Only a proxy on this machine is believed about X-Forwarded-For, of which the
// last entry is the proxy's own.
func From(remote, forwarded string) string {
	ip, err := address(remote)
	if err != nil {
		return remote
	}
	if ip.IsLoopback() {
		if client, err := address(strings.TrimSpace(forwarded[strings.LastIndex(forwarded, ",")+1:])); err == nil {
			ip = client
		}
	}
	if ip.Is4() {
		return ip.String()
	}
	network, _ := ip.WithZone("").Prefix(64) // never fails: an IPv6 address has 128 bits
	return network.String()
}

// address reads an address with or without a port.
func address(text string) (netip.Addr, error) {
	if at, err := netip.ParseAddrPort(text); err == nil {
		return at.Addr().Unmap(), nil
	}
	ip, err := netip.ParseAddr(text)
	return ip.Unmap(), err
}
