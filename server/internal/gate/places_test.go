package gate

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestPlaces(t *testing.T) {
	var p Places
	take := func(link string) (func(), bool) { return p.Take(Share{"all", 3}, Share{link, 2}) }
	first, ok := take("a")
	assert.True(t, ok)
	_, ok = take("a")
	assert.True(t, ok)
	_, ok = take("a")
	assert.False(t, ok, "the share of a is full")
	last, ok := take("b")
	assert.True(t, ok, "what was refused took nothing of all")
	_, ok = take("b")
	assert.False(t, ok, "all are taken")
	first()
	_, ok = take("b")
	assert.True(t, ok)
	last()
	assert.Equal(t, map[string]int{"all": 2, "a": 1, "b": 1}, p.taken)
}

func TestFrom(t *testing.T) {
	for _, c := range []struct{ remote, forwarded, want string }{
		{"192.168.7.20:5000", "", "192.168.7.20"},
		{"[::ffff:192.168.7.20]:5000", "", "192.168.7.20"},
		{"[2001:db8:1:2:3:4:5:6]:5000", "", "2001:db8:1:2::/64"},
		{"[2001:db8:1:2:ffff::1]:5000", "", "2001:db8:1:2::/64"},
		{"[fe80::1%eth0]:5000", "", "fe80::/64"},
		{"127.0.0.1:5000", "", "127.0.0.1"},
		{"127.0.0.1:5000", "10.0.0.1, 203.0.113.9", "203.0.113.9"},
		{"[::1]:5000", "2001:db8:1:2::7", "2001:db8:1:2::/64"},
		{"127.0.0.1:5000", "unknown", "127.0.0.1"},
		{"192.168.7.20:5000", "10.0.0.1", "192.168.7.20"},
		{"bufconn", "10.0.0.1", "bufconn"},
	} {
		assert.Equal(t, c.want, From(c.remote, c.forwarded), "%s %s", c.remote, c.forwarded)
	}
}

// However many guests watch from one address, which may be that of all phones at a venue, leads have places there.
func TestReadersOfOneAddressLeavePlacesForLeads(t *testing.T) {
	var p Places
	for range mostWatchingOfOne {
		_, ok := p.Take(Watching("guests", "192.0.2.1", true)...)
		assert.True(t, ok)
	}
	_, ok := p.Take(Watching("others", "192.0.2.1", true)...)
	assert.False(t, ok)
	_, ok = p.Take(Watching("lead", "192.0.2.1", false)...)
	assert.True(t, ok)
	_, ok = p.Take(Watching("others", "192.0.2.2", true)...)
	assert.True(t, ok)
}
