//go:build unix

package hostile

import (
	"syscall"
	"testing"
	"time"
)

// Spent is the processor time of this process so far.
func Spent() time.Duration {
	var u syscall.Rusage
	_ = syscall.Getrusage(syscall.RUSAGE_SELF, &u) // never fails for this process
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// Bench does something as often as a benchmark wants and reports the processor time of one, since the clock on
// the wall tells more of what else the machine does. It returns that in seconds, too.
func Bench(b *testing.B, do func()) float64 {
	before := Spent()
	for b.Loop() {
		do()
	}
	took := (Spent() - before).Seconds() / float64(b.N)
	b.ReportMetric(took, "cpu-s")
	return took
}
