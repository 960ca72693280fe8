package kin

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestReadRelation(t *testing.T) {
	tests := []struct {
		words string
		want  Relation
	}{
		{"grandmother", Relation{Kind: Grandparent, Sex: Woman}},
		{"Nan", Relation{Kind: Grandparent, Sex: Woman}},
		{"niece, 2", Relation{Kind: NieceNephew, Sex: Woman}},
		{"half-brother (3)", Relation{Kind: Sibling, Sex: Man, Half: true}},
		{"Stepmum", Relation{Kind: Parent, Sex: Woman, Step: true}},
		{"great-aunt", Relation{Kind: GreatAuntUncle, Sex: Woman}},
		{"great grandparents", Relation{Kind: GreatGrandparent, Plural: true}},
		{"mother-in-law", Relation{Kind: Parent, Sex: Woman, InLaw: true}},
		{"ex-wife", Relation{Kind: Partner, Sex: Woman, Former: true}},
		{"all the cousins", Relation{Kind: Cousin, Plural: true}},
		{"aunts and uncles", Relation{Kind: AuntUncle, Plural: true}},
		{"brothers", Relation{Kind: Sibling, Sex: Man, Plural: true}},
		{"bridesmaids", Relation{Kind: Attendant, Sex: Woman, Plural: true}},
		{"Rosa's parents", Relation{Kind: Parent, Plural: true, Owner: "Rosa"}},
		{"Rosa Lindqvist’s siblings", Relation{Kind: Sibling, Plural: true, Owner: "Rosa Lindqvist"}},
		{"Chris' dad", Relation{Kind: Parent, Sex: Man, Owner: "Chris"}},
		{"mother of the bride", Relation{Kind: Parent, Sex: Woman, Owner: "bride"}},
		{"sister's husband", Relation{Kind: Partner, Sex: Man, Of: &Relation{Kind: Sibling, Sex: Woman}}},
		{"Ana's sister's husband", Relation{Kind: Partner, Sex: Man, Owner: "Ana", Of: &Relation{Kind: Sibling, Sex: Woman, Owner: "Ana"}}},
		{"avó", Relation{Kind: Grandparent, Sex: Woman}},
		{"mae da noiva", Relation{Kind: Parent, Sex: Woman, Owner: "noiva"}},
		{"os pais da Inês", Relation{Kind: Parent, Plural: true, Owner: "Inês"}},
		{"abuelos de Lucía", Relation{Kind: Grandparent, Plural: true, Owner: "Lucía"}},
		{"hermanos", Relation{Kind: Sibling, Plural: true}},
		{"grands-parents d'Amélie", Relation{Kind: Grandparent, Plural: true, Owner: "Amélie"}},
		{"les frères et sœurs de la mariée", Relation{Kind: Sibling, Plural: true, Owner: "mariée"}},
		{"Jonas Eltern", Relation{Kind: Parent, Plural: true, Owner: "Jona"}}, // who that is, is for the names to say
		{"Rosas Geschwister", Relation{Kind: Sibling, Plural: true, Owner: "Rosa"}},
		{"Eltern der Braut", Relation{Kind: Parent, Plural: true, Owner: "Braut"}},
		{"Großeltern", Relation{Kind: Grandparent, Plural: true}},
		{"林伟的父母", Relation{Kind: Parent, Plural: true, Owner: "林伟"}},
		{"bố mẹ của Lan", Relation{Kind: Parent, Plural: true, Owner: "Lan"}},
		{"جدة", Relation{Kind: Grandparent, Sex: Woman}},
		{"sogra", Relation{Kind: Parent, Sex: Woman, InLaw: true}},
	}
	for _, tt := range tests {
		t.Run(tt.words, func(t *testing.T) {
			got, ok := Read(tt.words)
			assert.True(t, ok)
			assert.Equal(t, tt.want, got)
		})
	}
	for _, words := range []string{"", "'s", "like a sister", "Marie", "Nora", "Bo", "Ban", "Rosa", "met in the choir", "of", "'s sister"} {
		_, ok := Read(words)
		assert.False(t, ok, words)
	}
}

func TestRelationCovers(t *testing.T) {
	read := func(s string) Relation {
		r, ok := Read(s)
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
		r, ok := Read(s)
		if ok {
			assert.NotEqual(t, NoKin, r.Kind)
		}
	})
}
