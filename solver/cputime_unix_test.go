//go:build unix

package solver

import (
	"syscall"
	"testing"
	"time"
)

// cpuTime is what the process has used so far: the fairer figure on a machine with other work.
func cpuTime(t testing.TB) time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		t.Fatal(err)
	}
	return time.Duration(u.Utime.Nano())
}
