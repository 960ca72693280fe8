package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every command that help shows has a manual page, with its examples and every flag.
func TestManualPages(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "man")
	assert.Equal(t, exitDone, run(t, &Program{}, "man", folder).code)
	var look func(c *cobra.Command)
	look = func(c *cobra.Command) {
		page, err := os.ReadFile(filepath.Join(folder, strings.ReplaceAll(c.CommandPath(), " ", "-")+".1"))
		require.NoError(t, err)
		for _, part := range []string{".SH NAME", ".SH SYNOPSIS", ".SH OPTIONS"} {
			assert.Contains(t, string(page), part, c.CommandPath())
		}
		assert.Equal(t, c.HasExample(), strings.Contains(string(page), ".SH EXAMPLES"), c.CommandPath())
		for _, sub := range c.Commands() {
			if sub.IsAvailableCommand() {
				look(sub)
			}
		}
	}
	look((&Program{}).root())
}
