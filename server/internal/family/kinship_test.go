package family

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// The words are those of ordinary dictionaries of each language, from memory.
func TestKinOf(t *testing.T) {
	for want, texts := range map[Degree][]string{
		OfCouple:      {"bride", "Groom", "NOIVA", "novio", "la mariée", "der Bräutigam"},
		Spouse:        {"partner", "husband"},
		Parent:        {"mother", "my dad", "father, arrives late", "mãe", "padre", "la mère", "Vater"},
		StepParent:    {"stepmother", "mother's husband", "father’s wife", "marido da mãe", "mari de la mère", "Stiefvater"},
		Sibling:       {"sister", "twin sister", "younger brother, 19", "irmã", "hermano", "sœur", "Schwester"},
		HalfSibling:   {"half-brother, 3", "Step-sister", "meia-irmã", "medio hermano", "demi-frère", "Halbschwester", "father's wife's son"},
		SiblingSpouse: {"sister's husband", "brother's partner", "husband of my sister", "esposa del hermano", "Mann der Schwester", "sister-in-law"},
		Nibling:       {"niece, 2", "nephew, 8 months", "sobrinha", "neveu", "sister's daughter"},
		Grandparent:   {"grandmother", "Nan", "maternal grandfather", "avó", "abuelo", "grand-mère", "Oma", "father's mother"},
		Child:         {"daughter", "son, 4", "filha", "Tochter"},
		Other:         {"aunt", "cousin", "great-aunt", "great-grandmother", "father's cousin", "mother's sister", "mother-in-law", "friend", "sister's husband's mother"},
		Unknown:       {"", "parents", "ex-wife", "brother's ex-wife", "like a sister", "mother figure", "belle-mère", "choir", "'s"},
	} {
		for _, text := range texts {
			assert.Equal(t, Kinship{Degree: want}, kinOf(text), "%q", text)
		}
	}
}
