package gate

import (
	"net/netip"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Whatever a header says, only a proxy on this machine is believed, and a caller has an address or a /64.
func FuzzFrom(f *testing.F) {
	f.Add("127.0.0.1:5000", "10.0.0.1, 203.0.113.9")
	f.Add("[::1]:5000", "2001:db8:1:2::7,")
	f.Add("[fe80::1%eth0]:5000", "::ffff:10.0.0.1%x")
	f.Add("bufconn", ",,")
	f.Fuzz(func(t *testing.T, remote, forwarded string) {
		got := From(remote, forwarded)
		at, err := address(remote)
		if err != nil {
			assert.Equal(t, remote, got)
			return
		}
		if !at.IsLoopback() {
			assert.Equal(t, From(remote, ""), got)
		}
		if ip, err := netip.ParseAddr(got); err == nil {
			assert.True(t, ip.Is4(), got)
			return
		}
		network, err := netip.ParsePrefix(got)
		assert.NoError(t, err)
		assert.Equal(t, 64, network.Bits())
	})
}
