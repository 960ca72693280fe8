//go:build unix

package server

import (
	"math"
	"syscall"
)

// mostFiles is how many files and connections this process may have open.
func mostFiles() int {
	var limit syscall.Rlimit
	if err := syscall.Getrlimit(syscall.RLIMIT_NOFILE, &limit); err != nil {
		return math.MaxInt32
	}
	return int(min(uint64(limit.Cur), math.MaxInt32))
}
