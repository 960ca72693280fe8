package caught

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestTextQuotesNothing(t *testing.T) {
	assert.Equal(t, "a value of type string", Text("Auntie Ngozi"))
	assert.Equal(t, "a value of type *errors.errorString", Text(errors.New("Auntie Ngozi")))
	func() {
		defer func() { assert.Contains(t, Text(recover()), "index out of range [3]") }()
		var empty []int
		i := 3
		_ = empty[i]
	}()
}
