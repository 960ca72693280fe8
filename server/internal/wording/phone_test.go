package wording

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestPhoneTexts(t *testing.T) {
	words := PhoneTexts()
	assert.Len(t, words, len(editions))
	assert.Equal(t, "rtl", words["ar"].Direction)
	assert.Equal(t, "%[1]s minutes over", words["en"].Texts["over"].Other)
	assert.Equal(t, "%[1]s minute over", words["en"].Texts["over"].Forms["one"])
	assert.Len(t, words["ar"].Texts["over"].Forms, 5)
	for name := range sharedTexts {
		assert.NotContains(t, english.texts, Key("phone."+name), "named twice")
	}
}
