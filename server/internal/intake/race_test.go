//go:build race

package intake

// racing says that the race detector is on, which takes memory of its own.
const racing = true
