package event

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// The words are those of ordinary dictionaries of each language, from memory.
func TestRelationOf(t *testing.T) {
	cases := map[kin][]string{
		kinCouple: {"bride", "Groom", "NOIVA", "noivo", "novia", "la mariée", "marié", "Braut", "der Bräutigam"},
		kinParent: {"mother", "Father", "Mum", "my dad", "mãe", "Pai", "madre", "papá", "la mère", "père", "Mutter", "VATER",
			"mother (on crutches)", "father, arrives late", "parent", "Brautmutter", "mother/carer", "moeder", "mamma"},
		kinStepParent: {"stepmother", "step-father", "mother's husband", "Mum’s partner", "father's wife", "husband of the mother",
			"marido da mãe", "esposa del padre", "mari de la mère", "Frau des Vaters", "Stiefvater", "padrastro", "madrasta"},
		kinSibling: {"sister", "big brother", "twin sister", "sibling", "younger brother, 19", "irmã", "irmão mais velho", "hermana mayor",
			"sœur", "frère", "petite sœur", "Schwester", "Bruder", "ältere Schwester", "irma\u0303"},
		kinHalfSibling: {"half-brother, 3", "half sister", "Step-sister", "meia-irmã", "medio hermano", "demi-frère", "Halbschwester", "step-brother", "mother's husband's son"},
		kinSiblingSpouse: {"sister's husband", "brother's wife", "brother's partner", "husband of my sister", "marido da irmã",
			"esposa del hermano", "mari de la sœur", "Mann der Schwester", "Frau meines Bruders", "sister-in-law", "cunhado", "cuñada", "Schwager"},
		kinNibling:     {"niece, 2", "nephew, 8 months", "sobrinha", "sobrino", "neveu", "Nichte", "sister's daughter", "filho da irmã"},
		kinGrandparent: {"grandmother", "Nan", "maternal grandfather", "avó", "avô paterno", "abuela", "grand-mère", "Großmutter", "Opa", "father's mother", "mãe do pai"},
		kinChild:       {"daughter", "son, 4", "filha", "hijo", "fille", "fils", "Tochter", "child"},
		kinOther: {"aunt", "cousin", "great-aunt", "father's cousin", "mother's sister", "tía", "oncle", "Tante", "friend", "attendant",
			"mother-in-law", "sister's husband's mother", "godmother", "great-grandmother"},
		kinUnknown: {"", " ", "like a sister", "mother figure", "best man", "maid of honour", "mother of 3", "sister of", "belle-mère", "beau-père", "belle-sœur",
			"nipote", "petite-fille", "grande", "father & mother", "choir", "the", "'s", "of of", "m", "妈妈", "٣", "mother superior"},
	}
	for want, texts := range cases {
		for _, text := range texts {
			assert.Equal(t, relation{kin: want}, relationOf(text), "%q", text)
		}
	}
}

func TestRelationOfSomebody(t *testing.T) {
	for text, want := range map[string]relation{
		"mother of the bride":        {kinParent, "bride"},
		"groom's sister's husband":   {kinSiblingSpouse, "groom"},
		"husband of the bride's mum": {kinStepParent, "bride"},
		"Amara's mother":             {kinParent, "amara"},
		"mãe da Inês":                {kinParent, "ines"},
		"irmão do noivo":             {kinSibling, "noivo"},
		"sœur d'Amara":               {kinSibling, "amara"},
		"padre de la novia":          {kinParent, "novia"},
		"Schwester von Jörg":         {kinSibling, "jorg"},
		"uncle John's wife":          {kinSpouse, "uncle john"},
		"Ben's unicycle":             {},
	} {
		assert.Equal(t, want, relationOf(text), "%q", text)
	}
}

func TestKinWordsMeanOneThing(t *testing.T) {
	meant := make(map[string]kin)
	for k, list := range kinLists {
		for _, word := range wordList(list) {
			other, twice := meant[word]
			assert.False(t, twice && other != k, "%q has two meanings", word)
			meant[word] = k
			assert.Equal(t, word, plain(word), "not in plain form")
			assert.Equal(t, relation{kin: k}, relationOf(word), "%q", word)
		}
	}
	assert.Greater(t, len(meant), 300)
	for word := range kinFillers {
		assert.Equal(t, kinUnknown, kinWords[word], "%q", word)
	}
}

func FuzzRelationOf(f *testing.F) {
	for _, s := range []string{"sister's husband", "mari de la sœur", "d' l' 's of", "niece, 2", "\xff’s mother"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		r := relationOf(s)
		if r.kin == kinUnknown && r.owner != "" {
			t.Fatalf("%q: an owner of nothing: %q", s, r.owner)
		}
	})
}
