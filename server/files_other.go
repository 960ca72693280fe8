//go:build !unix

package server

import "math"

// mostFiles is how many files and connections this process may have open: there is no such limit here.
func mostFiles() int { return math.MaxInt32 }
