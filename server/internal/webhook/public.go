package webhook

import (
	"context"
	"errors"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"syscall"
	"time"
)

// errPrivate says that an address is not on the public internet.
var errPrivate = errors.New("the address is in a network that is not public, and this server may not reach those")

// maxAddress is how long an address may be.
const maxAddress = 1000

// Check says why nothing can be sent to an address; nil when it can. Where its name leads is looked at when it is sent,
// because that may change.
func Check(address string, private bool) error {
	u, err := url.Parse(address)
	switch {
	case err != nil, len(address) > maxAddress, u.Hostname() == "", u.Scheme != "https" && u.Scheme != "http":
		return errors.New("is no address: write it as https://studio.example/told")
	case u.Scheme == "http" && !private:
		return errors.New("is without encryption: begin it with https://")
	case u.User != nil:
		return errors.New("has a name or password in it: what is sent is signed, look at that instead")
	case u.Fragment != "":
		return errors.New("has a part behind #, which is not sent: leave it out")
	}
	if ip, err := netip.ParseAddr(u.Hostname()); err == nil && !private && !public(ip) {
		return errors.New("is in a network that is not public, and this server may not reach those")
	}
	return nil
}

// notPublic are networks that belong to nobody on the internet, beside those that package netip knows: this network,
// carriers' own (RFC 6598), protocol assignments, documentation, benchmarks, relays, reserved; and the ways in which IPv6
// addresses hold IPv4 ones, which lead to such networks by another name.
var notPublic = prefixes("0.0.0.0/8", "100.64.0.0/10", "192.0.0.0/24", "192.0.2.0/24", "192.88.99.0/24", "198.18.0.0/15", "198.51.100.0/24",
	"203.0.113.0/24", "240.0.0.0/4", "::/96", "64:ff9b::/96", "64:ff9b:1::/48", "100::/64", "2001::/23", "2001:db8::/32", "2002::/16", "3fff::/20", "5f00::/16", "fec0::/10")

func prefixes(texts ...string) []netip.Prefix {
	var out []netip.Prefix
	for _, text := range texts {
		out = append(out, netip.MustParsePrefix(text))
	}
	return out
}

// public says whether an address is one of the internet.
func public(ip netip.Addr) bool {
	ip = ip.Unmap().WithZone("")
	if !ip.IsGlobalUnicast() || ip.IsPrivate() {
		return false
	}
	for _, p := range notPublic {
		if p.Contains(ip) {
			return false
		}
	}
	return true
}

// clientOf sends what is told. It follows nobody elsewhere, and looks at each address once its name is resolved, so that
// no name leads it to a place where it may not go.
func clientOf(private bool) *http.Client {
	dialer := &net.Dialer{Timeout: sendTime}
	if !private {
		dialer.ControlContext = func(_ context.Context, _, address string, _ syscall.RawConn) error {
			if at, err := netip.ParseAddrPort(address); err != nil || !public(at.Addr()) {
				return errPrivate
			}
			return nil
		}
	}
	return &http.Client{
		// Without a proxy: it would look up names by itself.
		Transport: &http.Transport{
			DialContext: dialer.DialContext, TLSHandshakeTimeout: sendTime, ForceAttemptHTTP2: true,
			MaxIdleConns: atOnce, IdleConnTimeout: time.Minute, MaxResponseHeaderBytes: 64 << 10,
		},
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
	}
}
