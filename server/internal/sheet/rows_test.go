package sheet

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// A name that is wider than its column takes as many rows as it needs, and the next begins where it ends.
func TestRowsOfNames(t *testing.T) {
	for columns, want := range map[int]int{100: 1, 41: 2, 24: 2, 18: 3, 12: 4} {
		assert.Equal(t, want, rowsOfNames([]string{"Hadi's household（4 人）", "Erik Lindqvist"}, columns), columns)
	}
}
