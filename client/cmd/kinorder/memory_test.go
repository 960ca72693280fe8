package main

import (
	"runtime/debug"
	"testing"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server"
)

func TestServeLimitsItsMemory(t *testing.T) {
	before := debug.SetMemoryLimit(-1)
	defer debug.SetMemoryLimit(before)
	t.Setenv("GOMEMLIMIT", "3GiB")
	limitMemory()
	assert.Equal(t, before, debug.SetMemoryLimit(-1), "that of the variable is kept")
	t.Setenv("GOMEMLIMIT", "")
	limitMemory()
	assert.Equal(t, server.MostMemory(), debug.SetMemoryLimit(-1))
}
