//go:build race

package needs

// Racing says that the race detector is on, which takes memory of its own.
const Racing = true
