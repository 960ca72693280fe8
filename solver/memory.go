package solver

import "math"

// memory counts the bytes of tables, each before it is made. Lists that grow are counted with the copy
// that growing makes. A nil memory counts nothing and has room for everything.
type memory struct{ limit, held, peak int64 }

// mostMemory is the most that a search makes use of: what is in its tables is numbered by 32 bits.
const mostMemory = min(32<<30, math.MaxInt>>1)

// usualMemory is what Options without a MemoryLimit mean.
const usualMemory = 1 << 30

// take counts a table that is about to be made. It returns false, and counts nothing, when there is no
// room for it.
func (m *memory) take(bytes int64) bool {
	if m == nil {
		return true
	}
	if bytes > m.limit-m.held {
		return false
	}
	m.held += bytes
	m.peak = max(m.peak, m.held)
	return true
}

// give takes back what was counted for a table that is not needed any more.
func (m *memory) give(bytes int64) {
	if m != nil {
		m.held -= bytes
	}
}

// left is what there is room for.
func (m *memory) left() int64 {
	if m == nil {
		return mostMemory
	}
	return m.limit - m.held
}

// claim is what one owner has taken of a memory, as much as it needed at its largest.
type claim struct {
	of    *memory
	bytes int64
}

// raise takes what is missing to the given number of bytes. It returns false when there is no room.
func (c *claim) raise(bytes int64) bool {
	if bytes > c.bytes {
		if !c.of.take(bytes - c.bytes) {
			return false
		}
		c.bytes = bytes
	}
	return true
}

// drop gives everything back.
func (c *claim) drop() {
	c.of.give(c.bytes)
	c.bytes = 0
}
