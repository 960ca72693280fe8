//go:build !race

package peak

const racing = false
