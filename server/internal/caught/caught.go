// Package caught says what a panic was, for the log.
package caught

import (
	"errors"
	"fmt"
	"runtime"
)

// Text says what a panic was without what it may quote: only the texts of the runtime's own errors are known
// to hold nothing of an event.
func Text(broken any) string {
	if err, ok := broken.(error); ok {
		var r runtime.Error
		if errors.As(err, &r) {
			return r.Error()
		}
	}
	return fmt.Sprintf("a value of type %T", broken)
}
