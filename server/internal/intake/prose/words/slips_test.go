package words

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestOneSlip(t *testing.T) {
	for pair, want := range map[[2]string]bool{
		{"brdesmaids", "bridesmaids"}: true, {"evreyone", "everyone"}: true, {"sibilings", "siblings"}: true, {"grandparemts", "grandparents"}: true,
		{"siblings", "siblings"}: false, {"brothers", "mothers"}: false, {"cousins", "couples"}: false, {"xiblings", "siblings"}: false,
	} {
		assert.Equal(t, want, oneSlip(pair[0], pair[1]), pair)
	}
}
