package words

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestSlip(t *testing.T) {
	for key, want := range map[string]bool{
		"brdesmaids": true, "evreyone": true, "sibilings": true, "grandparemts": true, "xiblings": false, "coupxxs": false, "sbling": true, "nan": false, "weding": true, "couples": false,
	} {
		assert.Equal(t, want, Slip(key, map[string]int{"en": 1}) != "", key)
	}
}
