package solver

import (
	"context"
	"errors"
	"runtime"
	"strings"
	"sync/atomic"
	"testing"
)

// broken runs f and returns the WorkerPanic it ends with.
func broken(t *testing.T, f func()) (p *WorkerPanic) {
	t.Helper()
	defer func() {
		v := recover()
		err, ok := v.(error)
		if !ok || !errors.As(err, &p) {
			t.Fatalf("panic with %v, want a WorkerPanic", v)
		}
	}()
	f()
	t.Fatal("no panic")
	return nil
}

func TestWorkerPanicReachesTheCaller(t *testing.T) {
	p := mustProblem(t, familySpec(1, 12, Balanced))
	r := newRun[[1]uint64](context.Background(), p, Options{Workers: 3}, firstWidth)
	var ran atomic.Int32
	got := broken(t, func() {
		r.parallel(100, func(k int, _ *scratch) {
			ran.Add(1)
			if k == 50 {
				panic("piece 50")
			}
		})
	})
	if got.Value != "piece 50" || !strings.Contains(got.Error(), "parallel_test.go") {
		t.Errorf("the panic says %v", got)
	}
	if ran.Load() < 60 {
		t.Errorf("only %d pieces ran: the other workers finish theirs", ran.Load())
	}
}

// TestBrokenTableOfAWorkerEndsTheSolveOnly breaks what the workers of a search read, behind the first layer:
// the second is large enough for several of them.
func TestBrokenTableOfAWorkerEndsTheSolveOnly(t *testing.T) {
	p := mustProblem(t, familySpec(1, 100, Balanced))
	r := newRun[[2]uint64](context.Background(), p, Options{Workers: 2}, firstWidth)
	b := r.newBounder()
	r.m.barred = make([]bool, r.m.n)
	got := broken(t, func() { r.pass(b, 1<<20) })
	var fault runtime.Error
	if !errors.As(got.Unwrap(), &fault) || !strings.Contains(got.Error(), "index out of range") {
		t.Errorf("the panic says %v", got)
	}
}
