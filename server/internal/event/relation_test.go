package event

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestReadRelation(t *testing.T) {
	tests := []struct {
		words string
		want  Relation
	}{
		{"grandmother", Relation{Kin: Grandparent, Sex: Woman}},
		{"Nan", Relation{Kin: Grandparent, Sex: Woman}},
		{"niece, 2", Relation{Kin: NieceNephew, Sex: Woman}},
		{"half-brother (3)", Relation{Kin: Sibling, Sex: Man, Half: true}},
		{"Stepmum", Relation{Kin: Parent, Sex: Woman, Step: true}},
		{"great-aunt", Relation{Kin: GreatAuntUncle, Sex: Woman}},
		{"great grandparents", Relation{Kin: GreatGrandparent, Plural: true}},
		{"mother-in-law", Relation{Kin: Parent, Sex: Woman, InLaw: true}},
		{"ex-wife", Relation{Kin: Partner, Sex: Woman, Former: true}},
		{"all the cousins", Relation{Kin: Cousin, Plural: true}},
		{"aunts and uncles", Relation{Kin: AuntUncle, Plural: true}},
		{"brothers", Relation{Kin: Sibling, Sex: Man, Plural: true}},
		{"bridesmaids", Relation{Kin: Attendant, Sex: Woman, Plural: true}},
		{"Rosa's parents", Relation{Kin: Parent, Plural: true, Owner: "Rosa"}},
		{"Rosa Lindqvist’s siblings", Relation{Kin: Sibling, Plural: true, Owner: "Rosa Lindqvist"}},
		{"Chris' dad", Relation{Kin: Parent, Sex: Man, Owner: "Chris"}},
		{"mother of the bride", Relation{Kin: Parent, Sex: Woman, Owner: "bride"}},
		{"sister's husband", Relation{Kin: Partner, Sex: Man, Of: &Relation{Kin: Sibling, Sex: Woman}}},
		{"Ana's sister's husband", Relation{Kin: Partner, Sex: Man, Owner: "Ana", Of: &Relation{Kin: Sibling, Sex: Woman, Owner: "Ana"}}},
		{"avó", Relation{Kin: Grandparent, Sex: Woman}},
		{"mae da noiva", Relation{Kin: Parent, Sex: Woman, Owner: "noiva"}},
		{"os pais da Inês", Relation{Kin: Parent, Plural: true, Owner: "Inês"}},
		{"abuelos de Lucía", Relation{Kin: Grandparent, Plural: true, Owner: "Lucía"}},
		{"hermanos", Relation{Kin: Sibling, Plural: true}},
		{"grands-parents d'Amélie", Relation{Kin: Grandparent, Plural: true, Owner: "Amélie"}},
		{"les frères et sœurs de la mariée", Relation{Kin: Sibling, Plural: true, Owner: "mariée"}},
		{"Jonas Eltern", Relation{Kin: Parent, Plural: true, Owner: "Jona"}}, // who that is, is for the names to say
		{"Rosas Geschwister", Relation{Kin: Sibling, Plural: true, Owner: "Rosa"}},
		{"Eltern der Braut", Relation{Kin: Parent, Plural: true, Owner: "Braut"}},
		{"Großeltern", Relation{Kin: Grandparent, Plural: true}},
		{"林伟的父母", Relation{Kin: Parent, Plural: true, Owner: "林伟"}},
		{"bố mẹ của Lan", Relation{Kin: Parent, Plural: true, Owner: "Lan"}},
		{"جدة", Relation{Kin: Grandparent, Sex: Woman}},
		{"sogra", Relation{Kin: Parent, Sex: Woman, InLaw: true}},
	}
	for _, tt := range tests {
		t.Run(tt.words, func(t *testing.T) {
			got, ok := ReadRelation(tt.words)
			assert.True(t, ok)
			assert.Equal(t, tt.want, got)
		})
	}
	for _, words := range []string{"", "'s", "like a sister", "Marie", "Nora", "Bo", "Ban", "Rosa", "met in the choir", "of", "'s sister"} {
		_, ok := ReadRelation(words)
		assert.False(t, ok, words)
	}
}

func TestRelationCovers(t *testing.T) {
	read := func(s string) Relation {
		r, ok := ReadRelation(s)
		assert.True(t, ok, s)
		return r
	}
	for _, tt := range []struct {
		word, relation string
		want           bool
	}{
		{"parents", "mother", true},
		{"parents", "stepmother", false},
		{"parents", "mother-in-law", false},
		{"parents", "father's wife", false},
		{"stepparents", "stepmother", true},
		{"siblings", "half-brother, 3", true},
		{"brothers", "sister", false},
		{"half-brothers", "brother", false},
		{"grandparents", "great-grandmother", false},
		{"partners", "ex-wife", false},
		{"siblings' partners", "sister's husband", true},
		{"siblings' partners", "wife", false},
		{"pais", "Vater", true},
	} {
		assert.Equal(t, tt.want, read(tt.word).Covers(read(tt.relation)), "%s, %s", tt.word, tt.relation)
	}
}

func FuzzReadRelation(f *testing.F) {
	for _, s := range []string{"Rosa's parents", "d'", "l'", "of of", "'s 's", "ex-great-step mother in law", "mãe da mãe da mãe da mãe da Ana"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		r, ok := ReadRelation(s)
		if ok {
			assert.NotEqual(t, NoKin, r.Kin)
		}
	})
}
