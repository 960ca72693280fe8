package solver

import "math/bits"

// set is a set of groupings as a bitset. The compiler makes a copy of the search for each width, so
// the one-word case pays nothing for the wide ones.
type set interface {
	[1]uint64 | [2]uint64 | [4]uint64 | [32]uint64
}

func has[S set](s S, i int) bool { return s[i>>6]>>(uint(i)&63)&1 != 0 }

func with[S set](s S, i int) S {
	s[i>>6] |= 1 << (uint(i) & 63)
	return s
}

// within says whether a is a subset of b.
func within[S set](a, b S) bool {
	for k := range len(a) {
		if a[k]&^b[k] != 0 {
			return false
		}
	}
	return true
}

func meets[S set](a, b S) bool {
	for k := range len(a) {
		if a[k]&b[k] != 0 {
			return true
		}
	}
	return false
}

// minus returns a∖b.
func minus[S set](a, b S) S {
	for k := range len(a) {
		a[k] &^= b[k]
	}
	return a
}

func union[S set](a, b S) S {
	for k := range len(a) {
		a[k] |= b[k]
	}
	return a
}

func size[S set](s S) int {
	n := 0
	for k := range len(s) {
		n += bits.OnesCount64(s[k])
	}
	return n
}

// members appends the numbers in s, rising.
func members[S set](s S, to []int) []int {
	for k := range len(s) {
		for w := s[k]; w != 0; w &= w - 1 {
			to = append(to, k<<6+bits.TrailingZeros64(w))
		}
	}
	return to
}

// full returns {0 … n-1}.
func full[S set](n int) S {
	var s S
	for i := range n {
		s = with(s, i)
	}
	return s
}

// hash mixes a set into 64 bits (the finalizer of SplitMix64 by Steele, Lea and Flood, a word at a time).
func hash[S set](s S) uint64 {
	h := uint64(0)
	for k := range len(s) {
		h += s[k] + 0x9e3779b97f4a7c15
		h = (h ^ h>>30) * 0xbf58476d1ce4e5b9
		h = (h ^ h>>27) * 0x94d049bb133111eb
		h ^= h >> 31
	}
	return h
}

func without[S set](s S, i int) S {
	s[i>>6] &^= 1 << (uint(i) & 63)
	return s
}
