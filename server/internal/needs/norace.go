//go:build !race

package needs

const Racing = false
