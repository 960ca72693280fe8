package authority

import (
	"crypto/x509"
	"net"
	"slices"
	"strings"
)

// privateRanges are the addresses that no machine outside the local network has: loopback, link-local,
// private use (RFC 1918, RFC 4193) and those that a provider shares among its customers (RFC 6598),
// which some telephones give to what is tethered to them.
var privateRanges = ranges("127.0.0.0/8", "10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16",
	"169.254.0.0/16", "100.64.0.0/10", "::1/128", "fe80::/10", "fc00::/7")

func ranges(texts ...string) []*net.IPNet {
	var out []*net.IPNet
	for _, text := range texts {
		_, n, err := net.ParseCIDR(text)
		if err != nil {
			panic(err) // a constant
		}
		out = append(out, n)
	}
	return out
}

// private says whether an authority may vouch for an address.
func private(ip net.IP) bool {
	return slices.ContainsFunc(privateRanges, func(n *net.IPNet) bool { return n.Contains(ip) })
}

func contains(all []net.IP, ip net.IP) bool { return slices.ContainsFunc(all, ip.Equal) }

func names(c *x509.Certificate, ip net.IP) bool { return contains(c.IPAddresses, ip) }

// localDomains are the names that an authority may vouch for, with all below them: those that nobody can
// register (RFC 6761, section 6.3, and RFC 6762, section 3). The machine's bare name is not among them:
// a laptop may be called "studio", and studio is a domain of the internet too.
var localDomains = []string{"localhost", "local"}

// name is the machine's name in lower case, without its domain; localhost when it has none that a
// certificate can hold.
func (h Host) name() string {
	name, err := h.Name()
	name, _, _ = strings.Cut(strings.ToLower(name), ".")
	other := func(r rune) bool { return (r < 'a' || r > 'z') && (r < '0' || r > '9') && r != '-' }
	if err != nil || name == "" || len(name) > 63 || strings.ContainsFunc(name, other) {
		return "localhost"
	}
	return name
}

// LocalNames are what this machine is called by itself and in its local network.
func LocalNames() []string { return Host{}.orSystem().names() }

// names are what the machine is called in its local network.
func (h Host) names() []string {
	if name := h.name(); name != "localhost" {
		return []string{"localhost", name + ".local"}
	}
	return []string{"localhost"}
}

// addresses are the machine's addresses that an authority may vouch for, loopback among them.
func (h Host) addresses() []net.IP {
	out := []net.IP{net.IPv4(127, 0, 0, 1), net.IPv6loopback}
	all, err := h.Addresses()
	if err != nil {
		return out // the address of the connection is added to them
	}
	for _, address := range all {
		n, ok := address.(*net.IPNet)
		if ok && private(n.IP) && !contains(out, n.IP) {
			out = append(out, n.IP)
		}
	}
	return out
}

// Reachable are the machine's addresses under which other machines of the local network find it,
// the likeliest first, and whether the authority can vouch for each.
func (a *Authority) Reachable() (good, outside []string) {
	all, err := a.host.Addresses()
	if err != nil {
		return nil, nil
	}
	for _, address := range all {
		n, ok := address.(*net.IPNet)
		switch {
		case !ok || n.IP.IsLoopback() || n.IP.IsLinkLocalUnicast():
		case !private(n.IP):
			outside = append(outside, n.IP.String())
		case n.IP.To4() != nil:
			good = append([]string{n.IP.String()}, good...)
		default:
			good = append(good, n.IP.String())
		}
	}
	return append(good, a.host.names()[1:]...), outside
}
