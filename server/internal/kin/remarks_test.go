package kin_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/kin"
)

// The words are those of everyday use of each language, from memory.
func TestReadRemarks(t *testing.T) {
	for text, want := range map[string]int{
		"grandmother, 82": 82, "great-aunt (aged 82)": 82, "nan, 91 years old": 91, "niece, 2": 2, "nephew, 8 months": 0,
		"nephew, 26 months": 2, "baby, 5mo": 0, "avó, 82 anos": 82, "abuela, de 90 años": 90, "grand-mère, 82 ans": 82,
		"Oma, 82 Jahre alt": 82, "奶奶，82岁": 82, "奶奶, 82岁": 82, "جدة، ٨٢ سنة": 82, "جدة, ٨٢ سنة": 82, "82": 82,
		"friend, table 12": -1, "uncle": -1, "": -1, "cousin, arrives 15:30": -1, "aunt, 200": -1, "uncle, class of 82": -1, "sister, 3 children": -1,
	} {
		assert.Equal(t, want, kin.ReadRemarks(text).Age, "%q", text)
	}
	for text, from := range map[string]string{
		"father, divorced": "", "mother (divorced from Karim)": "Karim", "mãe, divorciada do Rui": "Rui", "Vater, geschieden": "",
		"père (divorcé)": "", "madre, separada": "", "mother, separated from the father": "father",
	} {
		got := kin.ReadRemarks(text)
		assert.True(t, got.Divorced, "%q", text)
		assert.Equal(t, from, got.From, "%q", text)
	}
	assert.False(t, kin.ReadRemarks("mother, in separate photographs").Divorced)
	for _, text := range []string{"ex-wife", "father's ex-wife", "ex-mulher", "exmarido", "Exfrau", "ex-mari"} {
		r, ok := kin.Read(text)
		assert.True(t, ok && r.Former && r.Kind == kin.Partner, "%q", text)
	}
}

func TestSonIsNoArticle(t *testing.T) {
	for text, owner := range map[string]string{"son of the bride": "bride", "fils de son frère": "", "Sohn der Braut": "Braut"} {
		r, ok := kin.Read(text)
		assert.True(t, ok && r.Kind == kin.Offspring, "%q", text)
		assert.Equal(t, owner, r.Owner, "%q", text)
	}
}
