package main

import (
	"os"
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The examples for other languages do what they say against a server.
func TestExamples(t *testing.T) {
	at := serveCommand(t, exec.Command(os.Args[0], "serve", "--listen", "127.0.0.1:0", "--http", "127.0.0.1:0"))
	defer at.kill(t)
	page := pageAt.FindStringSubmatch(at.said(t))[1]
	for file, how := range map[string]struct {
		needs   []string
		address string
	}{
		"plan.sh": {[]string{"sh", "curl", "jq"}, page}, "plan.py": {[]string{"python3"}, page}, "plan.mjs": {[]string{"node"}, page},
		"plan-grpcurl.sh": {[]string{"sh", "grpcurl", "jq"}, at.address},
	} {
		t.Run(file, func(t *testing.T) {
			for _, program := range how.needs {
				if _, err := exec.LookPath(program); err != nil {
					missing(t, program+", with which the example is run, is not installed")
				}
			}
			c := exec.CommandContext(t.Context(), how.needs[0], "../../examples/"+file, how.address)
			c.Stdin = strings.NewReader("Guests:\nAnn\nBo\nCy\n\n1. Ann + Bo + Cy\n2. Ann + Bo\n")
			out, err := c.CombinedOutput()
			assert.NoError(t, err, string(out))
			assert.Contains(t, string(out), "Ann, Bo", "the sheet")
		})
	}
}
