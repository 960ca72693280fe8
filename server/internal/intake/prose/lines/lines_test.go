package lines_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/intake/prose/lines"
)

// The numbers of questions are no part of them.
func TestNumbersOfQuestions(t *testing.T) {
	form := lines.Split("Q1. Your names?\nAnn and Bob\nQ2) Groom's parents?\nIda and Karl\nQ3: Grandparents?\nnone")
	assert.Equal(t, "Your names?", form[0].Text)
	assert.Equal(t, "Groom's parents?", form[2].Text)
	assert.Equal(t, "Grandparents?", form[4].Text)
}
