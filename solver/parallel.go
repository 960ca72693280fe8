package solver

import (
	"fmt"
	"runtime"
	"runtime/debug"
	"sync"
)

// WorkerPanic is what Solve panics with when one of its workers did: a broken invariant must end the
// solve, in the goroutine that asked for it and can recover, and not the process. It is a
// runtime.Error; its text holds numbers and the worker's stack, as the solver knows no names.
type WorkerPanic struct {
	// Value is what the worker panicked with.
	Value any
	// Stack is where.
	Stack string
}

var _ runtime.Error = (*WorkerPanic)(nil)

func (p *WorkerPanic) Error() string {
	return fmt.Sprintf("solver: a worker panicked: %v\n%s", p.Value, p.Stack)
}

// Unwrap returns Value if it is an error.
func (p *WorkerPanic) Unwrap() error {
	err, _ := p.Value.(error)
	return err
}

// RuntimeError marks a runtime.Error.
func (p *WorkerPanic) RuntimeError() {}

// parallel runs f for 0 … n-1 on the workers, each with working memory of its own, and leaves out what
// is not begun when ctx ends. Results must go to places of their own, so that the outcome does not
// depend on who runs what. When f panics it panics too, after all have stopped.
func (r *run[S]) parallel(n int, f func(k int, w *scratch)) {
	workers := min(r.o.Workers, n)
	if workers <= 1 {
		w := newScratch(r.m.n)
		for k := range n {
			if r.ctx.Err() != nil {
				return
			}
			f(k, w)
		}
		return
	}
	broken := make([]*WorkerPanic, workers)
	var wg sync.WaitGroup
	for first := range workers {
		wg.Go(func() {
			defer func() {
				if v := recover(); v != nil {
					broken[first] = &WorkerPanic{Value: v, Stack: string(debug.Stack())}
				}
			}()
			w := newScratch(r.m.n)
			for k := first; k < n && r.ctx.Err() == nil; k += workers {
				f(k, w)
			}
		})
	}
	wg.Wait()
	for _, p := range broken {
		if p != nil {
			panic(p)
		}
	}
}
