package check

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// The words are those of ordinary dictionaries of each language, from memory.
func TestKinOf(t *testing.T) {
	for want, texts := range map[degree][]string{
		kinCouple:        {"bride", "Groom", "NOIVA", "novio", "la mariée", "der Bräutigam"},
		kinSpouse:        {"partner", "husband"},
		kinParent:        {"mother", "my dad", "father, arrives late", "mãe", "padre", "la mère", "Vater"},
		kinStepParent:    {"stepmother", "mother's husband", "father’s wife", "marido da mãe", "mari de la mère", "Stiefvater"},
		kinSibling:       {"sister", "twin sister", "younger brother, 19", "irmã", "hermano", "sœur", "Schwester"},
		kinHalfSibling:   {"half-brother, 3", "Step-sister", "meia-irmã", "medio hermano", "demi-frère", "Halbschwester", "father's wife's son"},
		kinSiblingSpouse: {"sister's husband", "brother's partner", "husband of my sister", "esposa del hermano", "Mann der Schwester", "sister-in-law"},
		kinNibling:       {"niece, 2", "nephew, 8 months", "sobrinha", "neveu", "sister's daughter"},
		kinGrandparent:   {"grandmother", "Nan", "maternal grandfather", "avó", "abuelo", "grand-mère", "Oma", "father's mother"},
		kinChild:         {"daughter", "son, 4", "filha", "Tochter"},
		kinOther:         {"aunt", "cousin", "great-aunt", "great-grandmother", "father's cousin", "mother's sister", "mother-in-law", "friend", "sister's husband's mother"},
		kinUnknown:       {"", "parents", "ex-wife", "brother's ex-wife", "like a sister", "mother figure", "belle-mère", "choir", "'s"},
	} {
		for _, text := range texts {
			assert.Equal(t, kinship{kin: want}, kinOf(text), "%q", text)
		}
	}
}
