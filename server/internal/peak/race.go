//go:build race

package peak

// racing says that the race detector is on, which takes memory of its own.
const racing = true
