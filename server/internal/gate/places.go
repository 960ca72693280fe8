package gate

import (
	"net/netip"
	"strings"
	"sync"
)

// Places counts who is being served, so that nobody takes the places of all others. The zero value is
// ready, and safe for use by several goroutines.
type Places struct {
	mu    sync.Mutex
	taken map[string]int
}

// Share is how many places there are at once for those who have something in common.
type Share struct {
	Of   string // such as a link, or an address
	Most int
}

// How many watch runs at once. One link may be that of all guests, and one address that of all phones behind a router,
// but leads have the rest for themselves.
const (
	MostWatching          = 400
	mostWatchingOfReaders = 300
	mostWatchingOfOne     = 200
)

// Watching are the shares of somebody with a link, or none for the studio itself, from an address, who watches a run.
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

// From is where a call comes from, as callers are counted: an IPv4 address, or the /64 of an IPv6 address,
// of which one machine can have as many as it likes. A proxy on this machine says it in the header
// X-Forwarded-For, whose last entry is the proxy's own; from elsewhere it is not believed.
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
	network, _ := ip.WithZone("").Prefix(64) // an IPv6 address has so many bits
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
