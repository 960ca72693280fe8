package solver

import "slices"

// index numbers sets in the order in which they are first seen: an open-addressed hash table with
// linear probing.
type index[S set] struct {
	keys  []S
	slots []int32
	mask  uint64
}

// reset empties the table and makes room for about n sets.
func (x *index[S]) reset(n int) {
	x.keys = x.keys[:0]
	x.resize(slotsFor(n))
}

func slotsFor(n int) int {
	size := 64
	for size < 4*n {
		size *= 2
	}
	return size
}

func (x *index[S]) resize(size int) {
	x.slots = make([]int32, size)
	x.mask = uint64(size - 1)
	x.fill()
}

// fill enters all sets into empty slots.
func (x *index[S]) fill() {
	for id, k := range x.keys {
		at := hash(k) & x.mask
		for x.slots[at] != 0 {
			at = (at + 1) & x.mask
		}
		x.slots[at] = int32(id + 1)
	}
}

// cut keeps the first n sets, which may have been put there anew, in no more room than they need.
func (x *index[S]) cut(n int) {
	x.keys = slices.Clone(x.keys[:n])
	x.slots = nil
	x.resize(slotsFor(n))
}

// add returns the number of a set, and whether it is new.
func (x *index[S]) add(s S) (int32, bool) {
	if 2*len(x.keys) >= len(x.slots) {
		x.resize(2 * len(x.slots))
	}
	at := hash(s) & x.mask
	for x.slots[at] != 0 {
		if id := x.slots[at] - 1; x.keys[id] == s {
			return id, false
		}
		at = (at + 1) & x.mask
	}
	x.keys = append(x.keys, s)
	x.slots[at] = int32(len(x.keys))
	return int32(len(x.keys) - 1), true
}
