package client

import (
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

// The contract, the client and the server know the same reasons.
func TestReasonsAreThoseOfTheContract(t *testing.T) {
	var want []string
	for value, name := range kinorderv1.Reason_name {
		if value != 0 {
			want = append(want, strings.TrimPrefix(name, "REASON_"))
		}
	}
	for file, constants := range map[string]string{"reasons.go": `Reason\w+ += "(\w+)"`, "../server/internal/api/status.go": `\treason\w+ += "(\w+)"`} {
		content, err := os.ReadFile(file)
		require.NoError(t, err)
		var got []string
		for _, m := range regexp.MustCompile(constants).FindAllStringSubmatch(string(content), -1) {
			got = append(got, m[1])
		}
		assert.ElementsMatch(t, want, got, file)
	}
}
