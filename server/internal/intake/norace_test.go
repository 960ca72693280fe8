//go:build !race

package intake

const racing = false
