package words

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestSlip(t *testing.T) {
	for key, want := range map[string]bool{
		"brdesmaids": true, "evreyone": true, "sibilings": true, "grandparemts": true, "xiblings": false, "coupxxs": false, "sbling": true, "nan": false,
	} {
		assert.Equal(t, want, len(Slip(key)) > 0, key)
	}
}
